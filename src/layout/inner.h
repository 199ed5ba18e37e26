/* Private to layout: one packing problem as its files see it. */
#ifndef LAYOUT_INNER_H
#define LAYOUT_INNER_H

#include "layout/strip.h"

/* The upper outline of what lies on the strip: steps from left to right, neighbours never on one level. */
struct skyline_step {
    int64_t at, level, width;
};

struct skyline {
    struct skyline_step *steps; /* capacity: pieces + 2 */
    size_t count;
};

void skyline_start(struct skyline *skyline, int64_t width);
size_t skyline_lowest(const struct skyline *skyline); /* the leftmost of the lowest */
/* Raises the left or right `width` of step `k` to `level`, joined with neighbours on that level. */
void skyline_raise_left(struct skyline *skyline, size_t k, int64_t width, int64_t level);
void skyline_raise_right(struct skyline *skyline, size_t k, int64_t width, int64_t level);
/* The lowest level on which that width finds room; above everything that juts out over it. */
int64_t skyline_level_for(const struct skyline *skyline, int64_t width);

/* The place to fill: the lowest step, between two walls, heights above it; at the strip's sides and end the limit. */
struct niche {
    size_t step;
    int64_t level, width, room; /* room: to the limit */
    int64_t high, low;          /* walls */
    bool high_is_left;
};

struct niche niche_of(const struct skyline *skyline, int64_t limit);

/* How well a piece fits: 8 fills the width and ends with the higher wall, ... 2 leaves a step in every direction, 0
 * does not go in. 3 stands at the lower wall and ends with it. */
enum { FIT_LOW_WALL = 3, FIT_HIGH_WALL = 5, FIT_WHOLE = 8 };
static inline int niche_fit(const struct niche *niche, int64_t across, int64_t along)
{
    if (across > niche->width || along > niche->room) return 0;
    if (across == niche->width)
        return along == niche->high ? 8 : along == niche->low ? 7 : along < niche->high ? 6 : 4;
    return along == niche->high ? 5 : along == niche->low ? 3 : 2;
}
/* Whether a piece that fits so stands at the left wall. */
static inline bool niche_at_left(const struct niche *niche, int fit)
{
    return niche->high_is_left == (fit != FIT_LOW_WALL);
}

/* Marsaglia's xorshift64 (Journal of Statistical Software 8, 2003, 14): a sequence from a seed, the same anywhere. */
static inline uint64_t dice_new(uint64_t seed)
{
    return seed * UINT64_C(0x9E3779B97F4A7C15) | 1;
}
static inline uint32_t dice_roll(uint64_t *dice)
{
    *dice ^= *dice << 13, *dice ^= *dice >> 7, *dice ^= *dice << 17;
    return (uint32_t)(*dice >> 32);
}
static inline size_t dice_below(uint64_t *dice, size_t count)
{
    return (size_t)((uint64_t)dice_roll(dice) * count >> 32);
}
static inline double dice_share(uint64_t *dice)
{
    return dice_roll(dice) / 4294967296.0;
}

/* A piece as drawn, or turned. */
struct stance {
    int64_t across, along;
    int32_t piece;
    bool turned;
};

/* Stances with the same length on one side, in a list for each length; -1 ends a list. */
struct side_lists {
    int64_t *sides; /* rising */
    size_t count;
    int32_t *heads, *next; /* for each length; for each stance */
    size_t *of;            /* for each stance: which list it belongs to */
};

struct greedy {
    const struct layout_order *order;
    struct skyline skyline;
    struct stance *stances;
    size_t stance_count;
    size_t *first; /* for each piece, and behind the last: its first stance */
    bool *gone;    /* pieces that have a place */
    struct side_lists by_across, by_along;
    int32_t head, *next;         /* all stances */
    struct layout_place *places; /* of the last packing */
    int64_t area;                /* of all pieces */
};

/* Neither can be told from the other. */
static inline bool pieces_alike(const struct layout_piece *a, const struct layout_piece *b)
{
    return a->across == b->across && a->along == b->along && a->may_turn == b->may_turn;
}

struct greedy *greedy_new(const struct layout_order *order, struct arena *arena);
/* Packs in that sequence of pieces below `limit`. The area of what found no place there, 0: all did, and *used is
 * the length. */
int64_t greedy_pack(struct greedy *greedy, const int32_t *sequence, int64_t limit, int64_t *used);
/* Sorted by falling length (0), width (1), area (2) or sum of sides (3). */
void greedy_sequence(const struct layout_order *order, int by, int32_t *sequence);
enum { GREEDY_SEQUENCES = 4 };

/* Within the limits of strip.h, and no piece wider than the strip. */
bool strip_check(const struct layout_order *order, struct error *error);

struct layout_search {
    const struct layout_order *order;
    const struct layout_effort *effort;
    struct layout_strip *best;
    struct greedy *greedy;
    struct arena *arena;
    int64_t tries;
    bool ended;
};

/* Counts one try; whether the search is to end. Short tries ask only now and then whether it is enough. */
bool search_is_over(struct layout_search *search, bool is_short);
/* Looks for a packing no longer than `limit` with that many tries; takes it into `best` when found. */
bool anneal(struct layout_search *search, int64_t limit, int64_t tries, uint64_t seed);

#endif
