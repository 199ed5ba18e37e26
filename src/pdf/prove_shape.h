/* Where a panel with a shape cannot look like the artwork's own page: outside the shape, and on lines. */
#ifndef PDF_PROVE_SHAPE_H
#define PDF_PROVE_SHAPE_H

#include "pdf/panels.h"
#include <stdint.h>

struct arena;

/* A side of the shape or of a cut line, in pixels, y down. */
struct prove_side {
    struct point from, to;
    bool of_shape;
};

struct prove_shape {
    struct prove_side *sides;
    size_t count;
    bool shaped;
    double near; /* pixels to each side of a line that are left out */
    uint8_t *flips;
};

/* `to_pixels` from the page's millimetres; `width`: pixels of a row. */
struct prove_shape prove_shape_of(const struct pdf_panel_page *page, struct affine to_pixels, int width,
                                  struct arena *arena);
/* Sets 1 in `skipped` (of `width` pixels) for those of row `y` that are not compared; leaves the others. */
void prove_shape_mark(const struct prove_shape *shape, int y, int width, uint8_t *skipped);

#endif
