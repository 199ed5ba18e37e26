/* The entry of the room, called by app: what is refused, the best of several beginnings, and the length that is wrong. */
#include "base/sentence.h"
#include "inner.h"
#include <math.h>
#include <string.h>

enum { STARTS_MOST = 6 };

/* ---- what is refused ---- */

static bool refuse_few(const struct sight_model *model, struct error *error)
{
    size_t missing = model->count - model->observed;
    return error_set(error, FAILURE_INPUT, "sight-too-few",
                     ARGUMENTS(arg_count("missing", (int64_t)missing)));
}

/* All marks on one line, as seen. */
static bool marks_in_line(const struct sight_order *order)
{
    double xx = 0, xy = 0, yy = 0, mx = 0, my = 0, n = (double)order->mark_count;
    for (size_t i = 0; i < order->mark_count; i++) mx += order->marks[i].x / n, my += order->marks[i].y / n;
    for (size_t i = 0; i < order->mark_count; i++) {
        double x = order->marks[i].x - mx, y = order->marks[i].y - my;
        xx += x * x, xy += x * y, yy += y * y;
    }
    double widest = (xx + yy) / 2 + hypot((xx - yy) / 2, xy);
    return (xx * yy - xy * xy) / fmax(widest * widest, 1e-9) < 1e-4;
}

static bool refuse_open(const struct sight_model *model, const struct sight_solution *solution,
                        struct error *error)
{
    size_t mark = solution->loose < model->map ? solution->loose / 2 : model->order->mark_count - 1;
    return error_set(error, FAILURE_INPUT, "sight-not-fixed",
                     ARGUMENTS(arg_words("mark", model->order->names[mark])));
}

static bool order_is_fit(const struct sight_order *order, struct error *error)
{
    if (order->mark_count < 4)
        return error_set(error, FAILURE_INPUT, "sight-four-marks",
                         ARGUMENTS(arg_count("count", (int64_t)order->mark_count)));
    if (marks_in_line(order)) return error_set(error, FAILURE_INPUT, "sight-in-line", NULL);
    return true;
}

/* ---- the adjustment ---- */

static bool adjust_best(const struct sight_model *model, struct sight_solution *best, struct arena *arena)
{
    double *starts[STARTS_MOST];
    size_t count = sight_begin(model, STARTS_MOST, starts, arena);
    best->misfit = HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        struct sight_solution one = sight_solve(model, starts[i], arena);
        if (one.misfit < best->misfit) *best = one;
    }
    return best->misfit < HUGE_VAL;
}

static bool adjust_once(const struct sight_order *order, const bool *left_out, struct arena *arena,
                        struct sighting *sight, struct error *error)
{
    struct sight_model model = sight_model_of(order, left_out);
    struct sight_solution best = {.misfit = HUGE_VAL};
    size_t observed = model.observed;
    for (size_t i = 0; i < order->length_count; i++)
        if (left_out[i] || !sight_is_taped(&order->lengths[i])) observed--;
    model.observed = observed;
    if (observed < model.count) return refuse_few(&model, error);
    sight->redundancy = observed - model.count;
    model = sight_model_of(order, left_out);
    struct arena *work = arena_new(arena_machine(arena));
    bool fixed = adjust_best(&model, &best, work) && best.fixed;
    if (fixed)
        sight_judge(&model, &best, arena, sight);
    else
        refuse_open(&model, &best, error);
    arena_free(work);
    return fixed;
}

/* What the first round found, kept beside what the second says without it. */
static void suspects_keep(const struct sight_order *order, const struct sighting *first,
                          struct sighting *second)
{
    for (size_t i = 0; i < order->length_count; i++)
        if (first->lengths[i].suspect) second->lengths[i].suspect = true;
}

bool sight_adjust(const struct sight_order *order, struct arena *arena, struct sighting *sight,
                  struct error *error)
{
    bool *left_out = arena_take_array(arena, order->length_count + 1, sizeof *left_out);
    *sight = (struct sighting){.places = NULL};
    if (!order_is_fit(order, error) || !adjust_once(order, left_out, arena, sight, error)) return false;
    if (!sight->redundancy) return true;
    sight_find_suspects(order, sight);
    size_t wrong = order->length_count;
    for (size_t i = 0; i < order->length_count; i++)
        if (sight->lengths[i].suspect && !sight->lengths[i].rival) wrong = i;
    if (wrong == order->length_count) return true;
    struct sighting second = {.places = NULL};
    left_out[wrong] = true;
    if (!adjust_once(order, left_out, arena, &second, error)) return true; /* it is needed: said, and kept */
    suspects_keep(order, sight, &second);
    *sight = second;
    return true;
}
