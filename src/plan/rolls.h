/* How panels lie on rolls: one after another along the film, all of a surface in a run, the same way up, in
 * the order in which they are put on. */
#ifndef PLAN_ROLLS_H
#define PLAN_ROLLS_H

#include "model/plan.h"

void rolls_make(struct plan *plan, struct arena *arena);
/* Index of the panel with this install order, from 1. */
size_t panel_at_order(const struct surface_plan *surface, size_t order);
/* Film along the roll that a surface's panels take. */
double surface_film_mm(const struct surface_plan *surface);

#endif
