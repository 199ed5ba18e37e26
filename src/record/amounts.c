/* Reads what a job's plan takes of material and work, and what its entries say was used. Called by floor. */
#include "handle.h"
#include "model/used.h"
#include "record/record.h"
#include <math.h>

/* `live`: the job's entries that were not taken back. `version`: the plan that the job was printed by, the last before
 * its first print, else the newest. */
#define JOB_WITH                                                                                             \
    "WITH live AS (SELECT * FROM fact f WHERE f.job = ?1 AND NOT EXISTS("                                    \
    "SELECT 1 FROM fact w WHERE w.withdraws = f.number)), "                                                  \
    "version AS (SELECT max(fact) AS fact FROM plan WHERE job = ?1 AND fact < coalesce("                     \
    "(SELECT min(number) FROM live WHERE kind = 'printed'), 9000000000000000000)) "

/* Materials by name, ink of all channels together; hours by kind, those of tasks together. */
static const char planned[] =
    JOB_WITH "SELECT CASE WHEN json_extract(l.value, '$.what') LIKE 'ink%' THEN 'ink' "
             "ELSE json_extract(l.value, '$.what') END, json_extract(l.value, '$.name'), "
             "sum(json_extract(l.value, '$.amount')) "
             "FROM version JOIN plan USING (fact), json_each(plan.json, '$.materials.lines') l GROUP BY 1, 2 "
             "UNION ALL SELECT CASE WHEN json_extract(l.value, '$.what') IN "
             "('design', 'printing', 'laminating', 'trimming', 'installing') "
             "THEN json_extract(l.value, '$.what') ELSE 'preparing' END, NULL, "
             "sum(json_extract(l.value, '$.hours')) "
             "FROM version JOIN plan USING (fact), json_each(plan.json, '$.cost.lines') l "
             "WHERE json_extract(l.value, '$.hours') IS NOT NULL GROUP BY 1";

static const char written[] =
    JOB_WITH "SELECT f.what, f.of, sum(f.amount) FROM live f WHERE f.kind = 'used' GROUP BY 1, 2";

/* Each print and each lamination along the film as the plan of then has it: all of them, those of a panel that had one
 * before, and whether every panel has one; on the roll that it is on record with, else on the film or laminate of
 * that plan. */
static const char followed[] = JOB_WITH
    "SELECT CASE f.kind WHEN 'printed' THEN 'film' ELSE 'laminate' END, "
    "coalesce((SELECT i.of FROM fact i WHERE i.kind = 'roll-in' AND i.roll = f.roll), "
    "CASE f.kind WHEN 'printed' THEN plan.film ELSE plan.laminate END), "
    "sum(json_extract(p.value, '$.print_length_mm')), "
    "sum(CASE WHEN EXISTS(SELECT 1 FROM live e WHERE e.panel = f.panel AND e.kind = f.kind AND "
    "e.number < f.number) THEN json_extract(p.value, '$.print_length_mm') ELSE 0 END), "
    "NOT EXISTS(SELECT 1 FROM version JOIN plan_panel t USING (fact) WHERE NOT EXISTS("
    "SELECT 1 FROM live g WHERE g.panel = t.panel AND g.kind = f.kind)) "
    "FROM live f JOIN plan ON plan.fact = "
    "(SELECT max(fact) FROM plan WHERE plan.job = f.job AND plan.fact < f.number), "
    "json_each(plan.json, '$.surfaces') s, json_each(s.value, '$.panels') p "
    "WHERE f.kind IN ('printed', 'laminated') AND json_extract(p.value, '$.id') = f.panel GROUP BY 1, 2";

static const char version[] = JOB_WITH
    "SELECT made, title, NOT EXISTS(SELECT 1 FROM plan_panel t WHERE t.fact = plan.fact AND NOT EXISTS("
    "SELECT 1 FROM live f WHERE f.panel = t.panel AND f.kind = 'printed')) "
    "FROM version JOIN plan USING (fact)";

static struct used_line *amounts_line(struct used_job *job, const char *what, const char *of,
                                      struct arena *arena)
{
    const struct used_kind *kind = used_kind_find(what);
    if (!kind) return NULL;
    for (size_t i = 0; i < job->line_count; i++)
        if (job->lines[i].kind == kind && string_equal(job->lines[i].of, of)) return &job->lines[i];
    struct used_line *line =
        arena_append(arena, &job->lines, &job->line_count, &job->line_capacity, sizeof *line);
    *line = (struct used_line){.kind = kind, .of = of, .planned = NAN, .used = NAN};
    return line;
}

/* Planned amounts have threading and the like besides the prints: once all is printed, what was used is the plan and
 * what was printed again. */
static void amounts_follow(struct used_line *line, struct sql *sql)
{
    double all = sql_number(sql), again = sql_number(sql);
    bool whole = sql_whole(sql) != 0;
    if (line && !isnan(all)) line->used = whole && !isnan(line->planned) ? line->planned + again : all;
}

enum amounts_of { AMOUNTS_PLANNED, AMOUNTS_FOLLOWED, AMOUNTS_WRITTEN };

static void amounts_take(struct used_line *line, enum amounts_of of, struct sql *sql)
{
    if (of == AMOUNTS_FOLLOWED)
        amounts_follow(line, sql);
    else if (line && of == AMOUNTS_PLANNED)
        line->planned = sql_number(sql);
    else if (line)
        line->used = sql_number(sql), line->written = true;
}

static bool amounts_read(sqlite3 *db, const char *query, enum amounts_of of, struct arena *arena,
                         struct used_job *job, struct error *error)
{
    struct sql sql = sql_open(db, query);
    bool row, ok;
    sql_bind_text(&sql, job->job);
    while ((ok = sql_step(&sql, &row, error)) && row) {
        const char *what = sql_text(&sql, arena), *name = sql_text(&sql, arena);
        amounts_take(amounts_line(job, what, name, arena), of, &sql);
    }
    sql_close(&sql);
    return ok;
}

static bool amounts_of_plan(sqlite3 *db, struct arena *arena, struct used_job *job, struct error *error)
{
    struct sql sql = sql_open(db, version);
    bool row;
    sql_bind_text(&sql, job->job);
    bool ok = sql_step(&sql, &row, error);
    if (ok && row)
        job->made = sql_whole(&sql), job->title = sql_text(&sql, arena), job->whole = sql_whole(&sql) != 0;
    sql_close(&sql);
    return ok;
}

bool record_amounts(struct record *record, struct arena *arena, struct used_job *job, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    bool ok = amounts_of_plan(db, arena, job, error) &&
              amounts_read(db, planned, AMOUNTS_PLANNED, arena, job, error) &&
              amounts_read(db, followed, AMOUNTS_FOLLOWED, arena, job, error) &&
              amounts_read(db, written, AMOUNTS_WRITTEN, arena, job, error);
    handle_return(record, db);
    return ok;
}
