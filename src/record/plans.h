/* Private to record: plan versions on one connection. */
#ifndef RECORD_PLANS_H
#define RECORD_PLANS_H

#include "handle.h"

#define PLAN_WORDS "version %lld, SHA-256 %s" /* of the fact that goes with a plan version */

/* Versions in the file against the digests in their facts. */
bool plans_compare(sqlite3 *db, struct machine *machine, struct report *report, struct error *error);

#endif
