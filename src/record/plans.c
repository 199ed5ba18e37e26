/* Stores plan versions with their panels, and answers what the latest one says. Called by floor when a job is
 * planned and when the floor is shown. */
#include "plans.h"
#include "checks.h"
#include "digest.h"
#include "facts.h"
#include <math.h>

#define PLAN_COLUMNS                                                                                         \
    "fact, job, version, made, fingerprint, title, vehicle, has_install, earliest_install, finished, "       \
    "has_due, due, decides, stops, warnings, notes, currency, price, feed_percent, film, laminate, ink, "    \
    "condition, "                                                                                            \
    "profile_description, profile_fingerprint"
#define PANEL_COLUMNS                                                                                        \
    "panel, surface, surface_index, install_order, x0, y0, x1, y1, front, neighbours, dry_s, has_laminate, " \
    "bond_s, "                                                                                               \
    "laminate_low_c, laminate_high_c, laminate_source, cast_laminate, trim_waits, print_mm, print_start, "   \
    "print_end, dry_end, laminate_start, laminate_end, bond_end, trim_start, trim_end, install_start, "      \
    "install_end"

/* ---- reading ---- */

static struct job_terms read_terms(struct sql *sql, struct arena *arena)
{
    struct job_terms t = {.job = sql_text(sql, arena), .version = sql_whole(sql), .made = sql_whole(sql)};
    t.fingerprint = sql_text(sql, arena);
    t.title = sql_text(sql, arena), t.vehicle = sql_text(sql, arena);
    t.has_install = sql_whole(sql) != 0, t.earliest_install = sql_whole(sql), t.finished = sql_whole(sql);
    t.has_due = sql_whole(sql) != 0, t.due = sql_whole(sql), t.decides = sql_text(sql, arena);
    t.stops = (size_t)sql_whole(sql), t.warnings = (size_t)sql_whole(sql), t.notes = (size_t)sql_whole(sql);
    t.currency = sql_text(sql, arena), t.price = sql_whole(sql);
    t.feed_percent = sql_number(sql);
    t.film = sql_text(sql, arena), t.laminate = sql_text(sql, arena), t.ink = sql_text(sql, arena);
    t.condition = sql_text(sql, arena);
    t.profile_description = sql_text(sql, arena), t.profile_fingerprint = sql_text(sql, arena);
    return t;
}

static struct panel_terms read_panel(struct sql *sql, struct arena *arena)
{
    struct panel_terms p = {.panel = sql_text(sql, arena)};
    p.surface = sql_text(sql, arena), p.surface_index = (size_t)sql_whole(sql),
    p.install_sequence = (int)sql_whole(sql);
    p.visible.x0 = sql_number(sql), p.visible.y0 = sql_number(sql);
    p.visible.x1 = sql_number(sql), p.visible.y1 = sql_number(sql);
    p.front = (enum front)sql_whole(sql), p.neighbours_text = sql_text(sql, arena);
    p.neighbours = neighbours_read(p.neighbours_text, arena, &p.neighbour_count);
    p.dry_s = sql_number(sql), p.has_laminate = sql_whole(sql) != 0, p.bond_s = sql_number(sql);
    p.laminate_low_c = sql_number(sql), p.laminate_high_c = sql_number(sql);
    p.laminate_source = sql_text(sql, arena);
    p.cast_laminate = sql_whole(sql) != 0, p.trim_waits = sql_whole(sql) != 0;
    p.print_mm = sql_number(sql), p.print_start = sql_whole(sql), p.print_end = sql_whole(sql);
    p.dry_end = sql_whole(sql), p.laminate_start = sql_whole(sql), p.laminate_end = sql_whole(sql);
    p.bond_end = sql_whole(sql), p.trim_start = sql_whole(sql), p.trim_end = sql_whole(sql);
    p.install_start = sql_whole(sql), p.install_end = sql_whole(sql);
    return p;
}

static bool read_panels(sqlite3 *db, int64_t fact, struct arena *arena, struct job_terms *terms,
                        struct error *error)
{
    struct sql sql = sql_open(db, "SELECT " PANEL_COLUMNS " FROM plan_panel WHERE fact = ? ORDER BY place");
    sql_bind_whole(&sql, fact);
    size_t capacity = 0;
    bool row, ok;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct panel_terms *panel =
            arena_append(arena, &terms->panels, &terms->panel_count, &capacity, sizeof *panel);
        *panel = read_panel(&sql, arena);
    }
    sql_close(&sql);
    return ok;
}

static bool read_promise(sqlite3 *db, struct job_terms *terms, struct error *error)
{
    struct sql sql =
        sql_open(db, "SELECT finished FROM plan WHERE job = ? AND has_install ORDER BY version LIMIT 1");
    sql_bind_text(&sql, terms->job);
    bool row, ok = sql_step(&sql, &row, error);
    if (ok && row) terms->first_promised = sql_whole(&sql);
    sql_close(&sql);
    return ok;
}

/* All rows of `sql`, each with its panels. */
static bool plans_read_all(sqlite3 *db, struct sql *sql, struct arena *arena, struct job_terms **terms,
                           size_t *count, struct error *error)
{
    size_t capacity = 0;
    bool row, ok;
    *terms = NULL, *count = 0;
    while ((ok = sql_step(sql, &row, error)) && row) {
        struct job_terms *one = arena_append(arena, terms, count, &capacity, sizeof *one);
        int64_t fact = sql_whole(sql);
        *one = read_terms(sql, arena);
        ok = read_panels(db, fact, arena, one, error) && read_promise(db, one, error);
        if (!ok) break;
    }
    sql_close(sql);
    return ok;
}

/* The latest version before that fact, of one job or (NULL) of each. */
static bool plans_latest(sqlite3 *db, const char *job, int64_t before, struct arena *arena,
                         struct job_terms **terms, size_t *count, struct error *error)
{
    struct sql sql =
        sql_open(db, job ? "SELECT " PLAN_COLUMNS
                           " FROM plan WHERE fact = (SELECT max(fact) FROM plan WHERE job = ?1 AND fact < ?2)"
                         : "SELECT " PLAN_COLUMNS " FROM plan WHERE ?1 IS NULL AND fact IN "
                           "(SELECT max(fact) FROM plan WHERE fact < ?2 GROUP BY job) ORDER BY job");
    sql_bind_text(&sql, job), sql_bind_whole(&sql, before);
    return plans_read_all(db, &sql, arena, terms, count, error);
}

bool record_terms_at(struct record *record, const char *job, int64_t before, struct arena *arena,
                     struct job_terms *terms, bool *found, struct error *error)
{
    struct job_terms *latest;
    size_t count;
    *found = false;
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = plans_latest(db, job, before, arena, &latest, &count, error);
    handle_return(record, db);
    if (ok && count) *terms = *latest, *found = true;
    return ok;
}

bool record_terms(struct record *record, const char *job, struct arena *arena, struct job_terms *terms,
                  bool *found, struct error *error)
{
    return record_terms_at(record, job, INT64_MAX, arena, terms, found, error);
}

bool record_findings(struct record *record, const char *job, struct arena *arena,
                     struct planned_finding **findings, size_t *count, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql =
        sql_open(db, "SELECT json_extract(f.value, '$.code'), json_extract(f.value, '$.where'), "
                     "json_extract(f.value, '$.place'), json_extract(f.value, '$.figure') "
                     "FROM plan, json_each(plan.json, '$.findings') f "
                     "WHERE plan.fact = (SELECT max(fact) FROM plan WHERE job = ?) ORDER BY f.key");
    sql_bind_text(&sql, job);
    size_t capacity = 0;
    bool row, ok;
    *findings = NULL, *count = 0;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct planned_finding *one = arena_append(arena, findings, count, &capacity, sizeof *one);
        one->code = sql_text(&sql, arena), one->where = sql_text(&sql, arena);
        one->place = sql_text(&sql, arena), one->figure = sql_number(&sql);
    }
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

bool record_print_width(struct record *record, const char *job, const char *panel, double *width_mm,
                        struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql = sql_open(
        db,
        "SELECT CASE json_extract(s.value, '$.panels_run') WHEN 'upright' "
        "THEN json_extract(p.value, '$.print_mm[2]') - json_extract(p.value, '$.print_mm[0]') "
        "ELSE json_extract(p.value, '$.print_mm[3]') - json_extract(p.value, '$.print_mm[1]') END "
        "FROM plan, json_each(plan.json, '$.surfaces') s, json_each(s.value, '$.panels') p "
        "WHERE plan.fact = (SELECT max(fact) FROM plan WHERE job = ?) AND json_extract(p.value, '$.id') = ?");
    sql_bind_text(&sql, job), sql_bind_text(&sql, panel);
    bool row, ok = sql_step(&sql, &row, error);
    *width_mm = ok && row ? sql_number(&sql) : NAN;
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

bool record_print_feed(struct record *record, const char *job, const char *panel, struct arena *arena,
                       const char **printed_with, double *feed_percent, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    *printed_with = NULL, *feed_percent = NAN;
    if (!db) return false;
    struct sql sql = sql_open(
        db,
        "SELECT json_extract(s.value, '$.printed_with'), json_extract(s.value, '$.feed_percent') "
        "FROM plan, json_each(plan.json, '$.surfaces') s, json_each(s.value, '$.panels') p "
        "WHERE plan.fact = (SELECT max(fact) FROM plan WHERE job = ?) AND json_extract(p.value, '$.id') = ?");
    sql_bind_text(&sql, job), sql_bind_text(&sql, panel);
    bool row, ok = sql_step(&sql, &row, error);
    if (ok && row) *printed_with = sql_text(&sql, arena), *feed_percent = sql_number(&sql);
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

bool record_all_terms(struct record *record, struct arena *arena, struct job_terms **terms, size_t *count,
                      struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = plans_latest(db, NULL, INT64_MAX, arena, terms, count, error);
    handle_return(record, db);
    return ok;
}

bool record_last_plan(struct record *record, int64_t *number, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = sql_one(db, "SELECT coalesce(max(fact), 0) FROM plan", number, error);
    handle_return(record, db);
    return ok;
}

/* ---- putting on record ---- */

static bool check_terms(const struct job_terms *t, struct str json, struct error *error)
{
    if (!t->job || !check_name("job", t->job, error))
        return t->job ? false : error_set(error, FAILURE_INPUT, "plan-version-needs-jobs-number", NULL);
    if (t->panel_count > PLAN_PANELS_MOST)
        return error_set(error, FAILURE_INPUT, "plan-of-has-panels-at-most",
                         ARGUMENTS(arg_words("job", t->job), arg_count("panels", (int64_t)t->panel_count),
                                   arg_count("most", PLAN_PANELS_MOST)));
    if (json.length > PLAN_JSON_MOST)
        return error_set(error, FAILURE_INPUT, "plan-json-of-has-bytes-at",
                         ARGUMENTS(arg_words("job", t->job), arg_count("bytes", (int64_t)json.length),
                                   arg_count("most", PLAN_JSON_MOST)));
    return true;
}

static bool insert_plan(sqlite3 *db, int64_t fact, const struct job_terms *t, const char *json,
                        struct error *error)
{
    struct sql sql =
        sql_open(db, "INSERT INTO plan(" PLAN_COLUMNS ", json) VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, "
                     "?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    sql_bind_whole(&sql, fact), sql_bind_text(&sql, t->job), sql_bind_whole(&sql, t->version);
    sql_bind_whole(&sql, t->made), sql_bind_text(&sql, t->fingerprint), sql_bind_text(&sql, t->title);
    sql_bind_text(&sql, t->vehicle), sql_bind_whole(&sql, t->has_install);
    sql_bind_whole(&sql, t->earliest_install), sql_bind_whole(&sql, t->finished);
    sql_bind_whole(&sql, t->has_due), sql_bind_whole(&sql, t->due), sql_bind_text(&sql, t->decides);
    sql_bind_whole(&sql, (int64_t)t->stops), sql_bind_whole(&sql, (int64_t)t->warnings);
    sql_bind_whole(&sql, (int64_t)t->notes), sql_bind_text(&sql, t->currency), sql_bind_whole(&sql, t->price);
    sql_bind_number(&sql, t->feed_percent);
    sql_bind_text(&sql, t->film), sql_bind_text(&sql, t->laminate), sql_bind_text(&sql, t->ink);
    sql_bind_text(&sql, t->condition), sql_bind_text(&sql, t->profile_description);
    sql_bind_text(&sql, t->profile_fingerprint), sql_bind_text(&sql, json);
    return sql_run(&sql, error);
}

static bool insert_panel(sqlite3 *db, int64_t fact, size_t place, const struct panel_terms *p,
                         struct error *error)
{
    struct sql sql =
        sql_open(db, "INSERT INTO plan_panel(fact, place, " PANEL_COLUMNS ") VALUES(?, ?, ?, ?, ?, ?, "
                     "?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    sql_bind_whole(&sql, fact), sql_bind_whole(&sql, (int64_t)place);
    sql_bind_text(&sql, p->panel), sql_bind_text(&sql, p->surface);
    sql_bind_whole(&sql, (int64_t)p->surface_index), sql_bind_whole(&sql, p->install_sequence);
    sql_bind_number(&sql, p->visible.x0), sql_bind_number(&sql, p->visible.y0);
    sql_bind_number(&sql, p->visible.x1), sql_bind_number(&sql, p->visible.y1);
    sql_bind_whole(&sql, p->front), sql_bind_text(&sql, p->neighbours_text);
    sql_bind_number(&sql, p->dry_s), sql_bind_whole(&sql, p->has_laminate), sql_bind_number(&sql, p->bond_s);
    sql_bind_number(&sql, p->laminate_low_c), sql_bind_number(&sql, p->laminate_high_c);
    sql_bind_text(&sql, p->laminate_source);
    sql_bind_whole(&sql, p->cast_laminate), sql_bind_whole(&sql, p->trim_waits);
    sql_bind_number(&sql, p->print_mm), sql_bind_whole(&sql, p->print_start);
    sql_bind_whole(&sql, p->print_end), sql_bind_whole(&sql, p->dry_end);
    sql_bind_whole(&sql, p->laminate_start), sql_bind_whole(&sql, p->laminate_end);
    sql_bind_whole(&sql, p->bond_end), sql_bind_whole(&sql, p->trim_start);
    sql_bind_whole(&sql, p->trim_end);
    sql_bind_whole(&sql, p->install_start), sql_bind_whole(&sql, p->install_end);
    return sql_run(&sql, error);
}

/* The fact that there is this version: its words carry the version's digest, and so the chain covers it. */
static bool put_version(struct record *record, sqlite3 *db, const struct job_terms *t, struct str json,
                        const char *who, struct arena *arena, struct error *error)
{
    char digest[65];
    digest_plan(t, json, digest);
    struct fact fact = fact_blank(FACT_PLANNED);
    fact.key = arena_format(arena, "plan-%.40s", digest);
    fact.at = t->made, fact.job = t->job, fact.who = who;
    fact.words = arena_format(arena, PLAN_WORDS, (long long)t->version, digest);
    const char *text = arena_copy(arena, json.bytes, json.length);
    bool ok = fact_put(record, db, &fact, arena, error) && insert_plan(db, fact.number, t, text, error);
    for (size_t i = 0; ok && i < t->panel_count; i++)
        ok = insert_panel(db, fact.number, i, &t->panels[i], error);
    return ok;
}

bool record_plan(struct record *record, const struct job_terms *terms, struct str plan_json, const char *who,
                 struct error *error)
{
    struct job_terms *last, next = *terms;
    size_t count;
    if (!check_terms(terms, plan_json, error)) return false;
    sqlite3 *db = handle_begin(record, error);
    if (!db) return false;
    struct arena *arena = arena_new(record->machine);
    bool ok = plans_latest(db, terms->job, INT64_MAX, arena, &last, &count, error);
    bool same = ok && count && string_equal(last->fingerprint, terms->fingerprint);
    next.version = ok && count ? last->version + 1 : 1;
    if (ok && !same) ok = put_version(record, db, &next, plan_json, who, arena, error);
    ok = same ? (handle_end(record, false, NULL), true) : handle_end(record, ok, error);
    arena_free(arena);
    return ok;
}

/* ---- care ---- */

static bool plans_compare_one(sqlite3 *db, struct sql *sql, struct arena *arena, struct report *report,
                              struct error *error)
{
    const char *words = sql_text(sql, arena), *json = sql_text(sql, arena);
    int64_t fact = sql_whole(sql);
    struct job_terms terms = read_terms(sql, arena);
    char digest[65];
    if (!read_panels(db, fact, arena, &terms, error)) return false;
    digest_plan(&terms, str_from(json), digest);
    if (!string_equal(words, arena_format(arena, PLAN_WORDS, (long long)terms.version, digest)))
        report_add(report, (struct place){.file = "record.sqlite"}, "plan-version-of-job-is-not",
                   ARGUMENTS(arg_count("version", (int64_t)terms.version), arg_words("job", terms.job)));
    return true;
}

bool plans_compare(sqlite3 *db, struct machine *machine, struct report *report, struct error *error)
{
    struct sql sql =
        sql_open(db, "SELECT (SELECT words FROM fact WHERE number = plan.fact), json, " PLAN_COLUMNS
                     " FROM plan ORDER BY fact");
    bool row, ok;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct arena *arena = arena_new(machine);
        ok = plans_compare_one(db, &sql, arena, report, error);
        arena_free(arena);
        if (!ok) break;
    }
    sql_close(&sql);
    int64_t missing;
    ok = ok && sql_one(db,
                       "SELECT count(*) FROM fact WHERE kind = 'planned' AND number NOT IN "
                       "(SELECT fact FROM plan)",
                       &missing, error);
    if (ok && missing)
        report_add(report, (struct place){.file = "record.sqlite"}, "plan-versions-are-missing",
                   ARGUMENTS(arg_count("missing", (int64_t)missing)));
    return ok;
}
