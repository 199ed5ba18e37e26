/* Places seams at least cost where film counts with each strip's length and roll. Called by candidate.c; seams.c
 * does it where the length is the same everywhere. */
#include "plan/seams.h"
#include <assert.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>

/* Dearer than anything: so that adding to it stays a number, and no better than it. */
#define NEVER (INT64_MAX / 4)

/* Places are searched in blocks of so many. A strip only gets dearer the further it reaches; so its price up
 * to where a block begins, and the least that can follow anywhere in the block, say whether anything in there
 * can be better than what is known. Most blocks are passed over by this, and the answer stays exact. */
enum { BLOCK = 32 };

/* Lowest and highest v of the outline over any stretch of u: row r tells of stretches of 2^r positions. */
struct extent_table {
    struct span **rows;
};

struct strips_solver {
    const struct seam_problem *problem;
    const struct strip_prices *prices;
    int64_t *print_begin_um,
        *print_end_um; /* where the print of a panel that begins or ends here does, micrometres */
    int *first, *last; /* and the position in which it does, and the one behind it */
    int *block_last;   /* the least `last` of each block */
    struct extent_table extents;
    int64_t widest_um;
};

/* What may follow: of each place the price of a seam there and of all behind it, and each block's least. */
struct strip_after {
    int64_t *value, *block_least;
};

static bool strips_allowed(const struct seam_problem *p, int at)
{
    return at > 0 && at < p->positions && p->cost[at] != SEAM_FORBIDDEN;
}

/* ---- extents ---- */

static struct span span_join(struct span a, struct span b)
{
    return (struct span){a.low_mm < b.low_mm ? a.low_mm : b.low_mm,
                         a.high_mm > b.high_mm ? a.high_mm : b.high_mm};
}

static struct extent_table extents_new(const struct span *spans, int count, struct arena *arena)
{
    int rows = 1;
    while (1 << rows <= count) rows++;
    struct extent_table table = {arena_take_array(arena, (size_t)rows, sizeof *table.rows)};
    for (int r = 0; r < rows; r++) {
        int here = count - (1 << r) + 1;
        struct span *row = table.rows[r] = arena_take_array(arena, (size_t)here, sizeof *row);
        for (int i = 0; i < here; i++) {
            bool empty = !r && spans[i].low_mm > spans[i].high_mm;
            row[i] = empty ? (struct span){INFINITY, -INFINITY}
                     : !r  ? spans[i]
                           : span_join(table.rows[r - 1][i], table.rows[r - 1][i + (1 << (r - 1))]);
        }
    }
    return table;
}

static struct span extent_of(const struct extent_table *table, int first, int last)
{
    int row = 31 - __builtin_clz((unsigned)(last - first));
    return span_join(table->rows[row][first], table->rows[row][last - (1 << row)]);
}

/* ---- prices ---- */

/* Of a print over the positions first .. last - 1. */
static int64_t print_price(const struct strips_solver *s, const struct strip_roll *roll, int first, int last)
{
    struct span span = extent_of(&s->extents, first, last);
    if (span.low_mm >= span.high_mm) return 0; /* nothing of the outline: not printed */
    double length = (double)span.high_mm - (double)span.low_mm + s->prices->ends_mm;
    return (int64_t)(length * roll->micro_per_mm + 0.5);
}

/* Of the panel on the roll that costs least among those that hold it; NEVER when none does. */
static int64_t panel_price(const struct strips_solver *s, int from, int to, int *roll)
{
    int64_t least = NEVER;
    for (size_t r = 0; r < s->prices->roll_count; r++) {
        const struct strip_roll *one = &s->prices->rolls[r];
        if (s->print_end_um[to] - s->print_begin_um[from] > one->usable_um) continue;
        int64_t price = print_price(s, one, s->first[from], s->last[to]);
        if (price < least) least = price, *roll = (int)r;
    }
    return least;
}

/* ---- the least cost from each place on ---- */

static int nearest_next(const struct seam_problem *p, int from)
{
    return from + (p->least > 1 ? p->least : 1);
}

static int64_t best_in_block(const struct strips_solver *s, const struct strip_roll *roll, int from,
                             int block, const struct strip_after *after, int64_t best)
{
    int next = nearest_next(s->problem, from), begin = block * BLOCK, end = begin + BLOCK;
    int64_t reach = s->print_begin_um[from] + roll->usable_um;
    if (end > s->problem->positions) end = s->problem->positions;
    for (int to = begin > next ? begin : next; to < end; to++) {
        if (after->value[to] >= best || s->print_end_um[to] > reach) continue;
        int64_t cost = print_price(s, roll, s->first[from], s->last[to]) + after->value[to];
        best = cost < best ? cost : best;
    }
    return best;
}

/* With a next seam somewhere on this roll; from the furthest place on, where what is left is least, so that a
 * good answer is known early. */
static int64_t best_on_roll(const struct strips_solver *s, const struct strip_roll *roll, int from,
                            const struct strip_after *after, int64_t best)
{
    const struct seam_problem *p = s->problem;
    int64_t reach = s->print_begin_um[from] + roll->usable_um;
    int nearest = nearest_next(p, from) / BLOCK, beyond = nearest;
    while (beyond * BLOCK < p->positions && p->place_um[beyond * BLOCK] <= reach) beyond++;
    for (int block = beyond - 1; block >= nearest; block--) {
        int64_t least = after->block_least[block];
        if (least >= best) continue;
        if (s->block_last[block] > s->first[from])
            least += print_price(s, roll, s->first[from], s->block_last[block]);
        if (least < best) best = best_in_block(s, roll, from, block, after, best);
    }
    return best;
}

static int64_t best_from(const struct strips_solver *s, int from, const struct strip_after *after)
{
    int64_t best = NEVER;
    for (size_t r = 0; r < s->prices->roll_count; r++)
        best = best_on_roll(s, &s->prices->rolls[r], from, after, best);
    return best;
}

static int64_t last_panel(const struct strips_solver *s, int from)
{
    int roll;
    int end = s->problem->positions;
    return end >= nearest_next(s->problem, from) ? panel_price(s, from, end, &roll) : NEVER;
}

static struct strip_after after_new(const struct seam_problem *p, struct arena *arena)
{
    int blocks = p->positions / BLOCK + 1;
    struct strip_after after = {arena_take_array(arena, (size_t)p->positions + 1, sizeof(int64_t)),
                                arena_take_array(arena, (size_t)blocks, sizeof(int64_t))};
    for (int at = 0; at <= p->positions; at++) after.value[at] = NEVER;
    for (int b = 0; b < blocks; b++) after.block_least[b] = NEVER;
    return after;
}

static void after_set(const struct seam_problem *p, struct strip_after *after, int at, int64_t to_go)
{
    if (!strips_allowed(p, at) || to_go >= NEVER) return;
    after->value[at] = to_go + p->cost[at];
    if (after->value[at] < after->block_least[at / BLOCK]) after->block_least[at / BLOCK] = after->value[at];
}

/* However many panels; fills `after` and returns the least cost of all. */
static int64_t least_of_all(const struct strips_solver *s, struct strip_after *after)
{
    const struct seam_problem *p = s->problem;
    int64_t to_go = NEVER;
    for (int from = p->positions - 1; from >= 0; from--) {
        if (from && !strips_allowed(p, from)) continue;
        int64_t last = last_panel(s, from), more = best_from(s, from, after);
        to_go = last < more ? last : more;
        after_set(p, after, from, to_go);
    }
    return to_go;
}

/* With one panel more than `after` has; `before`: panels that have to reach the place. */
static struct strip_after one_more(const struct strips_solver *s, const struct strip_after *after, int before,
                                   int64_t *from_edge, struct arena *arena)
{
    const struct seam_problem *p = s->problem;
    struct strip_after more = after_new(p, arena);
    int64_t reach = (int64_t)before * s->widest_um;
    for (int at = 1; at < p->positions && p->place_um[at] - p->place_um[0] <= reach; at++)
        if (strips_allowed(p, at))
            after_set(p, &more, at, after ? best_from(s, at, after) : last_panel(s, at));
    *from_edge = after ? best_from(s, 0, after) : last_panel(s, 0);
    return more;
}

/* ---- the answer ---- */

/* Of the next seams that keep the least cost, the one nearest to an even share of what is left. */
static int strips_choose_next(const struct strips_solver *s, int from, int panels, int64_t wanted,
                              const struct strip_after *after, int *roll)
{
    const struct seam_problem *p = s->problem;
    int64_t nearest = INT64_MAX, aim = (int64_t)from * panels + p->positions - from;
    int chosen = 0;
    for (int to = nearest_next(p, from); to < p->positions; to++) {
        int which = 0;
        if (p->place_um[to] - s->print_begin_um[from] > s->widest_um) break;
        if (after->value[to] >= NEVER) continue;
        if (panel_price(s, from, to, &which) + after->value[to] != wanted) continue;
        int64_t distance = llabs((int64_t)to * panels - aim);
        if (distance < nearest) nearest = distance, chosen = to, *roll = which;
    }
    assert(chosen);
    return chosen;
}

/* afters[k]: with k panels behind the seam. */
static struct seam_answer strips_read_answer(const struct strips_solver *s, const struct strip_after *afters,
                                             int panels, int64_t cost, struct arena *arena)
{
    const struct seam_problem *p = s->problem;
    struct seam_answer answer = {.possible = true, .panels = panels, .cost = cost};
    answer.at = arena_take_array(arena, (size_t)panels, sizeof *answer.at);
    answer.roll = arena_take_array(arena, (size_t)panels, sizeof *answer.roll);
    int at = 0;
    for (int i = 0; i + 1 < panels; i++) {
        int left = panels - i;
        answer.at[i] = strips_choose_next(s, at, left, cost, &afters[left - 1], &answer.roll[i]);
        at = answer.at[i];
        cost = afters[left - 1].value[at] - p->cost[at];
    }
    int64_t last = panel_price(s, at, p->positions, &answer.roll[panels - 1]);
    assert(last == cost); /* seams and panels add up to what the answer says */
    (void)last;
    return answer;
}

static struct seam_answer solve_fixed(const struct strips_solver *s, int panels, struct arena *scratch,
                                      struct arena *arena)
{
    struct strip_after *afters = arena_take_array(scratch, (size_t)panels + 1, sizeof *afters);
    int64_t cost = NEVER;
    for (int k = 1; k <= panels; k++)
        afters[k] = one_more(s, k > 1 ? &afters[k - 1] : NULL, panels - k, &cost, scratch);
    return cost < NEVER ? strips_read_answer(s, afters, panels, cost, arena) : (struct seam_answer){0};
}

/* Whether a seam at `to` is the next on a path of cost `to_go` from `from`. */
static bool keeps_least(const struct strips_solver *s, const struct strip_after *after, int from, int to,
                        int64_t to_go)
{
    int roll;
    return after->value[to] < NEVER && panel_price(s, from, to, &roll) + after->value[to] == to_go;
}

static int window_end(const struct strips_solver *s, int from)
{
    const struct seam_problem *p = s->problem;
    int end = nearest_next(p, from);
    while (end < p->positions && p->place_um[end] - s->print_begin_um[from] <= s->widest_um) end++;
    return end;
}

static int64_t rest_of(const struct strips_solver *s, const struct strip_after *after, int from,
                       int64_t least)
{
    return from ? after->value[from] - s->problem->cost[from] : least;
}

/* Places on paths from the low edge that cost least get a number of panels that is not known yet. */
static void count_fewest(const struct strips_solver *s, const struct strip_after *after, int64_t least,
                         int *fewest)
{
    fewest[0] = INT_MAX;
    for (int from = 0; from < s->problem->positions; from++)
        for (int to = nearest_next(s->problem, from), end = fewest[from] ? window_end(s, from) : 0; to < end;
             to++)
            if (keeps_least(s, after, from, to, rest_of(s, after, from, least))) fewest[to] = INT_MAX;
}

/* Of every place on a path that costs least, the fewest panels with which it goes on; 0 elsewhere. */
static int *fewest_of_least(const struct strips_solver *s, const struct strip_after *after, int64_t least,
                            struct arena *scratch)
{
    int *fewest = arena_take_array(scratch, (size_t)s->problem->positions, sizeof *fewest);
    count_fewest(s, after, least, fewest);
    for (int from = s->problem->positions - 1; from >= 0; from--) {
        if (!fewest[from]) continue;
        int64_t rest = rest_of(s, after, from, least);
        if (last_panel(s, from) == rest) fewest[from] = 1;
        for (int to = nearest_next(s->problem, from), end = window_end(s, from); to < end; to++)
            if (fewest[to] && fewest[to] < fewest[from] - 1 && keeps_least(s, after, from, to, rest))
                fewest[from] = fewest[to] + 1;
    }
    return fewest;
}

static struct seam_answer solve_free(const struct strips_solver *s, struct arena *scratch,
                                     struct arena *arena)
{
    const struct seam_problem *p = s->problem;
    struct strip_after all = after_new(p, scratch);
    int64_t least = least_of_all(s, &all);
    if (least >= NEVER) return (struct seam_answer){0};
    int *fewest = fewest_of_least(s, &all, least, scratch);
    assert(fewest[0] >= 1 && fewest[0] <= p->positions); /* a path that costs least was found again */
    struct strip_after *afters = arena_take_array(scratch, (size_t)fewest[0] + 1, sizeof *afters);
    for (int k = 1; k < fewest[0]; k++) {
        afters[k] = after_new(p, scratch);
        for (int at = 1; at < p->positions; at++)
            if (fewest[at] == k) afters[k].value[at] = all.value[at];
    }
    return strips_read_answer(s, afters, fewest[0], least, arena);
}

/* Whole positions, outward. */
static void set_prints(struct strips_solver *s)
{
    const struct seam_problem *p = s->problem;
    for (int at = 0; at <= p->positions; at++) {
        bool low = at == 0, high = at == p->positions;
        const struct seam_class *class = &p->classes[low || high ? 0 : p->class_of[at]];
        s->print_begin_um[at] = p->place_um[at] - (low ? p->low_bleed_um : class->high_um);
        s->print_end_um[at] = p->place_um[at] + (high ? p->high_bleed_um : class->low_um);
        int64_t first = ((int64_t)at * 1000 - class->high_um) / 1000;
        int64_t last = ((int64_t)at * 1000 + class->low_um + 999) / 1000;
        s->first[at] = low || first < 0 ? 0 : (int)first;
        s->last[at] = high || last > p->positions ? p->positions : (int)last;
        assert(s->first[at] <= at && s->last[at] >= at); /* so that no panel's extent is empty */
        int *least = &s->block_last[at / BLOCK];
        if (at % BLOCK == 0 || s->last[at] < *least) *least = s->last[at];
    }
}

static struct strips_solver strips_solver_new(const struct seam_problem *p, const struct strip_prices *prices,
                                              struct arena *arena)
{
    size_t count = (size_t)p->positions + 1;
    struct strips_solver s = {.problem = p, .prices = prices};
    s.print_begin_um = arena_take_array(arena, count, sizeof *s.print_begin_um);
    s.print_end_um = arena_take_array(arena, count, sizeof *s.print_end_um);
    s.first = arena_take_array(arena, count, sizeof *s.first);
    s.last = arena_take_array(arena, count, sizeof *s.last);
    s.block_last = arena_take_array(arena, count / BLOCK + 1, sizeof *s.block_last);
    s.extents = extents_new(prices->spans, p->positions, arena);
    set_prints(&s);
    for (size_t r = 0; r < prices->roll_count; r++)
        if (prices->rolls[r].usable_um > s.widest_um) s.widest_um = prices->rolls[r].usable_um;
    return s;
}

/* Solving has an arena of its own, which nobody needs afterwards. */
struct seam_answer seams_solve_strips(const struct seam_problem *p, const struct strip_prices *prices,
                                      struct arena *arena)
{
    if (p->panels > p->positions) return (struct seam_answer){0};
    struct arena *scratch = arena_new(arena_machine(arena));
    struct strips_solver s = strips_solver_new(p, prices, scratch);
    struct seam_answer answer =
        p->panels ? solve_fixed(&s, p->panels, scratch, arena) : solve_free(&s, scratch, arena);
    arena_free(scratch);
    return answer;
}
