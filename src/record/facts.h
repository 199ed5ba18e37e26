/* Private to record: facts on one connection. */
#ifndef RECORD_FACTS_H
#define RECORD_FACTS_H

#include "handle.h"

/* facts.c */
/* Puts one fact on record inside the transaction that is open, and the state of its panel with it; fills its
 * number and time of recording. */
bool fact_put(struct record *record, sqlite3 *db, struct fact *fact, struct arena *arena,
              struct error *error);

/* facts_read.c */
/* The columns of an entry, "number, key, kind, ...", or as many question marks to bind them to. */
const char *fact_columns(struct arena *arena, bool marks);
bool fact_list(sqlite3 *db, const struct fact_query *query, struct arena *arena, struct fact **facts,
               size_t *count, struct error *error);
/* Those that were sent under that key. */
bool fact_list_of_key(sqlite3 *db, const char *key, struct arena *arena, struct fact **facts, size_t *count,
                      struct error *error);
/* The highest number of a job's facts, 0: it has none. */
bool fact_last(sqlite3 *db, const char *job, int64_t *number, struct error *error);
/* Digest of the fact of that number as it stands in the file. */
struct fact_row {
    struct fact fact;
    const char *digest;
};
/* All facts one after the other; false from `take` ends it. */
bool fact_each(sqlite3 *db, struct machine *machine, bool (*take)(void *self, const struct fact_row *row),
               void *self, struct error *error);

#endif
