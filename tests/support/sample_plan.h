/* A believable plan made by hand, for tests and to look at pages: a long van with left, right and rear, nine
 * panels, its clock and its findings. Nothing in it is from a real company or person. */
#ifndef SUPPORT_SAMPLE_PLAN_H
#define SUPPORT_SAMPLE_PLAN_H

#include "model/plan.h"

struct arena;

struct sample {
    struct plan *plan;
    const struct picture **previews; /* one for each surface */
};
/* Panels on the left side: 4 in the ordinary sample; up to 60 to try long tables. `long_names` makes every
 * name of a length that German has. */
struct sample sample_plan(struct arena *arena, size_t left_panels, bool long_names);

#endif
