/* Private to record: plan versions on one connection. */
#ifndef RECORD_PLANS_H
#define RECORD_PLANS_H

#include "handle.h"

#define PLAN_WORDS "version %lld, SHA-256 %s" /* of the fact that goes with a plan version */

/* The latest version before that fact, of one job or (NULL) of each. */
bool plans_latest(sqlite3 *db, const char *job, int64_t before, struct arena *arena, struct job_terms **terms,
                  size_t *count, struct error *error);
/* Versions in the file against the digests in their facts. */
bool plans_compare(sqlite3 *db, struct machine *machine, struct report *report, struct error *error);

#endif
