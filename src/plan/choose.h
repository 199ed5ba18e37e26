/* One surface: which way its panels run, on which roll, with which seams. */
#ifndef PLAN_CHOOSE_H
#define PLAN_CHOOSE_H

#include "panels.h"
#include "way.h"

/* Fills `plan` with seams and panels; when there is no way, says so and leaves it without. */
void choose_surface(const struct surface_input *input, const struct job *job, enum goal goal,
                    struct surface_plan *plan, struct findings *findings);

#endif
