/* What of an outline can the shop's cutter and film not hold?
 *
 *   too thin     a part narrower than the least width: it tears or lifts when the rest is weeded
 *   island       an island smaller than the least area: it does not stay on its liner
 *   gap          a gap or slit narrower than the least one: what is between cannot be weeded
 *   corner       a hollow corner with less than the least radius: film tears there, and creeps back
 * (common practice, no source: the limits are the shop's own.)
 *
 * How: what a disc of the least width cannot reach is thin, what a disc of the least gap cannot reach from outside is a
 * gap; besides, where two bends come nearer to each other. Every corner has a little of that: it is left out where it opens in one place only and reaches no further from
 * there than the limit itself, which is so for corners of 40 degrees and more (our judgement). Radii of corners are
 * measured along the outline, as length over turn, where it turns by 30 degrees and more. */
#ifndef CONTOUR_FLAWS_H
#define CONTOUR_FLAWS_H

#include "contour/offset.h"

enum contour_flaw_kind { CONTOUR_THIN, CONTOUR_ISLAND, CONTOUR_GAP, CONTOUR_HOLLOW };

struct contour_limits {                 /* 0: not asked */
    double width_mm, gap_mm, radius_mm; /* 0.05 to 100 */
    double area_mm2;                    /* up to 1,000,000 */
};

struct contour_flaw {
    enum contour_flaw_kind kind;
    struct point place; /* where it was measured */
    struct rect box;    /* of the part that is too thin, of the gap, island or corner */
    double figure;      /* mm of width, gap or radius, or mm2 */
};

struct contour_flaws {
    struct contour_flaw *items; /* by kind, then in the sequence of rings */
    size_t count, capacity;
};

/* False with FAILURE_INPUT as contour/shape.h says, or when a limit is out of its range. */
bool contour_flaws_find(const struct region *region, const struct contour_limits *limits,
                        const struct contour_means *means, struct contour_flaws *flaws, struct error *error);

#endif
