/* One surface: the direction of its panels, on which roll, with which seams. */
#ifndef PLAN_CHOOSE_H
#define PLAN_CHOOSE_H

#include "panels.h"
#include "candidate.h"

/* Fills plans[index] with seams and panels; when there is no candidate, says so and leaves it without. The surfaces
 * before it have been planned. */
void choose_surface(const struct plan_input *input, size_t index, enum goal goal, struct plan_cache *cache,
                    struct surface_plan *plans, struct findings *findings);

#endif
