/* From what was measured, drawn and promised to one plan: seams, panels, install sequence, rolls, ink, dates, cost and
 * findings.
 *
 * Pure: no file, clock, thread or global; time comes in as plan_input.now. The same input gives the same
 * bytes. Nothing here fails: what cannot be done is a finding, and the rest of the plan is complete. A
 * surface for which no seams can be found has none, and no panels either. */
#ifndef PLAN_PLAN_H
#define PLAN_PLAN_H

#include "base/arena.h"
#include "model/plan.h"

/* Film beyond the print at the two ends along the film, for label, QR code and arrows: the leading one at
 * the lower (upright panels) or left (lying panels) end, the tail at the other. Common practice, no source.
 */
#define PANEL_END_MM  60.0
#define PANEL_TAIL_MM 60.0

/* The plan lives in the arena and borrows from `input`, which must live as long. */
struct plan *plan_make(const struct plan_input *input, struct arena *arena);

/* The same, many times quicker from the second time on: the cache keeps what does not depend on seams. For
 * inputs that differ from the first only in `now`, `events`, `choose`, and in seams fixed by hand: a surface
 * with other seams is a copy of the first one (its arrays shared) with another spec. The plan then borrows
 * from the cache's arena too. One planning at a time. */
struct plan_cache;
struct plan_cache *plan_cache_new(struct arena *arena);
struct plan *plan_make_with(const struct plan_input *input, struct plan_cache *cache, struct arena *arena);

#endif
