/* One SQLite statement from opening to closing, with bound values and columns in order. Called by every
 * file of the room that asks the database. */
#include "sql.h"
#include <math.h>
#include <string.h>

bool sql_failed(sqlite3 *db, const char *doing, struct error *error)
{
    switch (sqlite3_errcode(db) & 0xff) {
    case SQLITE_FULL:
    case SQLITE_IOERR:
        return error_set(error, FAILURE_FULL, "disk-is-full-or-does-not",
                         ARGUMENTS(arg_words("doing", doing), arg_words("why", sqlite3_errmsg(db))));
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return error_set(error, FAILURE_INPUT, "file-record-sqlite-is-damaged-or",
                         ARGUMENTS(arg_words("doing", doing), arg_words("why", sqlite3_errmsg(db))));
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return error_set(error, FAILURE_BUSY, "another-program-has-held-record-for",
                         ARGUMENTS(arg_words("doing", doing)));
    case SQLITE_READONLY:
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
        return error_set(error, FAILURE_MACHINE, "record-may-not-be-written-folder",
                         ARGUMENTS(arg_words("doing", doing), arg_words("why", sqlite3_errmsg(db))));
    default:
        return error_set(error, FAILURE_MACHINE, "path-trouble",
                         ARGUMENTS(arg_words("path", doing), arg_words("trouble", sqlite3_errmsg(db))));
    }
}

bool sql_all(sqlite3 *db, const char *statements, struct error *error)
{
    if (sqlite3_exec(db, statements, NULL, NULL, NULL) == SQLITE_OK) return true;
    return sql_failed(db, "The record", error);
}

struct sql sql_open(sqlite3 *db, const char *statement)
{
    struct sql sql = {.db = db};
    sqlite3_prepare_v2(db, statement, -1, &sql.statement, NULL);
    return sql;
}

void sql_close(struct sql *sql)
{
    sqlite3_finalize(sql->statement);
    sql->statement = NULL;
}

void sql_bind_text(struct sql *sql, const char *text)
{
    sqlite3_bind_text(sql->statement, ++sql->bound, text, -1, SQLITE_STATIC);
}

void sql_bind_bytes(struct sql *sql, struct str bytes)
{
    sqlite3_bind_blob64(sql->statement, ++sql->bound, bytes.bytes, bytes.length, SQLITE_STATIC);
}

void sql_bind_whole(struct sql *sql, int64_t value)
{
    sqlite3_bind_int64(sql->statement, ++sql->bound, value);
}

void sql_bind_number(struct sql *sql, double value)
{
    if (isnan(value))
        sqlite3_bind_null(sql->statement, ++sql->bound);
    else
        sqlite3_bind_double(sql->statement, ++sql->bound, value);
}

bool sql_step(struct sql *sql, bool *row, struct error *error)
{
    *row = false;
    sql->column = 0;
    if (!sql->statement) return sql_failed(sql->db, "The record", error);
    int result = sqlite3_step(sql->statement);
    *row = result == SQLITE_ROW;
    return *row || result == SQLITE_DONE ? true : sql_failed(sql->db, "The record", error);
}

bool sql_run(struct sql *sql, struct error *error)
{
    bool row, ok;
    do ok = sql_step(sql, &row, error);
    while (ok && row);
    sql_close(sql);
    return ok;
}

const char *sql_text(struct sql *sql, struct arena *arena)
{
    const char *text = (const char *)sqlite3_column_text(sql->statement, sql->column);
    size_t length = (size_t)sqlite3_column_bytes(sql->statement, sql->column++);
    return text ? arena_copy(arena, text, length) : NULL;
}

struct str sql_bytes(struct sql *sql, struct arena *arena)
{
    const void *bytes = sqlite3_column_blob(sql->statement, sql->column);
    size_t length = (size_t)sqlite3_column_bytes(sql->statement, sql->column++);
    return (struct str){arena_copy(arena, bytes ? bytes : "", length), length};
}

int64_t sql_whole(struct sql *sql)
{
    return sqlite3_column_int64(sql->statement, sql->column++);
}

double sql_number(struct sql *sql)
{
    int column = sql->column++;
    return sqlite3_column_type(sql->statement, column) == SQLITE_NULL
               ? NAN
               : sqlite3_column_double(sql->statement, column);
}

bool sql_one(sqlite3 *db, const char *statement, int64_t *value, struct error *error)
{
    struct sql sql = sql_open(db, statement);
    bool row, ok = sql_step(&sql, &row, error);
    *value = ok && row ? sql_whole(&sql) : 0;
    sql_close(&sql);
    return ok;
}
