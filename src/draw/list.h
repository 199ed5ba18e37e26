/* Private: the command list itself. */
#ifndef DRAW_LIST_H
#define DRAW_LIST_H

#include "draw/draw.h"

enum command_kind {
    COMMAND_PATH,
    COMMAND_WORDS,
    COMMAND_PICTURE,
    COMMAND_CLIP,
    COMMAND_GROUP,
    COMMAND_DRAWING, /* a group around another drawing, complete in itself */
    COMMAND_END,     /* of a clip or a group */
};

struct command_words {
    struct point at; /* left end of the base line, whatever the alignment was */
    double width;
    double size_mm;
    bool bold;
    struct paint paint;
    const char *words; /* clean, one line, not empty */
};

struct command_picture {
    struct rect into;
    int width, height;
    const uint8_t *rgb;
    double alpha;
};

struct command {
    enum command_kind kind;
    struct path path; /* path, clip; outline of words after drawing_outline */
    struct look look; /* path; of a clip only even_odd */
    struct command_words words;
    struct command_picture picture;
    struct affine transform; /* group, drawing */
    const struct drawing *drawing;
};

enum { DRAWING_DEPTH = 32 };

struct drawing {
    struct arena *arena;
    double width, height;
    const char *title;
    struct command *commands;
    size_t count, capacity;
    int open; /* clips and groups under way, at most DRAWING_DEPTH */
};

struct command *drawing_add(struct drawing *drawing, enum command_kind kind);
static inline bool paint_shows(struct paint paint)
{
    return paint.alpha > 0;
}
static inline bool look_strokes(struct look look)
{
    return paint_shows(look.line) && look.line_mm > 0;
}
/* Whether all of it can be said with black ink and white: no RGB, no pictures and, unless `faint`, no
 * transparency. */
bool drawing_is_black(const struct drawing *drawing, bool faint);

#endif
