/* Which region do raw rings enclose, and what is common to two of them?
 *
 * Raw rings come from paths of artwork, drawings and traced pictures; they may cross themselves and each other,
 * lie on each other, run either way and have needles without width. Regions (geom/region.h) do not.
 *
 * How: rings are put on the grid (CONTOUR_GRID_MM), their lines noded by snap rounding (Hobby, Computational
 * Geometry 13, 1999, 199-214; from memory, unchecked), the faces between them polygonized, and each face kept by
 * the winding number of a place in it. GEOS nodes and polygonizes; calls of several threads take turns, since its
 * interrupt is one for the whole process. What is returned has moved by no more than a step of the grid; needles
 * narrower than that are gone.
 *
 * All fail with FAILURE_INPUT when a number is not finite or too far out, there are too many points or crossings,
 * or it was enough (contour/means.h); with FAILURE_MACHINE when GEOS has no memory or gives up. */
#ifndef CONTOUR_SHAPE_H
#define CONTOUR_SHAPE_H

#include "base/error.h"
#include "contour/means.h"
#include "geom/region.h"

/* Crossings of raw rings, about: more are refused before memory goes into them. */
enum { CONTOUR_CROSSINGS_MOST = 150000 };

/* Which faces are inside, by their winding number, as PDF and SVG fill paths. */
enum contour_fill {
    CONTOUR_EVEN_ODD, /* an odd one */
    CONTOUR_NON_ZERO, /* any but 0 */
    CONTOUR_POSITIVE  /* 1 and more: rings that run clockwise take off */
};

/* Rings of fewer than three different points enclose nothing. */
bool contour_clean(const struct polygon *rings, size_t count, enum contour_fill fill,
                   const struct contour_means *means, struct region *region, struct error *error);

enum contour_operation { CONTOUR_UNION, CONTOUR_INTERSECTION, CONTOUR_DIFFERENCE };

/* Of two regions. They must be such as contour makes. */
bool contour_combine(const struct region *one, const struct region *other, enum contour_operation operation,
                     const struct contour_means *means, struct region *region, struct error *error);

/* A seam through a region: a straight line through two different places, in that direction. */
struct contour_seam {
    struct point from, to;
    double left_past_mm,
        right_past_mm; /* how far each side's part reaches past the line; less than 0: it ends
                                           before it, as beside a door gap */
};

/* sides[0] is what lies left of the line, sides[1] right of it; either may be nothing. */
bool contour_part(const struct region *region, const struct contour_seam *seam,
                  const struct contour_means *means, struct region sides[2], struct error *error);

#endif
