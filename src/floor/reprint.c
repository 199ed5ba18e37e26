/* Prints a panel again: what it is made from is run's, here are stock and record. */
#include "base/path.h"
#include "floor/reprint.h"
#include "inner.h"
#include <math.h>
#include <string.h>

/* ---- the roll ---- */

struct reprint_need {
    const char *film, *batch; /* batch NULL: any */
    const char *piece;        /* "JOB/PANEL" */
    double width_mm, length_mm;
};

/* Whether the panel was already told to go on this roll, and there still is enough of it. */
static bool reprint_roll_is_held(const struct stock_roll *roll, const struct reprint_need *need,
                                 struct arena *arena)
{
    const char *piece = need->piece;
    if (roll->out || !roll->held_for || roll->left_mm < need->length_mm) return false;
    return strstr(arena_format(arena, "\n%s\n", roll->held_for), arena_format(arena, "\n%s\n", piece)) !=
           NULL;
}

static bool reprint_roll_fits(const struct stock_roll *roll, const struct reprint_need *need)
{
    const double close_mm = 0.5; /* as a roll's width is told from another's */
    return !roll->out && string_equal(roll->what, "film") && string_equal(roll->of, need->film) &&
           (!need->batch || string_equal(roll->batch, need->batch)) &&
           (roll->width_mm <= 0 || roll->width_mm + close_mm >= need->width_mm) &&
           (isnan(roll->left_mm) || roll->left_mm - roll->held_mm >= need->length_mm);
}

static bool reprint_roll_is_shorter(const struct stock_roll *roll, const struct stock_roll *best)
{
    if (!best || isnan(roll->left_mm)) return !best;
    return isnan(best->left_mm) || roll->left_mm < best->left_mm;
}

/* The one that it was told to go on before, else the shortest that fits; one whose length nobody said is taken last. */
static const struct stock_roll *reprint_roll(const struct stock_roll *rolls, size_t count,
                                             const struct reprint_need *need, struct arena *arena)
{
    const struct stock_roll *best = NULL;
    for (size_t i = 0; i < count; i++) {
        if (reprint_roll_is_held(&rolls[i], need, arena)) return &rolls[i];
        if (reprint_roll_fits(&rolls[i], need) && reprint_roll_is_shorter(&rolls[i], best)) best = &rolls[i];
    }
    return best;
}

/* ---- stock ---- */

static bool reprint_read_stock(const struct run *run, struct stock_roll **rolls, size_t *count,
                               struct error *error)
{
    const char *folder = path_folder(run->arena, path_full(run->arena, run->job->folder));
    *count = 0;
    if (!record_exists(run->machine, folder)) return true;
    struct record *record = record_open(run->machine, folder, RECORD_READ, error);
    bool ok = record && record_stock(record, run->arena, rolls, count, error);
    record_close(record);
    return ok;
}

static bool reprint_knows_film(const struct stock_roll *rolls, size_t count, const char *film)
{
    for (size_t i = 0; i < count; i++)
        if (string_equal(rolls[i].what, "film") && string_equal(rolls[i].of, film)) return true;
    return false;
}

static void reprint_say_batch(struct run *run, const struct reprint *reprint, const char *film)
{
    const struct panel_print *was = &reprint->was;
    const struct stock_roll *roll = reprint->roll;
    const char *where = arena_format(run->arena, "%s/%s", was->surface, was->panel);
    if (!roll)
        finding_add(&run->findings, "reprint-batch", where, "reprint-batch",
                    ARGUMENTS(arg_words("panel", was->panel), arg_words("film", film),
                              arg_words("batch", was->batch)));
    else
        finding_add(&run->findings, "reprint-batch", where, "reprint-batch-other",
                    ARGUMENTS(arg_words("panel", was->panel), arg_words("film", film),
                              arg_words("batch", was->batch), arg_words("roll", roll->name),
                              arg_words("roll_batch",
                                        roll->batch ? roll->batch : sentence_plain("reprint-no-batch"))));
}

/* What of the surface's film the panel's file takes; the printer's unprintable edges on both sides. */
static struct reprint_need reprint_need_of(const struct run *run, struct reprint *reprint)
{
    const struct surface_plan *s = &run->plan->surfaces[reprint->surface];
    const struct panel *panel = reprint->panel;
    const struct condition *condition = s->surface->condition;
    bool lying = s->direction == RUN_LYING;
    reprint->film_mm = panel->print_length_mm;
    reprint->across_mm = lying ? rect_height(panel->print) : rect_width(panel->print);
    return (struct reprint_need){.film = condition->film->name,
                                 .piece = arena_format(run->arena, "%s/%s", run->job->number, panel->id),
                                 .width_mm = reprint->across_mm + 2 * condition->printer->edge_mm,
                                 .length_mm = reprint->film_mm};
}

static bool reprint_take_roll(struct run *run, struct reprint *reprint, struct error *error)
{
    struct stock_roll *rolls = NULL;
    size_t count;
    if (!reprint->panel || !run->surfaces[reprint->surface].surface->condition) return true;
    struct reprint_need need = reprint_need_of(run, reprint);
    if (!reprint_read_stock(run, &rolls, &count, error)) return false;
    reprint->has_stock = reprint_knows_film(rolls, count, need.film);
    need.batch = reprint->was.batch;
    reprint->roll = reprint_roll(rolls, count, &need, run->arena);
    if (reprint->roll || !reprint->has_stock || !need.batch) return true;
    need.batch = NULL;
    reprint->roll = reprint_roll(rolls, count, &need, run->arena);
    reprint_say_batch(run, reprint, need.film);
    return true;
}

/* ---- on record ---- */

static bool reprint_put(const struct run *run, const struct reprint_order *order, struct reprint *reprint,
                        struct error *error)
{
    struct floor *floor;
    struct floor_answer put;
    const char *number, *panel = reprint->was.panel;
    struct fact fact = fact_blank(FACT_REPRINT);
    fact.words = order->reason, fact.who = order->who, fact.key = order->key;
    fact.roll = reprint->roll ? reprint->roll->name : NULL;
    fact.job = run->job->number;
    if (!floor_open_at(run->machine, order->run.job, true, run->arena, &floor, &number, error)) return false;
    bool ok = floor_put(floor, &fact, &panel, 1, run->arena, &put, error);
    floor_close(floor);
    if (ok && !put.count) return error_words(error, FAILURE_CONFLICT, put.gate.why);
    reprint->entry = ok ? put.first : 0;
    return ok;
}

/* ---- all of it ---- */

bool floor_reprint(struct machine *machine, const struct reprint_order *order, struct run *run,
                   struct reprint *reprint, struct error *error)
{
    if (!run_open(run, machine, &order->run, true, error)) return false;
    if (run->report.errors) return true;
    if (!reprint_plan(run, reprint, error) || !reprint_take_roll(run, reprint, error)) return false;
    reprint->same = reprint_is_same(run, reprint);
    if (!reprint_make(run, reprint, error) || (order->patches && !reprint_make_patches(run, reprint, error)))
        return false;
    const struct panel_print *was = &reprint->was;
    bool puts = reprint->path && was->source == PRINT_RECORDED && !was->since && !order->off_record;
    return !puts || reprint_put(run, order, reprint, error);
}
