/* Private to layout: the search for the order in which panels are laid on rolls. */
#ifndef LAYOUT_ROLLS_SEARCH_H
#define LAYOUT_ROLLS_SEARCH_H

#include "rolls_pack.h"

struct roll_search {
    struct layout_search *clock; /* counts tries, and knows when it is over */
    struct roll_packer *packer;
    struct roll_plan plan, best_plan, kept_plan;
    struct layout_roll_place *places; /* of the best */
    int64_t *used;                    /* of each roll, as the packer's */
    size_t *prints;
    int64_t left; /* of the best: panels that lie nowhere; fewer are better whatever the cost */
    double cost;  /* of the best: film, and what lies nowhere */
    int64_t lower;
    uint64_t rounds;
};

/* One packing with every group begun on a straight line: only a lack of rolls can leave a panel out. */
struct roll_search *roll_search_new(const struct layout_rolls_order *order, struct layout_search *clock,
                                    struct arena *arena);
/* Lengths of the rolls used, leader and tail too, together. */
int64_t roll_search_length(const struct roll_search *search);
/* Goes on with about that many packings. */
void roll_search_round(struct roll_search *search, int64_t tries);

#endif
