/* Who may use the page. No part of the record: people come and go, facts keep the names they were given. */
#include "checks.h"
#include "handle.h"
#include <string.h>

enum { PASSWORD_MOST = 200 };

static const char *role_name(enum role role)
{
    return role == ROLE_SHOP ? "shop" : "viewer";
}

bool record_people(struct record *record, struct arena *arena, struct person **people, size_t *count,
                   struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, "SELECT name, role, password FROM person ORDER BY name");
    size_t capacity = 0;
    bool row, ok;
    *people = NULL, *count = 0;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct person *person = arena_append(arena, people, count, &capacity, sizeof *person);
        person->name = sql_text(&sql, arena);
        person->role = string_equal(sql_text(&sql, arena), "shop") ? ROLE_SHOP : ROLE_VIEWER;
        person->password = sql_text(&sql, arena);
    }
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

bool record_set_person(struct record *record, const struct person *person, struct error *error)
{
    if (!person->name || !check_name("a person's name", person->name, error))
        return person->name ? false : error_set(error, FAILURE_INPUT, "person-needs-name", NULL);
    if (!person->password || !person->password[0] || strlen(person->password) > PASSWORD_MOST)
        return error_set(error, FAILURE_INPUT, "person-needs-password",
                         ARGUMENTS(arg_words("person", person->name)));
    sqlite3 *db = handle_begin(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, "INSERT OR REPLACE INTO person(name, role, password) VALUES(?, ?, ?)");
    sql_bind_text(&sql, person->name), sql_bind_text(&sql, role_name(person->role));
    sql_bind_text(&sql, person->password);
    return handle_end(record, sql_run(&sql, error), error);
}

bool record_remove_person(struct record *record, const char *name, struct error *error)
{
    sqlite3 *db = handle_begin(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, "DELETE FROM person WHERE name = ?");
    sql_bind_text(&sql, name);
    bool ok = sql_run(&sql, error);
    if (ok && !sqlite3_changes(db))
        ok = error_set(error, FAILURE_INPUT, "there-is-no-person", ARGUMENTS(arg_words("name", name)));
    return handle_end(record, ok, error);
}
