#include "plan/seams.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* Dearer than anything: so that adding to it stays a number, and no better than it. */
#define NEVER (INT64_MAX / 4)

/* What is known of each place beforehand, and the answers. */
struct solver {
    const struct seam_problem *problem;
    const struct strip_prices *prices;
    int64_t *print_to; /* where the print of a panel that ends here ends, micrometres */
    int *last;         /* and the position behind it */
    float *low, *high; /* of the outline from one strip's first position on, see measure_from */
    int most;          /* panels */
    int64_t *to_go;    /* [a x (most + 1) + k]: the least cost of what lies above a, cut into k panels */
};

static bool allowed(const struct seam_problem *p, int at)
{
    return at > 0 && at < p->positions && p->cost[at] != SEAM_FORBIDDEN;
}

/* Where the print of a panel begins and ends: whole positions, outward. */
static int first_position(const struct seam_problem *p, int from)
{
    int64_t um = from ? (int64_t)from * 1000 - p->classes[p->class_of[from]].high_um : 0;
    return um < 0 ? 0 : (int)(um / 1000);
}

static int last_position(const struct seam_problem *p, int to)
{
    int64_t um = (int64_t)to * 1000 + (to < p->positions ? p->classes[p->class_of[to]].low_um : 0);
    int at = (int)((um + 999) / 1000);
    return at > p->positions ? p->positions : at;
}

static void measure_from(struct solver *s, int first, int last)
{
    float low = INFINITY, high = -INFINITY;
    for (int i = first; i < last; i++) {
        struct span span = s->prices->spans[i];
        if (span.low_mm <=
            span.high_mm) { /* no library calls in the innermost loop: this is most of the time */
            low = span.low_mm < low ? span.low_mm : low;
            high = span.high_mm > high ? span.high_mm : high;
        }
        s->low[i + 1] = low, s->high[i + 1] = high;
    }
}

/* Of the strip from where was measured last to `to`. */
static int64_t strip_cost(const struct solver *s, int to)
{
    float low = s->low[s->last[to]], high = s->high[s->last[to]];
    if (low >= high) return 0; /* nothing of the outline: not printed */
    double length = (double)high - (double)low + s->prices->ends_mm;
    return (int64_t)(length * s->prices->micro_per_mm + 0.5);
}

static int64_t *answers_of(const struct solver *s, int at)
{
    return s->to_go + (size_t)at * ((size_t)s->most + 1);
}

/* Places from `from` on to which one panel may reach: none at or behind the one returned. */
static int reach_end(const struct solver *s, int from, int64_t *reach_um)
{
    const struct seam_problem *p = s->problem;
    int64_t beyond = from ? p->classes[p->class_of[from]].high_um : p->low_bleed_um;
    *reach_um = p->place_um[from] - beyond + p->usable_um;
    int end = from + 1;
    while (end < p->positions && p->place_um[end] <= *reach_um) end++;
    return end + 1;
}

/* All that can follow a seam at `from`, for every number of panels at once. */
static void solve_from(struct solver *s, int from)
{
    const struct seam_problem *p = s->problem;
    int64_t reach, *here = answers_of(s, from);
    int end = reach_end(s, from, &reach), most_last = 0;
    for (int to = from + 1; to < end; to++) most_last = s->last[to] > most_last ? s->last[to] : most_last;
    measure_from(s, first_position(p, from), most_last);
    for (int to = from + (p->least > 1 ? p->least : 1); to < end; to++) {
        if (s->print_to[to] > reach || (to < p->positions && !allowed(p, to))) continue;
        int64_t strip = strip_cost(s, to);
        if (to == p->positions) {
            if (strip < here[1]) here[1] = strip;
            continue;
        }
        const int64_t *after = answers_of(s, to);
        strip += p->cost[to];
        for (int k = 2; k <= s->most; k++)
            here[k] = strip + after[k - 1] < here[k] ? strip + after[k - 1] : here[k];
    }
}

/* Of the next seams that keep the least cost, the one nearest to an even share of what is left. */
static int choose_next(struct solver *s, int from, int panels)
{
    const struct seam_problem *p = s->problem;
    int64_t nearest = INT64_MAX, aim = (int64_t)from * panels + p->positions - from;
    int64_t reach;
    int chosen = 0, end = reach_end(s, from, &reach);
    measure_from(s, first_position(p, from), p->positions);
    for (int to = from + (p->least > 1 ? p->least : 1); to < end && to < p->positions; to++) {
        int64_t after = answers_of(s, to)[panels - 1];
        if (!allowed(p, to) || after >= NEVER || s->print_to[to] > reach) continue;
        if (strip_cost(s, to) + p->cost[to] + after != answers_of(s, from)[panels]) continue;
        int64_t distance = llabs((int64_t)to * panels - aim);
        if (distance < nearest) nearest = distance, chosen = to;
    }
    assert(chosen);
    return chosen;
}

/* So many are looked at when the number is free. In the cheapest plan no two neighbours would fit the film as
 * one panel: that would save a seam and a strip's ends. So every second seam of the plan with the fewest
 * panels lies within such a pair, which gives 2 x fewest - 1; two more for what seams of other classes print.
 */
static int panels_most(const struct seam_problem *p, struct arena *arena)
{
    struct seam_problem free_problem = *p;
    struct seam_answer fewest = seams_solve(&free_problem, arena);
    int most = fewest.possible ? 2 * fewest.panels + 1 : 0;
    return most < p->positions ? most : p->positions;
}

static void prepare(struct solver *s, struct arena *arena)
{
    const struct seam_problem *p = s->problem;
    size_t count = (size_t)p->positions + 1, answers = count * ((size_t)s->most + 1);
    s->print_to = arena_take_array(arena, count, sizeof *s->print_to);
    s->last = arena_take_array(arena, count, sizeof *s->last);
    s->low = arena_take_array(arena, count, sizeof *s->low);
    s->high = arena_take_array(arena, count, sizeof *s->high);
    s->to_go = arena_take_array(arena, answers, sizeof *s->to_go);
    for (size_t i = 0; i < answers; i++) s->to_go[i] = NEVER;
    for (int at = 1; at <= p->positions; at++) {
        bool edge = at == p->positions;
        s->print_to[at] = p->place_um[at] + (edge ? p->high_bleed_um : p->classes[p->class_of[at]].low_um);
        s->last[at] = last_position(p, at);
    }
}

struct seam_answer seams_solve_strips(const struct seam_problem *p, const struct strip_prices *prices,
                                      struct arena *arena)
{
    struct seam_answer answer = {0};
    struct solver s = {.problem = p, .prices = prices, .most = p->panels};
    if (!s.most) s.most = panels_most(p, arena);
    if (!s.most || s.most > p->positions) return answer;
    prepare(&s, arena);
    for (int from = p->positions - 1; from >= 0; from--)
        if (!from || allowed(p, from)) solve_from(&s, from);
    int panels = p->panels ? p->panels : 1;
    for (int k = panels + 1; !p->panels && k <= s.most; k++)
        if (answers_of(&s, 0)[k] < answers_of(&s, 0)[panels]) panels = k;
    if (answers_of(&s, 0)[panels] >= NEVER) return answer;
    answer = (struct seam_answer){.possible = true, .panels = panels, .cost = answers_of(&s, 0)[panels]};
    answer.at = arena_take_array(arena, (size_t)panels, sizeof *answer.at);
    for (int i = 0, at = 0; i + 1 < panels; i++) answer.at[i] = at = choose_next(&s, at, panels - i);
    return answer;
}
