#include "facts.h"
#include "checks.h"
#include "digest.h"
#include "states.h"
#include <math.h>

/* ---- reading ---- */

#define COLUMNS                                                                                              \
    "number, key, kind, at, recorded, job, panel, who, device, air_c, surface_c, humidity_percent, "         \
    "planned_mm, measured_mm, roll, batch, words, override, gate, photo, what, of, width_mm, length_mm, "    \
    "withdraws"

static struct fact read_fact(struct sql *sql, struct arena *arena)
{
    struct fact f = {.number = sql_whole(sql), .key = sql_text(sql, arena), .kind = FACT_KIND_COUNT};
    fact_kind_from(sql_text(sql, arena), &f.kind);
    f.at = sql_whole(sql), f.recorded = sql_whole(sql);
    f.job = sql_text(sql, arena), f.panel = sql_text(sql, arena);
    f.who = sql_text(sql, arena), f.device = sql_text(sql, arena);
    f.air_c = sql_number(sql), f.surface_c = sql_number(sql), f.humidity_percent = sql_number(sql);
    f.planned_mm = sql_number(sql), f.measured_mm = sql_number(sql);
    f.roll = sql_text(sql, arena), f.batch = sql_text(sql, arena), f.words = sql_text(sql, arena);
    f.override = sql_text(sql, arena), f.gate = sql_text(sql, arena), f.photo = sql_text(sql, arena);
    f.what = sql_text(sql, arena), f.of = sql_text(sql, arena);
    f.width_mm = sql_number(sql), f.length_mm = sql_number(sql);
    f.withdraws = sql_whole(sql);
    return f;
}

bool fact_list(sqlite3 *db, const struct fact_query *query, struct arena *arena, struct fact **facts,
               size_t *count, struct error *error)
{
    struct sql sql = sql_open(
        db, query->job ? "SELECT " COLUMNS ", EXISTS(SELECT 1 FROM fact w WHERE w.withdraws = f.number) "
                         "FROM fact f WHERE job = ?1 AND (?2 IS NULL OR panel = ?2) AND number > ?3 "
                         "ORDER BY number LIMIT ?4"
                       : "SELECT " COLUMNS ", EXISTS(SELECT 1 FROM fact w WHERE w.withdraws = f.number) "
                         "FROM fact f WHERE ?1 IS NULL AND (?2 IS NULL OR panel = ?2) AND number > ?3 "
                         "ORDER BY number LIMIT ?4");
    sql_bind_text(&sql, query->job), sql_bind_text(&sql, query->panel);
    sql_bind_whole(&sql, query->after);
    sql_bind_whole(&sql, query->most ? (int64_t)query->most : -1);
    size_t capacity = 0;
    bool row, ok;
    *facts = NULL, *count = 0;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct fact *fact = arena_append(arena, facts, count, &capacity, sizeof *fact);
        *fact = read_fact(&sql, arena);
        fact->withdrawn = sql_whole(&sql) != 0;
    }
    sql_close(&sql);
    return ok;
}

bool record_facts(struct record *record, const struct fact_query *query, struct arena *arena,
                  struct fact **facts, size_t *count, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = fact_list(db, query, arena, facts, count, error);
    handle_return(record, db);
    return ok;
}

bool fact_each(sqlite3 *db, struct machine *machine, bool (*take)(void *self, const struct fact_row *row),
               void *self, struct error *error)
{
    struct sql sql = sql_open(db, "SELECT " COLUMNS ", digest FROM fact ORDER BY number");
    bool row, ok, more = true;
    while ((ok = sql_step(&sql, &row, error)) && row && more) {
        struct arena *arena = arena_new(machine);
        struct fact_row one = {.fact = read_fact(&sql, arena)};
        one.digest = sql_text(&sql, arena);
        more = take(self, &one);
        arena_free(arena);
    }
    sql_close(&sql);
    return ok;
}

bool record_find_key(struct record *record, const char *key, int64_t *number, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, "SELECT number FROM fact WHERE key = ?");
    sql_bind_text(&sql, key);
    bool row, ok = sql_step(&sql, &row, error);
    *number = ok && row ? sql_whole(&sql) : 0;
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

/* ---- what a fact refers to ---- */

static bool has_row(sqlite3 *db, const char *statement, const char *value, bool *there, struct error *error)
{
    struct sql sql = sql_open(db, statement);
    sql_bind_text(&sql, value);
    bool ok = sql_step(&sql, there, error);
    sql_close(&sql);
    return ok;
}

static bool check_photo(sqlite3 *db, const struct fact *f, struct error *error)
{
    bool there;
    if (!f->photo) return true;
    if (!has_row(db, "SELECT 1 FROM photo WHERE name = ?", f->photo, &there, error)) return false;
    return there || error_set(error, FAILURE_INPUT, "the photograph is not in the record; send it first");
}

#define ROLL_THERE                                                                                           \
    "SELECT 1 FROM fact f WHERE kind = 'roll-in' AND roll = ? "                                              \
    "AND NOT EXISTS(SELECT 1 FROM fact w WHERE w.withdraws = f.number)"

/* A roll must be known before something goes on it; a new one is named R1, R2 ... when nobody named it. */
static bool complete_roll(sqlite3 *db, struct fact *f, struct arena *arena, struct error *error)
{
    bool there;
    int64_t rolls;
    if (f->kind == FACT_ROLL_IN && !f->roll) {
        if (!sql_one(db, "SELECT count(*) FROM fact WHERE kind = 'roll-in'", &rolls, error)) return false;
        do {
            f->roll = arena_format(arena, "R%lld", (long long)++rolls);
            if (!has_row(db, ROLL_THERE, f->roll, &there, error)) return false;
        } while (there);
        return true;
    }
    if (!f->roll) return true;
    if (!has_row(db, ROLL_THERE, f->roll, &there, error)) return false;
    if (f->kind == FACT_ROLL_IN && there)
        return error_set(error, FAILURE_INPUT, "there is a roll %s already; give this one another name",
                         f->roll);
    if (f->kind != FACT_ROLL_IN && !there)
        return error_set(error, FAILURE_INPUT, "%s is no roll of this record; take it into stock first",
                         f->roll);
    return true;
}

/* A withdrawal belongs to the job and panel of what it withdraws. */
static bool complete_withdrawal(sqlite3 *db, struct fact *f, struct arena *arena, struct error *error)
{
    if (f->kind != FACT_WITHDRAWN) return true;
    struct fact *other;
    size_t count;
    struct fact_query query = {.after = f->withdraws - 1, .most = 1};
    if (!fact_list(db, &query, arena, &other, &count, error)) return false;
    if (!count || other->number != f->withdraws)
        return error_set(error, FAILURE_INPUT, "there is no fact %lld to withdraw", (long long)f->withdraws);
    if (f->job && !string_equal(f->job, other->job))
        return error_set(error, FAILURE_INPUT, "fact %lld is not of job %s", (long long)f->withdraws, f->job);
    if (other->withdrawn)
        return error_set(error, FAILURE_INPUT, "fact %lld was withdrawn before", (long long)f->withdraws);
    if (other->kind == FACT_WITHDRAWN || other->kind == FACT_PLANNED)
        return error_set(error, FAILURE_INPUT,
                         "fact %lld cannot be withdrawn (%s); record what is so instead",
                         (long long)f->withdraws, fact_kind_words(other->kind));
    f->job = other->job, f->panel = other->panel;
    return true;
}

/* ---- putting on record ---- */

/* A key that is there already: the same fact sent again, or a mistake. */
static bool find_key(sqlite3 *db, struct fact *f, struct arena *arena, bool *known, struct error *error)
{
    struct sql sql = sql_open(db, "SELECT number, recorded, kind, job, panel FROM fact WHERE key = ?");
    sql_bind_text(&sql, f->key);
    bool ok = sql_step(&sql, known, error), same = true;
    if (ok && *known) {
        f->number = sql_whole(&sql), f->recorded = sql_whole(&sql);
        same = string_equal(sql_text(&sql, arena), fact_kind_name(f->kind));
        const char *job = sql_text(&sql, arena), *panel = sql_text(&sql, arena);
        if (f->kind != FACT_WITHDRAWN)
            same = same && string_equal(job, f->job) && string_equal(panel, f->panel);
    }
    sql_close(&sql);
    if (ok && !same)
        return error_set(error, FAILURE_INPUT,
                         "the key %s belongs to fact %lld, which says something else; make a new key", f->key,
                         (long long)f->number);
    return ok;
}

static bool read_head(sqlite3 *db, int64_t *facts, const char **digest, struct arena *arena,
                      struct error *error)
{
    struct sql sql = sql_open(db, "SELECT facts, digest FROM head");
    bool row, ok = sql_step(&sql, &row, error);
    if (ok && row) *facts = sql_whole(&sql), *digest = sql_text(&sql, arena);
    sql_close(&sql);
    if (ok && !row)
        return error_set(error, FAILURE_INPUT,
                         "record.sqlite has lost its head row; `lapstrake record verify`");
    return ok;
}

static bool insert(sqlite3 *db, const struct fact *f, const char *digest, struct error *error)
{
    struct sql sql =
        sql_open(db, "INSERT INTO fact(" COLUMNS ", digest) VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, "
                     "?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, nullif(?, 0), ?)");
    sql_bind_whole(&sql, f->number), sql_bind_text(&sql, f->key),
        sql_bind_text(&sql, fact_kind_name(f->kind));
    sql_bind_whole(&sql, f->at), sql_bind_whole(&sql, f->recorded);
    sql_bind_text(&sql, f->job), sql_bind_text(&sql, f->panel);
    sql_bind_text(&sql, f->who), sql_bind_text(&sql, f->device);
    sql_bind_number(&sql, f->air_c), sql_bind_number(&sql, f->surface_c);
    sql_bind_number(&sql, f->humidity_percent);
    sql_bind_number(&sql, f->planned_mm), sql_bind_number(&sql, f->measured_mm);
    sql_bind_text(&sql, f->roll), sql_bind_text(&sql, f->batch), sql_bind_text(&sql, f->words);
    sql_bind_text(&sql, f->override), sql_bind_text(&sql, f->gate), sql_bind_text(&sql, f->photo);
    sql_bind_text(&sql, f->what), sql_bind_text(&sql, f->of);
    sql_bind_number(&sql, f->width_mm), sql_bind_number(&sql, f->length_mm);
    sql_bind_whole(&sql, f->withdraws), sql_bind_text(&sql, digest);
    return sql_run(&sql, error);
}

static bool append(sqlite3 *db, struct fact *f, struct arena *arena, struct error *error)
{
    int64_t facts = 0;
    const char *before = NULL;
    char digest[65];
    if (!read_head(db, &facts, &before, arena, error)) return false;
    f->number = facts + 1;
    digest_fact(before, f, digest);
    if (!insert(db, f, digest, error)) return false;
    struct sql sql = sql_open(db, "UPDATE head SET facts = ?, digest = ?");
    sql_bind_whole(&sql, f->number), sql_bind_text(&sql, digest);
    return sql_run(&sql, error);
}

bool fact_put(struct record *record, sqlite3 *db, struct fact *fact, struct arena *arena, struct error *error)
{
    bool known;
    if (!check_fact(fact, error) || !find_key(db, fact, arena, &known, error)) return false;
    if (known) return true;
    struct fact whole = *fact;
    whole.recorded = record->machine->now(record->machine);
    if (whole.kind != FACT_ROLL_IN) whole.what = whole.of = NULL, whole.width_mm = whole.length_mm = NAN;
    if (!check_photo(db, &whole, error) || !complete_roll(db, &whole, arena, error) ||
        !complete_withdrawal(db, &whole, arena, error) || !append(db, &whole, arena, error) ||
        !states_renew(db, whole.job, whole.panel, whole.number, arena, error))
        return false;
    fact->number = whole.number, fact->recorded = whole.recorded;
    return true;
}

static bool last_fact(sqlite3 *db, const char *job, int64_t *number, struct error *error)
{
    struct sql sql = sql_open(db, "SELECT coalesce(max(number), 0) FROM fact WHERE job = ?");
    sql_bind_text(&sql, job);
    bool row, ok = sql_step(&sql, &row, error);
    *number = ok && row ? sql_whole(&sql) : 0;
    sql_close(&sql);
    return ok;
}

bool record_last_fact(struct record *record, const char *job, int64_t *number, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = last_fact(db, job, number, error);
    handle_return(record, db);
    return ok;
}

static bool is_stale(sqlite3 *db, const struct fact_guard *guard, bool *stale, struct error *error)
{
    int64_t last;
    *stale = false;
    if (!guard) return true;
    if (!last_fact(db, guard->job, &last, error)) return false;
    *stale = last != guard->last;
    return true;
}

/* A version without its plan would look like one that was taken out. */
static bool no_plan_version(const struct fact *facts, size_t count, struct error *error)
{
    for (size_t i = 0; i < count; i++)
        if (facts[i].kind == FACT_PLANNED)
            return error_set(error, FAILURE_INPUT,
                             "a plan version is put on record by planning the job (`lapstrake record plan`)");
    return true;
}

bool record_add_guarded(struct record *record, struct fact *facts, size_t count,
                        const struct fact_guard *guard, bool *stale, struct error *error)
{
    *stale = false;
    if (!count) return true;
    if (!no_plan_version(facts, count, error)) return false;
    sqlite3 *db = handle_begin(record, error);
    if (!db) return false;
    struct arena *arena = arena_new(record->machine);
    bool ok = is_stale(db, guard, stale, error);
    for (size_t i = 0; ok && !*stale && i < count; i++) ok = fact_put(record, db, &facts[i], arena, error);
    ok = *stale ? (handle_end(record, false, NULL), ok) : handle_end(record, ok, error);
    for (size_t i = 0; (!ok || *stale) && i < count; i++) facts[i].number = facts[i].recorded = 0;
    arena_free(arena);
    return ok;
}

bool record_add(struct record *record, struct fact *facts, size_t count, struct error *error)
{
    bool stale;
    return record_add_guarded(record, facts, count, NULL, &stale, error);
}
