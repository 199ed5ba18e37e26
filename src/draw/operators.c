/* Back-end: PDF operators in black ink. */
#include "letters.h"
#include "draw/typeset.h"
#include "base/arena.h"
#include "base/text.h"
#include <assert.h>
#include <math.h>

enum { DECIMALS = 3 }; /* of a millimetre: far below what a printer places */

static void put_point(struct text *out, struct affine m, struct point p)
{
    struct point q = affine_apply(m, p);
    text_add_number(out, q.x, DECIMALS);
    text_add_char(out, ' ');
    text_add_number(out, q.y, DECIMALS);
    text_add_char(out, ' ');
}

static void put_path(struct text *out, struct affine m, const struct path *path)
{
    for (size_t i = 0; i < path->count; i++) {
        const struct path_step *s = &path->steps[i];
        switch (s->verb) {
        case PATH_MOVE:
            put_point(out, m, s->points[0]);
            text_add(out, "m\n");
            break;
        case PATH_LINE:
            put_point(out, m, s->points[0]);
            text_add(out, "l\n");
            break;
        case PATH_CURVE:
            for (int j = 0; j < 3; j++) put_point(out, m, s->points[j]);
            text_add(out, "c\n");
            break;
        case PATH_CLOSE:
            text_add(out, "h\n");
            break;
        }
    }
}

void path_operators(const struct path *path, struct text *out)
{
    put_path(out, affine_identity, path);
}

static void operators_put_shape(struct text *out, struct affine m, const struct path *path, struct look look)
{
    bool fills = paint_shows(look.fill), strokes = look_strokes(look);
    double scale = sqrt(fabs(m.a * m.d - m.b * m.c));
    if (fills) text_addf(out, "0 0 0 %g k\n", 1 - look.fill.red);
    if (strokes) {
        text_addf(out, "0 0 0 %g K %g w ", 1 - look.line.red, look.line_mm * scale);
        if (look.dash_mm > 0)
            text_addf(out, "[%g %g] 0 d\n", look.dash_mm * scale,
                      (look.gap_mm > 0 ? look.gap_mm : look.dash_mm) * scale);
        else
            text_add(out, "[] 0 d\n");
    }
    put_path(out, m, path);
    text_add(out, fills && strokes ? (look.even_odd ? "B*\n" : "B\n")
                  : strokes        ? "S\n"
                  : look.even_odd  ? "f*\n"
                                   : "f\n");
}

/* Coordinates are turned into the page's here, so that only clips need the graphics state. */
static void operators_put_drawing(struct text *out, struct affine m, const struct drawing *drawing)
{
    struct affine stack[DRAWING_DEPTH] = {0};
    int depth = 0;
    for (size_t i = 0; i < drawing->count; i++) {
        const struct command *c = &drawing->commands[i];
        switch (c->kind) {
        case COMMAND_PATH:
            operators_put_shape(out, m, &c->path, c->look);
            break;
        case COMMAND_WORDS: {
            struct path outline = c->path.count ? c->path : letters_outline(drawing->arena, &c->words);
            if (outline.count) operators_put_shape(out, m, &outline, (struct look){.fill = c->words.paint});
            break;
        }
        case COMMAND_CLIP:
        case COMMAND_GROUP:
            stack[depth++] = m;
            text_add(out, "q\n");
            if (c->kind == COMMAND_GROUP) {
                m = affine_then(c->transform, m);
                break;
            }
            put_path(out, m, &c->path);
            text_add(out, c->look.even_odd ? "W* n\n" : "W n\n");
            break;
        case COMMAND_DRAWING:
            operators_put_drawing(out, affine_then(c->transform, m), c->drawing);
            break;
        case COMMAND_END:
            assert(depth > 0);
            m = stack[--depth];
            text_add(out, "Q\n");
            break;
        case COMMAND_PICTURE:
            break; /* refused before */
        }
    }
}

bool drawing_operators(const struct drawing *drawing, struct text *out)
{
    if (!drawing_is_black(drawing, false)) return false;
    text_add(out, "q\n");
    operators_put_drawing(out, (struct affine){1, 0, 0, -1, 0, drawing->height}, drawing);
    text_add(out, "Q\n");
    return true;
}
