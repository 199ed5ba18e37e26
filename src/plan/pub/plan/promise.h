/* Whether a vehicle is finished when it was promised: the one rule, for the floor, the page, the sheet and
 * the report. Pure; the struct is in model/plan.h. */
#ifndef PLAN_PROMISE_H
#define PLAN_PROMISE_H

#include "model/plan.h"
#include "model/record.h"
#include <stdbool.h>
#include <stdint.h>

/* `due`: UTC seconds, 0: nothing was promised, and nothing is late. `finished`: as the plan says, 0: no date
 * can be given. `delay_s`: by how much a step that is not done is behind that plan; an hour
 * (`caught-up`) is caught up, so that nothing is late a minute after a step was to begin. */
struct promise promise_of(int64_t due, int64_t finished, int64_t delay_s);
/* The same of a plan version on record. */
struct promise promise_of_terms(const struct job_terms *terms, int64_t delay_s);
/* By how much a step that is not done yet is behind its plan when it is begun as soon as it can be. */
int64_t next_step_delay_s(const struct next_step *next, int64_t now);

#endif
