/* Words set as outlines for printing: kerned, in one font and no other, by the height of its capitals.
 *
 * A typeface is opened by the name of a font that is installed, as fontconfig lists them ("DejaVu Sans Bold": family,
 * then its style), or from a font file, which is read in this process by FreeType and need not be installed. Nothing is
 * put in the place of a font, a style or a letter that is not there. */
#ifndef DRAW_TYPESET_H
#define DRAW_TYPESET_H

#include "draw/draw.h"
#include "model/shape.h"

struct typeface;

enum typeface_trouble {
    TYPEFACE_FINE,
    TYPEFACE_NO_FILE,   /* the font file is not there or is none */
    TYPEFACE_NO_FAMILY, /* no font of that name is installed */
    TYPEFACE_NO_STYLE,  /* the family is, this style of it is not */
    TYPEFACE_NO_HEIGHT  /* it has no H, whose height that of capitals is */
};

struct typeface_found {
    enum typeface_trouble trouble;
    const char *nearest; /* no family: the nearest name, NULL when there is none; no style: those there are */
};

/* Yours to free; NULL with found->trouble when it cannot be used. `path` NULL: `name` is a family. */
struct typeface *typeface_open(const char *name, const char *path, struct arena *arena,
                               struct typeface_found *found);
void typeface_free(struct typeface *typeface); /* NULL is allowed */

struct typeset {
    struct path outline;     /* surface millimetres, y up; nonzero fill */
    struct rect box;         /* of the outline; empty when nothing shows */
    double own_mm;           /* the words' length as the font has it */
    double set_mm;           /* as set: made narrower where they had to be */
    double narrowed_percent; /* of its own width; 100: as it is */
    double over_mm;          /* longer than it may be; 0: it fits */
    const char *missing;     /* letters that the font does not have, each once; "" none */
};

/* The words of one vehicle, placed as the text says: the length that is aligned and has to fit is the font's advance,
 * letters' side bearings counted in. `out` and its path live in the arena. */
void typeset_words(struct typeface *typeface, const struct text_spec *text, const char *words,
                   struct arena *arena, struct typeset *out);

/* PDF operators of a path, in its own units, without painting it. */
void path_operators(const struct path *path, struct text *out);

#endif
