/* How do rectangles lie on a strip so that least of its length is used?
 *
 * Strip packing: every rectangle lies inside a strip of given width, none over another, sides along the strip's
 * sides. Lengths are whole numbers of one unit, the caller's (rolls use micrometres), so that sums are exact.
 * `across` is the direction of the strip's width, `along` that of its length, which begins at 0.
 *
 * Pure: no file, thread or global. A search has no clock of its own either: it asks `enough` now and then. The
 * same pieces, seed and `most_tries` give the same places; a clock can only end the search sooner.
 *
 * How it is found:
 *   bounds   the area, the longest piece, and dual feasible functions of the widths (Fekete and Schepers,
 *            Mathematical Methods of Operations Research 60, 2004, 311-329: U^(epsilon) there is bounds_width here)
 *   greedy   the lowest, leftmost step of the skyline gets the piece that fits its walls best; of pieces that
 *            fit alike the first in a given order (best fit: Burke, Kendall and Whitwell, Operations Research
 *            52, 2004, 655-671; walls that fit: Leung, Zhang and Sim, EJOR 215, 2011, 337-346)
 *   search   simulated annealing over that order, for a length that is halved between what is proven and what
 *            is found, with twice the tries each round
 *   sweep    whether the pieces, or the widest of them, find room along one side at all; where they do not, the bound
 *            rises (sweep.h)
 *   exact    depth-first over all packings that are pushed down and to the left, for few pieces; what cannot be
 *            had raises the bound. exact.h says why none is left out.
 * (Citations from memory, unchecked.) */
#ifndef LAYOUT_STRIP_H
#define LAYOUT_STRIP_H

#include "base/arena.h"
#include "base/error.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Limits: 5,000 pieces; sides from 1 to 10^9; all areas together below 2^60. */
enum { LAYOUT_PIECES_MOST = 5000, LAYOUT_SIDE_MOST = 1000000000 };

struct layout_piece {
    int64_t across, along; /* sides as drawn */
    bool may_turn;         /* by 90 degrees */
};

struct layout_order {
    int64_t width; /* of the strip */
    const struct layout_piece *pieces;
    size_t count;
};

/* How long to look. */
struct layout_effort {
    uint64_t seed;
    int64_t most_tries;         /* packings and steps of sweeps and exact search in all; 0: no limit */
    bool (*enough)(void *self); /* true ends the search with what it has; NULL: nobody asks */
    void *self;
};

struct layout_place { /* of the corner nearest to the strip's beginning and left side */
    int64_t across, along;
    bool turned;
};

struct layout_strip {
    struct layout_place *places; /* one for each piece, in their order */
    int64_t used;                /* length from 0 to the end of the furthest piece */
    int64_t lower;               /* no packing can use less; equal to `used`: proven best */
    int64_t tries;               /* as in most_tries */
};

/* False with FAILURE_INPUT when a piece is wider than the strip (its number, from 1, is named) or a limit is
 * passed. The places are the arena's. At least one greedy packing is made however short the effort. */
bool layout_strip(const struct layout_order *order, const struct layout_effort *effort, struct arena *arena,
                  struct layout_strip *strip, struct error *error);

/* The bound alone, before anything is placed. `order` must be within the limits. */
int64_t layout_lower_bound(const struct layout_order *order);

#endif
