/* Material, hours and price. Money is whole minor units, each line rounded once, half up; sums are exact. */
#ifndef PLAN_COST_H
#define PLAN_COST_H

#include "schedule.h"

enum { COST_MARGIN_MOST = 90 }; /* percent of the price */

void cost_make(struct plan *plan, const struct workloads *workloads, struct arena *arena);

#endif
