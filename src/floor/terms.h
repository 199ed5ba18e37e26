/* Private to floor: what a plan version says of each panel, for the record. */
#ifndef FLOOR_TERMS_H
#define FLOOR_TERMS_H

#include "run/run.h"
#include "model/record.h"

/* From a run with a plan; borrows from it. The fingerprint is that of plan.json, which is `json`. */
struct job_terms terms_of_run(const struct run *run, struct str json);

#endif
