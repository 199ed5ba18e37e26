/* Lists the rolls in stock with what was used of each, in one query. Called by floor. */
#include "handle.h"
#include <math.h>

/* A roll as it came, when it went, how many pieces were printed or laminated on it, their length, the roll it was cut
 * from, the length that was cut off across its whole width, and the panels that are to be printed again on it: those
 * whose last print or reprint is that. */
static const char stock[] =
    "WITH live AS (SELECT * FROM fact f WHERE roll IS NOT NULL "
    "AND NOT EXISTS(SELECT 1 FROM fact w WHERE w.withdraws = f.number)), "
    "held AS (SELECT h.roll, h.job || '/' || h.panel AS name, (SELECT t.print_mm FROM plan_panel t WHERE "
    "t.panel = h.panel AND t.fact = (SELECT max(fact) FROM plan WHERE plan.job = h.job AND plan.fact < "
    "h.number)) "
    "AS mm FROM live h WHERE h.kind = 'reprint' AND NOT EXISTS(SELECT 1 FROM fact l WHERE l.job = h.job "
    "AND l.panel = h.panel AND l.kind IN ('printed', 'reprint') AND l.number > h.number "
    "AND NOT EXISTS(SELECT 1 FROM fact w WHERE w.withdraws = l.number))) "
    "SELECT i.roll, i.what, i.of, i.batch, coalesce(i.width_mm, 0), coalesce(i.length_mm, 0), i.at, "
    "coalesce((SELECT max(at) FROM live o WHERE o.roll = i.roll AND o.kind = 'roll-out'), 0), "
    "(SELECT count(*) FROM live p WHERE p.roll = i.roll AND p.kind IN ('printed', 'laminated')), "
    "coalesce((SELECT sum(t.print_mm) FROM live p JOIN plan_panel t ON t.panel = p.panel AND t.fact = "
    "(SELECT max(fact) FROM plan WHERE plan.job = p.job AND plan.fact < p.number) "
    "WHERE p.roll = i.roll AND p.kind IN ('printed', 'laminated')), 0), i.cut_from, "
    "coalesce((SELECT sum(c.length_mm) FROM live c WHERE c.kind = 'roll-in' AND c.cut_from = i.roll "
    "AND c.width_mm >= i.width_mm - 0.5), 0), "
    "coalesce((SELECT sum(mm) FROM held h WHERE h.roll = i.roll), 0), "
    "(SELECT group_concat(name, char(10)) FROM held h WHERE h.roll = i.roll) "
    "FROM live i WHERE i.kind = 'roll-in' ORDER BY i.number";

bool record_stock(struct record *record, struct arena *arena, struct stock_roll **rolls, size_t *count,
                  struct error *error)
{
    sqlite3 *db = handle_lend(record, error);
    if (!db) return false;
    struct sql sql = sql_open(db, stock);
    size_t capacity = 0;
    bool row, ok;
    *rolls = NULL, *count = 0;
    while ((ok = sql_step(&sql, &row, error)) && row) {
        struct stock_roll *roll = arena_append(arena, rolls, count, &capacity, sizeof *roll);
        roll->name = sql_text(&sql, arena), roll->what = sql_text(&sql, arena);
        roll->of = sql_text(&sql, arena), roll->batch = sql_text(&sql, arena);
        roll->width_mm = sql_number(&sql), roll->length_mm = sql_number(&sql);
        roll->in = sql_whole(&sql), roll->out = sql_whole(&sql);
        roll->panels = (size_t)sql_whole(&sql);
        roll->used_mm = sql_number(&sql);
        roll->cut_from = sql_text(&sql, arena);
        double cut_off_mm = sql_number(&sql);
        roll->held_mm = sql_number(&sql), roll->held_for = sql_text(&sql, arena);
        roll->left_mm = roll->length_mm > 0 ? fmax(roll->length_mm - roll->used_mm - cut_off_mm, 0) : NAN;
    }
    sql_close(&sql);
    handle_return(record, db);
    return ok;
}
