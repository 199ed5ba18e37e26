/* Private to layout: panels on rolls in a given order, one greedy packing. */
#ifndef LAYOUT_ROLLS_PACK_H
#define LAYOUT_ROLLS_PACK_H

#include "inner.h"
#include "layout/rolls.h"

/* A group, or a panel that lies for itself: of a unit only the next panel can be chosen. */
struct roll_unit {
    size_t first, count; /* of `members` */
    bool may_turn;
};

/* What a search changes. */
struct roll_plan {
    int32_t *tokens; /* units in the order in which they are preferred; each as often as it has panels */
    size_t *begins;  /* of each unit: the roll; what finds no room there goes to the next of its batch */
    bool *turned;    /* of each group; of a panel for itself: what is tried first */
    bool *strict;    /* of each group: begun on a straight line, and until it is whole no other is begun */
};

struct roll_packer {
    const struct layout_rolls_order *order;
    struct roll_unit *units;
    size_t unit_count;
    size_t *members; /* panels, unit by unit */
    int64_t
        *limits; /* of each roll: what its panels may reach to, a gap behind the last, no leader or tail */
    /* of the last packing */
    struct layout_roll_place *places;
    int64_t *used; /* of each roll, as in `limits` */
    size_t *prints;
    int64_t left_area, left; /* of panels that lie nowhere, with their gaps; how many */
    /* while packing */
    struct skyline skyline, trial;
    size_t *done;  /* of each unit: panels placed */
    int64_t *ends; /* of each unit: where its next must begin at the latest on this roll */
    bool *closed;  /* of each unit: no more of it on this roll */
    int32_t *open; /* units begun on this roll and not whole, in their order */
    size_t open_count;
    uint64_t *asked; /* of each unit: the step for which it was asked last */
    uint64_t asking; /* steps so far */
    int32_t *rest;   /* tokens not used up before this roll */
    size_t rest_count;
    int32_t *here; /* of them, those that may go on this roll and are not used up */
    size_t here_count;
    size_t *taken; /* of each unit: panels that lie on this roll */
    int64_t print_start, print_end;
};

struct roll_packer *roll_packer_new(const struct layout_rolls_order *order, struct arena *arena);
void roll_packer_pack(struct roll_packer *packer, const struct roll_plan *plan);

#endif
