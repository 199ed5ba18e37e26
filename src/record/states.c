/* Keeps each panel's state beside the facts, renews it with every fact, and checks or rebuilds it. Called
 * by facts.c and by floor; folding is model/record.c. */
#include "states.h"
#include "facts.h"
#include <math.h>

#define COLUMNS                                                                                              \
    "job, panel, printed, hung, dry_checked, laminated, trimmed, installed, damaged, reprints, overrides, "  \
    "measured_mm, planned_mm, fact"

static bool fold_panel(sqlite3 *db, const char *job, const char *panel, struct arena *arena,
                       struct panel_state *state, int64_t *last, struct error *error)
{
    struct fact *facts;
    size_t count;
    struct fact_query query = {.job = job, .panel = panel};
    struct panel_terms one = {.panel = panel};
    struct job_terms terms = {.panels = &one, .panel_count = 1};
    if (!fact_list(db, &query, arena, &facts, &count, error)) return false;
    panel_states_fold(facts, count, &terms, state);
    *last = count ? facts[count - 1].number : 0;
    return true;
}

bool states_renew(sqlite3 *db, const char *job, const char *panel, int64_t fact, struct arena *arena,
                  struct error *error)
{
    struct panel_state s;
    int64_t last;
    if (!job || !panel) return true;
    if (!fold_panel(db, job, panel, arena, &s, &last, error)) return false;
    struct sql sql = sql_open(db, "INSERT OR REPLACE INTO state(" COLUMNS ") "
                                  "VALUES(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    sql_bind_text(&sql, job), sql_bind_text(&sql, panel);
    sql_bind_whole(&sql, s.printed), sql_bind_whole(&sql, s.hung), sql_bind_whole(&sql, s.dry_checked);
    sql_bind_whole(&sql, s.laminated), sql_bind_whole(&sql, s.trimmed), sql_bind_whole(&sql, s.installed);
    sql_bind_whole(&sql, s.damaged), sql_bind_whole(&sql, s.reprints);
    sql_bind_whole(&sql, (int64_t)s.overrides);
    sql_bind_number(&sql, s.measured_mm), sql_bind_number(&sql, s.planned_mm);
    sql_bind_whole(&sql, fact);
    return sql_run(&sql, error);
}

static struct panel_state read_state(struct sql *sql, const char *panel)
{
    struct panel_state s = {.panel = panel};
    s.printed = sql_whole(sql), s.hung = sql_whole(sql), s.dry_checked = sql_whole(sql);
    s.laminated = sql_whole(sql), s.trimmed = sql_whole(sql), s.installed = sql_whole(sql);
    s.damaged = sql_whole(sql) != 0, s.reprints = (int)sql_whole(sql);
    s.overrides = (size_t)sql_whole(sql);
    s.measured_mm = sql_number(sql), s.planned_mm = sql_number(sql);
    return s;
}

bool record_states_since(struct record *record, int64_t after, struct arena *arena,
                         struct recorded_state **states, size_t *count, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, "SELECT " COLUMNS " FROM state WHERE fact > ? ORDER BY job, panel");
    sql_bind_whole(&sql, after);
    size_t capacity = 0;
    bool row, ok;
    *states = NULL, *count = 0;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct recorded_state *one = arena_append(arena, states, count, &capacity, sizeof *one);
        one->job = sql_text(&sql, arena);
        one->state = read_state(&sql, sql_text(&sql, arena));
        one->fact = sql_whole(&sql);
    }
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

static void put_state(const struct job_terms *terms, struct panel_state *states, const struct panel_state *s)
{
    for (size_t i = 0; i < terms->panel_count; i++)
        if (string_equal(terms->panels[i].panel, s->panel)) {
            states[i] = *s;
            states[i].panel = terms->panels[i].panel;
        }
}

bool record_states(struct record *record, const struct job_terms *terms, struct arena *arena,
                   struct panel_state **states, struct error *error)
{
    *states = arena_take_array(arena, terms->panel_count, sizeof **states);
    panel_states_fold(NULL, 0, terms, *states);
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, "SELECT " COLUMNS " FROM state WHERE job = ?");
    sql_bind_text(&sql, terms->job);
    bool row, ok;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        sql.column = 1; /* behind the job */
        struct panel_state s = read_state(&sql, sql_text(&sql, arena));
        put_state(terms, *states, &s);
    }
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

/* ---- care ---- */

static bool same_number(double a, double b)
{
    return (isnan(a) && isnan(b)) || a == b;
}

static bool same_state(const struct panel_state *a, const struct panel_state *b)
{
    return a->printed == b->printed && a->hung == b->hung && a->dry_checked == b->dry_checked &&
           a->laminated == b->laminated && a->trimmed == b->trimmed && a->installed == b->installed &&
           a->damaged == b->damaged && a->reprints == b->reprints && a->overrides == b->overrides &&
           same_number(a->measured_mm, b->measured_mm) && same_number(a->planned_mm, b->planned_mm);
}

static bool states_compare_one(sqlite3 *db, struct sql *sql, struct arena *arena, struct report *report,
                               struct error *error)
{
    const char *job = sql_text(sql, arena), *panel = sql_text(sql, arena);
    struct panel_state kept = read_state(sql, panel), right;
    int64_t fact = sql_whole(sql), last;
    if (!fold_panel(db, job, panel, arena, &right, &last, error)) return false;
    if (!same_state(&kept, &right) || fact != last)
        report_add(report, (struct place){.file = "record.sqlite"}, "what-is-kept-of-job-panel",
                   ARGUMENTS(arg_words("job", job), arg_words("panel", panel)));
    return true;
}

bool states_compare(sqlite3 *db, struct machine *machine, struct report *report, struct error *error)
{
    struct sql sql = sql_open(db, "SELECT " COLUMNS " FROM state ORDER BY job, panel");
    bool row, ok;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct arena *arena = arena_new(machine);
        ok = states_compare_one(db, &sql, arena, report, error);
        arena_free(arena);
        if (!ok) break;
    }
    sql_close(&sql);
    int64_t missing;
    ok = ok && sql_one(db,
                       "SELECT count(*) FROM (SELECT DISTINCT job, panel FROM fact WHERE job IS NOT NULL "
                       "AND panel IS NOT NULL EXCEPT SELECT job, panel FROM state)",
                       &missing, error);
    if (ok && missing)
        report_add(report, (struct place){.file = "record.sqlite"}, "panels-that-facts-speak-of-are",
                   ARGUMENTS(arg_count("missing", (int64_t)missing)));
    return ok;
}

static bool rebuild_all(sqlite3 *db, struct arena *arena, struct error *error)
{
    struct sql sql = sql_open(db, "SELECT job, panel, max(number) FROM fact WHERE job IS NOT NULL AND "
                                  "panel IS NOT NULL GROUP BY job, panel");
    bool row, ok;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        const char *job = sql_text(&sql, arena), *panel = sql_text(&sql, arena);
        if (!(ok = states_renew(db, job, panel, sql_whole(&sql), arena, error))) break;
    }
    sql_close(&sql);
    return ok;
}

bool record_rebuild(struct record *record, struct error *error)
{
    sqlite3 *db = handle_begin(record, error);
    if (!db) return false;
    struct arena *arena = arena_new(record->machine);
    bool ok = sql_all(db, "DELETE FROM state", error) && rebuild_all(db, arena, error);
    ok = handle_end(record, ok, error);
    arena_free(arena);
    return ok;
}
