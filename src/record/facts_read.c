/* Reads facts from the record, in the order of their numbers. Adding them is facts.c's. */
#include "facts.h"
#include "base/text.h"
#include "model/entry.h"
#include <math.h>

const char *fact_columns(struct arena *arena, bool marks)
{
    struct text list = text_new(arena);
    for (size_t i = 0; i < fact_field_count; i++)
        text_addf(&list, "%s%s", i ? ", " : "", marks ? "?" : fact_fields[i].name);
    return text_string(&list);
}

static void read_field(struct sql *sql, struct arena *arena, struct fact *fact,
                       const struct fact_field *field)
{
    if (field->form == FACT_FORM_KIND)
        fact_kind_from(sql_text(sql, arena), &fact->kind);
    else if (fact_form_is_text(field->form))
        fact_set_text(fact, field, sql_text(sql, arena));
    else if (fact_form_is_figure(field->form))
        fact_set_figure(fact, field, sql_number(sql));
    else
        fact_set_whole(fact, field, sql_whole(sql));
}

static struct fact read_fact(struct sql *sql, struct arena *arena)
{
    struct fact fact = {.kind = FACT_KIND_COUNT};
    for (size_t i = 0; i < fact_field_count; i++) read_field(sql, arena, &fact, &fact_fields[i]);
    return fact;
}

/* Seconds from this entry to the one that withdraws it, and for a withdrawal from what it withdraws; null
 * when there is none. */
#define WITHDRAWN_AFTER                                                                                      \
    "(SELECT w.recorded - f.recorded FROM fact w WHERE w.withdraws = f.number), "                            \
    "(SELECT f.recorded - o.recorded FROM fact o WHERE o.number = f.withdraws)"

static void read_withdrawal(struct sql *sql, struct fact *fact)
{
    double after = sql_number(sql), withdraws_after = sql_number(sql);
    fact->withdrawn = !isnan(after);
    fact->undone = after <= FACT_UNDO_S || withdraws_after <= FACT_UNDO_S;
}

static bool facts_collect(struct sql *sql, struct arena *arena, struct fact **facts, size_t *count,
                          struct error *error)
{
    size_t capacity = 0;
    bool row, ok;
    *facts = NULL, *count = 0;
    while ((ok = sql_step(sql, &row, error)) && row) {
        struct fact *fact = arena_append(arena, facts, count, &capacity, sizeof *fact);
        *fact = read_fact(sql, arena);
        read_withdrawal(sql, fact);
    }
    sql_close(sql);
    return ok;
}

bool fact_list(sqlite3 *db, const struct fact_query *query, struct arena *arena, struct fact **facts,
               size_t *count, struct error *error)
{
    const char *of = query->job ? "job = ?1" : "?1 IS NULL";
    struct sql sql = sql_open(db, arena_format(arena,
                                               "SELECT %s, " WITHDRAWN_AFTER
                                               " FROM fact f WHERE %s AND (?2 IS NULL OR panel = ?2) "
                                               "AND number > ?3 ORDER BY number LIMIT ?4",
                                               fact_columns(arena, false), of));
    sql_bind_text(&sql, query->job), sql_bind_text(&sql, query->panel);
    sql_bind_whole(&sql, query->after);
    sql_bind_whole(&sql, query->most ? (int64_t)query->most : -1);
    return facts_collect(&sql, arena, facts, count, error);
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

bool record_feed(struct record *record, const char *job, const char *printed_with, struct arena *arena,
                 struct feed_recorded *feed, struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    *feed = (struct feed_recorded){.percent = 0};
    if (!db) return false;
    struct sql sql = sql_open(
        db, "SELECT kind = 'printed', feed_percent, at, job FROM fact f WHERE printed_with = ?1 "
            "AND feed_percent IS NOT NULL AND ((kind = 'printed' AND job = ?2) OR kind = 'measured') "
            "AND NOT EXISTS(SELECT 1 FROM fact w WHERE w.withdraws = f.number) "
            "ORDER BY 1 DESC, at DESC, number DESC LIMIT 1");
    sql_bind_text(&sql, printed_with), sql_bind_text(&sql, job);
    bool row, ok = sql_step(&sql, &row, error);
    if (ok && row) {
        feed->printed = sql_whole(&sql), feed->percent = sql_number(&sql);
        feed->at = sql_whole(&sql), feed->job = sql_text(&sql, arena);
    }
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}

bool fact_each(sqlite3 *db, struct machine *machine, bool (*take)(void *self, const struct fact_row *row),
               void *self, struct error *error)
{
    struct arena *outer = arena_new(machine);
    struct sql sql = sql_open(
        db, arena_format(outer, "SELECT %s, digest FROM fact ORDER BY number", fact_columns(outer, false)));
    bool row, ok, more = true;
    while ((ok = sql_step(&sql, &row, error)) && row && more) {
        struct arena *arena = arena_new(machine);
        struct fact_row one = {.fact = read_fact(&sql, arena)};
        one.digest = sql_text(&sql, arena);
        more = take(self, &one);
        arena_free(arena);
    }
    sql_close(&sql);
    arena_free(outer);
    return ok;
}

bool fact_list_of_key(sqlite3 *db, const char *key, struct arena *arena, struct fact **facts, size_t *count,
                      struct error *error)
{
    struct sql sql = sql_open(db, arena_format(arena,
                                               "SELECT %s, " WITHDRAWN_AFTER " FROM fact f WHERE key = ?1 OR "
                                               "sent_as = ?1 ORDER BY number",
                                               fact_columns(arena, false)));
    sql_bind_text(&sql, key);
    return facts_collect(&sql, arena, facts, count, error);
}

bool fact_last(sqlite3 *db, const char *job, int64_t *number, struct error *error)
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
    bool ok = fact_last(db, job, number, error);
    handle_return(record, db);
    return ok;
}
