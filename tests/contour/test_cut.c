/* Cutting: rules that are checked place by place on random outlines, and lengths and times worked by hand. */
#include "../with_arena.h"
#include "contour/cut.h"
#include "contour/marks.h"
#include "outlines.h"
#include <string.h>

static struct contour_means means;

static int with_means(void **state)
{
    set_up(state);
    means = (struct contour_means){.arena = arena};
    return 0;
}

static struct region clean(const struct polygon *rings, size_t count)
{
    struct region region;
    assert_true(contour_clean(rings, count, CONTOUR_EVEN_ODD, &means, &region, NULL));
    return region;
}

static struct polygon box_of(double x, double y, double width, double height)
{
    return polygon_of_rect(rect_of(x, y, width, height), arena);
}

/* ---- sequence ---- */

static struct contour_cut_plan cut(const struct region *region, double overcut)
{
    const struct contour_knife knife = {{0, 0}, overcut, 200, 500, 0.5};
    struct contour_cut_plan plan;
    struct error error;
    if (!contour_cut(region, &knife, &means, &plan, &error)) fail_msg("%s", error.text);
    return plan;
}

/* A ring that has another inside, by the middle of its first side, comes after it. */
static void inner_rings_are_cut_before_outer_ones(void **state)
{
    (void)state;
    for (size_t number = 0; number < 40; number++) {
        struct polygon rings[4];
        struct region region = clean(rings, rings_random(number, rings, arena));
        struct contour_cut_plan plan = cut(&region, 0);
        assert_int_equal(plan.count, region.count);
        for (size_t i = 0; i < plan.count; i++)
            for (size_t k = 0; k < i; k++) { /* cut before: is never around it */
                const struct polygon *later = &region.rings[plan.paths[i].ring];
                const struct polygon *before = &region.rings[plan.paths[k].ring];
                struct point p = {(later->points[0].x + later->points[1].x) / 2,
                                  (later->points[0].y + later->points[1].y) / 2};
                assert_false(polygon_contains(before, p));
            }
        assert_true(fabs(plan.cut_mm - region_length(&region)) < 1e-6 * plan.cut_mm);
    }
}

static void lengths_and_times_add_up(void **state)
{
    (void)state;
    const struct polygon rings[] = {box_of(0, 0, 100, 60), box_of(10, 10, 40, 20)};
    struct region region = clean(rings, 2);
    struct contour_cut_plan plan = cut(&region, 3);
    assert_int_equal(plan.paths[0].ring, 1);
    assert_true(fabs(plan.cut_mm - (320 + 120 + 6)) < 1e-9);
    /* it starts in the middle of a long side of each */
    struct point inner = plan.paths[0].points[0], outer = plan.paths[1].points[0];
    assert_true(fabs(inner.x - 30) < 1e-9 && fabs(outer.x - 50) < 1e-9);
    struct point end = plan.paths[0].points[plan.paths[0].count - 1];
    assert_true(fabs(fabs(end.x - inner.x) - 3) < 1e-9 && end.y == inner.y);
    double travel = hypot(inner.x, inner.y) + hypot(outer.x - end.x, outer.y - end.y);
    assert_true(fabs(plan.travel_mm - travel) < 1e-9);
    assert_true(fabs(plan.seconds - (plan.cut_mm / 200 + travel / 500 + 1)) < 1e-9);
}

/* Twelve boxes in a row are cut from the home side on, without going back. */
static void the_nearest_is_cut_next(void **state)
{
    (void)state;
    struct polygon rings[12];
    for (size_t i = 0; i < 12; i++) rings[i] = box_of(50.0 * (double)(i * 5 % 12), 10, 20, 12);
    struct region region = clean(rings, 12);
    struct contour_cut_plan plan = cut(&region, 0);
    for (size_t i = 1; i < 12; i++)
        assert_true(fabs(plan.paths[i].points[0].x - plan.paths[i - 1].points[0].x - 50) < 1e-9);
}

/* The start lies on its ring, the path closes, and no corner is near where there is room. */
static void starts_lie_away_from_corners(void **state)
{
    (void)state;
    const double length = 4;
    for (size_t number = 0; number < 60; number++) {
        struct polygon rings[4];
        struct region region = clean(rings, rings_random(number, rings, arena));
        struct contour_cut_plan plan = cut(&region, 0);
        for (size_t i = 0; i < plan.count; i++) {
            const struct polygon *ring = &region.rings[plan.paths[i].ring];
            struct point start = plan.paths[i].points[0], end = plan.paths[i].points[plan.paths[i].count - 1];
            assert_true(start.x == end.x && start.y == end.y);
            double away = INFINITY, longest = 0;
            for (size_t k = 0; k < ring->count; k++) {
                struct point a = ring->points[(k + ring->count - 1) % ring->count], p = ring->points[k];
                struct point b = ring->points[(k + 1) % ring->count];
                double turn = fabs(atan2((p.x - a.x) * (b.y - p.y) - (p.y - a.y) * (b.x - p.x),
                                         (p.x - a.x) * (b.x - p.x) + (p.y - a.y) * (b.y - p.y)));
                if (turn > 0.5) away = fmin(away, hypot(start.x - p.x, start.y - p.y));
                longest = fmax(longest, hypot(b.x - p.x, b.y - p.y));
            }
            if (longest > 4 * length) assert_true(away > length / 2);
            assert_true(region_distance(&(struct region){(struct polygon *)ring, 1}, start) < 1e-9);
        }
    }
}

/* A straight side of 30 mm is better to start on than a half circle of 47 mm. */
static void straight_stretches_come_before_bent_ones(void **state)
{
    (void)state;
    struct polygon ring = ring_new(42, arena);
    for (size_t i = 0; i <= 40; i++)
        ring.points[i] = (struct point){15 * cos(M_PI * (double)i / 40), 15 * sin(M_PI * (double)i / 40)};
    ring.points[41] = (struct point){0, 0};
    ring.count = 42;
    struct contour_cut_plan plan = cut(&(struct region){&ring, 1}, 1);
    assert_true(fabs(plan.paths[0].points[0].y) < 1e-9);
}

static bool at_once(void *self)
{
    return self == NULL;
}

static void knives_that_cannot_be_are_refused(void **state)
{
    (void)state;
    struct polygon ring = box_of(0, 0, 10, 10);
    const struct region box = {&ring, 1};
    const struct contour_knife good = {{0, 0}, 1, 200, 500, 0.5};
    struct contour_cut_plan plan;
    struct error error;
    for (int i = 0; i < 5; i++) {
        struct contour_knife bad = good;
        *(double *[]){&bad.home.x, &bad.overcut_mm, &bad.cut_mm_s, &bad.travel_mm_s, &bad.lift_s}[i] =
            (double[]){NAN, -1, 0, INFINITY, -0.1}[i];
        assert_false(contour_cut(&box, &bad, &means, &plan, &error));
        assert_non_null(strstr(error.text, "a knife needs"));
    }
    const struct contour_means hurried = {arena, at_once, NULL};
    assert_false(contour_cut(&box, &good, &hurried, &plan, &error));
    assert_non_null(strstr(error.text, "takes too long"));
}

/* ---- register marks ---- */

/* Every rule of the header, mark by mark, for any pieces on a film 1,300 mm wide. */
static void check_marks(const struct contour_sheet *sheet, const struct contour_mark_entry *entry,
                        const struct contour_marks *marks)
{
    const double reach = entry->size / 2 * (entry->shape <= CONTOUR_CROSS ? 1 : M_SQRT2);
    struct rect pieces = region_bounds(sheet->keep_out);
    for (size_t i = 0; i < marks->count; i++) {
        struct point p = marks->places[i].middle;
        struct rect mark = {p.x - entry->size / 2, p.y - entry->size / 2, p.x + entry->size / 2,
                            p.y + entry->size / 2};
        assert_true(rect_contains(sheet->printed, mark, 1e-6));
        assert_false(region_contains(sheet->keep_out, p));
        assert_true(region_distance(sheet->keep_out, p) >= reach + entry->distance - 1e-6);
        assert_int_equal(marks->places[i].row, i / 2);
        if (i > 1 && entry->every > 0) /* rows move where they must, by half their distance at most */
            assert_true(fabs(p.y - marks->places[i - 2].middle.y) <= 2 * fmax(entry->every, entry->size));
    }
    double sections = entry->section > 0 ? ceil(rect_height(pieces) / entry->section - 1e-9) : 1;
    assert_int_equal(marks->sections, (size_t)sections);
    size_t least = entry->count > 4 ? (entry->count + 1) / 2 * 2 : 4;
    assert_true(marks->count >= (size_t)sections * (least - 2) + 2); /* sections share the row between them */
}

static void marks_stand_clear_of_pieces_on_every_section(void **state)
{
    (void)state;
    uint64_t dice = 21;
    for (int round = 0; round < 30; round++) {
        struct polygon rings[12];
        size_t count = (size_t)roll(&dice, 1, 12);
        for (size_t i = 0; i < count; i++)
            rings[i] = ring_star(&dice, (struct point){roll(&dice, 250, 1050), roll(&dice, 200, 6000)},
                                 roll(&dice, 40, 180), arena);
        struct region pieces = clean(rings, count), bleed;
        assert_true(contour_offset(&pieces, &(struct contour_offset){.by_mm = 3}, &means, &bleed, NULL));
        const struct contour_sheet sheet = {{0, 0, 1300, 6400}, &bleed};
        const struct contour_mark_entry entry = {(enum contour_mark)(round % 4),
                                                 roll(&dice, 4, 12),
                                                 0.5,
                                                 roll(&dice, 0, 15),
                                                 round % 2 ? 400 : 0,
                                                 (size_t)round % 9,
                                                 round % 3 ? 1500 : 0};
        struct contour_marks marks;
        struct error error;
        if (!contour_marks_place(&sheet, &entry, &means, &marks, &error)) fail_msg("%s", error.text);
        check_marks(&sheet, &entry, &marks);
    }
}

/* One box as wide as the film but for a notch on each side: marks go into the notches, or are refused. */
static void marks_move_to_where_there_is_room(void **state)
{
    (void)state;
    struct polygon rings[] = {box_of(0, 0, 400, 1000), box_of(0, 100, 40, 60), box_of(360, 100, 40, 60)};
    struct region pieces = clean(rings, 3);
    const struct contour_sheet sheet = {{0, 0, 400, 1000}, &pieces};
    struct contour_mark_entry entry = {CONTOUR_CIRCLE, 10, 0, 8, 0, 0, 0};
    struct contour_marks marks;
    struct error error;
    assert_false(contour_marks_place(&sheet, &entry, &means, &marks, &error));
    assert_non_null(
        strstr(error.text, "no room for the register mark on the left at 995 mm; it needs 18 mm"));
    pieces = clean(
        (struct polygon[]){box_of(0, 0, 400, 160), box_of(0, 100, 40, 60), box_of(360, 100, 40, 60)}, 3);
    assert_false(contour_marks_place(&sheet, &entry, &means, &marks, &error)); /* none at the low end */
    pieces = clean((struct polygon[]){box_of(30, 0, 340, 160)}, 1);
    assert_true(contour_marks_place(&sheet, &entry, &means, &marks, &error));
    assert_int_equal(marks.count, 4);
    assert_true(marks.places[0].middle.x == 17 && marks.places[1].middle.x == 383);
    assert_true(marks.places[0].middle.y == 5 && marks.places[3].middle.y == 160);
    const double turns[] = {0, 90, 270, 180};
    for (int i = 0; i < 4; i++) assert_true(marks.places[i].turned_deg == turns[i]);
    const struct contour_sheet nowhere = {{0, 0, NAN, 10}, &pieces}, empty = {{0, 0, 0, 0}, &pieces};
    assert_false(contour_marks_place(&nowhere, &entry, &means, &marks, &error));
    assert_false(contour_marks_place(&empty, &entry, &means, &marks, &error));
    assert_non_null(strstr(error.text, "a width and a height"));
    for (int i = 0; i < 6; i++) {
        struct contour_mark_entry bad = entry;
        *(double *[]){&bad.size, &bad.line, &bad.distance, &bad.every, &bad.section, &bad.size}[i] =
            (double[]){0.5, 11, NAN, 5, 15, INFINITY}[i];
        assert_false(contour_marks_place(&sheet, &bad, &means, &marks, &error));
        assert_int_equal(error.kind, FAILURE_INPUT);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(inner_rings_are_cut_before_outer_ones),
        cmocka_unit_test(lengths_and_times_add_up),
        cmocka_unit_test(the_nearest_is_cut_next),
        cmocka_unit_test(starts_lie_away_from_corners),
        cmocka_unit_test(straight_stretches_come_before_bent_ones),
        cmocka_unit_test(knives_that_cannot_be_are_refused),
        cmocka_unit_test(marks_stand_clear_of_pieces_on_every_section),
        cmocka_unit_test(marks_move_to_where_there_is_room),
    };
    return cmocka_run_group_tests(tests, with_means, tear_down);
}
