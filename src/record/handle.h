/* Private to record: the connections behind a handle. One writes, a few read; each is used by one thread at a
 * time. */
#ifndef RECORD_HANDLE_H
#define RECORD_HANDLE_H

#include "record/record.h"
#include "schema.h"
#include "sql.h"
#include <pthread.h>

enum { READERS = 4 };

struct record {
    struct machine *machine;
    char *path;
    enum record_way way;
    pthread_mutex_t writing;
    sqlite3 *writer; /* NULL: opened for reading only */
    pthread_mutex_t lending;
    pthread_cond_t returned;
    sqlite3 *readers[READERS]; /* opened when first needed */
    bool lent[READERS];
};

/* A connection to read from, in a transaction of its own, so that all reads see one moment. NULL with
 * `error`. To be given back. */
sqlite3 *handle_lend(struct record *record, struct error *error);
void handle_return(struct record *record, sqlite3 *db);

/* Takes the turn to write and begins a transaction. NULL with `error` when that fails. */
sqlite3 *handle_begin(struct record *record, struct error *error);
/* Ends it: raises the revision and commits when `ok`, else takes everything back. Returns whether all is on
 * the disk. */
bool handle_end(struct record *record, bool ok, struct error *error);

#endif
