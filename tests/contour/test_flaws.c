/* Flaws: drawn outlines of which every width, gap and radius is known, turned any way; and strips at random. */
#include "../with_arena.h"
#include "contour/flaws.h"
#include "outlines.h"
#include <string.h>

static struct contour_means means;

static int with_means(void **state)
{
    set_up(state);
    means = (struct contour_means){.arena = arena};
    return 0;
}

static double slant; /* everything is drawn turned by this */

static struct polygon ring_of(const double (*points)[2], size_t count)
{
    struct polygon ring = ring_new(count, arena);
    for (size_t i = 0; i < count; i++) {
        double x = points[i][0], y = points[i][1];
        ring.points[i] = (struct point){x * cos(slant) - y * sin(slant), x * sin(slant) + y * cos(slant)};
    }
    return ring;
}

static struct polygon box_of(double x, double y, double width, double height)
{
    const double points[][2] = {{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}};
    return ring_of(points, 4);
}

static struct contour_flaws flaws_of(const struct polygon *rings, size_t count, struct contour_limits limits)
{
    struct region region;
    struct contour_flaws flaws = {NULL, 0, 0};
    struct error error;
    if (!contour_clean(rings, count, CONTOUR_NON_ZERO, &means, &region, &error) ||
        !contour_flaws_find(&region, &limits, &means, &flaws, &error))
        fail_msg("%s", error.text);
    return flaws;
}

static void expect(const struct contour_flaws *flaws, size_t i, enum contour_flaw_kind kind, double figure)
{
    assert_true(i < flaws->count);
    assert_int_equal(flaws->items[i].kind, kind);
    if (fabs(flaws->items[i].figure - figure) > 0.02)
        fail_msg("%f is not %f", flaws->items[i].figure, figure);
}

static const struct contour_limits usual = {.width_mm = 1, .gap_mm = 1, .radius_mm = 0.5, .area_mm2 = 9};

static void sound_outlines_have_none(void **state)
{
    (void)state;
    for (slant = 0; slant < 3; slant += 0.37) {
        const struct polygon rings[] = {box_of(0, 0, 50, 30), box_of(52, 0, 1.02, 30), box_of(0, 33, 5, 5)};
        assert_int_equal(flaws_of(rings, 3, usual).count, 0);
        const double triangle[][2] = {{0, 0}, {30, 0}, {15, 15 * 1.7321}};
        const struct polygon tip = ring_of(triangle, 3); /* 60 degrees: corners are no thin parts */
        assert_int_equal(flaws_of(&tip, 1, usual).count, 0);
    }
}

static void strips_slits_and_specks_are_measured(void **state)
{
    (void)state;
    for (slant = 0; slant < 3; slant += 0.37) {
        const struct polygon strip = box_of(0, 0, 50, 0.7),
                             two[] = {box_of(0, 0, 50, 20), box_of(50.6, 0, 50, 20)};
        const struct polygon speck = box_of(0, 0, 2.5, 2);
        struct contour_flaws flaws = flaws_of(&strip, 1, (struct contour_limits){.width_mm = 1});
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_THIN, 0.7);
        flaws = flaws_of(two, 2, usual);
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_GAP, 0.6);
        flaws = flaws_of(&speck, 1, usual);
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_ISLAND, 5);
    }
}

/* Two boxes with a bridge of 0.8 by 0.5 mm, and a bow tie that is 0.6 mm at its knot. */
static void necks_are_thin_however_short(void **state)
{
    (void)state;
    for (slant = 0; slant < 3; slant += 0.37) {
        const struct polygon rings[] = {box_of(0, 0, 20, 20), box_of(20.5, 0, 20, 20), box_of(19, 9, 3, 0.8)};
        struct contour_flaws flaws = flaws_of(rings, 3, (struct contour_limits){.width_mm = 1});
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_THIN, 0.8);
        const double tie[][2] = {{0, 0}, {10, 9.7}, {20, 0}, {20, 20}, {10, 10.3}, {0, 20}};
        const struct polygon bow = ring_of(tie, 6);
        flaws = flaws_of(&bow, 1, (struct contour_limits){.width_mm = 1});
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_THIN, 0.6);
        const double left[][2] = {{0, 0}, {9.8, 10}, {0, 20}}, right[][2] = {{20, 0}, {20, 20}, {10.2, 10}};
        const struct polygon tips[] = {ring_of(left, 3), ring_of(right, 3)}; /* tip to tip */
        flaws = flaws_of(tips, 2, (struct contour_limits){.gap_mm = 1});
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_GAP, 0.4);
    }
}

/* A slit of 0.5 mm into a box; a hole of 0.8 mm across; a spike of 10 degrees. */
static void slits_holes_and_spikes_are_found(void **state)
{
    (void)state;
    for (slant = 0; slant < 3; slant += 0.37) {
        const double slit[][2] = {{0, 0},    {40, 0}, {40, 20}, {20.5, 20},
                                  {20.5, 8}, {20, 8}, {20, 20}, {0, 20}};
        const double spike[][2] = {{0, 0},   {10, -10 * 0.0875}, {10, -10},  {30, -10},
                                   {30, 10}, {10, 10},           {10, 0.875}};
        const struct polygon ring = ring_of(slit, 8), point = ring_of(spike, 7);
        struct contour_flaws flaws = flaws_of(&ring, 1, (struct contour_limits){.gap_mm = 1});
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_GAP, 0.5);
        flaws = flaws_of(&point, 1, (struct contour_limits){.width_mm = 1});
        assert_int_equal(flaws.count, 1);
        assert_int_equal(flaws.items[0].kind, CONTOUR_THIN);
        assert_true(flaws.items[0].figure < 1);
        struct region region, hole;
        struct polygon box = box_of(0, 0, 20, 20), small = box_of(9, 9, 0.8, 3);
        assert_true(contour_clean(&box, 1, CONTOUR_NON_ZERO, &means, &region, NULL));
        assert_true(contour_clean(&small, 1, CONTOUR_NON_ZERO, &means, &hole, NULL));
        assert_true(contour_combine(&region, &hole, CONTOUR_DIFFERENCE, &means, &region, NULL));
        assert_true(contour_flaws_find(&region, &(struct contour_limits){.gap_mm = 1}, &means, &flaws, NULL));
        assert_int_equal(flaws.count, 1);
        expect(&flaws, 0, CONTOUR_GAP, 0.8);
    }
}

/* An angle whose hollow corner has a fillet, of the chords that an offset makes. */
static void fillets_are_measured_within_a_tenth(void **state)
{
    (void)state;
    const double angle[][2] = {{0, 0}, {40, 0}, {40, 15}, {15, 15}, {15, 40}, {0, 40}};
    const double radii[] = {0, 0.2, 0.35, 0.6, 1, 1.5, 3};
    for (size_t i = 0; i < sizeof radii / sizeof *radii; i++)
        for (slant = 0; slant < 3; slant += 0.7) {
            const struct polygon ring = ring_of(angle, 6);
            struct region region;
            struct contour_flaws flaws;
            assert_true(contour_clean(&ring, 1, CONTOUR_NON_ZERO, &means, &region, NULL));
            assert_true(contour_offset(&region, &(struct contour_offset){.corner_mm = radii[i]}, &means,
                                       &region, NULL));
            assert_true(contour_flaws_find(&region, &(struct contour_limits){.radius_mm = 1.2}, &means,
                                           &flaws, NULL));
            assert_int_equal(flaws.count, radii[i] < 1.2 * 0.89);
            if (!flaws.count) continue;
            assert_int_equal(flaws.items[0].kind, CONTOUR_HOLLOW);
            assert_true(fabs(flaws.items[0].figure - radii[i]) < 0.1 * radii[i] + 0.02);
            struct point corner = ring_of((const double[][2]){{15, 15}}, 1).points[0];
            assert_true(hypot(flaws.items[0].place.x - corner.x, flaws.items[0].place.y - corner.y) <
                        0.6 * radii[i] + 0.01);
        }
    slant = 0;
}

/* Strips of any width, one above the other: just those that are narrower than asked are found. */
static void just_the_narrow_ones_are_found(void **state)
{
    (void)state;
    uint64_t dice = 31;
    for (int round = 0; round < 10; round++) {
        struct polygon rings[20];
        double narrowest[20], y = 0;
        size_t narrow = 0;
        slant = roll(&dice, 0, 3);
        for (size_t i = 0; i < 20; i++) {
            double height = roll(&dice, 0.3, 2.2);
            rings[i] = box_of(roll(&dice, 0, 5), y, roll(&dice, 10, 40), height);
            if (fabs(height - 1.2) < 0.02) rings[i] = box_of(0, y, 20, height = 1.3);
            if (height < 1.2) narrowest[narrow++] = height;
            y += height + 3;
        }
        struct contour_flaws flaws =
            flaws_of(rings, 20, (struct contour_limits){.width_mm = 1.2, .gap_mm = 2});
        assert_int_equal(flaws.count, narrow);
        double sum = 0;
        for (size_t i = 0; i < narrow; i++) sum += flaws.items[i].figure - narrowest[i];
        assert_true(fabs(sum) < 0.01 * (double)narrow);
    }
    slant = 0;
}

static void limits_out_of_range_are_refused(void **state)
{
    (void)state;
    struct region none = {NULL, 0};
    const struct contour_limits bad[] = {
        {.width_mm = 0.01}, {.gap_mm = NAN}, {.radius_mm = 101}, {.area_mm2 = -1}, {.area_mm2 = INFINITY}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct contour_flaws flaws;
        struct error error;
        assert_false(contour_flaws_find(&none, &bad[i], &means, &flaws, &error));
        assert_non_null(strstr(error.text, "0.05 to 100 mm"));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sound_outlines_have_none),
        cmocka_unit_test(strips_slits_and_specks_are_measured),
        cmocka_unit_test(necks_are_thin_however_short),
        cmocka_unit_test(slits_holes_and_spikes_are_found),
        cmocka_unit_test(fillets_are_measured_within_a_tenth),
        cmocka_unit_test(just_the_narrow_ones_are_found),
        cmocka_unit_test(limits_out_of_range_are_refused),
    };
    return cmocka_run_group_tests(tests, with_means, tear_down);
}
