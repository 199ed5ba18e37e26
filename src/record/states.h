/* Private to record: how far each panel has come, kept beside the facts so that nobody folds thousands of
 * them to show a page. */
#ifndef RECORD_STATES_H
#define RECORD_STATES_H

#include "handle.h"

/* Folds a panel's facts again, inside the transaction that is open. Without a panel nothing is to do. */
bool states_renew(sqlite3 *db, const char *job, const char *panel, int64_t fact, struct arena *arena,
                  struct error *error);
/* States in the file that differ from what the facts say, each into the report. */
bool states_compare(sqlite3 *db, struct machine *machine, struct report *report, struct error *error);

#endif
