/* Material, hours and price. Money is whole minor units, rounded once for each line. */
#ifndef PLAN_COST_H
#define PLAN_COST_H

#include "schedule.h"

void cost_make(struct plan *plan, const struct efforts *efforts, struct arena *arena);

#endif
