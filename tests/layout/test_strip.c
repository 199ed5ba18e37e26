/* Rectangles on a strip: against exhaustive search, strips that were cut up, and published instances. */
#include "../with_arena.h"
#include "../support/share.h"
#include "base/text.h"
#include "layout/strip.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PIECES_MOST = 60 };

static uint64_t dice = 88172645463325252u;

static int64_t roll(int64_t from, int64_t to)
{
    dice ^= dice << 13, dice ^= dice >> 7, dice ^= dice << 17;
    return from + (int64_t)((dice >> 11) % (uint64_t)(to - from + 1));
}

static struct layout_strip lay(const struct layout_order *order, uint64_t seed, int64_t tries)
{
    struct layout_effort effort = {.seed = seed, .most_tries = tries};
    struct layout_strip strip;
    struct error error;
    assert_true(layout_strip(order, &effort, arena, &strip, &error));
    return strip;
}

/* ---- the checker: knows nothing of how places were found ---- */

static struct layout_piece as_placed(const struct layout_order *order, const struct layout_strip *strip,
                                     size_t i)
{
    struct layout_piece p = order->pieces[i];
    assert_true(p.may_turn || !strip->places[i].turned);
    return strip->places[i].turned ? (struct layout_piece){p.along, p.across, true} : p;
}

static void check_strip(const struct layout_order *order, const struct layout_strip *strip)
{
    int64_t end = 0;
    for (size_t i = 0; i < order->count; i++) {
        struct layout_piece p = as_placed(order, strip, i);
        const struct layout_place *at = &strip->places[i];
        assert_true(at->across >= 0 && at->along >= 0 && at->across + p.across <= order->width);
        if (at->along + p.along > end) end = at->along + p.along;
        for (size_t k = 0; k < i; k++) {
            struct layout_piece q = as_placed(order, strip, k);
            const struct layout_place *by = &strip->places[k];
            assert_true(at->across + p.across <= by->across || by->across + q.across <= at->across ||
                        at->along + p.along <= by->along || by->along + q.along <= at->along);
        }
    }
    assert_int_equal(end, strip->used);
    assert_true(strip->lower <= strip->used);
}

/* ---- a second, exhaustive search ---- */

struct board {
    const struct layout_order *order;
    bool taken[12][64]; /* across, along */
};

static bool board_free(const struct board *board, int64_t x, int64_t y, int64_t w, int64_t h)
{
    for (int64_t i = x; i < x + w; i++)
        for (int64_t k = y; k < y + h; k++)
            if (board->taken[i][k]) return false;
    return true;
}

static void board_put(struct board *board, const int64_t box[4], bool taken)
{
    for (int64_t i = box[0]; i < box[0] + box[2]; i++)
        for (int64_t k = box[1]; k < box[1] + box[3]; k++) board->taken[i][k] = taken;
}

/* Every piece at every whole place: sides are whole, so that one of the best packings is among these. */
static bool board_fits(struct board *board, size_t piece, int64_t length)
{
    if (piece == board->order->count) return true;
    const struct layout_piece *p = &board->order->pieces[piece];
    for (int turned = 0; turned <= (int)p->may_turn; turned++) {
        int64_t w = turned ? p->along : p->across, h = turned ? p->across : p->along;
        for (int64_t x = 0; x + w <= board->order->width; x++)
            for (int64_t y = 0; y + h <= length; y++) {
                if (!board_free(board, x, y, w, h)) continue;
                const int64_t box[4] = {x, y, w, h};
                board_put(board, box, true);
                bool fits = board_fits(board, piece + 1, length);
                board_put(board, box, false);
                if (fits) return true;
            }
    }
    return false;
}

static int64_t least_length(const struct layout_order *order)
{
    struct board board = {.order = order};
    int64_t length = 1;
    while (!board_fits(&board, 0, length)) length++;
    return length;
}

static void few_pieces_are_proven_best(void **state)
{
    (void)state;
    for (int i = 0; i < 160; i++) {
        struct layout_piece pieces[6];
        struct layout_order order = {roll(3, 7), pieces, (size_t)roll(1, i < 120 ? 5 : 6)};
        for (size_t k = 0; k < order.count; k++)
            pieces[k] = k && roll(0, 3) == 0
                            ? pieces[k - 1] /* twins */
                            : (struct layout_piece){roll(1, order.width), roll(1, 5), roll(0, 3) == 0};
        struct layout_strip strip = lay(&order, (uint64_t)i, 200000);
        check_strip(&order, &strip);
        assert_int_equal(strip.lower, strip.used);
        assert_int_equal(strip.used, least_length(&order));
    }
}

/* ---- strips that were cut up: the best length is known ---- */

/* A rectangle cut by straight cuts from side to side until there are `count` pieces. */
static void cut_up(int64_t width, int64_t length, struct layout_piece *pieces, size_t count)
{
    pieces[0] = (struct layout_piece){width, length, false};
    for (size_t n = 1; n < count; n++) {
        size_t largest = 0;
        for (size_t i = 1; i < n; i++)
            if (pieces[i].across * pieces[i].along > pieces[largest].across * pieces[largest].along)
                largest = i;
        struct layout_piece *p = &pieces[largest];
        pieces[n] = *p;
        bool across = p->across > p->along;
        int64_t side = across ? p->across : p->along, cut = roll(side / 4 + 1, side - side / 4 - 1);
        *(across ? &p->across : &p->along) = cut;
        *(across ? &pieces[n].across : &pieces[n].along) = side - cut;
    }
}

/* Panels in whole millimetres, said in micrometres, on a roll of 1,370 mm. */
static void cut_strips_of_few_pieces_are_put_together(void **state)
{
    (void)state;
    for (int i = 0; i < 20; i++) {
        struct layout_piece pieces[12];
        size_t count = (size_t)roll(4, 10);
        cut_up(1370, 4000, pieces, count);
        for (size_t k = 0; k < count; k++) pieces[k].across *= 1000, pieces[k].along *= 1000;
        struct layout_order order = {1370000, pieces, count};
        struct layout_strip strip = lay(&order, (uint64_t)i, 300000);
        check_strip(&order, &strip);
        assert_int_equal(strip.used, 4000000);
    }
}

/* Random pieces, some of which turn: the checker's rules hold, and the area bounds the length. */
static void nothing_overlaps(void **state)
{
    (void)state;
    const size_t jobs = (size_t)share_of(10000);
    for (size_t i = 0; i < jobs; i++) {
        struct layout_piece pieces[PIECES_MOST];
        struct layout_order order = {roll(50, 2000), pieces, (size_t)roll(1, PIECES_MOST)};
        int64_t area = 0, longest = i % 2 ? 300 : 3000;
        for (size_t k = 0; k < order.count; k++) {
            pieces[k] = (struct layout_piece){roll(1, order.width), roll(1, longest), roll(0, 4) == 0};
            area += pieces[k].across * pieces[k].along;
        }
        struct layout_strip strip = lay(&order, i + 1, 300);
        check_strip(&order, &strip);
        assert_true(strip.lower * order.width >= area);
    }
}

/* ---- published instances ---- */

/* As the benchmark folder has them. C1 (Hopper and Turton, EJOR 128 (2001) 34-57) is 20 long when packed without a
 * gap; what NGCUT needs was shown by others with a SAT solver (Soh et al., Fundamenta Informaticae 102 (2010)). */
static const struct published {
    const char *name;
    int64_t length;
} published[] = {{"C/C1_1", 20},        {"C/C1_2", 20},        {"C/C1_3", 20},        {"NGCUT/ngcut01", 23},
                 {"NGCUT/ngcut02", 30}, {"NGCUT/ngcut03", 28}, {"NGCUT/ngcut04", 20}, {"NGCUT/ngcut05", 36},
                 {"NGCUT/ngcut06", 31}, {"NGCUT/ngcut07", 20}, {"NGCUT/ngcut08", 33}, {"NGCUT/ngcut09", 50},
                 {"NGCUT/ngcut10", 80}, {"NGCUT/ngcut11", 52}, {"NGCUT/ngcut12", 87}};

static void published_strips_are_proven_best(void **state)
{
    (void)state;
    const char *shared = getenv("LAPSTRAKE_SHARED");
    for (size_t i = 0; i < sizeof published / sizeof *published; i++) {
        struct layout_piece pieces[PIECES_MOST] = {0};
        struct layout_order order = {0, pieces, 0};
        char path[400];
        snprintf(path, sizeof path, "%s/benchmarks/strip-packing/%s.txt", shared ? shared : "",
                 published[i].name);
        FILE *file = fopen(path, "r");
        if (!file) {
            print_message("# %s.txt of the shared benchmarks is not here\n", published[i].name);
            skip();
        }
        assert_int_equal(fscanf(file, "%zu %ld", &order.count, &order.width), 2);
        for (size_t k = 0; k < order.count; k++)
            assert_int_equal(fscanf(file, "%*d %ld %ld", &pieces[k].across, &pieces[k].along), 2);
        fclose(file);
        struct layout_strip strip = lay(&order, 1, 20000000);
        check_strip(&order, &strip);
        assert_int_equal(strip.used, published[i].length);
        assert_int_equal(strip.lower, published[i].length);
    }
}

/* ---- rules ---- */

static void the_same_seed_gives_the_same_places(void **state)
{
    (void)state;
    struct layout_piece pieces[30];
    cut_up(1000, 2000, pieces, 30);
    struct layout_order order = {1000, pieces, 30};
    struct layout_strip one = lay(&order, 7, 500), other = lay(&order, 7, 500);
    assert_int_equal(one.used, other.used);
    assert_memory_equal(one.places, other.places, 30 * sizeof *one.places);
}

static bool at_once(void *self)
{
    return ++*(int *)self > 0;
}

static void enough_ends_with_a_packing(void **state)
{
    (void)state;
    struct layout_piece pieces[40];
    cut_up(1000, 3000, pieces, 40);
    struct layout_order order = {1000, pieces, 40};
    int asked = 0;
    struct layout_effort effort = {.seed = 1, .enough = at_once, .self = &asked};
    struct layout_strip strip;
    assert_true(layout_strip(&order, &effort, arena, &strip, NULL));
    check_strip(&order, &strip);
    assert_int_equal(asked, 1);
}

static void refuse(struct layout_order order, const char *words)
{
    struct layout_strip strip;
    struct error error;
    assert_false(layout_strip(&order, &(struct layout_effort){.most_tries = 1}, arena, &strip, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, words));
}

static void what_cannot_be_laid_is_refused(void **state)
{
    (void)state;
    const struct layout_piece wide[] = {{10, 10, true}, {1371, 1400, true}}, thin[] = {{0, 10, false}};
    const struct layout_piece huge[] = {{1000000000, 1000000000, false}, {1000000000, 500000000, false}};
    refuse((struct layout_order){1370, wide, 2}, "piece 2 is wider than the strip");
    refuse((struct layout_order){1370, thin, 1}, "piece 1 has a side");
    refuse((struct layout_order){0, wide, 1}, "width");
    refuse((struct layout_order){1000000000, huge, 2}, "more than can be laid");
    refuse((struct layout_order){1370, wide, LAYOUT_PIECES_MOST + 1}, "5001 pieces");
    struct layout_order turned = {1390, wide, 2}; /* 1371 fits as it is drawn */
    struct layout_strip strip = lay(&turned, 1, 100);
    check_strip(&turned, &strip);
    struct layout_strip none = lay(&(struct layout_order){1370, NULL, 0}, 1, 100);
    assert_int_equal(none.used, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(few_pieces_are_proven_best),
        cmocka_unit_test(cut_strips_of_few_pieces_are_put_together),
        cmocka_unit_test(nothing_overlaps),
        cmocka_unit_test(published_strips_are_proven_best),
        cmocka_unit_test(the_same_seed_gives_the_same_places),
        cmocka_unit_test(enough_ends_with_a_packing),
        cmocka_unit_test(what_cannot_be_laid_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
