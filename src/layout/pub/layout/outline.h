/* How do shapes lie on a strip, one in the other's hollows, so that least of its length is used?
 *
 * As in strip.h: `across` is the direction of the strip's width, `along` that of its length; whole numbers of one
 * unit, the caller's (micrometres). Pure and deterministic, effort as there.
 *
 * An outline is a closed line of straight pieces that does not cross or touch itself, either way round, the last
 * point not the first again. Holes are the caller's to leave out: nothing is laid into them. Between any two
 * outlines `gap` stays free in every direction, less 3 units at most that come of whole numbers; with gap 0 they
 * touch, and may lie in each other by as much. The strip's sides may be touched.
 *
 * How it is found: boxes first, by layout_strip; then on a grid, where for each pair the places at which they are too
 * near are known beforehand, the strip is cut off sooner and sooner, and pieces that lie in others are moved in
 * turns until none do (outline_search.c); what comes of it is freed of the grid (outline_settle.c). Where the grid
 * would be too large for memory (some 60 different outlines) they lie as boxes. Made for a few dozen. */
#ifndef LAYOUT_OUTLINE_H
#define LAYOUT_OUTLINE_H

#include "layout/strip.h"

/* Limits: 500 outlines of 3 to 200 points; coordinates up to 10^8 from 0. */
enum { LAYOUT_OUTLINES_MOST = 500, LAYOUT_POINTS_MOST = 200 };

struct layout_point {
    int64_t across, along;
};

/* How an outline may lie: quarter turns, from across towards along. Their sum. */
enum layout_turns {
    LAYOUT_AS_DRAWN = 1,
    LAYOUT_QUARTER = 2,
    LAYOUT_HALF = 4, /* head to tail */
    LAYOUT_THREE_QUARTERS = 8
};

struct layout_outline {
    const struct layout_point *points;
    size_t count;
    unsigned turns; /* enum layout_turns; 0: as drawn or head to tail */
};

struct layout_outlines_order {
    int64_t width; /* of the strip */
    int64_t gap;
    const struct layout_outline *outlines;
    size_t count;
};

/* A point of the outline lies at its turned place about the origin, shifted by across and along. A quarter turn
 * takes (across, along) to (-along, across). */
struct layout_outline_place {
    int64_t across, along;
    int quarters; /* 0 to 3 */
};

struct layout_outlines {
    struct layout_outline_place *places; /* one for each outline, in their order */
    int64_t used;                        /* from 0 to the furthest point */
    int64_t lower;                       /* no layout can use less: areas, and the shortest extent of each */
    int64_t tries;                       /* layouts */
};

/* False with FAILURE_INPUT when an outline (its number, from 1, is named) is wider than the strip however it may
 * lie, crosses itself, has no area, or a limit is passed. The places are the arena's. At least one layout is made
 * however short the effort. */
bool layout_outlines(const struct layout_outlines_order *order, const struct layout_effort *effort,
                     struct arena *arena, struct layout_outlines *outlines, struct error *error);

/* Where a placed point lies. */
struct layout_point layout_outline_point(struct layout_point point, const struct layout_outline_place *place);

#endif
