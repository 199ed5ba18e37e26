/* A detail map seen through a frame: by u across the film and v along it. */
#ifndef PLAN_CELLS_H
#define PLAN_CELLS_H

#include "frame.h"

struct cell_grid {
    const struct detail_map *map; /* NULL: there is none */
    bool upright;
    size_t across, along; /* how many */
    double u0, v0, cell_u, cell_v;
};

/* Of the surface's map for this direction. */
struct cell_grid cells_of(const struct surface_input *input, bool upright);
/* CIELAB units per mm; what crosses a seam along v counts double, as in detail_map_mean. */
double cell_detail(const struct cell_grid *cells, size_t u, size_t v);

/* In which millimetres of u a line of lettering shows strokes: between letters and words a seam cuts none. */
struct strokes {
    int first, count; /* millimetres from `first` on */
    int *running;     /* count + 1 running sums; NULL: nothing is known, strokes everywhere */
};

struct strokes strokes_of(const struct cell_grid *cells, struct rect box, struct arena *arena);
bool strokes_between(const struct strokes *strokes, double u0, double u1);

#endif
