/* Lays a TIFF panel back: fingerprints strips of the surface while they go by, then reads the file again
 * and compares. Called by cutter.c. */
#include "layback.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/units.h"
#include <math.h>
#include <string.h>

enum { SAMPLES = 4 };

static const double WHOLE = 1e-3; /* of a pixel */

static int layback_larger(int a, int b)
{
    return a > b ? a : b;
}

static int layback_smaller(int a, int b)
{
    return a < b ? a : b;
}

struct lay_back lay_back_new(const struct print_frame *frame, const struct pixel_grid *grid,
                             const struct panel_cut *cut, struct arena *arena)
{
    double pixel = MM_PER_INCH / grid->ppi;
    struct rect file = frame->file, print = frame->print;
    /* Where the file's upper left corner lies on the source. */
    int x = (int)lround((file.x0 - grid->box.x0) / pixel), y = (int)lround((grid->box.y1 - file.y1) / pixel);
    struct lay_back laid = {.cut = cut, .width = cut->width, .height = cut->height};
    laid.box = (struct pixel_box){
        layback_larger((int)ceil((print.x0 - file.x0) / pixel - WHOLE), -x),
        layback_larger((int)ceil((file.y1 - print.y1) / pixel - WHOLE), -y),
        layback_smaller((int)floor((print.x1 - file.x0) / pixel + WHOLE), grid->width - x),
        layback_smaller((int)floor((file.y1 - print.y0) / pixel + WHOLE), grid->height - y),
    };
    laid.source_x = x + laid.box.x0;
    laid.source_y = y + laid.box.y0;
    int strips = cut->height / TIFF_ROWS + 1;
    laid.every = layback_larger(1, strips / LAY_BACK_STRIPS);
    size_t read = (size_t)(strips / laid.every) + 1;
    laid.prints = arena_take_array(arena, read, sizeof *laid.prints);
    for (size_t i = 0; i < read; i++) laid.prints[i] = HASH_START;
    laid.row = arena_take_array(arena, (size_t)cut->width, SAMPLES);
    return laid;
}

/* Row y of the file, from the box's left on: its fingerprint goes on from `print`. Marks stand in the print,
 * in film that nobody will see; their fields count as blank. */
static uint64_t layback_add_row(struct lay_back *laid, uint64_t print, int y, const uint8_t *pixels)
{
    const struct panel_cut *cut = laid->cut;
    size_t bytes = (size_t)(laid->box.x1 - laid->box.x0) * SAMPLES;
    memcpy(laid->row, pixels, bytes);
    for (size_t i = 0; i < cut->marks.field_count; i++) {
        struct pixel_box f = cut->fields[i];
        int x0 = layback_larger(f.x0, laid->box.x0), x1 = layback_smaller(f.x1, laid->box.x1);
        if (y >= f.y0 && y < f.y1 && x1 > x0)
            memset(laid->row + (size_t)(x0 - laid->box.x0) * SAMPLES, 0, (size_t)(x1 - x0) * SAMPLES);
    }
    return hash_bytes(print, laid->row, bytes);
}

static bool is_read(const struct lay_back *laid, int y)
{
    return y / TIFF_ROWS % laid->every == 0 && y >= laid->box.y0 && y < laid->box.y1 &&
           laid->box.x1 > laid->box.x0;
}

static uint64_t *layback_print_of(const struct lay_back *laid, int y)
{
    return &laid->prints[y / TIFF_ROWS / laid->every];
}

void lay_back_take(struct lay_back *laid, const struct strip *strip)
{
    for (int i = 0; i < strip->rows; i++) {
        int y = strip->y + i - laid->source_y + laid->box.y0;
        if (!is_read(laid, y)) continue;
        uint64_t *print = layback_print_of(laid, y);
        *print = layback_add_row(
            laid, *print, y, strip->pixels + (size_t)i * strip->stride + (size_t)laid->source_x * SAMPLES);
    }
}

/* ---- reading again ---- */

struct layback_reading {
    struct lay_back *laid;
    const char *path;
};

static bool layback_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    const struct layback_reading *reading = self;
    if (shape->width == reading->laid->width && shape->height == reading->laid->height) return true;
    return error_set(error, FAILURE_MACHINE, "read-again-is-pixels-and-not",
                     ARGUMENTS(arg_words("path", reading->path), arg_count("width", shape->width),
                               arg_count("height", shape->height),
                               arg_count("wanted_width", reading->laid->width),
                               arg_count("wanted_height", reading->laid->height)));
}

static bool make_layback_compare(void *self, const struct strip *strip, struct error *error)
{
    const struct layback_reading *reading = self;
    struct lay_back *laid = reading->laid;
    uint64_t print = HASH_START;
    for (int i = 0; i < strip->rows; i++) {
        if (!is_read(laid, strip->y + i)) continue;
        print = layback_add_row(laid, print, strip->y + i,
                                strip->pixels + (size_t)i * strip->stride + (size_t)laid->box.x0 * SAMPLES);
        laid->checked += (uint64_t)(laid->box.x1 - laid->box.x0);
    }
    if (print == *layback_print_of(laid, strip->y)) return true;
    return error_set(error, FAILURE_MACHINE, "read-again-does-not-show-artwork",
                     ARGUMENTS(arg_words("path", reading->path), arg_count("first_row", strip->y),
                               arg_count("last_row", strip->y + strip->rows - 1)));
}

static bool layback_nothing_left(void *self, struct error *error)
{
    (void)self, (void)error;
    return true;
}

bool lay_back_check(struct machine *machine, struct lay_back *laid, int fd, const char *path,
                    struct error *error)
{
    struct layback_reading reading = {laid, path};
    struct strip_sink sink = {&reading, layback_begin, make_layback_compare, layback_nothing_left};
    return tiff_read_back(machine, fd, path, laid->every, &sink, error);
}
