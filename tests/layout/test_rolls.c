/* Panels on rolls: a checker that knows nothing of how places were found, strips that were cut up, and rules. */
#include "../with_arena.h"
#include "../support/cut_strip.h"
#include "../support/share.h"
#include "base/text.h"
#include "layout/rolls.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PANELS_MOST = 40, ROLLS_MOST = 4 };

static uint64_t dice = 88172645463325252u;

static int64_t roll(int64_t from, int64_t to)
{
    dice ^= dice << 13, dice ^= dice >> 7, dice ^= dice << 17;
    return from + (int64_t)((dice >> 11) % (uint64_t)(to - from + 1));
}

static struct layout_rolls lay(const struct layout_rolls_order *order, uint64_t seed, int64_t tries)
{
    struct layout_effort effort = {.seed = seed, .most_tries = tries};
    struct layout_rolls rolls;
    struct error error;
    assert_true(layout_rolls(order, &effort, arena, &rolls, &error));
    return rolls;
}

/* ---- the checker ---- */

struct laid {
    int64_t x0, y0, x1, y1;
};

static struct laid laid_of(const struct layout_rolls_order *order, const struct layout_rolls *rolls, size_t i)
{
    const struct layout_piece *p = &order->panels[i].size;
    const struct layout_roll_place *at = &rolls->places[i];
    int64_t w = at->turned ? p->along : p->across, h = at->turned ? p->across : p->along;
    return (struct laid){at->across, at->along, at->across + w, at->along + h};
}

static bool is_laid(const struct layout_rolls *rolls, size_t i)
{
    return rolls->places[i].roll != LAYOUT_NOWHERE;
}

static void check_pair(const struct layout_rolls_order *order, const struct layout_rolls *rolls, size_t i,
                       size_t k)
{
    if (rolls->places[i].roll != rolls->places[k].roll) return;
    struct laid a = laid_of(order, rolls, i), b = laid_of(order, rolls, k);
    assert_true(a.x1 + order->gap_across <= b.x0 || b.x1 + order->gap_across <= a.x0 ||
                a.y1 + order->gap_along <= b.y0 || b.y1 + order->gap_along <= a.y0);
    if (rolls->places[i].print < rolls->places[k].print) assert_true(a.y1 <= b.y0);
    if (rolls->places[i].print > rolls->places[k].print) assert_true(b.y1 <= a.y0);
    if (rolls->places[i].print == rolls->places[k].print && order->longest_print)
        assert_true(a.y1 - b.y0 <= order->longest_print && b.y1 - a.y0 <= order->longest_print);
}

static void check_places(const struct layout_rolls_order *order, const struct layout_rolls *rolls)
{
    int64_t ends[ROLLS_MOST] = {0};
    size_t left = 0;
    for (size_t i = 0; i < order->panel_count; i++) {
        const struct layout_roll_place *at = &rolls->places[i];
        left += !is_laid(rolls, i);
        if (!is_laid(rolls, i)) continue;
        struct laid p = laid_of(order, rolls, i);
        assert_true(at->roll < order->roll_count && at->print < rolls->prints[at->roll]);
        assert_true(!at->turned || order->panels[i].size.may_turn);
        assert_true(p.x0 >= 0 && p.x1 <= order->rolls[at->roll].width && p.y0 >= order->leader);
        if (p.y1 + order->tail > ends[at->roll]) ends[at->roll] = p.y1 + order->tail;
        for (size_t k = 0; k < i; k++)
            if (is_laid(rolls, k)) check_pair(order, rolls, i, k);
    }
    int64_t length = 0;
    for (size_t r = 0; r < order->roll_count; r++) {
        assert_int_equal(rolls->used[r], ends[r]);
        assert_true(!order->rolls[r].length || ends[r] <= order->rolls[r].length);
        length += ends[r];
    }
    assert_int_equal(rolls->left, left);
    assert_int_equal(rolls->length, length);
}

/* Panel i begins where one before it in its group, on its roll, has ended, or sooner; or first in a later print, where
 * nothing lies before it. */
static bool closes_up(const struct layout_rolls_order *order, const struct layout_rolls *rolls, size_t i)
{
    struct laid p = laid_of(order, rolls, i);
    bool in_this_print = false;
    for (size_t k = 0; k < i; k++) {
        if (order->panels[k].group != order->panels[i].group ||
            rolls->places[k].roll != rolls->places[i].roll)
            continue;
        if (p.y0 <= laid_of(order, rolls, k).y1 + order->gap_along) return true;
        in_this_print = in_this_print || rolls->places[k].print == rolls->places[i].print;
    }
    for (size_t k = 0; k < order->panel_count; k++)
        if (is_laid(rolls, k) && rolls->places[k].roll == rolls->places[i].roll &&
            rolls->places[k].print == rolls->places[i].print && laid_of(order, rolls, k).y0 < p.y0)
            return false;
    return !in_this_print;
}

static void check_group(const struct layout_rolls_order *order, const struct layout_rolls *rolls,
                        size_t group)
{
    bool left[ROLLS_MOST] = {false}, ended = false;
    size_t last = SIZE_MAX;
    for (size_t i = 0; i < order->panel_count; i++) {
        if (order->panels[i].group != group) continue;
        const struct layout_roll_place *at = &rolls->places[i];
        ended = ended || !is_laid(rolls, i);
        assert_true(is_laid(rolls, i) == !ended); /* what found no room are the last ones */
        if (ended) continue;
        if (last == SIZE_MAX) {
            last = i;
            continue;
        }
        const struct layout_roll_place *before = &rolls->places[last];
        assert_int_equal(order->rolls[at->roll].batch, order->rolls[before->roll].batch);
        assert_int_equal(at->turned, before->turned);
        if (at->roll != before->roll) {
            left[before->roll] = true;
            assert_false(left[at->roll]);
        } else {
            assert_true(at->along >= before->along);
            assert_true(closes_up(order, rolls, i));
        }
        last = i;
    }
}

static void check_rolls(const struct layout_rolls_order *order, const struct layout_rolls *rolls)
{
    check_places(order, rolls);
    for (size_t group = 1; group <= PANELS_MOST; group++) check_group(order, rolls, group);
    if (rolls->left) return;
    assert_true(rolls->lower <= rolls->length);
    assert_true(rolls->free <= rolls->ungrouped && rolls->ungrouped <= rolls->length);
}

/* ---- random jobs ---- */

struct job {
    struct layout_panel panels[PANELS_MOST];
    struct layout_roll rolls[ROLLS_MOST];
    struct layout_rolls_order order;
};

static void job_panels(struct job *job, int64_t width, int64_t longest)
{
    size_t groups = (size_t)roll(0, 5);
    job->order.panel_count = (size_t)roll(1, PANELS_MOST);
    for (size_t i = 0; i < job->order.panel_count; i++)
        job->panels[i] = (struct layout_panel){{roll(1, width), roll(1, longest), roll(0, 3) == 0},
                                               (size_t)roll(0, (int64_t)groups)};
}

static void job_new(struct job *job)
{
    int64_t width = roll(50, 200), longest = roll(20, 300);
    *job = (struct job){.order = {job->rolls, (size_t)roll(1, ROLLS_MOST), job->panels, 0,
                                  roll(0, 1) * roll(0, 5), roll(0, 1) * roll(0, 5), roll(0, 1) * roll(0, 50),
                                  roll(0, 1) * roll(0, 20), 0}};
    for (size_t i = 0; i < job->order.roll_count; i++)
        job->rolls[i] = (struct layout_roll){i ? roll(width, 200) : width, roll(0, 2) ? roll(400, 3000) : 0,
                                             roll(0, 1) * roll(0, 500), (int32_t)roll(1, 3)};
    job->rolls[0].length = 0; /* so that each panel has somewhere to be */
    if (roll(0, 2) == 0) job->order.longest_print = roll(longest, 3 * longest);
    job_panels(job, width, longest);
}

static void nothing_overlaps_and_no_group_is_broken(void **state)
{
    (void)state;
    const size_t jobs =
        (size_t)share_of(10000) / (getenv("LAPSTRAKE_SHARE") ? 10 : 1); /* all of them: scripts/long */
    for (size_t i = 0; i < jobs; i++) {
        struct job job;
        job_new(&job);
        struct layout_rolls rolls = lay(&job.order, i + 1, 100 + (int64_t)(i % 3) * 100);
        check_rolls(&job.order, &rolls);
        assert_true(rolls.left == 0 || job.order.roll_count > 1);
    }
}

/* ---- strips that were cut up ---- */

/* 8 to 30 panels in groups, cut from a full strip of 1,370: within 2 in 100 of its length. */
static void cut_strips_in_groups_are_put_together(void **state)
{
    (void)state;
    struct cut_dice own = {2463534242u};
    const int strips = share_of(20);
    for (int i = 0; i < strips; i++) {
        struct layout_panel panels[PANELS_MOST];
        const struct layout_roll roll_new = {1370, 0, 0, 1};
        int64_t length;
        size_t count = cut_groups(&own, 1370, panels, &length);
        struct layout_rolls_order order = {&roll_new, 1, panels, count, 0, 0, 0, 0, 0};
        struct layout_rolls laid = lay(&order, (uint64_t)i + 1, 30000);
        check_rolls(&order, &laid);
        assert_true(laid.lower <= length && laid.length >= length && laid.length * 100 <= length * 102);
    }
}

/* ---- rules ---- */

/* Two surfaces of three panels each on rolls of two batches, either of which has room for one of them. */
static void a_group_lies_on_one_batch(void **state)
{
    (void)state;
    const struct layout_roll rolls[] = {{1000, 3500, 0, 1}, {1000, 3500, 0, 2}};
    struct layout_panel panels[6];
    for (size_t i = 0; i < 6; i++) panels[i] = (struct layout_panel){{900, 1000, false}, i % 2 + 1};
    struct layout_rolls_order order = {rolls, 2, panels, 6, 10, 10, 100, 50, 0};
    struct layout_rolls laid = lay(&order, 1, 500);
    check_rolls(&order, &laid);
    assert_int_equal(laid.left, 0);
    assert_int_equal(laid.used[0], 100 + 3 * 1000 + 2 * 10 + 50);
    assert_int_equal(laid.length, 2 * laid.used[0]);
    assert_int_equal(laid.places[0].roll, laid.places[2].roll);
    assert_int_equal(laid.places[1].roll, laid.places[5].roll);
}

static void a_group_goes_on_to_the_next_roll_of_its_batch(void **state)
{
    (void)state;
    const struct layout_roll rolls[] = {{1000, 2500, 0, 1}, {1000, 0, 5000, 2}, {1000, 2500, 0, 1}};
    struct layout_panel panels[4];
    for (size_t i = 0; i < 4; i++) panels[i] = (struct layout_panel){{900, 1000, false}, 1};
    struct layout_rolls_order order = {rolls, 3, panels, 4, 0, 0, 0, 0, 0};
    struct layout_rolls laid = lay(&order, 1, 500);
    check_rolls(&order, &laid);
    assert_int_equal(laid.left, 0);
    assert_int_equal(laid.used[0], 2000);
    assert_int_equal(laid.used[1], 0);
    assert_int_equal(laid.used[2], 2000);
}

/* Three panels of 600 x 900 on 1,000: across they take 900 each way up, turned 600 each: worked by hand. */
static void what_groups_and_turning_cost_is_said(void **state)
{
    (void)state;
    const struct layout_roll roll_new = {1000, 0, 0, 1};
    struct layout_panel panels[3];
    for (size_t i = 0; i < 3; i++) panels[i] = (struct layout_panel){{600, 900, false}, 1};
    struct layout_rolls_order order = {&roll_new, 1, panels, 3, 0, 0, 0, 0, 0};
    struct layout_rolls laid = lay(&order, 1, 500);
    check_rolls(&order, &laid);
    assert_int_equal(laid.length, 2700);
    assert_int_equal(laid.ungrouped, 2700);
    assert_int_equal(laid.free, 1800);
    assert_int_equal(laid.lower, 2700);
}

static void a_run_is_cut_into_prints(void **state)
{
    (void)state;
    const struct layout_roll roll_new = {1000, 0, 0, 1};
    struct layout_panel panels[5];
    for (size_t i = 0; i < 5; i++) panels[i] = (struct layout_panel){{900, 1000, false}, 1};
    struct layout_rolls_order order = {&roll_new, 1, panels, 5, 0, 10, 200, 100, 2500};
    struct layout_rolls laid = lay(&order, 1, 500);
    check_rolls(&order, &laid);
    assert_int_equal(laid.prints[0], 3);
    assert_int_equal(laid.used[0], 200 + 5 * 1000 + 4 * 10 + 100);
}

static void rolls_in_stock_come_first(void **state)
{
    (void)state;
    const struct layout_roll rolls[] = {{1370, 0, 50000, 1}, {1370, 4000, 0, 2}, {1370, 1500, 0, 3}};
    struct layout_panel panels[4];
    for (size_t i = 0; i < 4; i++) panels[i] = (struct layout_panel){{1300, 1300, false}, 0};
    struct layout_rolls_order order = {rolls, 3, panels, 4, 10, 10, 0, 0, 0};
    struct layout_rolls laid = lay(&order, 1, 2000);
    check_rolls(&order, &laid);
    assert_int_equal(laid.left, 0);
    assert_int_equal(laid.used[0], 0);
    assert_int_equal(laid.used[1], 3 * 1300 + 2 * 10);
    assert_int_equal(laid.used[2], 1300);
}

static void the_same_seed_gives_the_same_places(void **state)
{
    (void)state;
    struct job job;
    job_new(&job);
    struct layout_rolls one = lay(&job.order, 7, 3000), other = lay(&job.order, 7, 3000);
    assert_int_equal(one.length, other.length);
    assert_memory_equal(one.places, other.places, job.order.panel_count * sizeof *one.places);
}

static void refuse(struct layout_rolls_order order, const char *words)
{
    struct layout_rolls laid;
    struct error error;
    assert_false(layout_rolls(&order, &(struct layout_effort){.most_tries = 1}, arena, &laid, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, words));
}

static void what_cannot_be_laid_is_refused(void **state)
{
    (void)state;
    const struct layout_roll rolls[] = {{1000, 2000, 0, 1}, {500, 0, 0, 2}}, bad = {0, 0, 0, 1};
    const struct layout_panel wide[] = {{{100, 100, false}, 0}, {{600, 1990, false}, 0}};
    const struct layout_panel turns[] = {{{600, 400, true}, 0}};
    const struct layout_panel thin[] = {{{0, 400, true}, 0}};
    refuse((struct layout_rolls_order){rolls, 2, wide, 2, 0, 0, 10, 10, 0}, "long enough for panel 2");
    refuse((struct layout_rolls_order){rolls, 2, wide, 2, 0, 0, 5, 5, 1900}, "panel 2 is longer");
    refuse((struct layout_rolls_order){&bad, 1, wide, 1, 0, 0, 0, 0, 0}, "width or length");
    refuse((struct layout_rolls_order){rolls, 2, wide, 1, -1, 0, 0, 0, 0}, "a gap");
    refuse((struct layout_rolls_order){rolls, 2, thin, 1, 0, 0, 0, 0, 0}, "has a side");
    refuse((struct layout_rolls_order){rolls, LAYOUT_ROLLS_MOST + 1, wide, 1, 0, 0, 0, 0, 0}, "501 rolls");
    struct layout_rolls_order narrow = {rolls + 1, 1, turns, 1, 0, 0, 0, 0, 0};
    struct layout_rolls laid = lay(&narrow, 1, 10);
    check_rolls(&narrow, &laid);
    assert_true(laid.places[0].turned);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_overlaps_and_no_group_is_broken),
        cmocka_unit_test(cut_strips_in_groups_are_put_together),
        cmocka_unit_test(a_group_lies_on_one_batch),
        cmocka_unit_test(a_group_goes_on_to_the_next_roll_of_its_batch),
        cmocka_unit_test(what_groups_and_turning_cost_is_said),
        cmocka_unit_test(a_run_is_cut_into_prints),
        cmocka_unit_test(rolls_in_stock_come_first),
        cmocka_unit_test(the_same_seed_gives_the_same_places),
        cmocka_unit_test(what_cannot_be_laid_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
