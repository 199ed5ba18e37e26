/* Private to record: one statement at a time, values bound and columns read from left to right. */
#ifndef RECORD_SQL_H
#define RECORD_SQL_H

#include "base/arena.h"
#include "base/error.h"
#include "base/str.h"
#include <sqlite3.h>
#include <stdbool.h>
#include <stdint.h>

struct sql {
    sqlite3 *db;
    sqlite3_stmt *statement; /* NULL after a failure: binding and stepping then do nothing */
    int bound, column;       /* the last value bound; the next column read */
};

/* What went wrong in words; always false. `doing` is a phrase: "putting on record". */
bool sql_failed(sqlite3 *db, const char *doing, struct error *error);
/* Statements without values or results, one after the other. */
bool sql_all(sqlite3 *db, const char *statements, struct error *error);

struct sql sql_open(sqlite3 *db, const char *statement);
void sql_close(struct sql *sql);

void sql_bind_text(struct sql *sql, const char *text); /* NULL binds null; borrowed until closed */
void sql_bind_bytes(struct sql *sql, struct str bytes);
void sql_bind_whole(struct sql *sql, int64_t value);
void sql_bind_number(struct sql *sql, double value); /* NAN binds null */

/* One step: *row says whether there is a row to read. */
bool sql_step(struct sql *sql, bool *row, struct error *error);
/* To its end, without looking at rows, and closes it. */
bool sql_run(struct sql *sql, struct error *error);

const char *sql_text(struct sql *sql, struct arena *arena); /* NULL for null */
struct str sql_bytes(struct sql *sql, struct arena *arena);
int64_t sql_whole(struct sql *sql);
double sql_number(struct sql *sql); /* NAN for null */

/* One whole number of one row; 0 when there is none. */
bool sql_one(sqlite3 *db, const char *statement, int64_t *value, struct error *error);

#endif
