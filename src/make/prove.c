/* Proves TIFF panels in full: renders the whole surface again and compares every panel's pixels with it.
 * Called by tiff.c when --prove asks for it. */
#include "prove.h"
#include "base/arena.h"
#include "base/path.h"
#include <string.h>
#include <unistd.h>

enum { SAMPLES = 4 };

/* The whole surface as rows in a temporary file. */
struct prove_whole {
    int fd;
    const char *path;
    struct pixel_grid grid;
};

static bool whole_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct prove_whole *whole = self;
    if (shape->width == whole->grid.width && shape->height == whole->grid.height) return true;
    return error_set(error, FAILURE_MACHINE, "artwork-rendered-whole-has-another-size", NULL);
}

static bool whole_strip(void *self, const struct strip *strip, struct error *error)
{
    struct prove_whole *whole = self;
    for (int y = 0; y < strip->rows; y++)
        if (!machine_write_fd(whole->fd, strip->pixels + (size_t)y * strip->stride,
                              (size_t)strip->width * SAMPLES, whole->path, error))
            return false;
    return true;
}

static bool prove_nothing_left(void *self, struct error *error)
{
    (void)self, (void)error;
    return true;
}

/* A panel read again, held against the whole. */
struct comparison {
    const struct prove_whole *whole;
    const struct panel_cut *cut;
    uint8_t *row; /* of the whole */
};

static bool panel_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)self, (void)shape, (void)error;
    return true;
}

static bool in_field(const struct panel_cut *cut, int x, int y)
{
    for (size_t i = 0; i < cut->marks.field_count; i++) {
        struct pixel_box f = cut->fields[i];
        if (x >= f.x0 && x < f.x1 && y >= f.y0 && y < f.y1) return true;
    }
    return false;
}

static bool prove_compare_row(const struct comparison *c, int y, const uint8_t *pixels, struct error *error)
{
    const struct panel_cut *cut = c->cut;
    const struct pixel_grid *grid = &c->whole->grid;
    int source_y = y + cut->source_y;
    int x0 = cut->print.x0 > -cut->source_x ? cut->print.x0 : -cut->source_x;
    int x1 = cut->print.x1 < grid->width - cut->source_x ? cut->print.x1 : grid->width - cut->source_x;
    if (y < cut->print.y0 || y >= cut->print.y1 || source_y < 0 || source_y >= grid->height || x1 <= x0)
        return true;
    size_t bytes = (size_t)(x1 - x0) * SAMPLES;
    off_t at = ((off_t)source_y * grid->width + x0 + cut->source_x) * SAMPLES;
    if (pread(c->whole->fd, c->row, bytes, at) != (ssize_t)bytes)
        return error_set(error, FAILURE_MACHINE, "cannot-be-read-again",
                         ARGUMENTS(arg_words("path", c->whole->path)));
    if (!memcmp(c->row, pixels + (size_t)x0 * SAMPLES, bytes)) return true;
    for (int x = x0; x < x1; x++)
        if (memcmp(c->row + (size_t)(x - x0) * SAMPLES, pixels + (size_t)x * SAMPLES, SAMPLES) &&
            !in_field(cut, x, y))
            return error_set(error, FAILURE_MACHINE, "differs-from-artwork-at-pixel-it",
                             ARGUMENTS(arg_words("path", cut->path), arg_count("x", x), arg_count("y", y)));
    return true;
}

static bool panel_strip(void *self, const struct strip *strip, struct error *error)
{
    for (int y = 0; y < strip->rows; y++)
        if (!prove_compare_row(self, strip->y + y, strip->pixels + (size_t)y * strip->stride, error))
            return false;
    return true;
}

static bool prove_compare_panel(struct machine *machine, const struct prove_whole *whole,
                                const struct panel_cut *cut, uint8_t *row, struct error *error)
{
    struct comparison comparison = {whole, cut, row};
    struct strip_sink sink = {&comparison, panel_begin, panel_strip, prove_nothing_left};
    int fd = machine->open_file(machine, cut->path, error);
    if (fd < 0) return false;
    bool ok = tiff_read_back(machine, fd, cut->path, 1, &sink, error);
    close(fd);
    return ok;
}

bool prove_tiff(struct machine *machine, const struct make_order *order, const struct pixel_grid *grid,
                const struct panels_cutter *cutter, struct arena *arena, struct error *error)
{
    struct prove_whole whole = {.path = path_join(arena, order->work->folder, "whole-surface"),
                                .grid = *grid};
    struct out_file file;
    if (!machine->create(machine, whole.path, &file, error)) return false;
    whole.fd = file.fd;
    struct strip_sink sink = {&whole, whole_begin, whole_strip, prove_nothing_left};
    bool ok = art_render(machine, order->work, grid, arena, sink, error);
    uint8_t *row = arena_take_array(arena, (size_t)grid->width, SAMPLES);
    for (size_t i = 0; ok && i < cutter->count; i++)
        ok = prove_compare_panel(machine, &whole, &cutter->panels[i].cut, row, error);
    machine->abandon(machine, &file);
    return ok;
}
