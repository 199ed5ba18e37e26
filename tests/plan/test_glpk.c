/* Seams against an independent model, solved by glpsol (GNU Linear Programming Kit): a flow from the low edge
 * to the high edge over panels, one unit, each panel a 0-1 variable with the price of its strip and of the
 * seam that ends it. Free and fixed numbers of panels, two roll widths in one model (one for all panels, or
 * each panel its own), outlines of varying height. The strips' prices are worked out here from the rules in
 * doc/seams.md, column by column. */
#include "fixture.h"
#include "plan/seams.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PLACES_MOST = 110, ROLLS = 2, INSTANCES = 220 };

static uint32_t random_state = 31415;
static int random_below(int most)
{
    random_state = random_state * 1664525u + 1013904223u;
    return (int)((random_state >> 8) % (uint32_t)most);
}

struct instance {
    struct seam_problem problem[ROLLS];
    struct strip_roll rolls[ROLLS];
    struct strip_prices prices[ROLLS];
    int64_t place[PLACES_MOST + 1], cost[PLACES_MOST + 1];
    uint8_t class_of[PLACES_MOST + 1];
    struct span spans[PLACES_MOST];
};

static void make_outline(struct instance *in, int positions)
{
    int high = 5 + random_below(20), low = 0;
    bool varies = random_below(4) > 0;
    for (int i = 0; i < positions; i++) {
        if (varies) high += random_below(7) - 3, low += random_below(3) - 1;
        if (high < low + 2) high = low + 2;
        in->spans[i] = (struct span){(float)low, (float)high};
    }
}

static void make_instance(struct instance *in)
{
    memset(in, 0, sizeof *in);
    bool large = random_below(5) == 0; /* over several of the optimiser's blocks of 32 places */
    int positions = large ? 40 + random_below(PLACES_MOST - 40) : 8 + random_below(16);
    int usable = (large ? 15000 : 5000) + random_below(large ? 30000 : 7000);
    for (int i = 0; i <= positions; i++) {
        in->place[i] = i * 1000;
        in->cost[i] = random_below(5) ? random_below(40) * 100 : SEAM_FORBIDDEN;
        in->class_of[i] = (uint8_t)random_below(3);
    }
    make_outline(in, positions);
    for (int r = 0; r < ROLLS; r++) {
        in->problem[r] = (struct seam_problem){.positions = positions,
                                               .place_um = in->place,
                                               .cost = in->cost,
                                               .class_of = in->class_of,
                                               .classes = {{300, 1200}, {1200, 300}, {2500, 2500}},
                                               .class_count = 3,
                                               .low_bleed_um = 1000,
                                               .high_bleed_um = 500,
                                               .usable_um = usable + r * 2000,
                                               .least = random_below(3)};
        in->problem[r].least = in->problem[0].least;
        in->rolls[r] = (struct strip_roll){in->problem[r].usable_um, 50 + 20 * r + random_below(60)};
        in->prices[r] = (struct strip_prices){in->spans, random_below(2) * 6, &in->rolls[r], 1};
        in->prices[r].ends_mm = in->prices[0].ends_mm;
    }
}

/* ---- the model ---- */

static int64_t beyond(const struct seam_problem *p, int at, bool low_side)
{
    if (at == 0) return p->low_bleed_um;
    if (at == p->positions) return p->high_bleed_um;
    return low_side ? p->classes[p->class_of[at]].low_um : p->classes[p->class_of[at]].high_um;
}

static bool is_panel(const struct seam_problem *p, int from, int to)
{
    if (from && p->cost[from] == SEAM_FORBIDDEN) return false;
    if (to < p->positions && p->cost[to] == SEAM_FORBIDDEN) return false;
    int64_t width = (int64_t)(to - from) * 1000 + beyond(p, from, false) + beyond(p, to, true);
    return to - from >= p->least && width <= p->usable_um;
}

/* The strip's length: of every column of 1 mm that its print touches. */
static int64_t panel_price(const struct instance *in, int roll, int from, int to)
{
    const struct seam_problem *p = &in->problem[roll];
    double u0 = from - (from ? (double)beyond(p, from, false) / 1000 : 0);
    double u1 = to + (to < p->positions ? (double)beyond(p, to, true) / 1000 : 0), low = 1e9, high = -1e9;
    for (int i = 0; i < p->positions; i++) {
        if (i + 1 <= u0 || i >= u1) continue;
        low = fmin(low, (double)in->spans[i].low_mm), high = fmax(high, (double)in->spans[i].high_mm);
    }
    const struct strip_prices *prices = &in->prices[roll];
    return llround((high - low + prices->ends_mm) * in->rolls[roll].micro_per_mm) +
           (to < p->positions ? p->cost[to] : 0);
}

#define EVERY_PANEL(in, r, a, b)                                                                             \
    for (int r = 0; r < ROLLS; r++)                                                                          \
        for (int a = 0; a < (in)->problem[r].positions; a++)                                                 \
            for (int b = a + 1; b <= (in)->problem[r].positions; b++)                                        \
                if (is_panel(&(in)->problem[r], a, b))

/* In the format of CPLEX LP, which glpsol reads. */
static void write_flow(FILE *file, const struct instance *in, int at, int roll, bool mixed)
{
    fprintf(file, " flow%d_%d: 0 none", roll, at);
    EVERY_PANEL (in, r, a, b) {
        if ((mixed || r == roll) && b == at) fprintf(file, " + x%d_%d_%d\n", r, a, b);
        if ((mixed || r == roll) && a == at) fprintf(file, " - x%d_%d_%d\n", r, a, b);
    }
    fprintf(file, " = 0\n");
}

static void write_model(const struct instance *in, int panels, bool mixed, const char *path)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    int positions = in->problem[0].positions;
    fprintf(file, "Minimize\n cost: 0 none\n");
    EVERY_PANEL (in, r, a, b)
        fprintf(file, " + %lld x%d_%d_%d\n", (long long)panel_price(in, r, a, b), r, a, b);
    fprintf(file, "Subject To\n start: 0 none");
    EVERY_PANEL (in, r, a, b)
        if (!a) fprintf(file, " + x%d_%d_%d\n", r, a, b);
    fprintf(file, " = 1\n");
    for (int roll = 0; roll < (mixed ? 1 : ROLLS); roll++)
        for (int at = 1; at < positions; at++) write_flow(file, in, at, roll, mixed);
    if (panels) {
        fprintf(file, " number: 0 none");
        EVERY_PANEL (in, r, a, b) fprintf(file, " + x%d_%d_%d\n", r, a, b);
        fprintf(file, " = %d\n", panels);
    }
    fprintf(file, "Bounds\n none = 0\nBinary\n");
    EVERY_PANEL (in, r, a, b) fprintf(file, " x%d_%d_%d\n", r, a, b);
    fprintf(file, "End\n");
    assert_int_equal(fclose(file), 0);
}

/* The least cost by glpsol; -1: it found that there is none. `mixed`: each panel from either roll. */
static int64_t judged_cost(const char *folder, const struct instance *in, int panels, bool mixed)
{
    char model[300], answer[300], command[1000], line[300], status = '?';
    double cost = 0;
    snprintf(model, sizeof model, "%s/model.lp", folder);
    snprintf(answer, sizeof answer, "%s/answer.txt", folder);
    write_model(in, panels, mixed, model);
    snprintf(command, sizeof command, "glpsol --lp '%s' -w '%s' >/dev/null 2>&1", model, answer);
    assert_int_equal(system(command), 0);
    FILE *file = fopen(answer, "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file))
        if (sscanf(line, "s mip %*d %*d %c %lf", &status, &cost) == 2) break;
    fclose(file);
    unlink(model), unlink(answer);
    if (status != 'o' && status != 'n' && status != 'u') fail_msg("glpsol says \"%s\"", line);
    return status == 'o' ? llround(cost) : -1;
}

/* A number of panels that may be possible, or one too few. */
static int number_for(const struct instance *in)
{
    int fewest = (int)(in->problem[0].positions * INT64_C(1000) / in->problem[0].usable_um);
    return (fewest ? fewest : 1) + random_below(4);
}

/* What the answer's panels are worth, each on the roll it names. */
static int64_t worth(const struct instance *in, const struct seam_answer *answer, int first_roll)
{
    int64_t cost = 0;
    for (int i = 0, at = 0, to; i < answer->panels; i++, at = to) {
        int roll = first_roll + answer->roll[i];
        to = i + 1 < answer->panels ? answer->at[i] : in->problem[roll].positions;
        assert_true(is_panel(&in->problem[roll], at, to));
        cost += panel_price(in, roll, at, to);
    }
    return cost;
}

static char *open_folder(char *folder)
{
    if (system("glpsol --version >/dev/null 2>&1") == 0) return mkdtemp(folder);
    print_message("# skipped: glpsol is not installed\n");
    skip();
    return NULL;
}

static void one_width_equals_glpsol(void **state)
{
    struct fixture *f = *state;
    char folder[] = "/tmp/lapstrake-glpk-XXXXXX";
    int possible = 0, impossible = 0, with_number = 0, wide = 0;
    assert_non_null(open_folder(folder));
    for (int n = 0; n < INSTANCES; n++) {
        struct instance in;
        make_instance(&in);
        int panels = random_below(2) ? number_for(&in) : 0;
        int64_t best = -1;
        for (int r = 0; r < ROLLS; r++) {
            in.problem[r].panels = panels;
            struct seam_answer answer = seams_solve_strips(&in.problem[r], &in.prices[r], f->arena);
            if (!answer.possible) continue;
            assert_int_equal(worth(&in, &answer, r), answer.cost);
            if (best < 0 || answer.cost < best) best = answer.cost, wide += r;
        }
        int64_t judged = judged_cost(folder, &in, panels, false);
        if (judged != best) fail_msg("case %d: %lld, glpsol %lld", n, (long long)best, (long long)judged);
        best < 0 ? impossible++ : possible++;
        with_number += best >= 0 && panels;
    }
    rmdir(folder);
    print_message("# %d possible, %d impossible, %d of a fixed number, %d better on the wide roll\n",
                  possible, impossible, with_number, wide);
    assert_true(possible > 100 && impossible > 10 && with_number > 40 && wide > 20);
}

/* Each panel from the roll that suits it. */
static void mixed_widths_equal_glpsol(void **state)
{
    struct fixture *f = *state;
    char folder[] = "/tmp/lapstrake-glpk-XXXXXX";
    int possible = 0, impossible = 0, mixed = 0;
    assert_non_null(open_folder(folder));
    for (int n = 0; n < INSTANCES; n++) {
        struct instance in;
        make_instance(&in);
        int panels = random_below(2) ? number_for(&in) : 0;
        struct strip_prices prices = {in.spans, in.prices[0].ends_mm, in.rolls, ROLLS};
        in.problem[0].panels = panels;
        struct seam_answer answer = seams_solve_strips(&in.problem[0], &prices, f->arena);
        int64_t judged = judged_cost(folder, &in, panels, true), cost = answer.possible ? answer.cost : -1;
        if (judged != cost) fail_msg("case %d: %lld, glpsol %lld", n, (long long)cost, (long long)judged);
        answer.possible ? possible++ : impossible++;
        if (!answer.possible) continue;
        assert_int_equal(worth(&in, &answer, 0), answer.cost);
        if (!panels && answer.panels > 1) { /* with fewer panels it costs more, or cannot be */
            int64_t fewer = judged_cost(folder, &in, answer.panels - 1, true);
            assert_true(fewer < 0 || fewer > answer.cost);
        }
        for (int i = 1, both = 0; i < answer.panels && !both; i++)
            mixed += both = answer.roll[i] != answer.roll[0];
    }
    rmdir(folder);
    print_message("# %d possible, %d impossible, %d on both rolls\n", possible, impossible, mixed);
    assert_true(possible > 100 && impossible > 10 && mixed > 30);
}

static int open_fixture(void **state)
{
    static struct fixture f;
    fixture_open(&f);
    *state = &f;
    return 0;
}

static int close_fixture(void **state)
{
    fixture_close(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(one_width_equals_glpsol),
                                       cmocka_unit_test(mixed_widths_equal_glpsol)};
    return cmocka_run_group_tests(tests, open_fixture, close_fixture);
}
