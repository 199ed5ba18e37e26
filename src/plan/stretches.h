/* Stretches along a seam's line. */
#ifndef PLAN_STRETCHES_H
#define PLAN_STRETCHES_H

#include "base/arena.h"
#include "model/plan.h"

struct stretches {
    struct seam_part *items;
    size_t count;
};

/* Takes low .. high out of them; `seen->items` has room for one more. */
void stretches_cut_out(struct stretches *seen, double low, double high);
/* How much of low .. high they hold. */
double stretches_between(const struct stretches *seen, double low, double high);
double stretches_length(const struct stretches *seen);
/* Sorts them and joins those that touch or overlap. */
void stretches_join(struct stretches *parts);
struct stretches stretches_copy(const struct stretches *parts, struct arena *arena);

#endif
