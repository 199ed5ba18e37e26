/* Back-end: PDF operators in black ink. */
#include "letters.h"
#include "draw/typeset.h"
#include "base/arena.h"
#include "base/text.h"
#include <assert.h>
#include <math.h>

/* Of a millimetre: far below what a printer places; inside a letter, of which cairo's places differ by 0.0003 mm from
 * one time to the next. */
enum { DECIMALS = 3, LETTER_DECIMALS = 2 };

static void put_point(struct text *out, struct affine m, struct point p, int decimals)
{
    struct point q = affine_apply(m, p);
    text_add_number(out, q.x, decimals);
    text_add_char(out, ' ');
    text_add_number(out, q.y, decimals);
    text_add_char(out, ' ');
}

static void put_path(struct text *out, struct affine m, const struct path *path, int decimals)
{
    for (size_t i = 0; i < path->count; i++) {
        const struct path_step *s = &path->steps[i];
        switch (s->verb) {
        case PATH_MOVE:
            put_point(out, m, s->points[0], decimals);
            text_add(out, "m\n");
            break;
        case PATH_LINE:
            put_point(out, m, s->points[0], decimals);
            text_add(out, "l\n");
            break;
        case PATH_CURVE:
            for (int j = 0; j < 3; j++) put_point(out, m, s->points[j], decimals);
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
    put_path(out, affine_identity, path, DECIMALS);
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
    put_path(out, m, path, DECIMALS);
    text_add(out, fills && strokes ? (look.even_odd ? "B*\n" : "B\n")
                  : strokes        ? "S\n"
                  : look.even_odd  ? "f*\n"
                                   : "f\n");
}

/* ---- words, letter by letter, so that a letter that comes again has the same bytes and packs to nothing ---- */

/* Where the ring that begins at `from` ends; widens the letter's extent by it. */
static size_t ring_end(const struct path *path, size_t from, double *low, double *high)
{
    size_t i = from;
    do {
        const struct path_step *s = &path->steps[i];
        size_t points = s->verb == PATH_CLOSE ? 0 : s->verb == PATH_CURVE ? 3 : 1;
        for (size_t k = 0; k < points; k++)
            *low = fmin(*low, s->points[k].x), *high = fmax(*high, s->points[k].x);
    } while (++i < path->count && path->steps[i].verb != PATH_MOVE);
    return i;
}

/* Rings above each other are of one letter: a hole, a dot. */
static size_t letter_end(const struct path *path, size_t from)
{
    double low = INFINITY, high = -INFINITY;
    size_t end = ring_end(path, from, &low, &high);
    while (end < path->count) {
        double left = INFINITY, right = -INFINITY;
        size_t next = ring_end(path, end, &left, &right);
        if (left > high || right < low) break;
        low = fmin(low, left), high = fmax(high, right);
        end = next;
    }
    return end;
}

static void operators_put_letter(struct text *out, struct affine m, const struct path *letter)
{
    struct point from = letter->steps[0].points[0];
    struct affine own =
        affine_then(affine_shift(-from.x, -from.y), (struct affine){m.a, m.b, m.c, m.d, 0, 0});
    text_add(out, "q 1 0 0 1 ");
    put_point(out, m, from, DECIMALS);
    text_add(out, "cm\n");
    put_path(out, own, letter, LETTER_DECIMALS);
    text_add(out, "f\nQ\n");
}

static void operators_put_words(struct text *out, struct affine m, const struct path *outline,
                                struct paint paint)
{
    text_addf(out, "0 0 0 %g k\n", 1 - paint.red);
    for (size_t i = 0, end; i < outline->count; i = end) {
        end = letter_end(outline, i);
        operators_put_letter(out, m, &(struct path){.steps = outline->steps + i, .count = end - i});
    }
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
            if (outline.count) operators_put_words(out, m, &outline, c->words.paint);
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
            put_path(out, m, &c->path, DECIMALS);
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
