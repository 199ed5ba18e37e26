/* Puts what is usual where nobody wrote a measure; what is written stays. Private to the room. */
#ifndef JOB_SETTLE_MEASURE_H
#define JOB_SETTLE_MEASURE_H

#include "read.h"

void settle_measure(struct measure *measure, struct measure usual);
/* By a name of model/practice.h. */
void settle_as(struct measure *measure, const char *practice);
/* The keys of a group whose usual value does not hang on what else is written. */
void settle_keys(const struct group *group, void *target);

#endif
