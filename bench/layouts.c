/* Measures layouts of strips that were cut up, of which the best length is known.
 *
 *     bench-layouts groups|outlines CASES SECONDS [SEED [FIRST]]
 *
 * Cases before the one numbered FIRST are left out, those after it stay the same; SEED 0 is the usual one. Prints a line for each case: panels or outlines, length of the full strip, what was found, and by how much that is
 * longer in percent; and how many are within 2 (groups) or 12 (outlines) percent. Seconds of processor time. */
#include "../tests/support/cut_strip.h"
#include "clock.h"
#include "base/arena.h"
#include "base/machine.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct layouts_case {
    size_t count;
    int64_t length, found;
};

static bool case_of_groups(struct cut_dice *dice, const struct layout_effort *effort, struct arena *arena,
                           struct layouts_case *one)
{
    static const int64_t width = 1370;
    struct layout_panel panels[40];
    struct layout_roll roll = {width, 0, 0, 1};
    struct layout_rolls rolls;
    one->count = cut_groups(dice, width, panels, &one->length);
    struct layout_rolls_order order = {&roll, 1, panels, one->count, 0, 0, 0, 0, 0};
    if (!layout_rolls(&order, effort, arena, &rolls, NULL)) return false;
    one->found = rolls.length;
    return true;
}

static bool case_of_outlines(struct cut_dice *dice, const struct layout_effort *effort, struct arena *arena,
                             struct layouts_case *one)
{
    static const int64_t width = 1370000;
    struct layout_outline outlines[16];
    struct layout_point points[16 * CUT_POINTS_MOST];
    struct layout_outlines laid;
    struct error error;
    one->count = cut_outlines(dice, width, outlines, points, &one->length);
    struct layout_outlines_order order = {width, 0, outlines, one->count};
    if (!layout_outlines(&order, effort, arena, &laid, &error)) {
        fprintf(stderr, "%s\n", error.text);
        return false;
    }
    one->found = laid.used;
    return true;
}

int main(int argc, char **argv)
{
    struct machine machine = machine_real(argv[0]);
    if (argc < 4) {
        fprintf(stderr, "bench-layouts groups|outlines CASES SECONDS [SEED [FIRST]]\n");
        return 2;
    }
    bool groups = !strcmp(argv[1], "groups");
    int cases = atoi(argv[2]), within = 0;
    uint64_t seed = argc > 4 ? strtoull(argv[4], NULL, 10) : 0;
    struct cut_dice dice = {seed ? seed * 2654435761u + 1 : 88172645463325252u};
    int first = argc > 5 ? atoi(argv[5]) : 1;
    for (int i = 1; i < first + cases; i++) {
        struct arena *arena = arena_new(&machine);
        struct layouts_case one;
        struct bench_clock clock = {bench_seconds() + strtod(argv[3], NULL), 0};
        struct layout_effort effort = {1, i < first ? 1 : 0, bench_enough, &clock};
        if (!(groups ? case_of_groups : case_of_outlines)(&dice, &effort, arena, &one)) return 1;
        arena_free(arena);
        if (i < first) continue;
        double more = 100.0 * (double)(one.found - one.length) / (double)one.length;
        within += more <= (groups ? 2 : 12);
        printf("%zu %lld %lld %.2f %%\n", one.count, (long long)one.length, (long long)one.found, more);
        fflush(stdout);
    }
    printf("%d of %d within %d %%\n", within, cases, groups ? 2 : 12);
    return 0;
}
