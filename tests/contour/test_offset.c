/* Offsets against plain distances: whatever way they are made, a place is within an offset just when its distance to
 * the outline says so. Areas against the formula of Steiner, and in clipper.py against Clipper. */
#include "../support/share.h"
#include "../with_arena.h"
#include "outlines.h"
#include <string.h>

static struct contour_means means;

static int with_means(void **state)
{
    set_up(state);
    means = (struct contour_means){.arena = arena};
    return 0;
}

static struct region offset_of(const struct region *region, struct contour_offset how)
{
    struct region result;
    struct error error;
    if (!contour_offset(region, &how, &means, &result, &error)) fail_msg("%s", error.text);
    assert_int_equal(region_crossings(&result, arena), 0);
    return result;
}

static struct region box_of(double width, double height)
{
    struct region box = {arena_take(arena, sizeof(struct polygon)), 1};
    box.rings[0] = polygon_of_rect(rect_of(0, 0, width, height), arena);
    return box;
}

/* Out of the region, less than 0 in it. */
static double signed_distance(const struct region *region, struct point p)
{
    return region_distance(region, p) * (region_contains(region, p) ? -1 : 1);
}

/* Places of the plane agree; and every point and the middle of every side of a round offset lies at its distance. */
static void check_distances(const struct region *region, const struct region *offset, double by,
                            uint64_t seed)
{
    struct rect box = rect_grow(region_bounds(region), fmax(by, 0) + 2);
    for (int i = 0; i < 250; i++) {
        struct point p = {roll(&seed, box.x0, box.x1), roll(&seed, box.y0, box.y1)};
        double away = signed_distance(region, p);
        if (fabs(away - by) > 0.02) assert_int_equal(region_contains(offset, p), away < by);
    }
    for (size_t r = 0; r < offset->count; r++)
        for (size_t i = 0; i < offset->rings[r].count; i += 1 + offset->rings[r].count / 60) {
            struct point p = offset->rings[r].points[i];
            struct point q = offset->rings[r].points[(i + 1) % offset->rings[r].count];
            assert_true(fabs(signed_distance(region, p) - by) < 0.02);
            assert_true(fabs(signed_distance(region, (struct point){(p.x + q.x) / 2, (p.y + q.y) / 2}) - by) <
                        0.02);
        }
}

static void random_outlines_keep_their_distance(void **state)
{
    (void)state;
    const size_t outlines = (size_t)share_of(OUTLINES);
    for (size_t number = 0; number < outlines; number++) {
        struct arena *own = arena_new(&machine);
        const struct contour_means here = {.arena = own};
        struct polygon rings[4];
        struct region region, offset;
        struct contour_offset how = offset_random(number);
        size_t count = rings_random(number, rings, own);
        assert_true(contour_clean(rings, count, CONTOUR_EVEN_ODD, &here, &region, NULL));
        assert_true(contour_offset(&region, &how, &here, &offset, NULL));
        assert_int_equal(region_crossings(&offset, own), 0);
        check_distances(&region, &offset, how.by_mm, number + 1);
        arena_free(own);
    }
}

/* Of a convex outline: area + length x distance + a circle (Steiner 1840); the circle by its chords within 0.1 %. */
static void areas_of_convex_outlines_are_steiners(void **state)
{
    (void)state;
    for (int sides = 3; sides < 40; sides += 4) {
        struct polygon ring = ring_new((size_t)sides, arena);
        for (int i = 0; i < sides; i++)
            ring.points[i] = (struct point){80 * cos(2 * M_PI * i / sides), 50 * sin(2 * M_PI * i / sides)};
        const struct region region = {&ring, 1};
        struct region grown = offset_of(&region, (struct contour_offset){.by_mm = 7});
        double expected = region_area(&region) + 7 * region_length(&region) + M_PI * 49;
        assert_true(fabs(region_area(&grown) - expected) < 0.001 * expected);
        assert_int_equal(grown.count, 1);
    }
}

static void mitres_are_square_up_to_their_limit(void **state)
{
    (void)state;
    struct region box = box_of(100, 40), grown;
    grown = offset_of(&box, (struct contour_offset){.by_mm = 5, .join = CONTOUR_MITRE});
    assert_int_equal(region_points(&grown), 4);
    assert_true(fabs(region_area(&grown) - 110 * 50) < 1e-6);
    /* 1.4 is less than the root of 2 that a square corner asks for */
    grown = offset_of(&box, (struct contour_offset){.by_mm = 5, .join = CONTOUR_MITRE, .mitre_limit = 1.4});
    assert_true(fabs(region_area(&grown) - (4000 + 280 * 5 + M_PI * 25)) < 0.1);
    uint64_t dice = 5;
    for (int i = 0; i < 20;
         i++) { /* a mitre never comes nearer than the distance, nor goes further than its limit */
        struct polygon star = ring_star(&dice, (struct point){0, 0}, 100, arena);
        const struct region region = {&star, 1};
        grown =
            offset_of(&region, (struct contour_offset){.by_mm = 4, .join = CONTOUR_MITRE, .mitre_limit = 3});
        struct region round = offset_of(&region, (struct contour_offset){.by_mm = 4}), out;
        assert_true(contour_combine(&round, &grown, CONTOUR_DIFFERENCE, &means, &out, NULL));
        assert_true(region_area(&out) < 0.05);
        for (size_t k = 0; k < grown.count; k++)
            for (size_t p = 0; p < grown.rings[k].count; p++) {
                double away = region_distance(&region, grown.rings[k].points[p]);
                assert_true(away > 4 - 0.02 && away < 12 + 0.02);
            }
    }
}

/* The smallest circle through three points in a row of a ring that turns `sign`: of fine arcs, their radius. */
static double least_radius(const struct region *region, int sign)
{
    double least = INFINITY;
    for (size_t r = 0; r < region->count; r++)
        for (size_t i = 0; i < region->rings[r].count; i++) {
            const struct polygon *ring = &region->rings[r];
            struct point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
            struct point c = ring->points[(i + 2) % ring->count];
            double cross = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
            double ab = hypot(b.x - a.x, b.y - a.y), bc = hypot(c.x - b.x, c.y - b.y),
                   ca = hypot(a.x - c.x, a.y - c.y);
            if (cross * sign > 0 && ab > 0.05 && bc > 0.05 && ab * bc > 0.02)
                least = fmin(least, ab * bc * ca / (2 * fabs(cross)));
        }
    return least;
}

static void corners_get_their_radius(void **state)
{
    (void)state;
    const double points[][2] = {{0, 0}, {100, 0}, {100, 30}, {30, 30}, {30, 100}, {0, 100}};
    struct polygon ring = ring_new(6, arena);
    for (size_t i = 0; i < 6; i++) ring.points[i] = (struct point){points[i][0], points[i][1]};
    const struct region angle = {&ring, 1};
    for (int mitre = 0; mitre < 2; mitre++) {
        struct contour_offset how = {
            .by_mm = 6, .join = mitre ? CONTOUR_MITRE : CONTOUR_ROUND, .corner_mm = 4};
        struct region grown = offset_of(&angle, how),
                      round = offset_of(&angle, (struct contour_offset){.by_mm = 6}), out;
        assert_true(least_radius(&grown, 1) > 3.7 && least_radius(&grown, 1) < (mitre ? 4.2 : 6.2));
        assert_true(least_radius(&grown, -1) > 3.7 && least_radius(&grown, -1) < 4.2);
        assert_true(contour_combine(&round, &grown, CONTOUR_DIFFERENCE, &means, &out, NULL));
        assert_true(region_area(&out) < 1); /* 400 mm of edge: it keeps its distance within 0.01 mm */
        /* an inner corner of a quarter circle fills (1 - pi / 4) r2; outer ones leave as much of each mitre */
        double expected = mitre ? 112 * 42 + 42 * 70 - 5 * (1 - M_PI / 4) * 16 + (1 - M_PI / 4) * 16
                                : 5100 + 400 * 6 - 36 + 5 * M_PI * 9 + (1 - M_PI / 4) * 16;
        assert_true(fabs(region_area(&grown) - expected) < 1);
    }
}

static void small_holes_are_filled_and_small_islands_go(void **state)
{
    (void)state;
    const struct polygon rings[] = {
        polygon_of_rect(rect_of(0, 0, 100, 100), arena), polygon_of_rect(rect_of(10, 10, 5, 5), arena),
        polygon_of_rect(rect_of(30, 30, 40, 40), arena), polygon_of_rect(rect_of(45, 45, 3, 3), arena),
        polygon_of_rect(rect_of(200, 0, 4, 4), arena)};
    struct region region, kept;
    assert_true(contour_clean(rings, 5, CONTOUR_EVEN_ODD, &means, &region, NULL));
    assert_int_equal(region.count, 5);
    kept = offset_of(&region, (struct contour_offset){.fill_holes_mm2 = 25});
    assert_true(fabs(region_area(&kept) - (10000 - 1600 + 9 + 16)) < 1e-6);
    kept = offset_of(&region, (struct contour_offset){.fill_holes_mm2 = 1600, .drop_islands_mm2 = 16});
    assert_int_equal(kept.count, 1); /* the island in the hole is part of what fills it */
    assert_true(fabs(region_area(&kept) - 10000) < 1e-6);
    kept = offset_of(&region, (struct contour_offset){.by_mm = 2.6}); /* closes the small hole by itself */
    assert_true(fabs(region_area(&kept) - (10000 + 400 * 2.6 + M_PI * 6.76 - 34.8 * 34.8 + 9 + 12 * 2.6 +
                                           M_PI * 6.76 + 16 + 16 * 2.6 + M_PI * 6.76)) < 0.5);
}

/* Sizes from a hair to far beyond the outline. */
static void what_shrinks_to_nothing_is_nothing(void **state)
{
    (void)state;
    struct region box = box_of(100, 40);
    assert_int_equal(offset_of(&box, (struct contour_offset){.by_mm = -20.001}).count, 0);
    assert_true(
        fabs(region_area(&(struct region){offset_of(&box, (struct contour_offset){.by_mm = -19}).rings, 1}) -
             62 * 2) < 1e-3);
    struct region none = {NULL, 0};
    assert_int_equal(offset_of(&none, (struct contour_offset){.by_mm = 5}).count, 0);
    struct region huge = offset_of(&box, (struct contour_offset){.by_mm = 5000});
    double expected = 4000 + 280 * 5000.0 + M_PI * 25e6;
    assert_true(fabs(region_area(&huge) - expected) < 0.001 * expected);
    struct polygon circle = ring_new(2000, arena);
    for (size_t i = 0; i < 2000; i++)
        circle.points[i] =
            (struct point){500 * cos(M_PI * (double)i / 1000), 500 * sin(M_PI * (double)i / 1000)};
    const struct region disc = {&circle, 1};
    assert_int_equal(offset_of(&disc, (struct contour_offset){.by_mm = -600}).count, 0);
}

static void refuse_offset(struct contour_offset how, const char *words)
{
    struct region box = box_of(10, 10), out;
    struct error error;
    assert_false(contour_offset(&box, &how, &means, &out, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, words));
}

static bool after_some(void *self)
{
    return ++*(int *)self > 100;
}

static void hostile_offsets_end(void **state)
{
    (void)state;
    const double bad[] = {NAN, INFINITY, -10001, 10001};
    for (size_t i = 0; i < 4; i++) refuse_offset((struct contour_offset){.by_mm = bad[i]}, "up to 10000 mm");
    refuse_offset((struct contour_offset){.corner_mm = -1}, "corner radius");
    refuse_offset((struct contour_offset){.fill_holes_mm2 = NAN}, "areas");
    refuse_offset((struct contour_offset){.mitre_limit = 0.5}, "mitre limit");
    refuse_offset((struct contour_offset){.tolerance_mm = 1e-9}, "tolerance");
    /* ten thousand spikes, each of which the offset buries: it ends when it is enough, with a sentence */
    struct polygon star = ring_new(CONTOUR_POINTS_MOST, arena);
    for (size_t i = 0; i < star.count; i++) {
        double angle = 2 * M_PI * (double)i / (double)star.count, away = i % 2 ? 1000 : 200;
        star.points[i] = (struct point){away * cos(angle), away * sin(angle)};
    }
    const struct region region = {&star, 1};
    struct region out;
    struct error error;
    int asked = 0;
    const struct contour_means hurried = {arena, after_some, &asked};
    struct contour_offset how = {.by_mm = 3};
    assert_false(contour_offset(&region, &how, &hurried, &out, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_true(asked > 100 || strstr(error.text, "cross more than"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_outlines_keep_their_distance),
        cmocka_unit_test(areas_of_convex_outlines_are_steiners),
        cmocka_unit_test(mitres_are_square_up_to_their_limit),
        cmocka_unit_test(corners_get_their_radius),
        cmocka_unit_test(small_holes_are_filled_and_small_islands_go),
        cmocka_unit_test(what_shrinks_to_nothing_is_nothing),
        cmocka_unit_test(hostile_offsets_end),
    };
    return cmocka_run_group_tests(tests, with_means, tear_down);
}
