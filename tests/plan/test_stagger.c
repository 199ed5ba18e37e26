/* Strips cut across, neighbours kept apart, against trying all sets of crossings of all strips together. The
 * judge walks the product of all sets and knows nothing of windows and branches. */
#include "fixture.h"
#include "plan/seams.h"
#include <stdlib.h>
#include <string.h>

enum { PLACES_MOST = 14, STRIPS = 3, SETS_MOST = 1 << 10 };

static uint32_t random_state = 4711;
static int random_below(int most)
{
    random_state = random_state * 1664525u + 1013904223u;
    return (int)((random_state >> 8) % (uint32_t)most);
}

struct instance {
    struct seam_problem strips[STRIPS];
    int64_t place[PLACES_MOST + 1], cost[STRIPS][PLACES_MOST + 1];
    uint8_t class_of[PLACES_MOST + 1];
};

static void make_instance(struct instance *in)
{
    memset(in, 0, sizeof *in);
    int positions = 7 + random_below(PLACES_MOST - 7), usable = 4000 + random_below(5000);
    for (int i = 0; i <= positions; i++) in->place[i] = i * 1000;
    for (int k = 0; k < STRIPS; k++) {
        for (int i = 0; i <= positions; i++)
            in->cost[k][i] = random_below(5) ? random_below(9) * 100 : SEAM_FORBIDDEN;
        in->strips[k] = (struct seam_problem){.positions = positions,
                                              .place_um = in->place,
                                              .cost = in->cost[k],
                                              .class_of = in->class_of,
                                              .classes = {{300, 1200}},
                                              .class_count = 1,
                                              .low_bleed_um = 1000,
                                              .high_bleed_um = 500,
                                              .usable_um = usable};
    }
}

/* All sets of crossings of one strip that fit, as bits. */
static int sets_of(const struct seam_problem *p, int *sets)
{
    int count = 0;
    for (int bits = 0; bits < 1 << (p->positions - 1); bits++) {
        int from = 0;
        bool fits = true;
        for (int at = 1; fits && at <= p->positions; at++) {
            bool last = at == p->positions;
            if (!last && !(bits >> (at - 1) & 1)) continue;
            if (!last && p->cost[at] == SEAM_FORBIDDEN) fits = false;
            int64_t width = p->place_um[at] - p->place_um[from] + (from ? 1200 : 1000) + (last ? 500 : 300);
            if (width > p->usable_um) fits = false;
            from = at;
        }
        if (fits && __builtin_popcount((unsigned)bits) <= 3 && count < SETS_MOST) sets[count++] = bits;
    }
    assert_true(count < SETS_MOST);
    return count;
}

static bool too_near(int a, int b, int apart)
{
    for (int shift = 1 - apart; shift < apart; shift++)
        if (a & (shift < 0 ? b >> -shift : b << shift)) return true;
    return false;
}

static int64_t value_of(const struct seam_problem *p, int bits)
{
    int64_t value = 1000000; /* a panel outweighs any cost here */
    for (int at = 1; at < p->positions; at++)
        if (bits >> (at - 1) & 1) value += 1000000 + p->cost[at];
    return value;
}

/* Panels x 1000000 + cost of the best of all; -1: none. */
static int64_t try_everything(const struct instance *in, int apart)
{
    static int sets[STRIPS][SETS_MOST];
    int64_t best = -1;
    int count[STRIPS];
    for (int k = 0; k < STRIPS; k++) count[k] = sets_of(&in->strips[k], sets[k]);
    for (int a = 0; a < count[0]; a++)
        for (int b = 0; b < count[1]; b++) {
            if (too_near(sets[0][a], sets[1][b], apart)) continue;
            for (int c = 0; c < count[2]; c++) {
                if (too_near(sets[1][b], sets[2][c], apart)) continue;
                int64_t value = value_of(&in->strips[0], sets[0][a]) + value_of(&in->strips[1], sets[1][b]) +
                                value_of(&in->strips[2], sets[2][c]);
                if (best < 0 || value < best) best = value;
            }
        }
    return best;
}

static void equals_trying_everything(void **state)
{
    struct fixture *f = *state;
    int possible = 0, impossible = 0, dearer = 0;
    for (int n = 0; n < 400; n++) {
        struct instance in;
        make_instance(&in);
        int apart = 1 + random_below(3);
        int64_t judged = try_everything(&in, apart);
        struct stagger_answer answer = seams_stagger(in.strips, STRIPS, apart, f->arena);
        int most = 0;
        for (int k = 0; answer.possible && k < STRIPS; k++)
            if (answer.strips[k].panels > most) most = answer.strips[k].panels;
        if (most > 4) continue; /* beyond the judge's sets */
        assert_true(answer.proved);
        if (answer.possible != (judged >= 0)) fail_msg("case %d: possible %d", n, answer.possible);
        if (!answer.possible) {
            impossible++;
            continue;
        }
        possible++;
        assert_int_equal((int64_t)answer.panels * 1000000 + answer.cost, judged);
        struct stagger_answer alone = seams_stagger(in.strips, STRIPS, 0, f->arena);
        dearer += alone.cost < answer.cost || alone.panels < answer.panels;
    }
    print_message("# %d possible, %d impossible, %d dearer than each strip alone\n", possible, impossible,
                  dearer);
    assert_true(possible > 100 && impossible > 10 && dearer > 50);
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
    const struct CMUnitTest tests[] = {cmocka_unit_test(equals_trying_everything)};
    return cmocka_run_group_tests(tests, open_fixture, close_fixture);
}
