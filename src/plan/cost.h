/* Material, hours and price. Money is whole minor units, each line rounded once, half up; sums are exact. */
#ifndef PLAN_COST_H
#define PLAN_COST_H

#include "schedule.h"

enum { COST_MARGIN_MOST = 90 }; /* percent of the price */

void cost_make(struct plan *plan, const struct efforts *efforts, struct arena *arena);
/* cost x (1 + percent / 100) */
money_minor cost_marked_up(money_minor cost, double percent);
/* cost / (1 - percent / 100), percent 0 .. COST_MARGIN_MOST */
money_minor cost_with_margin(money_minor cost, double percent);

#endif
