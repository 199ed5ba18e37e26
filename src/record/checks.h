/* Private to record: limits of what a fact or a plan version may hold. */
#ifndef RECORD_CHECKS_H
#define RECORD_CHECKS_H

#include "model/record.h"
#include "base/error.h"

enum { KEY_LEAST = 8, KEY_MOST = 64, PLAN_PANELS_MOST = 5000, PLAN_JSON_MOST = 64 << 20 };

/* Each is FAILURE_INPUT with the value, the limit and what would be right. */
bool check_fact(const struct fact *fact, struct error *error);
/* A name for people: one line of UTF-8, 1 to FACT_NAME_MOST bytes. `what` is how a message calls it. */
bool check_name(const char *what, const char *name, struct error *error);

#endif
