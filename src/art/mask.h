/* Lets through only the pixels of a surface's print that lie where it is printed. Private. */
#ifndef ART_MASK_H
#define ART_MASK_H

#include "base/arena.h"
#include "geom/region.h"
#include "art/render.h"
#include "model/pixels.h"

/* Strips of CMYK on `grid` go on to `next` with no ink in pixels whose middles lie outside of `printed`. It and what it
 * borrows live in the arena. */
struct strip_sink mask_sink(const struct region *printed, const struct pixel_grid *grid, struct arena *arena,
                            struct strip_sink next);

#endif
