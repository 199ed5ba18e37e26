/* Sizes that a person should look at twice. */
#ifndef PLAN_DOUBT_H
#define PLAN_DOUBT_H

#include "schedule.h"

/* size-doubtful: surfaces over 26 x 4.6 m, with the film and the hours they come to; panel-large: PDF pages
 * over 14,400 units. */
void doubt_sizes(struct plan *plan, const struct workloads *workloads);

#endif
