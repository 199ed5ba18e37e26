/* The time of panels and seams, which the planner weighs against film: the same minutes go into hours, dates
 * and price. */
#ifndef PLAN_HANDLING_H
#define PLAN_HANDLING_H

#include "model/plan.h"

/* Installers' minutes for a surface besides applying its area: handling each panel, making each metre of lap
 * and turning in each metre of door gap; an inlay is handled like a panel, its rim like a lap, and the corners
 * of a recess take `relief-cuts`. The shop's `seams`, else common practice. */
double handling_minutes(const struct surface_plan *surface, const struct shop *shop);
/* Of that, what inlays and relief cuts take. */
double inlays_minutes(const struct surface_plan *surface, const struct shop *shop);

#endif
