/* Private to contour: traced rings made smooth. */
#ifndef CONTOUR_SMOOTH_H
#define CONTOUR_SMOOTH_H

#include "contour/means.h"
#include "geom/geom.h"

/* The ring within `by_mm` of what it was, its points about `step_mm` apart before; its own memory is used. False when
 * it was enough. */
bool ring_smooth(struct polygon *ring, double by_mm, double step_mm, const struct contour_means *means);

#endif
