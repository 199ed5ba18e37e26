/* How panels lie on rolls: one after another along the film, all of a surface in a run, the same way up, in
 * the install sequence, the inlays last. A surface on rolls of several widths has a run on each. */
#ifndef PLAN_ROLLS_H
#define PLAN_ROLLS_H

#include "model/plan.h"

void rolls_make(struct plan *plan, struct arena *arena);
/* Index of the panel at this place in the install sequence, from 1. */
size_t panel_in_sequence(const struct surface_plan *surface, size_t turn);
/* Film along the roll that a surface's panels and inlays take. */
double surface_film_mm(const struct surface_plan *surface);
/* Roll widths of a surface's panels: how many, and the i-th, rising. */
size_t surface_width_count(const struct surface_plan *surface);
double surface_width_mm(const struct surface_plan *surface, size_t i);

/* Film and laminate lost at each run of the laminator; 0 without laminate. */
double rolls_threading_mm(const struct condition *condition, const struct shop *shop);

/* The longest print: what the printer prints, or a new roll of film or laminate holds, threading counted. */
struct longest {
    double mm;
    const char *what, *name; /* "printer", "roll of film", "roll of laminate"; as the shop calls it */
};
struct longest rolls_longest_mm(const struct condition *condition, const struct shop *shop);

#endif
