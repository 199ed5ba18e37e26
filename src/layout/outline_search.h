/* Private to layout: a shorter layout of outlines on a grid. */
#ifndef LAYOUT_OUTLINE_SEARCH_H
#define LAYOUT_OUTLINE_SEARCH_H

#include "inner.h"
#include "outline_maps.h"

struct outline_spot { /* in steps of the grid */
    int32_t across, along;
    size_t stance;
};

struct outline_search {
    const struct outline_maps *maps;
    struct layout_search *clock;
    struct outline_spot *spots, *best;
    int32_t length;      /* that is tried */
    int32_t best_length; /* of `best`; INT32_MAX: none yet */
    double *weights;     /* of each pair: how much it matters that it is clear */
    float *field;        /* of each place: how deep a piece would lie in the others */
    size_t field_size;
    size_t *turn; /* pieces in the order of their turns */
    uint64_t dice;
};

struct outline_search *outline_search_new(const struct outline_maps *maps, struct layout_search *clock,
                                          struct arena *arena);
/* One after the other, the largest first, where the strip is free soonest, no further than `length`. */
bool outline_search_begin(struct outline_search *search, int32_t length);
/* From anywhere: pieces are thrown on a strip of that length and parted. What was the best before is forgotten. */
bool outline_search_scatter(struct outline_search *search, int32_t length, int rounds);
/* What was found on a grid of larger steps is parted on this one, where less counts as clear; somewhat longer where it
 * must be. */
bool outline_search_refine(struct outline_search *search, const struct outline_search *coarse);
/* Something shorter, `lower` or more; false when so many attempts have failed, or it is over. */
bool outline_search_shorten(struct outline_search *search, int32_t lower, int failures);

#endif
