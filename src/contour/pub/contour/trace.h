/* What outline has the shape in a picture's mask?
 *
 * A mask has a byte for each pixel: how far the pixel belongs to the shape (its alpha, or what another room made of a
 * background colour). The outline runs where the value, linear between the middles of pixels, passes a level
 * (marching squares: Lorensen and Cline, SIGGRAPH 1987, in the plane; from memory, unchecked), so that edges of drawn
 * alpha lie within a small part of a pixel. Outside the picture there is nothing. Where two pixels touch by a corner
 * only, they belong together when the mean of the four does.
 *
 * Smoothing takes away the steps of pixels: no place of the smoothed outline is further than smooth_mm from the
 * traced one, and no place of the traced one further from it. Without it the outline is the traced one, point for
 * point. */
#ifndef CONTOUR_TRACE_H
#define CONTOUR_TRACE_H

#include "contour/shape.h"
#include <stdint.h>

/* Limits: sides of the mask, and points traced. */
enum { CONTOUR_MASK_SIDE_MOST = 30000, CONTOUR_TRACE_POINTS_MOST = 4000000 };
#define CONTOUR_SMOOTH_MOST_MM 0.2 /* the issue's own limit for traced pictures */

struct contour_mask {
    const uint8_t *values; /* row 0 at the top, as pictures are */
    size_t width, height, stride;
    double px_per_mm;
    struct point corner; /* mm, of the picture's lower left corner */
};

struct contour_trace {
    uint8_t level;    /* the least value that is inside, from 1 on; 128 is half */
    double smooth_mm; /* 0 to CONTOUR_SMOOTH_MOST_MM */
};

/* False with FAILURE_INPUT as contour/shape.h says, or when a limit is passed. */
bool contour_trace(const struct contour_mask *mask, const struct contour_trace *how,
                   const struct contour_means *means, struct region *region, struct error *error);

#endif
