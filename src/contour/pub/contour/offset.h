/* What lies within a distance of a region, or further than that inside its edge?
 *
 * Outwards: every place within `by_mm` of the region. Inwards (less than 0): every place of the region with at least
 * that distance to its edge. Both exactly, but for arcs, whose chords stay within the tolerance to both
 * sides, and the grid (contour/means.h). At a sharp tip, where two edges that may each be off by this meet, the tip
 * is off by more: by the tolerance over the sine of half its angle. Hence the fine tolerance when none is given. Holes shrink as the outside grows. No ring of the result crosses itself or
 * another.
 *
 * How: each side brings a strip of the width of the offset, each corner that points into it a sector; the raw line
 * around all of them winds around a place as often as there are such strips and sectors over it, so that the faces
 * with a winding number above 0 are the result (inwards strips and sectors are taken off the region's own 1). */
#ifndef CONTOUR_OFFSET_H
#define CONTOUR_OFFSET_H

#include "contour/shape.h"

enum contour_join { CONTOUR_ROUND, CONTOUR_MITRE };

/* Further either way is refused. */
#define CONTOUR_OFFSET_MOST_MM 10000.0
#define CONTOUR_TOLERANCE_MM   0.004

struct contour_offset {
    double by_mm; /* less than 0: inwards */
    enum contour_join join;
    double
        mitre_limit; /* length of a mitre over the distance, as in SVG (4 there); what would be longer is round;
                            0: 4 */
    double tolerance_mm; /* of chords to arcs, from the grid's step on; 0: CONTOUR_TOLERANCE_MM */
    /* Outwards only. Corners of the result have at least this radius: inner ones always, and gaps narrower than
     * twice as much close; outer ones as far as the offset goes, so that the region keeps its distance. 0: as the
     * offset leaves them. */
    double corner_mm;
    double fill_holes_mm2;   /* holes of the result up to this area are filled */
    double drop_islands_mm2; /* and islands, their holes taken off, up to this area left out */
};

bool contour_offset(const struct region *region, const struct contour_offset *offset,
                    const struct contour_means *means, struct region *result, struct error *error);

/* The holes and islands alone. Shares rings with `region`. */
struct region contour_without_small(const struct region *region, double holes_mm2, double islands_mm2,
                                    struct arena *arena);

#endif
