/* Private to layout: outlines that lie nearly right are moved apart, and together, by as little as it takes. */
#ifndef LAYOUT_OUTLINE_SETTLE_H
#define LAYOUT_OUTLINE_SETTLE_H

#include "outline_parts.h"

/* A line that the difference of two places has to be beyond for two convex parts to be clear: its outward direction,
 * of length 1, and how far it is from the origin. */
struct settle_edge {
    double across, along, reach;
};

struct settle_sum { /* of two convex parts */
    struct settle_edge *edges;
    size_t count;
};

struct settle_pair {
    size_t first, second;
    struct settle_sum *sums;
    size_t count;
};

struct settle_piece {
    const struct shape *shape;
    const struct convex_parts *parts;
    double across, along;         /* of the box's corner */
    double was_across, was_along; /* one sweep before */
};

struct settle {
    double width, gap; /* of the strip; between outlines */
    struct settle_piece *pieces;
    size_t count;
    struct settle_pair *pairs; /* those near each other */
    size_t pair_count;
};

/* Finds the pairs that may come near each other; the places are those of the pieces. */
void settle_begin(struct settle *settle, int64_t gap, struct arena *arena);
/* Moves them apart within `length`. False: some stay in each other. */
bool settle_part(struct settle *settle, double length);
/* How deep the deepest pair of all lies in each other, or below its gap. */
double settle_depth(const struct settle *settle, int64_t gap, struct arena *arena);

#endif
