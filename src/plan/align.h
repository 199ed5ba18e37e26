/* Seams that go on in line round a corner, where `align` names two surfaces that meet.
 *
 * What is kept in line is what reaches the edge they share, and where it is counted from:
 * sides, rear and front face among each other: seams that run along, by their height over the lower edge;
 * a side and a surface seen from above: seams that run across the vehicle, by their distance from its front;
 * rear or front face and a surface seen from above, or two such: seams that run along the vehicle, by their
 * distance from its middle. `shift` moves the second surface's zero: up, back, or to the vehicle's right. */
#ifndef PLAN_ALIGN_H
#define PLAN_ALIGN_H

#include "seam_cost.h"

/* What has been planned of the job so far: the surfaces before `index`. */
struct neighbourhood {
    const struct plan_input *input;
    const struct surface_plan *planned;
    size_t index;
};

/* What each position costs more because of neighbours: for those planned already, a seam that does not meet
 * one of theirs; for those to come, what their seam there would cost, or being out of line. positions + 1
 * values, or NULL when no neighbour minds. `hidden`: only what shows counts. */
int64_t *align_extra(const struct neighbourhood *all, const struct field *field, bool hidden);
/* Says of each seam of an aligned pair whether it goes on: in its reason, or in a finding. */
void align_tell(struct plan *plan);

#endif
