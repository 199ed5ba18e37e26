/* Times of the seam optimisation, beside a naive dynamic programme and glpsol (GNU Linear Programming Kit) on
 * the same instances; medians. The costs that they find are compared: exit status 1 when two differ. At 1 mm
 * glpsol's model would have eight million variables, so it gets the same side on a coarser grid.
 *
 *     ninja -C build bench/bench-seams && build/bench/bench-seams */
#include "base/machine.h"
#include "judge.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { RUNS = 11, STRIPS = 3, ROLLS = 2 };

struct side {
    struct seam_problem problem;
    struct strip_roll rolls[ROLLS];
    struct strip_prices prices;
};

/* Of this process alone, so that a busy machine counts less; of glpsol, a child, by the wall clock. */
static double now_ms(bool child)
{
    struct timespec t;
    clock_gettime(child ? CLOCK_MONOTONIC : CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static int by_size(const void *a, const void *b)
{
    double one = *(const double *)a, other = *(const double *)b;
    return (one > other) - (one < other);
}

/* A side of `length_mm`, a place every `step_mm`: waves of detail with forbidden stretches between, an
 * outline that rises and falls. Of the places the optimiser for strips takes as millimetres; so all lengths
 * but the outline's height are given in steps. */
static void side_make(struct side *side, int length_mm, int step_mm, int usable_mm, int phase,
                      struct arena *arena)
{
    int positions = length_mm / step_mm;
    size_t count = (size_t)positions + 1;
    int64_t unit = 1000 / step_mm, *place = arena_take_array(arena, count, sizeof *place);
    int64_t *cost = arena_take_array(arena, count, sizeof *cost);
    struct span *spans = arena_take_array(arena, count, sizeof *spans);
    for (int i = 0; i <= positions; i++) {
        int mm = i * step_mm;
        place[i] = (int64_t)i * 1000;
        cost[i] = (int64_t)(8e6 + 4e6 * sin((mm + phase) / 90.0) + 3e6 * sin((mm + phase) / 31.0));
        if ((mm + phase) % 700 < 120) cost[i] = SEAM_FORBIDDEN;
        spans[i] = (struct span){0, (float)(1200 + 500 * sin(mm / 2000.0))};
    }
    side->problem = (struct seam_problem){.positions = positions,
                                          .place_um = place,
                                          .cost = cost,
                                          .class_of = arena_take_array(arena, count, 1),
                                          .classes = {{3 * unit, 12 * unit}},
                                          .class_count = 1,
                                          .low_bleed_um = 50 * unit,
                                          .high_bleed_um = 50 * unit,
                                          .usable_um = usable_mm * unit};
    side->rolls[0] = (struct strip_roll){usable_mm * unit, 23000};
    side->rolls[1] = (struct strip_roll){(usable_mm + 150) * unit, 25700};
    side->prices = (struct strip_prices){spans, 220, side->rolls, 1};
}

/* ---- what is measured ---- */

static int64_t one_way(const struct side *side, struct arena *arena)
{
    return seams_solve(&side->problem, arena).cost;
}

static int64_t one_way_naive(const struct side *side, struct arena *arena)
{
    int panels = seams_solve(&side->problem, arena).panels;
    return judge_naive(&side->problem, NULL, panels);
}

static int64_t outline(const struct side *side, struct arena *arena)
{
    int64_t best = INT64_MAX;
    for (int roll = 0; roll < ROLLS; roll++) {
        struct strip_prices prices = {side->prices.spans, side->prices.ends_mm, &side->rolls[roll], 1};
        struct seam_answer answer = seams_solve_strips(&side->problem, &prices, arena);
        if (answer.possible && answer.cost < best) best = answer.cost;
    }
    return best;
}

static int64_t outline_naive(const struct side *side, struct arena *arena)
{
    int64_t best = INT64_MAX;
    (void)arena;
    for (int roll = 0; roll < ROLLS; roll++) {
        struct strip_prices prices = {side->prices.spans, side->prices.ends_mm, &side->rolls[roll], 1};
        int64_t cost = judge_naive(&side->problem, &prices, 0);
        if (cost < best) best = cost;
    }
    return best;
}

static int64_t mixed(const struct side *side, struct arena *arena)
{
    struct strip_prices prices = {side->prices.spans, side->prices.ends_mm, side->rolls, ROLLS};
    return seams_solve_strips(&side->problem, &prices, arena).cost;
}

static int64_t mixed_naive(const struct side *side, struct arena *arena)
{
    struct strip_prices prices = {side->prices.spans, side->prices.ends_mm, side->rolls, ROLLS};
    (void)arena;
    return judge_naive(&side->problem, &prices, 0);
}

static int64_t mixed_glpsol(const struct side *side, struct arena *arena)
{
    struct strip_prices prices = {side->prices.spans, side->prices.ends_mm, side->rolls, ROLLS};
    (void)arena;
    return judge_glpsol(&side->problem, &prices, 0);
}

static int64_t one_way_glpsol(const struct side *side, struct arena *arena)
{
    return judge_glpsol(&side->problem, NULL, seams_solve(&side->problem, arena).panels);
}

/* Strips of one artwork: their seams want to stand at the same places, and must not. */
static void both_ways_problems(const struct side *side, struct seam_problem *strips)
{
    for (int k = 0; k < STRIPS; k++) strips[k] = side->problem;
}

static int64_t both_ways(const struct side *side, struct arena *arena)
{
    struct seam_problem strips[STRIPS];
    int step_um = (int)(12000000 / side->problem.positions);
    both_ways_problems(side, strips);
    struct stagger_answer answer = seams_stagger(strips, STRIPS, (150000 + step_um - 1) / step_um, arena);
    return answer.proved ? (int64_t)answer.panels * JUDGE_PANEL + answer.cost : -1;
}

static int64_t both_ways_glpsol(const struct side *side, struct arena *arena)
{
    struct seam_problem strips[STRIPS];
    int step_um = (int)(12000000 / side->problem.positions);
    (void)arena;
    both_ways_problems(side, strips);
    return judge_glpsol_stagger(strips, STRIPS, (150000 + step_um - 1) / step_um);
}

/* ---- the table ---- */

typedef int64_t solver(const struct side *side, struct arena *arena);

static double median_ms(solver *solve, int runs, bool child, const struct side *side, struct machine *machine,
                        int64_t *cost)
{
    double took[RUNS];
    for (int i = 0; i < runs; i++) {
        struct arena *arena = arena_new(machine);
        double start = now_ms(child);
        *cost = solve(side, arena);
        took[i] = now_ms(child) - start;
        arena_free(arena);
    }
    qsort(took, (size_t)runs, sizeof *took, by_size);
    return took[runs / 2];
}

struct row {
    const char *name;
    int length_mm, step_mm, usable_mm;
    solver *ours, *naive, *glpsol;
};

static bool run_row(const struct row *row, struct machine *machine)
{
    struct side side;
    int64_t ours, cost;
    struct arena *arena = arena_new(machine);
    bool same = true;
    side_make(&side, row->length_mm, row->step_mm, row->usable_mm, 0, arena);
    printf("| %-42s | %9.3f |", row->name, median_ms(row->ours, RUNS, false, &side, machine, &ours));
    solver *const others[] = {row->naive, row->glpsol};
    for (int i = 0; i < 2; i++) {
        double ms = others[i] ? median_ms(others[i], i ? 1 : 3, i, &side, machine, &cost) : 0;
        bool there = others[i] && cost >= 0;
        if (there)
            printf(" %9.1f |", ms);
        else
            printf(" %9s |", "-");
        same &= !there || cost == ours;
    }
    printf(" %s\n", same ? "" : "COSTS DIFFER");
    arena_free(arena);
    return same && ours >= 0;
}

int main(void)
{
    static const struct row rows[] = {
        {"6 m, a place each mm", 6000, 1, 1354, one_way, one_way_naive, NULL},
        {"6 m, each 10 mm", 6000, 10, 1354, one_way, one_way_naive, one_way_glpsol},
        {"6 m outline, two rolls, each mm", 6000, 1, 1354, outline, outline_naive, NULL},
        {"6 m outline, widths mixed, each mm", 6000, 1, 1354, mixed, mixed_naive, NULL},
        {"6 m outline, widths mixed, each 10 mm", 6000, 10, 1354, mixed, mixed_naive, mixed_glpsol},
        {"12 m x 3 m both ways, each 10 mm", 12000, 10, 6000, both_ways, NULL, NULL},
        {"12 m x 3 m both ways, each 100 mm", 12000, 100, 6000, both_ways, NULL, both_ways_glpsol},
        {"the same, prints of 2 m, each 10 mm", 12000, 10, 2000, both_ways, NULL, NULL},
        {"the same, prints of 2 m, each 100 mm", 12000, 100, 2000, both_ways, NULL, both_ways_glpsol},
    };
    struct machine machine = machine_real("");
    bool good = true;
    printf("| %-42s | %9s | %9s | %9s |\n|---|---|---|---|\n", "median, ms", "ours", "naive", "glpsol");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) good &= run_row(&rows[i], &machine);
    return good ? 0 : 1;
}
