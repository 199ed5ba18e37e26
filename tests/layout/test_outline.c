/* Outlines on a strip: a checker that knows nothing of how places were found, a strip that was cut up, and rules. */
#include "../with_arena.h"
#include "../support/cut_strip.h"
#include "../support/share.h"
#include "base/text.h"
#include "layout/outline.h"
#include <stdlib.h>
#include <string.h>

static struct cut_dice dice = {88172645463325252u};

static struct layout_outlines lay(const struct layout_outlines_order *order, uint64_t seed, int64_t tries)
{
    struct layout_effort effort = {.seed = seed, .most_tries = tries};
    struct layout_outlines laid;
    struct error error;
    assert_true(layout_outlines(order, &effort, arena, &laid, &error));
    return laid;
}

/* ---- the checker: distances of lines, and points looked for inside ---- */

struct line {
    double x0, y0, x1, y1;
};

static struct line line_of(const struct layout_outlines_order *order, const struct layout_outlines *laid,
                           size_t i, size_t n)
{
    const struct layout_outline *outline = &order->outlines[i];
    struct layout_point a = layout_outline_point(outline->points[n], &laid->places[i]);
    struct layout_point b = layout_outline_point(outline->points[(n + 1) % outline->count], &laid->places[i]);
    return (struct line){(double)a.across, (double)a.along, (double)b.across, (double)b.along};
}

static double distance(const struct line *line, double x, double y)
{
    double dx = line->x1 - line->x0, dy = line->y1 - line->y0;
    double t = ((x - line->x0) * dx + (y - line->y0) * dy) / (dx * dx + dy * dy);
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return hypot(x - line->x0 - t * dx, y - line->y0 - t * dy);
}

/* How far a point is from outline k: less than 0 inside. */
static double apart(const struct layout_outlines_order *order, const struct layout_outlines *laid, size_t k,
                    double x, double y)
{
    bool inside = false;
    double least = HUGE_VAL;
    for (size_t n = 0; n < order->outlines[k].count; n++) {
        struct line line = line_of(order, laid, k, n);
        least = fmin(least, distance(&line, x, y));
        if ((line.y0 > y) != (line.y1 > y) &&
            x < line.x0 + (y - line.y0) / (line.y1 - line.y0) * (line.x1 - line.x0))
            inside = !inside;
    }
    return inside ? -least : least;
}

/* Points all along the lines of each, looked at against each other; 3 units for what rounding makes. */
static void check_pair(const struct layout_outlines_order *order, const struct layout_outlines *laid,
                       size_t i, size_t k)
{
    for (size_t n = 0; n < order->outlines[i].count; n++) {
        struct line line = line_of(order, laid, i, n);
        for (int part = 0; part < 8; part++) {
            double x = line.x0 + (line.x1 - line.x0) * part / 8, y = line.y0 + (line.y1 - line.y0) * part / 8;
            assert_true(apart(order, laid, k, x, y) >= (double)order->gap - 3);
        }
    }
}

static void check_outlines(const struct layout_outlines_order *order, const struct layout_outlines *laid)
{
    int64_t end = 0;
    for (size_t i = 0; i < order->count; i++) {
        const struct layout_outline *outline = &order->outlines[i];
        unsigned turns = outline->turns ? outline->turns : 5;
        assert_true(turns >> laid->places[i].quarters & 1);
        for (size_t n = 0; n < outline->count; n++) {
            struct layout_point p = layout_outline_point(outline->points[n], &laid->places[i]);
            assert_true(p.across >= 0 && p.across <= order->width && p.along >= 0);
            if (p.along > end) end = p.along;
        }
        for (size_t k = 0; k < order->count; k++)
            if (k != i) check_pair(order, laid, i, k);
    }
    assert_int_equal(end, laid->used);
    assert_true(laid->lower <= laid->used);
}

/* ---- jobs ---- */

/* A star: corners at rising angles, near and far from its middle. */
static size_t star(struct layout_point *points, int64_t size)
{
    size_t count = (size_t)cut_roll(&dice, 3, 12);
    for (size_t i = 0; i < count; i++) {
        double angle = 6.2831853 * (double)i / (double)count, far = (double)cut_roll(&dice, size / 4, size);
        points[i] = (struct layout_point){llround(far * cos(angle)), llround(far * sin(angle))};
    }
    return count;
}

static void nothing_overlaps(void **state)
{
    (void)state;
    const int jobs = share_of(100);
    for (int i = 0; i < jobs; i++) {
        struct layout_point points[12][12];
        struct layout_outline outlines[12];
        struct layout_outlines_order order = {1370000, cut_roll(&dice, 0, 2) * 5000, outlines,
                                              (size_t)cut_roll(&dice, 1, 12)};
        for (size_t k = 0; k < order.count; k++)
            outlines[k] = (struct layout_outline){points[k], star(points[k], cut_roll(&dice, 20000, 600000)),
                                                  (unsigned)cut_roll(&dice, 0, 15)};
        struct layout_outlines laid = lay(&order, (uint64_t)i + 1, 2300);
        check_outlines(&order, &laid);
    }
}

/* Two triangles make a square; as boxes they take two. */
static void halves_lie_head_to_tail(void **state)
{
    (void)state;
    const struct layout_point half[] = {{0, 0}, {1000000, 0}, {0, 1000000}};
    const struct layout_outline two[] = {{half, 3, LAYOUT_AS_DRAWN | LAYOUT_HALF}, {half, 3, 0}};
    struct layout_outlines_order order = {1000000, 0, two, 2};
    struct layout_outlines laid = lay(&order, 1, 4000);
    check_outlines(&order, &laid);
    assert_true(laid.used < 1010000);
    const struct layout_outline upright[] = {{half, 3, LAYOUT_AS_DRAWN}, {half, 3, LAYOUT_AS_DRAWN}};
    order.outlines = upright;
    laid = lay(&order, 1, 4000);
    check_outlines(&order, &laid);
    assert_true(laid.used > 1500000);
}

/* A strip cut by waving lines comes together again, within 12 in 100 of its length. */
static void a_strip_that_was_cut_up_is_put_together(void **state)
{
    (void)state;
    struct cut_dice own = {88172645463325252u * 3};
    struct layout_outline outlines[16];
    struct layout_point points[16 * CUT_POINTS_MOST];
    int64_t length;
    size_t count;
    do count = cut_outlines(&own, 1370000, outlines, points, &length);
    while (count > 6);
    struct layout_outlines_order order = {1370000, 0, outlines, count};
    struct layout_outlines laid = lay(&order, 1, 20000);
    check_outlines(&order, &laid);
    assert_true(laid.used * 100 <= length * 112);
}

static void the_same_seed_gives_the_same_places(void **state)
{
    (void)state;
    struct layout_outline outlines[16];
    struct layout_point points[16 * CUT_POINTS_MOST];
    int64_t length;
    size_t count = cut_outlines(&dice, 1370000, outlines, points, &length);
    struct layout_outlines_order order = {1370000, 10000, outlines, count};
    struct layout_outlines one = lay(&order, 7, 2500), other = lay(&order, 7, 2500);
    check_outlines(&order, &one);
    assert_int_equal(one.used, other.used);
    assert_memory_equal(one.places, other.places, count * sizeof *one.places);
}

static void refuse(struct layout_outline outline, const char *words)
{
    const struct layout_point good[] = {{0, 0}, {10, 0}, {0, 10}};
    const struct layout_outline two[] = {{good, 3, 0}, outline};
    struct layout_outlines_order order = {1000, 0, two, 2};
    struct layout_outlines laid;
    struct error error;
    assert_false(layout_outlines(&order, &(struct layout_effort){.most_tries = 1}, arena, &laid, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, words));
}

static void what_cannot_be_laid_is_refused(void **state)
{
    (void)state;
    const struct layout_point wide[] = {{0, 0}, {1001, 0}, {0, 900}};
    const struct layout_point crossed[] = {{0, 0}, {10, 10}, {10, 0}, {0, 10}};
    const struct layout_point flat[] = {{0, 0}, {10, 10}, {20, 20}};
    const struct layout_point far[] = {{0, 0}, {10, 10}, {0, 100000001}};
    refuse((struct layout_outline){wide, 3, 0}, "outline 2 is wider");
    refuse((struct layout_outline){wide, 2, 0}, "outline 2 has fewer than 3");
    refuse((struct layout_outline){far, 3, 0}, "too far away");
    refuse((struct layout_outline){crossed, 4, 0}, "outline 2 crosses");
    refuse((struct layout_outline){flat, 3, 0}, "no area");
    const struct layout_outline turned = {wide, 3, LAYOUT_QUARTER};
    struct layout_outlines_order order = {1000, 0, &turned, 1};
    struct layout_outlines laid = lay(&order, 1, 10);
    check_outlines(&order, &laid);
    assert_int_equal(laid.used, 1001);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_overlaps),
        cmocka_unit_test(halves_lie_head_to_tail),
        cmocka_unit_test(a_strip_that_was_cut_up_is_put_together),
        cmocka_unit_test(the_same_seed_gives_the_same_places),
        cmocka_unit_test(what_cannot_be_laid_is_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
