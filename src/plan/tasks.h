/* Work besides printing panels and applying them: what is done, how much of it, for how long. Each time is the
 * shop's, else common practice or our own judgement, as its source says. */
#ifndef PLAN_TASKS_H
#define PLAN_TASKS_H

#include "model/plan.h"

/* Fills the plan's tasks, from surfaces with panels, in the order in which they are done. */
void tasks_make(struct plan *plan, struct arena *arena);
/* One person's time. `surface` NULL: for the whole vehicle. */
int64_t tasks_seconds(const struct plan *plan, const struct surface *surface, enum task_kind kind);
bool task_prepares(enum task_kind kind); /* comes before installing */
bool task_finishes(enum task_kind kind); /* comes after it, on the same visit */

#endif
