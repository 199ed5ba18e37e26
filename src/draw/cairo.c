/* Back-ends by cairo: PNG, PDF and the one-channel mask. */
#include "letters.h"
#include "picture.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/text.h"
#include "base/units.h"
#include <assert.h>
#include <cairo-pdf.h>
#include <math.h>
#include <string.h>
#include <time.h>

enum { PNG_SIDE_MOST = 20000 };
#define PNG_PIXELS_MOST 1e8

/* What the list is played on. A mask holds ink in its alpha channel: white takes it away. */
struct cairo_stage {
    cairo_t *cairo;
    bool mask;
    struct arena *arena; /* mask: for outlines */
};

static void canvas_follow(cairo_t *cairo, const struct path *path)
{
    cairo_new_path(cairo);
    for (size_t i = 0; i < path->count; i++) {
        const struct path_step *s = &path->steps[i];
        const struct point *p = s->points;
        switch (s->verb) {
        case PATH_MOVE:
            cairo_move_to(cairo, p[0].x, p[0].y);
            break;
        case PATH_LINE:
            cairo_line_to(cairo, p[0].x, p[0].y);
            break;
        case PATH_CURVE:
            cairo_curve_to(cairo, p[0].x, p[0].y, p[1].x, p[1].y, p[2].x, p[2].y);
            break;
        case PATH_CLOSE:
            cairo_close_path(cairo);
            break;
        }
    }
}

typedef void paint_action(cairo_t *cairo);

/* Ink k at coverage c over ink m already there is m (1 - c) + k c: take away, then add; for full black that
 * is one thing laid over another. */
static void apply_ink(cairo_t *cairo, struct paint paint, paint_action *action)
{
    if (paint.red <= 0) {
        cairo_set_operator(cairo, CAIRO_OPERATOR_OVER);
        cairo_set_source_rgba(cairo, 0, 0, 0, paint.alpha);
        action(cairo);
        return;
    }
    cairo_set_operator(cairo, CAIRO_OPERATOR_DEST_OUT);
    cairo_set_source_rgba(cairo, 0, 0, 0, paint.alpha);
    action(cairo);
    if (paint.red >= 1) return;
    cairo_set_operator(cairo, CAIRO_OPERATOR_ADD);
    cairo_set_source_rgba(cairo, 0, 0, 0, paint.alpha * (1 - paint.red));
    action(cairo);
}

static void canvas_apply(const struct cairo_stage *stage, struct paint paint, paint_action *action)
{
    if (!paint_shows(paint)) return;
    if (stage->mask) {
        apply_ink(stage->cairo, paint, action);
        return;
    }
    cairo_set_source_rgba(stage->cairo, paint.red, paint.green, paint.blue, paint.alpha);
    action(stage->cairo);
}

static void play_path(const struct cairo_stage *stage, const struct path *path, struct look look)
{
    cairo_t *cairo = stage->cairo;
    canvas_follow(cairo, path);
    cairo_set_fill_rule(cairo, look.even_odd ? CAIRO_FILL_RULE_EVEN_ODD : CAIRO_FILL_RULE_WINDING);
    canvas_apply(stage, look.fill, cairo_fill_preserve);
    if (look_strokes(look)) {
        cairo_set_line_width(cairo, look.line_mm);
        double dashes[2] = {look.dash_mm, look.gap_mm > 0 ? look.gap_mm : look.dash_mm};
        cairo_set_dash(cairo, dashes, look.dash_mm > 0 ? 2 : 0, 0);
        canvas_apply(stage, look.line, cairo_stroke_preserve);
    }
    cairo_new_path(cairo);
}

/* Whether none of the words can reach what is drawn on: a mask is drawn strip by strip, and outlines take
 * their time. No letter rises or hangs further than its size, nor leans out of its line by more. */
static bool out_of_sight(cairo_t *cairo, const struct command_words *words)
{
    double x0, y0, x1, y1, size = words->size_mm;
    cairo_clip_extents(cairo, &x0, &y0, &x1, &y1);
    return words->at.x - size > x1 || words->at.x + words->width + size < x0 || words->at.y - 2 * size > y1 ||
           words->at.y + size < y0;
}

static void play_outline(const struct cairo_stage *stage, const struct command *c)
{
    if (out_of_sight(stage->cairo, &c->words)) return;
    struct path outline = c->path.count ? c->path : letters_outline(stage->arena, &c->words);
    play_path(stage, &outline, (struct look){.fill = c->words.paint});
}

static void play_words(const struct cairo_stage *stage, const struct command_words *words)
{
    cairo_t *cairo = stage->cairo;
    cairo_save(cairo);
    cairo_translate(cairo, words->at.x, words->at.y);
    cairo_scale(cairo, 1 / LETTERS_SCALE, 1 / LETTERS_SCALE);
    cairo_set_source_rgba(cairo, words->paint.red, words->paint.green, words->paint.blue, words->paint.alpha);
    PangoLayout *layout = letters_layout(cairo, words->size_mm, words->bold, words->words);
    cairo_move_to(cairo, 0, 0);
    pango_cairo_show_layout_line(cairo, pango_layout_get_line_readonly(layout, 0));
    g_object_unref(layout);
    cairo_restore(cairo);
}

static void play_picture(const struct cairo_stage *stage, const struct command_picture *picture)
{
    cairo_t *cairo = stage->cairo;
    cairo_surface_t *surface = picture_surface(picture);
    cairo_save(cairo);
    cairo_rectangle(cairo, picture->into.x0, picture->into.y0, rect_width(picture->into),
                    rect_height(picture->into));
    cairo_clip(cairo);
    cairo_translate(cairo, picture->into.x0, picture->into.y0);
    cairo_scale(cairo, rect_width(picture->into) / picture->width,
                rect_height(picture->into) / picture->height);
    cairo_set_source_surface(cairo, surface, 0, 0);
    cairo_pattern_set_extend(cairo_get_source(cairo), CAIRO_EXTEND_PAD); /* no pale rim */
    cairo_paint_with_alpha(cairo, picture->alpha);
    cairo_restore(cairo);
    cairo_surface_destroy(surface);
}

static void canvas_transform(cairo_t *cairo, struct affine m)
{
    cairo_matrix_t matrix;
    cairo_matrix_init(&matrix, m.a, m.b, m.c, m.d, m.e, m.f);
    cairo_transform(cairo, &matrix);
}

static void canvas_play(const struct cairo_stage *stage, const struct drawing *drawing)
{
    cairo_t *cairo = stage->cairo;
    for (size_t i = 0; i < drawing->count; i++) {
        const struct command *c = &drawing->commands[i];
        switch (c->kind) {
        case COMMAND_PATH:
            play_path(stage, &c->path, c->look);
            break;
        case COMMAND_WORDS:
            if (stage->mask)
                play_outline(stage, c);
            else
                play_words(stage, &c->words);
            break;
        case COMMAND_PICTURE:
            play_picture(stage, &c->picture);
            break;
        case COMMAND_CLIP:
            cairo_save(cairo);
            canvas_follow(cairo, &c->path);
            cairo_set_fill_rule(cairo, c->look.even_odd ? CAIRO_FILL_RULE_EVEN_ODD : CAIRO_FILL_RULE_WINDING);
            cairo_clip(cairo);
            break;
        case COMMAND_GROUP:
            cairo_save(cairo);
            canvas_transform(cairo, c->transform);
            break;
        case COMMAND_DRAWING:
            cairo_save(cairo);
            canvas_transform(cairo, c->transform);
            canvas_play(stage, c->drawing);
            cairo_restore(cairo);
            break;
        case COMMAND_END:
            cairo_restore(cairo);
            break;
        }
    }
}

/* ---- files ---- */

struct cairo_stream {
    int fd;
    const char *path;
    struct error *error;
};

static cairo_status_t stream_write(void *self, const unsigned char *bytes, unsigned length)
{
    struct cairo_stream *stream = self;
    return machine_write_fd(stream->fd, bytes, length, stream->path, stream->error)
               ? CAIRO_STATUS_SUCCESS
               : CAIRO_STATUS_WRITE_ERROR;
}

/* Commits the file, or says why not; a write that failed has already said so. */
static bool finish_file(struct machine *machine, struct out_file *file, const char *path,
                        cairo_status_t status, struct error *error)
{
    bool fine = status == CAIRO_STATUS_SUCCESS;
    if (!fine && status != CAIRO_STATUS_WRITE_ERROR)
        error_set(error, FAILURE_MACHINE, "could-not-be-drawn",
                  ARGUMENTS(arg_words("path", path), arg_words("why", cairo_status_to_string(status))));
    fine = fine && machine->commit(machine, file, false, error);
    machine->abandon(machine, file);
    return fine;
}

static bool png_size(const struct drawing *drawing, double ppi, const char *path, int size[2],
                     struct error *error)
{
    double width = ceil(drawing->width / MM_PER_INCH * ppi),
           height = ceil(drawing->height / MM_PER_INCH * ppi);
    if (!(width >= 1 && height >= 1))
        return error_set(error, FAILURE_INPUT, "would-have-no-pixels-at-pixels",
                         ARGUMENTS(arg_words("path", path), arg_number("ppi", ppi)));
    if (width > PNG_SIDE_MOST || height > PNG_SIDE_MOST || width * height > PNG_PIXELS_MOST)
        return error_set(error, FAILURE_INPUT, "would-be-pixels-at-most-side",
                         ARGUMENTS(arg_words("path", path), arg_fixed("width", width, 0),
                                   arg_fixed("height", height, 0), arg_count("most", PNG_SIDE_MOST)));
    size[0] = (int)width;
    size[1] = (int)height;
    return true;
}

bool drawing_png(const struct drawing *drawing, double ppi, struct machine *machine, const char *path,
                 struct error *error)
{
    int size[2] = {0, 0};
    struct out_file file = {.fd = -1};
    if (!png_size(drawing, ppi, path, size, error)) return false;
    if (!machine->create(machine, path, &file, error)) return false;
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, size[0], size[1]);
    cairo_t *cairo = cairo_create(surface);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_paint(cairo);
    cairo_scale(cairo, ppi / MM_PER_INCH, ppi / MM_PER_INCH);
    canvas_play(&(struct cairo_stage){.cairo = cairo}, drawing);
    struct cairo_stream stream = {file.fd, path, error};
    cairo_status_t status = cairo_status(cairo);
    if (!status) status = cairo_surface_write_to_png_stream(surface, stream_write, &stream);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    return finish_file(machine, &file, path, status, error);
}

static void set_metadata(cairo_surface_t *surface, const char *title, int64_t date)
{
    time_t seconds = (time_t)date;
    struct tm tm;
    char iso[40];
    if (!gmtime_r(&seconds, &tm)) tm = (struct tm){.tm_year = 70, .tm_mday = 1};
    strftime(iso, sizeof iso, "%Y-%m-%dT%H:%M:%SZ", &tm);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "lapstrake");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, iso);
}

bool drawings_pdf(const struct drawing *const *pages, size_t count, const char *title, int64_t date,
                  struct machine *machine, const char *path, struct error *error)
{
    struct out_file file = {.fd = -1};
    if (!machine->create(machine, path, &file, error)) return false;
    struct cairo_stream stream = {file.fd, path, error};
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(stream_write, &stream, 1, 1);
    set_metadata(surface, title, date);
    cairo_t *cairo = cairo_create(surface);
    for (size_t i = 0; i < count; i++) {
        cairo_pdf_surface_set_size(surface, pages[i]->width * POINTS_PER_MM,
                                   pages[i]->height * POINTS_PER_MM);
        cairo_save(cairo);
        cairo_scale(cairo, POINTS_PER_MM, POINTS_PER_MM);
        canvas_play(&(struct cairo_stage){.cairo = cairo}, pages[i]);
        cairo_restore(cairo);
        cairo_show_page(cairo);
    }
    cairo_status_t status = cairo_status(cairo);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    if (!status) status = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    return finish_file(machine, &file, path, status, error);
}

void drawing_mask(const struct drawing *drawing, double ppi, int x0, int y0, int width, int height,
                  uint8_t *out)
{
    assert(width > 0 && height > 0 && drawing_is_black(drawing, true));
    struct machine *machine = arena_machine(drawing->arena);
    struct arena *scratch = arena_new(machine); /* a strip's outlines need not outlive it */
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, width, height);
    cairo_t *cairo = cairo_create(surface);
    cairo_translate(cairo, -x0, -y0);
    cairo_scale(cairo, ppi / MM_PER_INCH, ppi / MM_PER_INCH);
    canvas_play(&(struct cairo_stage){.cairo = cairo, .mask = true, .arena = scratch}, drawing);
    if (cairo_status(cairo)) machine->no_memory(machine); /* the only way an A8 picture in memory fails */
    cairo_surface_flush(surface);
    const uint8_t *bytes = cairo_image_surface_get_data(surface);
    int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; y < height; y++)
        memcpy(out + (ptrdiff_t)y * width, bytes + (ptrdiff_t)y * stride, (size_t)width);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    arena_free(scratch);
}
