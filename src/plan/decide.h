/* What decides the first moment of installing: each step, each closure, the vehicle's arrival and each wait for
 * another surface is shortened in turn, by a little and then wholly, and the schedule made again. */
#ifndef PLAN_DECIDE_H
#define PLAN_DECIDE_H

#include "timetable.h"

/* Fills `decided_by`, `decides` and `decides` of the plan's steps. What decides is, of all that moves the date
 * when it is a minute shorter, that which moves it furthest when it is gone; of equal ones, the first on the way
 * through the shop. Where surfaces tie, so that none alone moves it, the same step of all of them is shortened;
 * where closures tie (hung at one opening, dry at another), all of them are. Where still nothing moves it, the longest
 * step of the surface that is ready last is named.
 * The walk is as before afterwards. */
void decide(struct plan *plan, struct timetable *timetable, struct arena *arena);

#endif
