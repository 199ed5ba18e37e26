/* Private to contour: raw rings on their way to a region. */
#ifndef CONTOUR_INNER_H
#define CONTOUR_INNER_H

#include "contour/shape.h"

/* Whether the numbers may be worked with: finite, within CONTOUR_REACH_MM, not too many. */
bool region_check(const struct region *region, struct error *error);

/* Copies on the grid without doubled points; rings that are none any more are left out. */
size_t rings_on_grid(const struct polygon *rings, size_t count, struct arena *arena, struct polygon *out);

/* Sides of several rings, to be asked how often they wind around a place. */
struct winding;
struct winding *winding_new(const struct polygon *rings, size_t count, struct arena *arena);
/* The winding number of the rings around a place that lies on none of them. */
int winding_at(const struct winding *winding, struct point place);

/* Places where sides cross or touch without being neighbours, counted up to `most` and one more. */
size_t rings_crossings(const struct polygon *rings, size_t count, size_t most, struct arena *arena);

/* As polygon_area, about the ring's own first point: right for the smallest of rings. */
double ring_area(const struct polygon *ring);
/* Leaves out points in the middle of a straight line. All lie on the grid. */
void ring_straighten(struct polygon *ring);

/* What faces without a common inside cover together; each outer ring is followed by its holes, points are shared. */
struct region faces_border(const struct region *faces, struct arena *arena);

/* contour_clean for rings with as many points as offsets have; they have been checked. */
bool rings_clean(const struct polygon *rings, size_t count, enum contour_fill fill,
                 const struct contour_means *means, struct region *region, struct error *error);

#endif
