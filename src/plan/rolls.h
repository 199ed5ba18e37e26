/* How panels lie on rolls: one after another along the film, all of a surface in a run, the same way up, in
 * the order in which they are put on. A surface on rolls of several widths has a run on each. */
#ifndef PLAN_ROLLS_H
#define PLAN_ROLLS_H

#include "model/plan.h"

void rolls_make(struct plan *plan, struct arena *arena);
/* Index of the panel with this install order, from 1. */
size_t panel_at_order(const struct surface_plan *surface, size_t order);
/* Film along the roll that a surface's panels take. */
double surface_film_mm(const struct surface_plan *surface);
double surface_film_on_mm(const struct surface_plan *surface, double width_mm);
/* Roll widths of a surface's panels: how many, and the i-th, rising. */
size_t surface_width_count(const struct surface_plan *surface);
double surface_width_mm(const struct surface_plan *surface, size_t i);

#endif
