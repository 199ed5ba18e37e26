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
