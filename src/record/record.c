/* Opens the record file and lends its connections, one for writing and a few for reading. Called by run and floor to
 * open and close; every other file of the room borrows from it. */
#include "handle.h"
#include "base/path.h"
#include <string.h>

enum { BUSY_MS = 15000 }; /* how long a writer waits for another process */

static bool is_copy(const char *path)
{
    return str_ends(str_from(path), ".sqlite");
}

static const char *record_path_of(struct arena *arena, const char *folder)
{
    return is_copy(folder) ? folder : path_join(arena, folder, "record.sqlite");
}

bool record_exists(struct machine *machine, const char *folder)
{
    struct arena *arena = arena_new(machine);
    struct file_status status = machine->status(machine, record_path_of(arena, folder));
    arena_free(arena);
    return status.exists && !status.is_folder;
}

/* ---- connections ---- */

/* The file is not trusted: what its schema says runs no functions that reach outside, and its inner tables
 * cannot be written. */
static bool connect_to(const char *path, int flags, sqlite3 **db, struct error *error)
{
    if (sqlite3_open_v2(path, db, flags | SQLITE_OPEN_NOMUTEX, NULL) != SQLITE_OK) {
        sql_failed(*db, path, error);
        sqlite3_close(*db);
        *db = NULL;
        return false;
    }
    sqlite3_busy_timeout(*db, BUSY_MS);
    sqlite3_db_config(*db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(*db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    return true;
}

static bool open_writer(struct record *record, struct error *error)
{
    int flags = SQLITE_OPEN_READWRITE | (record->way == RECORD_CREATE ? SQLITE_OPEN_CREATE : 0);
    return connect_to(record->path, flags, &record->writer, error) &&
           schema_make(record->writer, record->way == RECORD_CREATE, error) &&
           schema_check(record->writer, record->path, error) &&
           sql_all(record->writer,
                   "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; "
                   "PRAGMA foreign_keys = ON;",
                   error);
}

static sqlite3 *open_reader(struct record *record, struct error *error)
{
    sqlite3 *db = NULL;
    if (!connect_to(record->path, SQLITE_OPEN_READWRITE, &db, error)) return NULL;
    if (schema_check(db, record->path, error) && schema_adapt(db, error) &&
        sql_all(db, "PRAGMA query_only = ON", error))
        return db;
    sqlite3_close(db);
    return NULL;
}

sqlite3 *handle_lend(struct record *record, struct error *error)
{
    pthread_mutex_lock(&record->lending);
    size_t i = 0;
    for (;;) {
        for (i = 0; i < READERS && record->lent[i]; i++) {
        }
        if (i < READERS) break;
        pthread_cond_wait(&record->returned, &record->lending);
    }
    if (!record->readers[i]) record->readers[i] = open_reader(record, error);
    sqlite3 *db = record->readers[i];
    if (db && !sql_all(db, "BEGIN", error)) db = NULL;
    record->lent[i] = db;
    pthread_mutex_unlock(&record->lending);
    return db;
}

void handle_return(struct record *record, sqlite3 *db)
{
    sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    pthread_mutex_lock(&record->lending);
    for (size_t i = 0; i < READERS; i++)
        if (record->readers[i] == db) record->lent[i] = false;
    pthread_cond_signal(&record->returned);
    pthread_mutex_unlock(&record->lending);
}

sqlite3 *handle_begin(struct record *record, struct error *error)
{
    if (!record->writer) {
        error_set(error, FAILURE_INPUT, "was-opened-for-reading-only-nothing",
                  ARGUMENTS(arg_words("path", record->path)));
        return NULL;
    }
    pthread_mutex_lock(&record->writing);
    if (sql_all(record->writer, "BEGIN IMMEDIATE", error)) return record->writer;
    pthread_mutex_unlock(&record->writing);
    return NULL;
}

bool handle_end(struct record *record, bool ok, struct error *error)
{
    ok = ok && sql_all(record->writer, "UPDATE head SET revision = revision + 1; COMMIT", error);
    if (!ok) sqlite3_exec(record->writer, "ROLLBACK", NULL, NULL, NULL);
    pthread_mutex_unlock(&record->writing);
    return ok;
}

/* ---- the handle ---- */

static bool record_is_there(struct machine *machine, const char *path, enum record_way way,
                            struct error *error)
{
    struct file_status status = machine->status(machine, path);
    if (status.exists && status.is_folder)
        return error_set(error, FAILURE_INPUT, "is-folder-record-is-file-of",
                         ARGUMENTS(arg_words("path", path)));
    if (status.exists || way == RECORD_CREATE) return true;
    return error_set(error, FAILURE_INPUT, "is-not-there-nothing-was-put",
                     ARGUMENTS(arg_words("path", path)));
}

struct record *record_open(struct machine *machine, const char *folder, enum record_way way,
                           struct error *error)
{
    struct arena *arena = arena_new(machine);
    const char *path = record_path_of(arena, folder);
    struct record *record = NULL;
    if (record_is_there(machine, path, way, error)) {
        record = machine->allocate(machine, sizeof *record);
        char *own = machine->allocate(machine, strlen(path) + 1);
        if (!record || !own) machine->no_memory(machine);
        *record = (struct record){.machine = machine, .path = strcpy(own, path), .way = way};
        pthread_mutex_init(&record->writing, NULL);
        pthread_mutex_init(&record->lending, NULL);
        pthread_cond_init(&record->returned, NULL);
        bool ok = way == RECORD_READ ? (record->readers[0] = open_reader(record, error)) != NULL
                                     : open_writer(record, error);
        if (!ok) record_close(record), record = NULL;
    }
    arena_free(arena);
    return record;
}

void record_close(struct record *record)
{
    if (!record) return;
    for (size_t i = 0; i < READERS; i++) sqlite3_close(record->readers[i]);
    sqlite3_close(record->writer);
    pthread_cond_destroy(&record->returned);
    pthread_mutex_destroy(&record->lending);
    pthread_mutex_destroy(&record->writing);
    struct machine *machine = record->machine;
    machine->release(machine, record->path);
    machine->release(machine, record);
}

int64_t record_revision(struct record *record)
{
    int64_t revision = 0;
    sqlite3 *db = handle_lend(record, NULL);
    if (!db) return 0;
    sql_one(db, "SELECT revision FROM head", &revision, NULL);
    handle_return(record, db);
    return revision;
}
