/* Times of the seam optimisation beside a naive dynamic programme, medians of runs; glpsol, where it is
 * installed, on the same instance at a coarser grid (at 1 mm its model would have eight million variables).
 *
 *     ninja -C build tests/plan/bench-seams && build/tests/plan/bench-seams */
#include "base/machine.h"
#include "plan/seams.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

enum { RUNS = 11, STRIPS = 3 };

struct surface_side {
    struct seam_problem problem;
    struct span *spans;
};

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static int by_size(const void *a, const void *b)
{
    double one = *(const double *)a, other = *(const double *)b;
    return (one > other) - (one < other);
}

/* A side of `length_mm`, on a grid of `step_mm`: waves of detail with forbidden stretches between. */
static struct surface_side side_new(int length_mm, int step_mm, int usable_mm, int phase, struct arena *arena)
{
    int positions = length_mm / step_mm;
    size_t count = (size_t)positions + 1;
    int64_t *place = arena_take_array(arena, count, sizeof *place),
            *cost = arena_take_array(arena, count, sizeof *cost);
    uint8_t *class_of = arena_take_array(arena, count, 1);
    struct surface_side side = {.spans = arena_take_array(arena, count, sizeof *side.spans)};
    for (int i = 0; i <= positions; i++) {
        int mm = i * step_mm;
        place[i] = (int64_t)mm * 1000;
        cost[i] = (int64_t)(8e6 + 4e6 * sin((mm + phase) / 90.0) + 3e6 * sin((mm + phase) / 31.0));
        if ((mm + phase) % 700 < 120) cost[i] = SEAM_FORBIDDEN;
        side.spans[i] = (struct span){0, (float)(1200 + 500 * sin(mm / 2000.0))};
    }
    side.problem = (struct seam_problem){.positions = positions,
                                         .place_um = place,
                                         .cost = cost,
                                         .class_of = class_of,
                                         .classes = {{3000, 12000}},
                                         .class_count = 1,
                                         .low_bleed_um = 50000,
                                         .high_bleed_um = 50000,
                                         .usable_um = (int64_t)usable_mm * 1000};
    return side;
}

/* Every pair of places, for each number of panels up to `panels`. */
static int64_t naive(const struct seam_problem *p, int panels)
{
    size_t count = (size_t)p->positions + 1;
    int64_t *after = malloc(count * sizeof *after), *here = malloc(count * sizeof *here);
    for (int at = 0; at <= p->positions; at++)
        after[at] = at < p->positions && seams_fit(p, at, p->positions) ? 0 : INT64_MAX;
    for (int k = 2; k <= panels; k++) {
        for (int from = 0; from <= p->positions; from++) {
            here[from] = INT64_MAX;
            if (from && p->cost[from] == SEAM_FORBIDDEN) continue;
            for (int to = from + 1; to < p->positions && p->place_um[to] - p->place_um[from] < p->usable_um;
                 to++)
                if (p->cost[to] != SEAM_FORBIDDEN && after[to] != INT64_MAX && seams_fit(p, from, to) &&
                    p->cost[to] + after[to] < here[from])
                    here[from] = p->cost[to] + after[to];
        }
        int64_t *swap = after;
        after = here, here = swap;
    }
    int64_t least = after[0];
    free(after), free(here);
    return least;
}

/* Seconds that glpsol takes for the flow over all panels, exactly `panels` of them; < 0: it is not there. */
static double glpsol_ms(const struct seam_problem *p, int panels)
{
    if (system("glpsol --version >/dev/null 2>&1") != 0) return -1;
    char path[] = "/tmp/lapstrake-bench-XXXXXX", command[200];
    int fd = mkstemp(path);
    FILE *f = fd < 0 ? NULL : fdopen(fd, "w");
    if (!f) return -1;
    fprintf(
        f,
        "set A dimen 2; param c{A}; param n;\nset N := 0..n;\nvar x{A} >= 0;\n"
        "minimize cost: sum{(a,b) in A} c[a,b]*x[a,b];\n"
        "s.t. flow{i in N}: sum{(i,b) in A} x[i,b] - sum{(a,i) in A} x[a,i] = if i = 0 then 1 else if i = n "
        "then -1 else 0;\ns.t. k: sum{(a,b) in A} x[a,b] = %d;\nsolve;\ndata;\nparam n := %d;\n"
        "param : A : c :=\n",
        panels, p->positions);
    for (int a = 0; a < p->positions; a++)
        for (int b = a + 1; b <= p->positions && (!a || p->cost[a] != SEAM_FORBIDDEN); b++)
            if ((b == p->positions || p->cost[b] != SEAM_FORBIDDEN) && seams_fit(p, a, b))
                fprintf(f, "%d %d %lld\n", a, b, b < p->positions ? (long long)p->cost[b] : 0LL);
    fprintf(f, ";\nend;\n");
    fclose(f);
    snprintf(command, sizeof command, "glpsol --math %s >/dev/null 2>&1", path);
    double start = now_ms();
    int status = system(command);
    double took = now_ms() - start;
    unlink(path);
    return status == 0 ? took : -1;
}

enum what { OPTIMISER, NAIVE, OUTLINE, BOTH_WAYS };

static double median_ms(enum what what, const struct surface_side *side, int panels, struct machine *machine)
{
    double took[RUNS];
    for (int i = 0; i < RUNS; i++) {
        struct arena *arena = arena_new(machine);
        struct strip_roll rolls[] = {{side->problem.usable_um, 25000},
                                     {side->problem.usable_um + 150000, 25000}};
        struct seam_problem strips[STRIPS] = {side[0].problem};
        for (int k = 1; what == BOTH_WAYS && k < STRIPS; k++) strips[k] = side[k].problem;
        double start = now_ms();
        if (what == OPTIMISER) seams_solve(&side->problem, arena);
        if (what == NAIVE) naive(&side->problem, panels);
        for (int roll = 0; what == OUTLINE && roll < 2; roll++) {
            struct strip_prices prices = {side->spans, 220, &rolls[roll], 1};
            seams_solve_strips(&side->problem, &prices, arena);
        }
        if (what == BOTH_WAYS) seams_stagger(strips, STRIPS, 15, arena);
        took[i] = now_ms() - start;
        arena_free(arena);
    }
    qsort(took, RUNS, sizeof *took, by_size);
    return took[RUNS / 2];
}

int main(void)
{
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct surface_side fine = side_new(6000, 1, 1354, 0, arena), coarse = side_new(6000, 10, 1354, 0, arena);
    struct surface_side strips[STRIPS];
    for (int k = 0; k < STRIPS; k++) strips[k] = side_new(12000, 10, 6000, 40 * k, arena);
    int panels = seams_solve(&fine.problem, arena).panels;
    int coarse_panels = seams_solve(&coarse.problem, arena).panels;
    bool same = seams_solve(&fine.problem, arena).cost == naive(&fine.problem, panels);
    printf("6 m at 1 mm, %d panels:    optimiser %8.3f ms, naive %8.1f ms, the same cost: %s\n", panels,
           median_ms(OPTIMISER, &fine, panels, &machine), median_ms(NAIVE, &fine, panels, &machine),
           same ? "yes" : "NO");
    printf("6 m at 10 mm, %d panels:   optimiser %8.3f ms, naive %8.1f ms, glpsol %8.0f ms\n", coarse_panels,
           median_ms(OPTIMISER, &coarse, coarse_panels, &machine),
           median_ms(NAIVE, &coarse, coarse_panels, &machine), glpsol_ms(&coarse.problem, coarse_panels));
    printf("outline, 6 m, two rolls:  %8.1f ms\n", median_ms(OUTLINE, &fine, 0, &machine));
    printf("12 m x 3 m both ways:     %8.1f ms (10 mm grid, three strips)\n",
           median_ms(BOTH_WAYS, strips, 0, &machine));
    arena_free(arena);
    return same ? 0 : 1;
}
