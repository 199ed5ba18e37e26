/* A part of the plane with an outline: what a piece covers, where film is cut. Millimetres, y up.
 *
 * Rings are closed polygons (the last point is not the first again). Outer rings run counter-clockwise, holes
 * clockwise, so that the inside lies to the left of every ring. No ring crosses itself or another; rings may
 * touch in single points. An outer ring is followed by its holes; what lies in a hole is an outer ring of its own.
 * `contour/shape.h` makes regions of raw rings, and its results hold all of this; the functions here believe it. */
#ifndef GEOM_REGION_H
#define GEOM_REGION_H

#include "geom/geom.h"

struct region {
    struct polygon *rings;
    size_t count; /* 0: nothing */
};

double region_area(const struct region *region);   /* mm2, holes taken off */
double region_length(const struct region *region); /* mm, of all rings */
size_t region_points(const struct region *region);
struct rect region_bounds(const struct region *region);                /* all zero without points */
bool region_contains(const struct region *region, struct point place); /* on the edge: either */
/* To the nearest place of any ring, inside as outside; INFINITY without points. Takes time with the points. */
double region_distance(const struct region *region, struct point place);

double polygon_length(const struct polygon *polygon); /* mm, its closing side too */
/* From a point to the nearest place of the line from `from` to `to`. */
double segment_distance(struct point place, struct point from, struct point to);

#endif
