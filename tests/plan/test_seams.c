/* The optimiser against trying everything. The judge knows none of its shortcuts: it walks all sets of
 * seams by recursion. */
#include "fixture.h"
#include "plan/seams.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PLACES_MOST = 26 };

struct instance {
    struct seam_problem problem;
    int64_t place[PLACES_MOST + 1], cost[PLACES_MOST + 1];
    uint8_t class_of[PLACES_MOST + 1];
};

static uint32_t random_state = 20261125;
static int random_below(int most)
{
    random_state = random_state * 1664525u + 1013904223u;
    return (int)((random_state >> 8) % (uint32_t)most);
}

static void make_instance(struct instance *in)
{
    memset(in, 0, sizeof *in);
    struct seam_problem *p = &in->problem;
    p->positions = 6 + random_below(PLACES_MOST - 6);
    int64_t stretch = random_below(3) ? 1000 : 1100; /* a followed corrugation */
    for (int i = 0; i <= p->positions; i++) {
        in->place[i] = i * stretch;
        in->cost[i] = random_below(4) ? random_below(5) * 100 : SEAM_FORBIDDEN;
        in->class_of[i] = (uint8_t)random_below(random_below(2) + 2);
    }
    for (int from = random_below(p->positions), n = random_below(6), i = from;
         i < from + n && i <= p->positions; i++)
        in->cost[i] = SEAM_FORBIDDEN;
    p->place_um = in->place, p->cost = in->cost, p->class_of = in->class_of;
    p->classes[0] = (struct seam_class){300, 1200};
    p->classes[1] = (struct seam_class){1200, 300};
    p->classes[2] = (struct seam_class){2500, 2500};
    p->class_count = 3;
    p->low_bleed_um = random_below(3) * 1000, p->high_bleed_um = random_below(3) * 1000;
    p->usable_um = 5000 + random_below(9000);
    p->least = random_below(4);
}

/* What the judge found: least cost for each number of panels, and of the seam sets that cost it the one the
 * rule of evenness names. */
struct judged {
    int64_t cost[PLACES_MOST + 2];
    int at[PLACES_MOST + 2][PLACES_MOST + 1];
};

static int64_t extra(const struct seam_problem *p, int at, bool low_side)
{
    if (at == 0) return p->low_bleed_um;
    if (at == p->positions) return p->high_bleed_um;
    return low_side ? p->classes[p->class_of[at]].low_um : p->classes[p->class_of[at]].high_um;
}

static bool panel_fits(const struct seam_problem *p, int from, int to)
{
    int64_t width = p->place_um[to] - p->place_um[from] + extra(p, from, false) + extra(p, to, true);
    return to - from >= p->least && width <= p->usable_um;
}

/* Which of two sets of equal cost the rule prefers: the first seam that differs decides. */
static bool more_even(const struct seam_problem *p, const int *one, const int *other, int panels)
{
    int from = 0;
    for (int i = 0; i + 1 < panels; i++) {
        if (one[i] != other[i]) {
            double aim = from + (double)(p->positions - from) / (panels - i);
            double a = one[i] > aim ? one[i] - aim : aim - one[i];
            double b = other[i] > aim ? other[i] - aim : aim - other[i];
            if (a > b - 1e-9 && a < b + 1e-9) return one[i] < other[i];
            return a < b;
        }
        from = one[i];
    }
    return false;
}

static void timetable(const struct seam_problem *p, int from, int *at, int count, int64_t cost,
                      struct judged *j)
{
    if (panel_fits(p, from, p->positions)) {
        int panels = count + 1;
        if (cost < j->cost[panels] || (cost == j->cost[panels] && more_even(p, at, j->at[panels], panels))) {
            j->cost[panels] = cost;
            memcpy(j->at[panels], at, (size_t)count * sizeof *at);
        }
    }
    if (count > 5) return;
    for (int next = from + 1; next < p->positions; next++) {
        if (p->cost[next] == SEAM_FORBIDDEN || !panel_fits(p, from, next)) continue;
        at[count] = next;
        timetable(p, next, at, count + 1, cost + p->cost[next], j);
    }
}

static void equals_trying_everything(void **state)
{
    struct fixture *f = *state;
    int possible = 0, blocked = 0, with_gap = 0, fixed = 0;
    for (int n = 0; n < 1200; n++) {
        struct instance in;
        struct judged judged;
        int at[PLACES_MOST + 2], fewest = 0;
        make_instance(&in);
        for (int k = 0; k < PLACES_MOST + 2; k++) judged.cost[k] = INT64_MAX;
        timetable(&in.problem, 0, at, 0, 0, &judged);
        for (int k = 1; k <= 6 && !fewest; k++)
            if (judged.cost[k] != INT64_MAX) fewest = k;
        struct seam_answer answer = seams_solve(&in.problem, f->arena);
        if (!fewest && answer.possible && answer.panels > 6) continue; /* beyond the judge's depth */
        assert_int_equal(answer.possible, fewest != 0);
        for (int k = 1; k <= 6; k++) { /* free number first, then each fixed one */
            if (answer.possible) {
                int panels = answer.panels;
                assert_int_equal(answer.cost, judged.cost[panels]);
                for (int i = 0; i + 1 < panels; i++) assert_int_equal(answer.at[i], judged.at[panels][i]);
                for (int i = 0; i + 1 < panels; i++) with_gap += in.class_of[answer.at[i]] == 2;
            }
            if (k == 1 && answer.possible) assert_int_equal(answer.panels, fewest), possible++;
            if (k == 1 && !answer.possible) blocked++;
            in.problem.panels = k;
            answer = seams_solve(&in.problem, f->arena);
            assert_int_equal(answer.possible, judged.cost[k] != INT64_MAX);
            fixed += answer.possible;
        }
    }
    print_message("# %d possible, %d impossible, %d gap seams, %d with a fixed number of panels\n", possible,
                  blocked, with_gap, fixed);
    assert_true(possible > 300 && blocked > 100 && with_gap > 100 && fixed > 300);
}

/* seams_blocked says the same as trying everything with no least width, and its stretch holds no place where
 * a seam may stand. */
static void blocked_is_blocked(void **state)
{
    struct fixture *f = *state;
    int said = 0;
    for (int n = 0; n < 1000; n++) {
        struct instance in;
        int from, to;
        make_instance(&in);
        in.problem.least = 0;
        bool blocked = seams_blocked(&in.problem, &from, &to);
        assert_int_equal(blocked, !seams_solve(&in.problem, f->arena).possible);
        if (!blocked) continue;
        said++;
        for (int i = from + 1; i < to && i < in.problem.positions; i++)
            assert_true(in.cost[i] == SEAM_FORBIDDEN || !seams_fit(&in.problem, from, i));
    }
    assert_true(said > 50);
}

/* Nothing to choose between: 5400 mm, film of 1354 mm, bleed 50, overlap 12, trim 3. By hand, four panels
 * hold (1354 - 50 - 3) + 2 (1354 - 12 - 3) + (1354 - 12 - 50) = 5271 at most, so five, and evenly 1080 each.
 */
static void plain_surface_is_even(void **state)
{
    struct fixture *f = *state;
    static int64_t place[5401], cost[5401];
    static uint8_t class_of[5401];
    for (int i = 0; i <= 5400; i++) place[i] = i * 1000, cost[i] = 7;
    struct seam_problem p = {.positions = 5400,
                             .place_um = place,
                             .cost = cost,
                             .class_of = class_of,
                             .classes = {{3000, 12000}},
                             .class_count = 1,
                             .low_bleed_um = 50000,
                             .high_bleed_um = 50000,
                             .usable_um = 1354000};
    struct seam_answer answer = seams_solve(&p, f->arena);
    assert_int_equal(answer.panels, 5);
    for (int i = 0; i < 4; i++) assert_int_equal(answer.at[i], 1080 * (i + 1));
    assert_int_equal(answer.cost, 28);
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
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(equals_trying_everything),
        cmocka_unit_test(blocked_is_blocked),
        cmocka_unit_test(plain_surface_is_even),
    };
    return cmocka_run_group_tests(tests, open_fixture, close_fixture);
}
