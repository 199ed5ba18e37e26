/* Private to run: what people read of a job in inches. */
#ifndef RUN_INCHES_H
#define RUN_INCHES_H

#include "model/plan.h"

/* Sentences of findings and plan in inches, feet and square feet; figures of the structs stay millimetres. Doing
 * it twice changes nothing. Before acceptances are looked at: what is accepted is what was read. */
void inches_in_findings(struct findings *findings);
void inches_in_plan(struct plan *plan, struct arena *arena);

#endif
