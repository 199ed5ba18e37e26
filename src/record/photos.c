/* Stores and returns photographs by the digest of their bytes. Called by floor after raster has cleaned them.
 */
#include "digest.h"
#include "handle.h"
#include <string.h>

static bool is_what_it_says(struct str bytes, const char *kind)
{
    static const char png[] = "\x89PNG\r\n\x1a\n";
    if (string_equal(kind, "image/jpeg")) return bytes.length > 3 && !memcmp(bytes.bytes, "\xff\xd8\xff", 3);
    return string_equal(kind, "image/png") && bytes.length > 8 && !memcmp(bytes.bytes, png, 8);
}

static bool photos_insert(sqlite3 *db, struct str bytes, const char *kind, const char *name,
                          struct error *error)
{
    struct sql there = sql_open(db, "SELECT 1 FROM photo WHERE name = ?");
    sql_bind_text(&there, name);
    bool row, ok = sql_step(&there, &row, error);
    sql_close(&there);
    if (!ok || row) return ok;
    struct sql sql = sql_open(db, "INSERT INTO photo(name, kind, bytes) VALUES(?, ?, ?)");
    sql_bind_text(&sql, name), sql_bind_text(&sql, kind), sql_bind_bytes(&sql, bytes);
    return sql_run(&sql, error);
}

bool record_add_photo(struct record *record, struct str bytes, const char *kind, char name[65],
                      struct error *error)
{
    if (bytes.length > FACT_PHOTO_BYTES_MOST)
        return error_set(
            error, FAILURE_INPUT, "photograph-has-bytes-at-most-are",
            ARGUMENTS(arg_count("bytes", (int64_t)bytes.length), arg_count("most", FACT_PHOTO_BYTES_MOST)));
    if (!is_what_it_says(bytes, kind))
        return error_set(error, FAILURE_INPUT, "photograph-must-be-jpeg-or-png", NULL);
    digest_bytes(bytes, name);
    sqlite3 *db = handle_begin(record, error);
    if (!db) return false;
    return handle_end(record, photos_insert(db, bytes, kind, name, error), error);
}

bool record_photo_bytes(struct record *record, int64_t *bytes, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = sql_one(db, "SELECT coalesce(sum(length(bytes)), 0) FROM photo", bytes, error);
    handle_return(record, db);
    return ok;
}

bool record_get_photo(struct record *record, const char *name, struct arena *arena, struct str *bytes,
                      const char **kind, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, "SELECT kind, bytes FROM photo WHERE name = ?");
    sql_bind_text(&sql, name);
    bool row, ok = sql_step(&sql, &row, error);
    if (ok && row) *kind = sql_text(&sql, arena), *bytes = sql_bytes(&sql, arena);
    sql_close(&sql);
    handle_return(record, db);
    if (ok && !row)
        return error_set(error, FAILURE_INPUT, "there-is-no-photograph-on-record",
                         ARGUMENTS(arg_words("name", name)));
    return ok;
}
