/* Makes the tables of the record file, brings older files to the newest form, and compares a file with what
 * it should hold. Called when the record opens and when it is checked. */
#include "schema.h"
#include "base/arena.h"
#include "base/text.h"
#include "model/entry.h"

/* The first form of the file, as it once was and stays; later forms add to it (upgrade_to).
 *
 * Facts, photographs and plan versions are only ever added: triggers refuse everything else, also to other
 * programs. Numbers follow one another, so a missing one shows. `head` holds the end of the chain of digests;
 * `state` can be rebuilt from the facts; `person` is no part of the record. */
static const char tables[] =
    "CREATE TABLE photo(name TEXT PRIMARY KEY, kind TEXT NOT NULL, bytes BLOB NOT NULL) STRICT;"
    "CREATE TABLE fact(number INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, kind TEXT NOT NULL,"
    " at INTEGER NOT NULL, recorded INTEGER NOT NULL, job TEXT, panel TEXT, who TEXT, device TEXT,"
    " air_c REAL, surface_c REAL, humidity_percent REAL, planned_mm REAL, measured_mm REAL, roll TEXT,"
    " batch TEXT, words TEXT, override TEXT, gate TEXT, photo TEXT REFERENCES photo(name), what TEXT,"
    " of TEXT, width_mm REAL, length_mm REAL, withdraws INTEGER REFERENCES fact(number),"
    " digest TEXT NOT NULL) STRICT;"
    "CREATE INDEX fact_of_job ON fact(job, panel);"
    "CREATE INDEX fact_of_roll ON fact(roll) WHERE roll IS NOT NULL;"
    "CREATE UNIQUE INDEX fact_withdrawn ON fact(withdraws) WHERE withdraws IS NOT NULL;"
    "CREATE TABLE plan(fact INTEGER PRIMARY KEY REFERENCES fact(number), job TEXT NOT NULL,"
    " version INTEGER NOT NULL, made INTEGER NOT NULL, fingerprint TEXT NOT NULL, title TEXT, vehicle TEXT,"
    " has_install INTEGER NOT NULL, earliest_install INTEGER NOT NULL, finished INTEGER NOT NULL,"
    " has_due INTEGER NOT NULL, due INTEGER NOT NULL, decides TEXT, stops INTEGER NOT NULL,"
    " warnings INTEGER NOT NULL, notes INTEGER NOT NULL, currency TEXT, price INTEGER NOT NULL, feed_percent "
    "REAL NOT NULL, film TEXT,"
    " laminate TEXT, ink TEXT, condition TEXT, profile_description TEXT, profile_fingerprint TEXT,"
    " json TEXT NOT NULL, UNIQUE(job, version)) STRICT;"
    "CREATE TABLE plan_panel(fact INTEGER NOT NULL REFERENCES plan(fact), place INTEGER NOT NULL,"
    " panel TEXT NOT NULL, surface TEXT NOT NULL, surface_index INTEGER NOT NULL,"
    " install_order INTEGER NOT NULL, x0 REAL NOT NULL, y0 REAL NOT NULL, x1 REAL NOT NULL,"
    " y1 REAL NOT NULL, front INTEGER NOT NULL, neighbours TEXT, dry_s REAL NOT NULL, has_laminate INTEGER "
    "NOT NULL, bond_s REAL NOT NULL,"
    " laminate_low_c REAL, laminate_high_c REAL, laminate_source TEXT, cast_laminate INTEGER NOT NULL,"
    " trim_waits INTEGER NOT NULL, print_mm REAL NOT NULL, print_start INTEGER NOT NULL,"
    " print_end INTEGER NOT NULL, dry_end INTEGER NOT NULL, laminate_start INTEGER NOT NULL,"
    " laminate_end INTEGER NOT NULL, bond_end INTEGER NOT NULL, trim_start INTEGER NOT NULL, trim_end "
    "INTEGER NOT NULL,"
    " install_start INTEGER NOT NULL, install_end INTEGER NOT NULL, PRIMARY KEY(fact, place)) STRICT,"
    " WITHOUT ROWID;"
    "CREATE TABLE state(job TEXT NOT NULL, panel TEXT NOT NULL, printed INTEGER NOT NULL,"
    " hung INTEGER NOT NULL, dry_checked INTEGER NOT NULL, laminated INTEGER NOT NULL,"
    " trimmed INTEGER NOT NULL, installed INTEGER NOT NULL, damaged INTEGER NOT NULL,"
    " reprints INTEGER NOT NULL, overrides INTEGER NOT NULL, measured_mm REAL, planned_mm REAL,"
    " fact INTEGER NOT NULL, PRIMARY KEY(job, panel)) STRICT, WITHOUT ROWID;"
    "CREATE INDEX state_since ON state(fact);"
    "CREATE TABLE head(one INTEGER PRIMARY KEY CHECK(one = 1), facts INTEGER NOT NULL,"
    " digest TEXT NOT NULL, revision INTEGER NOT NULL) STRICT;"
    "CREATE TABLE person(name TEXT PRIMARY KEY, role TEXT NOT NULL CHECK(role IN ('viewer', 'shop')),"
    " password TEXT NOT NULL) STRICT;";

static const char guards[] =
    "CREATE TRIGGER fact_next BEFORE INSERT ON fact"
    " WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM fact)"
    " OR EXISTS(SELECT 1 FROM fact WHERE key = NEW.key OR withdraws = NEW.withdraws)"
    " BEGIN SELECT raise(ABORT, 'facts are added one behind the other, never put in place of others'); END;"
    "CREATE TRIGGER fact_stays BEFORE UPDATE ON fact"
    " BEGIN SELECT raise(ABORT, 'a fact is never changed; record another'); END;"
    "CREATE TRIGGER fact_kept BEFORE DELETE ON fact"
    " BEGIN SELECT raise(ABORT, 'a fact is never taken out; record another'); END;"
    "CREATE TRIGGER photo_next BEFORE INSERT ON photo"
    " WHEN EXISTS(SELECT 1 FROM photo WHERE name = NEW.name)"
    " BEGIN SELECT raise(ABORT, 'a photograph is never replaced'); END;"
    "CREATE TRIGGER photo_stays BEFORE UPDATE ON photo"
    " BEGIN SELECT raise(ABORT, 'a photograph is never changed'); END;"
    "CREATE TRIGGER photo_kept BEFORE DELETE ON photo"
    " BEGIN SELECT raise(ABORT, 'a photograph is never taken out'); END;"
    "CREATE TRIGGER plan_next BEFORE INSERT ON plan"
    " WHEN EXISTS(SELECT 1 FROM plan WHERE fact = NEW.fact OR (job = NEW.job AND version = NEW.version))"
    " BEGIN SELECT raise(ABORT, 'a plan version is never replaced'); END;"
    "CREATE TRIGGER plan_stays BEFORE UPDATE ON plan"
    " BEGIN SELECT raise(ABORT, 'a plan version is never changed'); END;"
    "CREATE TRIGGER plan_kept BEFORE DELETE ON plan"
    " BEGIN SELECT raise(ABORT, 'a plan version is never taken out'); END;"
    "CREATE TRIGGER plan_panel_next BEFORE INSERT ON plan_panel"
    " WHEN EXISTS(SELECT 1 FROM plan_panel WHERE fact = NEW.fact AND place = NEW.place)"
    " BEGIN SELECT raise(ABORT, 'a plan version is never replaced'); END;"
    "CREATE TRIGGER plan_panel_stays BEFORE UPDATE ON plan_panel"
    " BEGIN SELECT raise(ABORT, 'a plan version is never changed'); END;"
    "CREATE TRIGGER plan_panel_kept BEFORE DELETE ON plan_panel"
    " BEGIN SELECT raise(ABORT, 'a plan version is never taken out'); END;"
    "INSERT INTO head VALUES(1, 0, '', 0);";

static bool schema_numbers_of(sqlite3 *db, int64_t *application, int64_t *version, int64_t *tables_there,
                              struct error *error)
{
    return sql_one(db, "PRAGMA application_id", application, error) &&
           sql_one(db, "PRAGMA user_version", version, error) &&
           sql_one(db, "SELECT count(*) FROM sqlite_schema", tables_there, error);
}

/* What a form has besides new fields of facts. */
static const char *const form_extras[] = {
    [2] = "CREATE INDEX fact_sent_as ON fact(sent_as) WHERE sent_as IS NOT NULL;",
    [5] = "CREATE INDEX fact_printed_with ON fact(printed_with) WHERE printed_with IS NOT NULL;",
};

static const char *column_type(enum fact_form form)
{
    return fact_form_is_figure(form)                           ? "REAL"
           : form == FACT_FORM_WHOLE || form == FACT_FORM_TIME ? "INTEGER"
                                                               : "TEXT";
}

static bool upgrade_to(sqlite3 *db, int form, struct error *error)
{
    char statement[200];
    for (size_t i = 0; i < fact_field_count; i++) {
        const struct fact_field *field = &fact_fields[i];
        if (field->since != form) continue;
        sentence_into(
            statement, sizeof statement, "alter-table-fact-add-column",
            ARGUMENTS(arg_words("field", field->name), arg_words("type", column_type(field->form))));
        if (!sql_all(db, statement, error)) return false;
    }
    const char *extra = (size_t)form < sizeof form_extras / sizeof *form_extras ? form_extras[form] : NULL;
    if (extra && !sql_all(db, extra, error)) return false;
    format_into(statement, sizeof statement, "PRAGMA user_version = %d", form);
    return sql_all(db, statement, error);
}

static bool upgrade(sqlite3 *db, int from, int to, struct error *error)
{
    for (int form = from + 1; form <= to; form++)
        if (!upgrade_to(db, form, error)) return false;
    return true;
}

static bool make_tables(sqlite3 *db, int form, struct error *error)
{
    _Static_assert(SCHEMA_APPLICATION == 1280332371, "as written below");
    return sql_all(db, tables, error) && sql_all(db, guards, error) &&
           sql_all(db, "PRAGMA application_id = 1280332371; PRAGMA user_version = 1;", error) &&
           upgrade(db, 1, form, error);
}

bool schema_make(sqlite3 *db, bool create, struct error *error)
{
    int64_t application, version, there;
    int newest = fact_fields_form();
    if (!sql_all(db, "BEGIN EXCLUSIVE", error)) return false;
    bool ok = schema_numbers_of(db, &application, &version, &there, error);
    if (ok && create && !application && !version && !there) ok = make_tables(db, newest, error);
    if (ok && application == SCHEMA_APPLICATION && version >= 1 && version < newest)
        ok = upgrade(db, (int)version, newest, error);
    if (ok && sql_all(db, "COMMIT", error)) return true;
    sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    return false;
}

bool schema_adapt(sqlite3 *db, struct error *error)
{
    int64_t version;
    char view[2000];
    if (!sql_one(db, "PRAGMA user_version", &version, error)) return false;
    if (version >= fact_fields_form()) return true;
    size_t used = format_into(view, sizeof view, "CREATE TEMP VIEW fact AS SELECT *");
    for (size_t i = 0; i < fact_field_count; i++)
        if (fact_fields[i].since > version)
            used += format_into(view + used, sizeof view - used, ", NULL AS %s", fact_fields[i].name);
    format_into(view + used, sizeof view - used, " FROM main.fact");
    return sql_all(db, view, error);
}

bool schema_check(sqlite3 *db, const char *path, struct error *error)
{
    int64_t application, version, there;
    if (!schema_numbers_of(db, &application, &version, &there, error)) return false;
    if (application != SCHEMA_APPLICATION)
        return error_set(error, FAILURE_INPUT, "is-not-production-record-another-file",
                         ARGUMENTS(arg_words("path", path)));
    if (version > fact_fields_form())
        return error_set(error, FAILURE_INPUT, "was-made-by-newer-lapstrake-its",
                         ARGUMENTS(arg_words("path", path), arg_count("version", (int64_t)version),
                                   arg_count("fields", fact_fields_form())));
    return true;
}

/* ---- comparing ---- */

static const char listing[] = "SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_schema "
                              "WHERE name NOT LIKE 'sqlite_%' ORDER BY 1";

struct schema_listed {
    const char *name, *sql;
};

static bool list(sqlite3 *db, struct arena *arena, struct schema_listed **items, size_t *count,
                 struct error *error)
{
    struct sql sql = sql_open(db, listing);
    size_t capacity = 0;
    bool row, ok;
    *items = NULL, *count = 0;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct schema_listed *item = arena_append(arena, items, count, &capacity, sizeof *item);
        item->name = sql_text(&sql, arena);
        item->sql = sql_text(&sql, arena);
    }
    sql_close(&sql);
    return ok;
}

static const struct schema_listed *schema_find_listed(const struct schema_listed *items, size_t count,
                                                      const char *name)
{
    for (size_t i = 0; i < count; i++)
        if (string_equal(items[i].name, name)) return &items[i];
    return NULL;
}

bool schema_compare(sqlite3 *db, struct arena *arena, struct report *report, struct error *error)
{
    struct schema_listed *right = NULL, *there = NULL;
    size_t right_count = 0, there_count = 0;
    const struct place place = {.file = "record.sqlite"};
    sqlite3 *model = NULL;
    int64_t form;
    bool ok = sql_one(db, "PRAGMA user_version", &form, error) &&
              sqlite3_open(":memory:", &model) == SQLITE_OK && make_tables(model, (int)form, error) &&
              list(model, arena, &right, &right_count, error) && list(db, arena, &there, &there_count, error);
    sqlite3_close(model);
    for (size_t i = 0; ok && i < right_count; i++) {
        const struct schema_listed *same = schema_find_listed(there, there_count, right[i].name);
        if (!same)
            report_add(report, place, "is-missing-it-keeps-facts-from",
                       ARGUMENTS(arg_words("right", right[i].name)));
        else if (!string_equal(same->sql, right[i].sql))
            report_add(report, place, "was-changed-from-outside",
                       ARGUMENTS(arg_words("right", right[i].name)));
    }
    for (size_t i = 0; ok && i < there_count; i++)
        if (!schema_find_listed(right, right_count, there[i].name))
            report_add(report, place, "does-not-belong-to-record",
                       ARGUMENTS(arg_words("there", there[i].name)));
    return ok;
}
