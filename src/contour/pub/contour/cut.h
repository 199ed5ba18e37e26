/* In what sequence is a region cut, where does the knife start on each ring, and how long does it take?
 *
 * Inner before outer: a ring is cut after all that lie inside it, since what is cut free may move. Of those that may be
 * cut, the one that starts nearest to where the knife is. The knife starts in the middle of the longest stretch
 * without a corner (a turn of more than 20 degrees within 2 mm: our judgement), a straight stretch before a bent one;
 * on a ring without corners at the point nearest to the knife. It goes on over its start by the overcut, so that
 * the cut closes. */
#ifndef CONTOUR_CUT_H
#define CONTOUR_CUT_H

#include "base/error.h"
#include "contour/means.h"
#include "geom/region.h"

struct contour_knife {
    struct point home;  /* where it is before the first cut */
    double overcut_mm;  /* 0 to 50 */
    double cut_mm_s;    /* speed with the knife down, above 0 */
    double travel_mm_s; /* and up, above 0 */
    double lift_s;      /* down and up again, for each path; 0 and more */
};

enum { CONTOUR_RINGS_MOST = 20000 };

struct contour_cut_path {
    size_t ring;          /* of the region */
    struct point *points; /* from the start around to it again, and over it */
    size_t count;
};

struct contour_cut_plan {
    struct contour_cut_path *paths; /* in the sequence of cutting */
    size_t count;
    double cut_mm, travel_mm; /* overcut is cut; travel begins at home and ends with the last path */
    double seconds;
};

/* False with FAILURE_INPUT when a number of the knife is out of its range, there are too many rings, or it was
 * enough. */
bool contour_cut(const struct region *region, const struct contour_knife *knife,
                 const struct contour_means *means, struct contour_cut_plan *plan, struct error *error);

#endif
