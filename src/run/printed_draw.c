/* The picture of what changed after panels were printed: as printed, as it is now, and where they differ. */
#include "printed_inner.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include "draw/draw.h"

static const double WIDTH_MM = 280, EDGE_MM = 6, TITLE_MM = 4, PICTURE_PPI = 150;
static const uint8_t DIFFERENT[3] = {220, 0, 130};
enum { SHOWN_MOST = 1600 };

/* A picture small enough to show: every `step`-th pixel, in the colours of plain inks. */
struct shown {
    int width, height, step;
    uint8_t *rgb;
};

static struct shown shown_of(const struct printed_picture *picture, struct arena *arena)
{
    int most = picture->width > picture->height ? picture->width : picture->height;
    struct shown s = {.step = (most + SHOWN_MOST - 1) / SHOWN_MOST};
    s.width = (picture->width + s.step - 1) / s.step, s.height = (picture->height + s.step - 1) / s.step;
    s.rgb = arena_take_array(arena, (size_t)s.width * (size_t)s.height, 3);
    for (int y = 0; y < s.height; y++)
        for (int x = 0; x < s.width; x++) {
            size_t from = (size_t)y * (size_t)s.step * (size_t)picture->width + (size_t)x * (size_t)s.step;
            const uint8_t *cmyk = picture->pixels + from * 4;
            uint8_t *rgb = s.rgb + ((size_t)y * (size_t)s.width + (size_t)x) * 3;
            for (int c = 0; c < 3; c++) rgb[c] = (uint8_t)((255 - cmyk[c]) * (255 - cmyk[3]) / 255);
        }
    return s;
}

/* Faint, with what differs in one strong colour; a single pixel of it shows. */
static void mark_different(struct shown *s, const struct printed_picture *is, const uint8_t *marks)
{
    size_t count = (size_t)s->width * (size_t)s->height;
    for (size_t i = 0; i < count; i++) {
        int grey = (s->rgb[i * 3] + s->rgb[i * 3 + 1] + s->rgb[i * 3 + 2]) / 3;
        for (int c = 0; c < 3; c++) s->rgb[i * 3 + (size_t)c] = (uint8_t)(191 + grey / 4);
    }
    for (int y = 0; y < is->height; y++)
        for (int x = 0; x < is->width; x++) {
            if (!marks[(size_t)y * (size_t)is->width + (size_t)x]) continue;
            size_t at = (size_t)(y / s->step) * (size_t)s->width + (size_t)(x / s->step);
            for (int c = 0; c < 3; c++) s->rgb[at * 3 + (size_t)c] = DIFFERENT[c];
        }
}

static void printed_put_picture(struct drawing *d, const char *title, const struct shown *s, double *y)
{
    double width = WIDTH_MM - 2 * EDGE_MM, height = width * s->height / s->width;
    struct letters letters = {.size_mm = TITLE_MM, .bold = true, .most_mm = width};
    struct rect into = {EDGE_MM, *y + TITLE_MM * 1.6, EDGE_MM + width, *y + TITLE_MM * 1.6 + height};
    draw_text(d, (struct point){EDGE_MM, *y + TITLE_MM}, letters, title);
    draw_picture(d, into, s->width, s->height, s->rgb, 1);
    draw_rect(d, into, (struct look){.line = paint_grey(0.5), .line_mm = 0.2});
    *y = into.y1 + EDGE_MM;
}

static void outline_box(struct drawing *d, const struct changed_art *changed,
                        const struct printed_picture *is, const struct shown *s, double bottom)
{
    double width = WIDTH_MM - 2 * EDGE_MM, scale = width / (s->width * s->step * is->pixel_mm);
    double top = bottom - EDGE_MM - width * s->height / s->width;
    const struct rect *b = &changed->box;
    struct rect on = {EDGE_MM + (b->x0 - is->box.x0) * scale, top + (is->box.y1 - b->y1) * scale,
                      EDGE_MM + (b->x1 - is->box.x0) * scale, top + (is->box.y1 - b->y0) * scale};
    draw_rect(d, rect_grow(on, 1.5), (struct look){.line = paint_grey(0), .line_mm = 0.4});
}

bool printed_draw(struct run *run, const struct changed_art *changed, const struct printed_picture *was,
                  const struct printed_picture *is, const uint8_t *marks, struct error *error)
{
    struct arena *arena = arena_new(run->machine);
    const char *name = changed->surface->name;
    struct drawing *d =
        drawing_new(arena, WIDTH_MM, WIDTH_MM, sentence_plain("artwork-changed-after-printing"));
    struct shown before = shown_of(was, arena), now = shown_of(is, arena), difference = shown_of(is, arena);
    double y = EDGE_MM;
    mark_different(&difference, is, marks);
    printed_put_picture(d, arena_format(arena, "%s: as printed", name), &before, &y);
    printed_put_picture(d, sentence_words(arena, "as-artwork-is-now", ARGUMENTS(arg_words("name", name))),
                        &now, &y);
    printed_put_picture(
        d, sentence_words(arena, "different-on-in-frame", ARGUMENTS(arg_words("panels", changed->panels))),
        &difference, &y);
    outline_box(d, changed, is, &difference, y);
    drawing_set_height(d, y);
    const char *path = path_join(run->arena, run->out, changed->picture);
    bool ok = drawing_png(d, PICTURE_PPI, run->machine, path, error);
    arena_free(arena);
    if (ok) step_written(run, path);
    return ok;
}
