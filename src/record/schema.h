/* Private to record: the tables, and whether a file holds them. */
#ifndef RECORD_SCHEMA_H
#define RECORD_SCHEMA_H

#include "sql.h"
#include "base/report.h"

enum { SCHEMA_APPLICATION = 0x4c505253, SCHEMA_VERSION = 1 }; /* "LPRS"; PRAGMA user_version */

/* Makes the tables in a file that has none, in one transaction; leaves a file that has them alone. */
bool schema_make(sqlite3 *db, struct error *error);
/* FAILURE_INPUT when the file is not a record, or one made by a newer program. */
bool schema_check(sqlite3 *db, const char *path, struct error *error);
/* Compares tables, indexes and triggers with those that schema_make makes; what differs goes to the report.
 */
bool schema_compare(sqlite3 *db, struct arena *arena, struct report *report, struct error *error);

#endif
