/* Reads the detail map through a frame, and finds strokes of detail that a seam would cut. Called by
 * seam_cost.c. */
#include "cells.h"
#include "model/practice.h"
#include <assert.h>
#include <math.h>

struct cell_grid cells_of(const struct surface_input *input, bool upright)
{
    const struct detail_map *map = !input->detail ? NULL
                                   : upright      ? &input->detail->upright
                                                  : &input->detail->lying;
    struct cell_grid c = {.upright = upright};
    if (!map || !map->columns || !map->rows) return c;
    c.map = map;
    c.across = upright ? map->columns : map->rows, c.along = upright ? map->rows : map->columns;
    c.u0 = upright ? map->box.x0 : map->box.y0, c.v0 = upright ? map->box.y0 : map->box.x0;
    c.cell_u = (upright ? rect_width(map->box) : rect_height(map->box)) / (double)c.across;
    c.cell_v = (upright ? rect_height(map->box) : rect_width(map->box)) / (double)c.along;
    assert(c.cell_u > 0 && c.cell_v > 0);
    return c;
}

double cell_detail(const struct cell_grid *c, size_t u, size_t v)
{
    size_t at = c->upright ? v * c->map->columns + u : u * c->map->columns + v;
    return (2.0 * c->map->across[at] + c->map->along[at]) / 300;
}

static size_t cells_cell_at(double place, double zero, double size, size_t count)
{
    double cell = floor((place - zero) / size);
    return cell <= 0 ? 0 : cell >= (double)count ? count : (size_t)cell;
}

static bool has_stroke(const struct cell_grid *c, size_t u, size_t from, size_t to, double most)
{
    for (size_t v = from; v < to; v++)
        if (cell_detail(c, u, v) > most) return true;
    return false;
}

struct strokes strokes_of(const struct cell_grid *c, struct rect box, struct arena *arena)
{
    struct strokes strokes = {.first = (int)floor(box.x0)};
    if (!c->map) return strokes;
    double most = practice_value("lettering-gap").value;
    size_t from = cells_cell_at(box.y0, c->v0, c->cell_v, c->along);
    size_t to = cells_cell_at(box.y1 + c->cell_v, c->v0, c->cell_v, c->along);
    strokes.count = (int)ceil(box.x1) - strokes.first;
    assert(strokes.count >= 1);
    strokes.running = arena_take_array(arena, (size_t)strokes.count + 1, sizeof *strokes.running);
    for (int i = 0; i < strokes.count; i++) {
        size_t u = cells_cell_at(strokes.first + i + 0.5, c->u0, c->cell_u, c->across);
        strokes.running[i + 1] = strokes.running[i] + (u < c->across && has_stroke(c, u, from, to, most));
    }
    return strokes;
}

bool strokes_between(const struct strokes *s, double u0, double u1)
{
    if (!s->running) return true;
    int from = (int)floor(u0) - s->first, to = (int)ceil(u1) - s->first;
    from = from < 0 ? 0 : from > s->count ? s->count : from;
    to = to < from ? from : to > s->count ? s->count : to;
    return s->running[to] > s->running[from];
}
