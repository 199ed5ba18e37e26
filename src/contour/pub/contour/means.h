/* What every operation of contour works with: where its results live, and who may end it. */
#ifndef CONTOUR_MEANS_H
#define CONTOUR_MEANS_H

#include "base/arena.h"
#include <stdbool.h>

/* Limits of what comes in. Regions that contour made may go in again: they have more points, by their arcs. */
enum {
    CONTOUR_POINTS_MOST = 20000,        /* of raw rings together */
    CONTOUR_REGION_POINTS_MOST = 300000 /* of a region */
};
#define CONTOUR_REACH_MM 100000.0 /* no coordinate further from 0 */

/* Results lie on a grid of this step, so that a file with four decimals says exactly what was checked. */
#define CONTOUR_GRID_MM 0.0001

struct contour_means {
    struct arena *arena; /* of results */
    /* Asked often while something takes long (but not within GEOS's tree of points: there hostile lines that all cross
     * one go on for some seconds); true ends it with FAILURE_INPUT, "takes too long". A clock is the
     * caller's, who also knows whether it was a person that stopped it. NULL: nobody asks. */
    bool (*enough)(void *self);
    void *self;
};

#endif
