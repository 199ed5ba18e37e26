#include "plan/seams.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define NEVER INT64_MAX

enum { LEVELS_MOST = 18 }; /* 2^17 positions */

/* Lowest and highest v over 2^level positions from each on, so that any stretch's come from two of them. */
struct reach {
    float *low[LEVELS_MOST], *high[LEVELS_MOST];
};

struct solver {
    const struct seam_problem *problem;
    const struct strip_prices *prices;
    struct reach reach;
    int most;        /* panels */
    int64_t **to_go; /* [k][a]: the least cost of what lies above a, cut into k panels */
};

static bool allowed(const struct seam_problem *p, int at)
{
    return at > 0 && at < p->positions && p->cost[at] != SEAM_FORBIDDEN;
}

static struct reach reach_new(const struct seam_problem *p, const struct span *spans, struct arena *arena)
{
    struct reach reach = {0};
    size_t count = (size_t)p->positions;
    for (int level = 0; level < LEVELS_MOST && 1 << level <= p->positions; level++) {
        float *low = reach.low[level] = arena_take_array(arena, count, sizeof *low);
        float *high = reach.high[level] = arena_take_array(arena, count, sizeof *high);
        size_t half = level ? (size_t)1 << (level - 1) : 0;
        for (size_t i = 0; i + ((size_t)1 << level) <= count; i++) {
            bool empty = spans[i].low_mm > spans[i].high_mm;
            if (!level) {
                low[i] = empty ? INFINITY : spans[i].low_mm, high[i] = empty ? -INFINITY : spans[i].high_mm;
                continue;
            }
            low[i] = fminf(reach.low[level - 1][i], reach.low[level - 1][i + half]);
            high[i] = fmaxf(reach.high[level - 1][i], reach.high[level - 1][i + half]);
        }
    }
    return reach;
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

static int64_t strip_cost(const struct solver *s, int first, int to)
{
    int last = last_position(s->problem, to), width = last - first;
    int level = 31 - __builtin_clz((unsigned)width), second = last - (1 << level);
    float low = fminf(s->reach.low[level][first], s->reach.low[level][second]);
    float high = fmaxf(s->reach.high[level][first], s->reach.high[level][second]);
    if (low >= high) return 0; /* nothing of the outline: not printed */
    double length = (double)high - (double)low + s->prices->ends_mm;
    return (int64_t)(length * s->prices->micro_per_mm + 0.5);
}

static bool may_follow(const struct seam_problem *p, int from, int to)
{
    return to - from >= (p->least > 1 ? p->least : 1) && seams_fit(p, from, to);
}

/* All that can follow a seam at `from`, for every number of panels at once. */
static void solve_from(struct solver *s, int from)
{
    const struct seam_problem *p = s->problem;
    int64_t widest = p->usable_um + 2000; /* a panel is never wider than the film and what lies beside it */
    int first = first_position(p, from), start = from + (p->least > 1 ? p->least : 1);
    for (int to = start; to <= p->positions && p->place_um[to] - p->place_um[from] <= widest; to++) {
        bool last = to == p->positions;
        if ((!last && !allowed(p, to)) || !seams_fit(p, from, to)) continue;
        int64_t strip = strip_cost(s, first, to);
        if (last) {
            if (strip < s->to_go[1][from]) s->to_go[1][from] = strip;
            continue;
        }
        strip += p->cost[to];
        for (int k = 2; k <= s->most; k++) {
            int64_t after = s->to_go[k - 1][to];
            if (after != NEVER && strip + after < s->to_go[k][from]) s->to_go[k][from] = strip + after;
        }
    }
}

/* Of the next seams that keep the least cost, the one nearest to an even share of what is left. */
static int choose_next(const struct solver *s, int from, int panels)
{
    const struct seam_problem *p = s->problem;
    int64_t nearest = INT64_MAX, aim = (int64_t)from * panels + p->positions - from;
    int chosen = 0, first = first_position(p, from);
    for (int to = from + 1; to < p->positions; to++) {
        int64_t after = s->to_go[panels - 1][to];
        if (!allowed(p, to) || after == NEVER || !may_follow(p, from, to)) continue;
        if (strip_cost(s, first, to) + p->cost[to] + after != s->to_go[panels][from]) continue;
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

struct seam_answer seams_solve_strips(const struct seam_problem *p, const struct strip_prices *prices,
                                      struct arena *arena)
{
    struct seam_answer answer = {0};
    struct solver s = {.problem = p, .prices = prices, .most = p->panels};
    if (!s.most) s.most = panels_most(p, arena);
    if (!s.most || s.most > p->positions) return answer;
    s.reach = reach_new(p, prices->spans, arena);
    s.to_go = arena_take_array(arena, (size_t)s.most + 1, sizeof *s.to_go);
    for (int k = 1; k <= s.most; k++) {
        s.to_go[k] = arena_take_array(arena, (size_t)p->positions + 1, sizeof **s.to_go);
        for (int at = 0; at <= p->positions; at++) s.to_go[k][at] = NEVER;
    }
    for (int from = p->positions - 1; from >= 0; from--)
        if (!from || allowed(p, from)) solve_from(&s, from);
    int panels = p->panels ? p->panels : 1;
    for (int k = panels + 1; !p->panels && k <= s.most; k++)
        if (s.to_go[k][0] < s.to_go[panels][0]) panels = k;
    if (s.to_go[panels][0] == NEVER) return answer;
    answer = (struct seam_answer){.possible = true, .panels = panels, .cost = s.to_go[panels][0]};
    answer.at = arena_take_array(arena, (size_t)panels, sizeof *answer.at);
    for (int i = 0, at = 0; i + 1 < panels; i++) answer.at[i] = at = choose_next(&s, at, panels - i);
    return answer;
}
