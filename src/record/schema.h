/* Private to record: the tables, and whether a file holds them. */
#ifndef RECORD_SCHEMA_H
#define RECORD_SCHEMA_H

#include "sql.h"
#include "base/report.h"

enum { SCHEMA_APPLICATION = 0x4c505253 }; /* "LPRS"; the file's form is PRAGMA user_version */

/* Makes the tables in a file that has none (when `create`), and adds to those of an older form the fields
 * that it lacks, in one transaction; leaves others alone. What is on record already is not touched. */
bool schema_make(sqlite3 *db, bool create, struct error *error);
/* FAILURE_INPUT when the file is not a record, or one made by a newer program. */
bool schema_check(sqlite3 *db, const char *path, struct error *error);
/* A file of an older form that is only read: this connection sees the fields that it lacks as not given. */
bool schema_adapt(sqlite3 *db, struct error *error);
/* Compares tables, indexes and triggers with those that schema_make makes in a file of that form; what
 * differs goes to the report. */
bool schema_compare(sqlite3 *db, struct arena *arena, struct report *report, struct error *error);

#endif
