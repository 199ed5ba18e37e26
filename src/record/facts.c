/* Adds facts, guarded against sending twice and against a stale page. Called by floor; other files of the room
 * add facts through fact_put. */
#include "facts.h"
#include "checks.h"
#include "digest.h"
#include "states.h"
#include "base/text.h"
#include "model/entry.h"

/* ---- what a fact refers to ---- */

static bool facts_has_row(sqlite3 *db, const char *statement, const char *value, bool *there,
                          struct error *error)
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
    if (!facts_has_row(db, "SELECT 1 FROM photo WHERE name = ?", f->photo, &there, error)) return false;
    return there || error_set(error, FAILURE_INPUT, "photograph-is-not-in-record-send", NULL);
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
            if (!facts_has_row(db, ROLL_THERE, f->roll, &there, error)) return false;
        } while (there);
        return true;
    }
    if (!f->roll) return true;
    if (!facts_has_row(db, ROLL_THERE, f->roll, &there, error)) return false;
    if (f->kind == FACT_ROLL_IN && there)
        return error_set(error, FAILURE_INPUT, "there-is-roll-already-give-this",
                         ARGUMENTS(arg_words("roll", f->roll)));
    if (f->kind != FACT_ROLL_IN && !there)
        return error_set(error, FAILURE_INPUT, "is-not-roll-of-this-record",
                         ARGUMENTS(arg_words("roll", f->roll)));
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
        return error_set(error, FAILURE_INPUT, "there-is-no-fact-to-withdraw",
                         ARGUMENTS(arg_count("withdraws", (int64_t)f->withdraws)));
    if (f->job && !string_equal(f->job, other->job))
        return error_set(error, FAILURE_INPUT, "fact-is-not-of-job",
                         ARGUMENTS(arg_count("withdraws", (int64_t)f->withdraws), arg_words("job", f->job)));
    if (other->withdrawn)
        return error_set(error, FAILURE_INPUT, "fact-was-withdrawn-before",
                         ARGUMENTS(arg_count("withdraws", (int64_t)f->withdraws)));
    if (!f->words && f->recorded - other->recorded > FACT_UNDO_S)
        return error_set(error, FAILURE_INPUT, "withdrawn-needs-words-what-was-not", NULL);
    if (other->kind == FACT_WITHDRAWN || other->kind == FACT_PLANNED)
        return error_set(error, FAILURE_INPUT, "fact-cannot-be-withdrawn-record-what",
                         ARGUMENTS(arg_count("withdraws", (int64_t)f->withdraws),
                                   arg_words("entry", fact_kind_words(other->kind))));
    f->job = other->job, f->panel = other->panel;
    return true;
}

/* ---- putting on record ---- */

static bool refuse_key(const char *key, int64_t number, struct error *error)
{
    return error_set(error, FAILURE_CONFLICT, "key-belongs-to-entry-which-says",
                     ARGUMENTS(arg_words("right", key), arg_count("number", (int64_t)number)));
}

/* Facts that are on record under that key already: the same ones sent again, or others. */
static bool find_sent(sqlite3 *db, const char *key, struct fact *facts, size_t count, struct arena *arena,
                      bool *known, struct error *error)
{
    struct fact *kept;
    size_t kept_count;
    if (!fact_list_of_key(db, key, arena, &kept, &kept_count, error)) return false;
    *known = kept_count > 0;
    bool same = kept_count == count || !kept_count;
    for (size_t i = 0; same && i < kept_count; i++) {
        same = fact_same_content(&facts[i], &kept[i]);
        facts[i].number = kept[i].number, facts[i].recorded = kept[i].recorded;
    }
    return same || refuse_key(key, kept->number, error);
}

/* Before there was `sent_as`, several facts of one key could be told by their own keys alone. */
static bool find_each(sqlite3 *db, struct fact *facts, size_t count, struct arena *arena, bool *known,
                      struct error *error)
{
    *known = true;
    for (size_t i = 0; *known && i < count; i++)
        if (!find_sent(db, facts[i].key, &facts[i], 1, arena, known, error)) return false;
    return true;
}

bool record_find_sent(struct record *record, const char *key, struct fact *facts, size_t count, bool *known,
                      struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct arena *arena = arena_new(record->machine);
    bool ok = find_sent(db, key, facts, count, arena, known, error);
    if (ok && !*known && count > 1) ok = find_each(db, facts, count, arena, known, error);
    arena_free(arena);
    handle_return(record, db);
    return ok;
}

static bool read_head(sqlite3 *db, int64_t *facts, const char **digest, struct arena *arena,
                      struct error *error)
{
    struct sql sql = sql_open(db, "SELECT facts, digest FROM head");
    bool row, ok = sql_step(&sql, &row, error);
    if (ok && row) *facts = sql_whole(&sql), *digest = sql_text(&sql, arena);
    sql_close(&sql);
    if (ok && !row) return error_set(error, FAILURE_INPUT, "record-sqlite-has-lost-its-head", NULL);
    return ok;
}

static void bind_field(struct sql *sql, const struct fact *f, const struct fact_field *field)
{
    if (field->form == FACT_FORM_KIND)
        sql_bind_text(sql, fact_kind_name(f->kind));
    else if (fact_form_is_text(field->form))
        sql_bind_text(sql, fact_text(f, field));
    else if (fact_form_is_figure(field->form))
        sql_bind_number(sql, fact_figure(f, field));
    else if (fact_field_given(f, field))
        sql_bind_whole(sql, fact_whole(f, field));
    else
        sql_bind_text(sql, NULL);
}

static bool facts_insert(sqlite3 *db, const struct fact *f, const char *digest, struct arena *arena,
                         struct error *error)
{
    struct sql sql = sql_open(db, arena_format(arena, "INSERT INTO fact(%s, digest) VALUES(%s, ?)",
                                               fact_columns(arena, false), fact_columns(arena, true)));
    for (size_t i = 0; i < fact_field_count; i++) bind_field(&sql, f, &fact_fields[i]);
    sql_bind_text(&sql, digest);
    return sql_run(&sql, error);
}

static bool facts_append(sqlite3 *db, struct fact *f, struct arena *arena, struct error *error)
{
    int64_t facts = 0;
    const char *before = NULL;
    char digest[65];
    if (!read_head(db, &facts, &before, arena, error)) return false;
    f->number = facts + 1;
    digest_fact(before, f, digest);
    if (!facts_insert(db, f, digest, arena, error)) return false;
    struct sql sql = sql_open(db, "UPDATE head SET facts = ?, digest = ?");
    sql_bind_whole(&sql, f->number), sql_bind_text(&sql, digest);
    return sql_run(&sql, error);
}

bool fact_put(struct record *record, sqlite3 *db, struct fact *fact, struct arena *arena, struct error *error)
{
    bool known;
    if (!check_fact(fact, error) || !find_sent(db, fact->key, fact, 1, arena, &known, error)) return false;
    if (known) return true;
    struct fact whole = *fact;
    whole.recorded = record->machine->now(record->machine);
    if (!whole.at) whole.at = whole.recorded;
    if (!check_photo(db, &whole, error) || !complete_roll(db, &whole, arena, error) ||
        !complete_withdrawal(db, &whole, arena, error) || !facts_append(db, &whole, arena, error) ||
        !states_renew(db, whole.job, whole.panel, whole.number, arena, error))
        return false;
    fact->number = whole.number, fact->recorded = whole.recorded, fact->at = whole.at;
    return true;
}

static bool is_stale(sqlite3 *db, const struct fact_guard *guard, bool *stale, struct error *error)
{
    int64_t last;
    *stale = false;
    if (!guard) return true;
    if (!fact_last(db, guard->job, &last, error)) return false;
    *stale = last != guard->last;
    return true;
}

/* A version without its plan would look like one that was taken out. */
static bool no_plan_version(const struct fact *facts, size_t count, struct error *error)
{
    for (size_t i = 0; i < count; i++)
        if (facts[i].kind == FACT_PLANNED)
            return error_set(error, FAILURE_INPUT, "plan-version-is-put-on-record", NULL);
    return true;
}

bool record_add(struct record *record, struct fact *facts, size_t count, const struct fact_guard *guard,
                bool *stale, struct error *error)
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
