/* Whether the record is sound, and copies of it. */
#include "digest.h"
#include "facts.h"
#include "plans.h"
#include "states.h"
#include "base/path.h"
#include "base/text.h"

static const struct place here = {.file = "record.sqlite"};

/* ---- the chain ---- */

struct chain {
    struct report *report;
    int64_t last;
    char digest[65];
};

static bool take_link(void *self, const struct fact_row *row)
{
    struct chain *chain = self;
    char digest[65];
    const struct fact *f = &row->fact;
    if (f->number != chain->last + 1)
        report_add(chain->report, here, "fact-last-is-missing",
                   ARGUMENTS(arg_count("last", (int64_t)(chain->last + 1))));
    if (f->kind == FACT_KIND_COUNT)
        report_add(chain->report, here, "fact-is-of-kind-that-nobody",
                   ARGUMENTS(arg_count("number", (int64_t)f->number)));
    else
        digest_fact(chain->digest, f, digest);
    if (f->kind == FACT_KIND_COUNT || !string_equal(digest, row->digest))
        report_add(chain->report, here, "fact-or-one-before-it-was",
                   ARGUMENTS(arg_count("number", (int64_t)f->number)));
    chain->last = f->number;
    format_into(chain->digest, sizeof chain->digest, "%s", row->digest);
    return chain->report->count < REPORT_MOST;
}

static bool check_head(sqlite3 *db, const struct chain *chain, struct arena *arena, struct error *error)
{
    struct sql sql = sql_open(db, "SELECT facts, digest FROM head");
    bool row, ok = sql_step(&sql, &row, error);
    int64_t facts = ok && row ? sql_whole(&sql) : -1;
    const char *digest = ok && row ? sql_text(&sql, arena) : NULL;
    sql_close(&sql);
    if (ok && facts > chain->last)
        report_add(chain->report, here, "last-facts-are-missing",
                   ARGUMENTS(arg_count("entries", (int64_t)((facts - chain->last)))));
    else if (ok && (facts != chain->last || !string_equal(digest, chain->digest)))
        report_add(chain->report, here, "end-of-chain-of-facts-is", NULL);
    return ok;
}

static bool check_chain(sqlite3 *db, struct machine *machine, struct arena *arena, struct report *report,
                        size_t *facts, struct error *error)
{
    struct chain chain = {.report = report};
    if (!fact_each(db, machine, take_link, &chain, error)) return false;
    *facts = (size_t)chain.last;
    return report->count >= REPORT_MOST || check_head(db, &chain, arena, error);
}

/* ---- the rest ---- */

/* SQLite's own: pages, indexes, and what refers to what. */
static bool check_file(sqlite3 *db, struct arena *arena, struct report *report, struct error *error)
{
    struct sql sql = sql_open(db, "PRAGMA integrity_check(20)");
    bool row, ok;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        const char *words = sql_text(&sql, arena);
        if (!string_equal(words, "ok"))
            report_add(report, here, "file-is-damaged", ARGUMENTS(arg_words("why", words)));
    }
    sql_close(&sql);
    if (!ok) return false;
    int64_t stray;
    ok = sql_one(db, "SELECT count(*) FROM pragma_foreign_key_check", &stray, error);
    if (ok && stray)
        report_add(report, here, "rows-refer-to-facts-or-photographs",
                   ARGUMENTS(arg_count("stray", (int64_t)stray)));
    return ok;
}

static bool check_photos(sqlite3 *db, struct machine *machine, struct report *report, struct error *error)
{
    struct sql sql = sql_open(db, "SELECT name, bytes FROM photo ORDER BY name");
    bool row, ok;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct arena *arena = arena_new(machine);
        char digest[65];
        const char *name = sql_text(&sql, arena);
        digest_bytes(sql_bytes(&sql, arena), digest);
        if (!string_equal(name, digest))
            report_add(report, here, "photograph-was-changed", ARGUMENTS(arg_words("name", name)));
        arena_free(arena);
    }
    sql_close(&sql);
    return ok;
}

static bool care_verify(sqlite3 *db, struct machine *machine, struct report *report, size_t *facts,
                        struct error *error)
{
    struct arena *arena = arena_new(machine);
    bool ok = check_file(db, arena, report, error) && schema_compare(db, arena, report, error) &&
              check_chain(db, machine, arena, report, facts, error) &&
              plans_compare(db, machine, report, error) && check_photos(db, machine, report, error) &&
              states_compare(db, machine, report, error);
    arena_free(arena);
    return ok;
}

bool record_verify(struct record *record, struct report *report, size_t *facts, struct error *error)
{
    size_t count = 0;
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = care_verify(db, record->machine, report, &count, error);
    handle_return(record, db);
    if (facts) *facts = count;
    return ok;
}

/* ---- copies ---- */

/* All pages of one moment; writers go on meanwhile. */
static bool copy_pages(sqlite3 *from, sqlite3 *to, struct error *error)
{
    sqlite3_backup *backup = sqlite3_backup_init(to, "main", from, "main");
    if (!backup) return sql_failed(to, "The copy", error);
    sqlite3_backup_step(backup, -1);
    return sqlite3_backup_finish(backup) == SQLITE_OK || sql_failed(to, "The copy", error);
}

/* One file without companions, which has passed its own check. */
static bool fill_copy(struct record *record, sqlite3 *from, const char *path, struct error *error)
{
    sqlite3 *to = NULL;
    struct arena *arena = arena_new(record->machine);
    struct report report = report_new(arena);
    size_t facts;
    bool ok = sqlite3_open(path, &to) == SQLITE_OK || sql_failed(to, "The copy", error);
    ok = ok && copy_pages(from, to, error) && sql_all(to, "PRAGMA journal_mode = DELETE", error) &&
         schema_adapt(to, error) && care_verify(to, record->machine, &report, &facts, error);
    if (ok && report.errors)
        ok = error_set(error, FAILURE_INPUT, "no-copy-was-made-for-record",
                       ARGUMENTS(arg_words("mistakes", report.mistakes[0].text)));
    sqlite3_close(to);
    arena_free(arena);
    return ok;
}

static bool is_elsewhere(const struct record *record, const char *path, struct error *error)
{
    struct arena *arena = arena_new(record->machine);
    bool same = string_equal(path_full(arena, path), path_full(arena, record->path));
    arena_free(arena);
    return !same || error_set(error, FAILURE_INPUT, "is-record-itself-name-another-file",
                              ARGUMENTS(arg_words("path", path)));
}

bool record_backup(struct record *record, const char *path, struct error *error)
{
    struct machine *machine = record->machine;
    struct out_file file;
    if (!is_elsewhere(record, path, error)) return false;
    sqlite3 *from = handle_lend(record, error);
    if (!from) return false;
    bool ok = machine->create(machine, path, &file, error);
    if (ok && fill_copy(record, from, file.temporary, error))
        ok = machine->commit(machine, &file, true, error);
    else if (ok)
        ok = (machine->abandon(machine, &file), false);
    handle_return(record, from);
    return ok;
}
