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
    outline_arc(&b, &(struct arc){100, 100, 0, false, true, {-100, 0}}, 0.01);
    outline_arc(&b, &(struct arc){100, 100, 0, false, true, {100, 0}}, 0.01);
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
    outline_arc(&b, &(struct arc){1, 1, 30, true, true, {20, 0}}, 0.001);
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

/* ---- growing ---- */

static double distance_to(const struct polygon *polygon, struct point p)
{
    double nearest = INFINITY;
    if (polygon_contains(polygon, p)) return 0;
    for (size_t i = 0; i < polygon->count; i++) {
        struct point a = polygon->points[i], b = polygon->points[(i + 1) % polygon->count];
        double dx = b.x - a.x, dy = b.y - a.y;
        double t = ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy);
        t = fmin(1, fmax(0, t));
        nearest = fmin(nearest, hypot(p.x - a.x - t * dx, p.y - a.y - t * dy));
    }
    return nearest;
}

/* Steiner's formula for convex shapes: area + perimeter by + pi by^2. */
static void grown_box_has_steiners_area(void **state)
{
    (void)state;
    struct polygon box = polygon_of_rect(rect_of(165, 90, 520, 120), arena);
    for (double by = 1; by < 60; by += 7.5) {
        struct polygon grown = polygon_grow(&box, by, 0.02, arena);
        near(polygon_area(&grown), 520 * 120 + 2 * (520 + 120) * by + M_PI * by * by, 2 * M_PI * by * 0.02);
    }
    struct polygon same = polygon_grow(&box, 0, 0.02, arena);
    near(polygon_area(&same), 520 * 120, 1e-9);
}

static double random_share(unsigned *seed)
{
    *seed = *seed * 1103515245u + 12345u;
    return (*seed >> 8 & 0xffff) / 65536.0;
}

/* Stars with hollows: a point is inside exactly when it is within `by` of the star, worked out point by
 * point. */
static void grown_star_is_all_within_reach(void **state)
{
    (void)state;
    unsigned seed = 2027;
    for (int star = 0; star < 40; star++) {
        struct point points[9];
        for (int i = 0; i < 9; i++) {
            double radius = 60 + 60 * random_share(&seed), angle = 2 * M_PI * i / 9;
            points[i] = (struct point){radius * cos(angle), radius * sin(angle)};
        }
        struct polygon polygon = {points, 9}, grown = polygon_grow(&polygon, 12, 0.02, arena);
        assert_true(polygon_area(&grown) > polygon_area(&polygon));
        for (int i = 0; i < 400; i++) {
            struct point p = {320 * random_share(&seed) - 160, 320 * random_share(&seed) - 160};
            double distance = distance_to(&polygon, p);
            if (fabs(distance - 12) > 0.03) assert_int_equal(polygon_contains(&grown, p), distance < 12);
        }
    }
}

/* By hand: a box's sides lose `by` at both ends, its corners (4 - pi) r^2; a triangle keeps its shape, its inradius
 * loses `by`, its area goes with the square; what is too narrow is gone. */
static void shrunk_shapes_by_hand(void **state)
{
    (void)state;
    struct polygon box = polygon_of_rect(rect_of(165, 90, 520, 120), arena);
    for (double by = 1; by < 45; by += 7) {
        struct polygon film = polygon_shrink(&box, by, 10, 0.01, arena);
        near(polygon_area(&film), (520 - 2 * by) * (120 - 2 * by) - (4 - M_PI) * 100, 20 * M_PI * 0.01);
    }
    struct point corners[] = {{0, 0}, {1000, 0}, {300, 500}};
    struct polygon triangle = {corners, 3}, film = polygon_shrink(&triangle, 9, 0, 0.01, arena);
    double r = 2 * 250000 / (1000 + hypot(700, 500) + hypot(300, 500));
    near(polygon_area(&film), 250000 * (r - 9) * (r - 9) / (r * r), 1e-6);
    near(polygon_area(&(struct polygon){film.points, film.count}), fabs(polygon_area(&film)), 1e-9);
    assert_int_equal(polygon_shrink(&box, 61, 10, 0.01, arena).count, 0);
    struct polygon narrow = polygon_shrink(&box, 55, 10, 0.01, arena); /* no room for round corners */
    near(polygon_area(&narrow), 410 * 10, 1e-6);
}

/* Rounded panes as drawings give them: many short edges. All of the film is `by` from the edge, and what is farther
 * inside is film. */
static void shrunk_pane_keeps_its_distance(void **state)
{
    (void)state;
    struct polygon core = polygon_of_rect(rect_of(0, 0, 700, 400), arena);
    for (double radius = 2; radius < 160; radius *= 3) {
        struct polygon pane = polygon_grow(&core, radius, 0.02, arena);
        struct polygon film = polygon_shrink(&pane, 7, 10, 0.02, arena);
        double corner = fmax(10, radius - 7), inset = 7 - radius;
        double wide = 700 - 2 * inset, high = 400 - 2 * inset;
        near(polygon_area(&film), wide * high - (4 - M_PI) * corner * corner, 2 * M_PI * corner * 0.05 + 1);
    }
}

/* A slot narrower than twice the distance closes; a wide one stays. */
static void grown_hollows_close(void **state)
{
    (void)state;
    struct point u[] = {{0, 0}, {100, 0}, {100, 80}, {60, 80}, {60, 20}, {40, 20}, {40, 80}, {0, 80}};
    struct polygon slot = {u, 8}, closed = polygon_grow(&slot, 11, 0.02, arena);
    struct polygon open = polygon_grow(&slot, 4, 0.02, arena);
    assert_true(polygon_contains(&closed, (struct point){50, 60}));
    assert_false(polygon_contains(&open, (struct point){50, 60}));
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
        cmocka_unit_test(grown_box_has_steiners_area),
        cmocka_unit_test(shrunk_shapes_by_hand),
        cmocka_unit_test(shrunk_pane_keeps_its_distance),
        cmocka_unit_test(grown_star_is_all_within_reach),
        cmocka_unit_test(grown_hollows_close),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
