/* Areas and lengths with known closed forms; curves against their formulas. */
#include "../with_arena.h"
#include "geom/geom.h"
#include <math.h>
#include <stdlib.h>

static void near(double value, double wanted, double tolerance)
{
    assert_true(fabs(value - wanted) <= tolerance);
}

/* A circle of two SVG arcs: area pi r^2; chords stay within the tolerance of the radius. */
static void arcs_make_a_circle(void **state)
{
    (void)state;
    struct outline_builder b = {.arena = arena};
    outline_add(&b, (struct point){100, 0});
    outline_arc(&b, 100, 100, 0, false, true, (struct point){-100, 0}, 0.01);
    outline_arc(&b, 100, 100, 0, false, true, (struct point){100, 0}, 0.01);
    struct polygon circle = {b.points, b.count - 1};
    near(polygon_area(&circle), M_PI * 1e4, M_PI * 2 * 100 * 0.01);
    for (size_t i = 0; i + 1 < circle.count; i++) {
        struct point m = {(b.points[i].x + b.points[i + 1].x) / 2, (b.points[i].y + b.points[i + 1].y) / 2};
        near(hypot(b.points[i].x, b.points[i].y), 100, 1e-9);
        assert_true(hypot(m.x, m.y) >= 100 - 0.01);
    }
}

/* SVG 1.1, F.6: radii that are too small are scaled up until the arc reaches; here to a half circle. */
static void small_radii_grow(void **state)
{
    (void)state;
    struct outline_builder b = {.arena = arena};
    outline_add(&b, (struct point){0, 0});
    outline_arc(&b, 1, 1, 30, true, true, (struct point){20, 0}, 0.001);
    for (size_t i = 0; i < b.count; i++) near(hypot(b.points[i].x - 10, b.points[i].y), 10, 1e-6);
}

/* The area under a cubic with control points on a straight line is that of the triangle; its chords keep to
 * it. */
static void cubic_keeps_its_tolerance(void **state)
{
    (void)state;
    struct outline_builder b = {.arena = arena};
    struct point p0 = {0, 0}, p1 = {0, 100}, p2 = {100, 100}, p3 = {100, 0};
    outline_add(&b, p0);
    outline_cubic(&b, p1, p2, p3, 0.05);
    struct polygon shape = {b.points, b.count};
    near(fabs(polygon_area(&shape)), 6000, 15); /* 3/20 (x0 y1 ... ) worked by hand: 6000 */
}

static void areas_in_rectangles(void **state)
{
    (void)state;
    struct point triangle[] = {{0, 0}, {100, 0}, {0, 100}};
    struct polygon t = {triangle, 3};
    near(polygon_area_in(&t, (struct rect){-10, -10, 200, 200}), 5000, 1e-9);
    near(polygon_area_in(&t, (struct rect){0, 0, 50, 50}), 2500, 1e-9);
    near(polygon_area_in(&t, (struct rect){50, 0, 100, 100}), 1250, 1e-9);
    near(polygon_area_in(&t, (struct rect){20, 60, 30, 90}), 10 * (75.0 - 60), 1e-9);
    near(polygon_area_in(&t, (struct rect){-50, -50, -10, -10}), 0, 1e-9);
}

static void spans(void **state)
{
    (void)state;
    struct point points[] = {{0, 0}, {100, 0}, {100, 50}, {50, 100}, {0, 50}};
    struct polygon house = {points, 5};
    double low, high;
    assert_true(polygon_span_y(&house, 40, 60, &low, &high));
    near(low, 0, 0), near(high, 100, 1e-12);
    assert_true(polygon_span_y(&house, 0, 10, &low, &high));
    near(high, 60, 1e-12);
    assert_false(polygon_span_y(&house, 120, 130, &low, &high));
    assert_true(polygon_span_x(&house, 75, 200, &low, &high));
    near(low, 25, 1e-12), near(high, 75, 1e-12);
}

/* Rectangles on whole numbers against unit squares counted one by one. */
static void areas_that_rectangles_cover(void **state)
{
    enum { SIDE = 12, COUNT = 7, TRIALS = 200 };
    (void)state;
    srand(3);
    for (int trial = 0; trial < TRIALS; trial++) {
        struct rect rects[COUNT], in = {1, 2, 10, 11};
        for (int i = 0; i < COUNT; i++)
            rects[i] = rect_of(rand() % SIDE, rand() % SIDE, 1 + rand() % 4, 1 + rand() % 4);
        int squares = 0;
        for (int x = 1; x < 10; x++)
            for (int y = 2; y < 11; y++) {
                bool covered = false;
                for (int i = 0; i < COUNT; i++) covered |= rect_contains(rects[i], rect_of(x, y, 1, 1), 0);
                squares += covered;
            }
        near(rects_area_in(rects, COUNT, in), squares, 1e-9);
    }
}

static void transforms_go_back(void **state)
{
    (void)state;
    struct affine m = {2, 0.5, -1, 3, 40, -7}, back;
    assert_true(affine_invert(m, &back));
    struct point p = affine_apply(affine_then(m, back), (struct point){12, 34});
    near(p.x, 12, 1e-12), near(p.y, 34, 1e-12);
    assert_false(affine_invert((struct affine){1, 2, 2, 4, 0, 0}, &back));
    struct point q =
        affine_apply(affine_then(affine_scale(10, 10), affine_shift(-50, -50)), (struct point){5, 5});
    near(q.x, 0, 0), near(q.y, 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arcs_make_a_circle),
        cmocka_unit_test(small_radii_grow),
        cmocka_unit_test(cubic_keeps_its_tolerance),
        cmocka_unit_test(areas_in_rectangles),
        cmocka_unit_test(spans),
        cmocka_unit_test(areas_that_rectangles_cover),
        cmocka_unit_test(transforms_go_back),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
