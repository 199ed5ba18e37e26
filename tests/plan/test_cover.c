/* Plans of covered regions against plans of plain surfaces of the same shape elsewhere, and of copies against one. */
#include "fixture.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double EDGE_MM = 50; /* the fixture's bleed */

static struct span_table table_of(struct arena *arena, const struct rect *boxes, size_t count, bool upright)
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        low = fmin(low, upright ? boxes[i].x0 : boxes[i].y0);
        high = fmax(high, upright ? boxes[i].x1 : boxes[i].y1);
    }
    struct span_table table = {.first = (int)floor(low)};
    table.count = (size_t)(ceil(high) - floor(low));
    table.spans = arena_take_array(arena, table.count, sizeof *table.spans);
    for (size_t k = 0; k < table.count; k++) {
        double at = table.first + (double)k + 0.5;
        struct span span = {INFINITY, -INFINITY};
        for (size_t i = 0; i < count; i++) {
            struct rect b =
                upright ? boxes[i] : (struct rect){boxes[i].y0, boxes[i].x0, boxes[i].y1, boxes[i].x1};
            if (at < b.x0 || at > b.x1) continue;
            span.low_mm = fminf(span.low_mm, (float)b.y0), span.high_mm = fmaxf(span.high_mm, (float)b.y1);
        }
        table.spans[k] = span;
    }
    return table;
}

static void take_spans(struct span *spans, size_t count, const struct span_table *table)
{
    for (size_t i = 0; i < count; i++) {
        long k = (long)i - table->first;
        spans[i] = k >= 0 && k < (long)table->count ? table->spans[k] : (struct span){INFINITY, -INFINITY};
    }
}

/* Boxes with whole ends, `bleed` around each printed, and at the surface's edge as much as the edge has. */
static void cover_boxes(struct fixture *f, struct surface *s, const struct rect *boxes, size_t count,
                        double bleed)
{
    struct rect *print = arena_take_array(f->arena, count, sizeof *print);
    s->covered.rings = arena_take_array(f->arena, count, sizeof *s->covered.rings);
    s->printed.rings = arena_take_array(f->arena, count, sizeof *s->printed.rings);
    s->area_m2 = 0, s->covered_bleed_mm = bleed;
    s->covered.count = s->printed.count = count;
    for (size_t i = 0; i < count; i++) {
        struct rect b = boxes[i];
        print[i] = (struct rect){b.x0 - (b.x0 > 0 ? bleed : EDGE_MM), b.y0 - (b.y0 > 0 ? bleed : EDGE_MM),
                                 b.x1 + (b.x1 < s->width_mm ? bleed : EDGE_MM),
                                 b.y1 + (b.y1 < s->height_mm ? bleed : EDGE_MM)};
        s->covered.rings[i] = polygon_of_rect(b, f->arena),
        s->printed.rings[i] = polygon_of_rect(print[i], f->arena);
        s->area_m2 += rect_area(b) / 1e6;
    }
    struct span_table up = table_of(f->arena, boxes, count, true),
                      along = table_of(f->arena, boxes, count, false);
    take_spans(s->up, s->up_count, &up), take_spans(s->along, s->along_count, &along);
    s->printed_up = table_of(f->arena, print, count, true),
    s->printed_along = table_of(f->arena, print, count, false);
}

static void assert_close(double is, double wanted, double tolerance)
{
    if (!(fabs(is - wanted) <= tolerance)) fail_msg("%.6f is not %.6f", is, wanted);
}

static void assert_shifted(struct rect is, struct rect plain, double dx, double dy)
{
    assert_close(is.x0, plain.x0 + dx, 1e-6), assert_close(is.x1, plain.x1 + dx, 1e-6);
    assert_close(is.y0, plain.y0 + dy, 1e-6), assert_close(is.y1, plain.y1 + dy, 1e-6);
}

/* What no seam meets does not know where it lies: the plan of a box is the plain one's, moved. */
static void same_plan_moved(const struct plan *one, const struct plan *other, double dx, double dy)
{
    const struct surface_plan *is = &one->surfaces[0], *plain = &other->surfaces[0];
    assert_int_equal(is->panel_count, plain->panel_count);
    assert_int_equal(is->seam_count, plain->seam_count);
    assert_int_equal(is->direction, plain->direction);
    for (size_t i = 0; i < is->panel_count; i++) {
        assert_shifted(is->panels[i].visible, plain->panels[i].visible, dx, dy);
        assert_shifted(is->panels[i].print, plain->panels[i].print, dx, dy);
        assert_close(is->panels[i].print_length_mm, plain->panels[i].print_length_mm, 1e-6);
        assert_int_equal(is->panels[i].install_sequence, plain->panels[i].install_sequence);
    }
    for (size_t i = 0; i < is->seam_count; i++) {
        double shift = is->seams[i].axis == AXIS_X ? dx : dy;
        assert_close(is->seams[i].at_mm, plain->seams[i].at_mm + shift, 1e-6);
        assert_int_equal(is->seams[i].cost, plain->seams[i].cost);
    }
    assert_int_equal(one->price, other->price);
    assert_int_equal(one->total_cost, other->total_cost);
}

static uint32_t seed;

static double whole_number(double from, double to)
{
    seed = seed * 1664525u + 1013904223u;
    return from + floor((to - from) * (double)(seed >> 8) / (double)(1u << 24));
}

/* Halves, bands and boxes at random: each edge that is not the surface's has a bleed of its own. */
static void boxes_plan_as_plain_surfaces(void **state)
{
    (void)state;
    for (int round = 0; round < 40; round++) {
        struct fixture f, g;
        seed = (uint32_t)(round + 1) * 2654435761u;
        double w = whole_number(3000, 9000), h = whole_number(1200, 2600), bleed = whole_number(1, 40);
        struct rect box = {round % 3 ? whole_number(100, 1000) : 0, round % 2 ? whole_number(10, 400) : 0,
                           round % 5 ? w - whole_number(100, 1000) : w,
                           round % 7 ? h - whole_number(10, 400) : h};
        enum panels_run run = round % 4 == 1 ? RUN_LYING : round % 4 == 2 ? RUN_AUTO : RUN_UPRIGHT;
        fixture_open(&f), fixture_open(&g);
        struct surface *s = fixture_surface(&f, "left", w, h, FRONT_LEFT, run);
        struct surface *plain =
            fixture_surface(&g, "left", rect_width(box), rect_height(box), FRONT_LEFT, run);
        f.specs[0].even = g.specs[0].even = round % 8 == 3;
        cover_boxes(&f, s, &box, 1, bleed);
        const double own[EDGE_COUNT] = {
            [EDGE_BOTTOM] = box.y0, [EDGE_LEFT] = box.x0, [EDGE_RIGHT] = w - box.x1, [EDGE_TOP] = h - box.y1};
        for (int i = 0; i < EDGE_COUNT; i++) plain->bleed_mm[i] = own[i] > 0 ? bleed : EDGE_MM;
        same_plan_moved(fixture_plan(&f), fixture_plan(&g), box.x0, box.y0);
        fixture_close(&f), fixture_close(&g);
    }
}

/* Two islands far apart: their panels lie on them, none between. */
static void islands_are_all_covered(void **state)
{
    (void)state;
    struct fixture f;
    fixture_open(&f);
    struct surface *s = fixture_surface(&f, "left", 9000, 2500, FRONT_LEFT, RUN_UPRIGHT);
    const struct rect boxes[] = {{500, 300, 1400, 1200}, {7000, 800, 8200, 2300}};
    cover_boxes(&f, s, boxes, 2, 5);
    const struct surface_plan *p = &fixture_plan(&f)->surfaces[0];
    assert_true(p->panel_count >= 2);
    double print = 0;
    for (size_t k = 0; k < 2; k++) {
        struct rect prints[16];
        size_t count = 0;
        for (size_t i = 0; i < p->panel_count; i++) prints[count++] = p->panels[i].print;
        assert_close(rects_area_in(prints, count, rect_grow(boxes[k], 5)), rect_area(rect_grow(boxes[k], 5)),
                     1);
    }
    for (size_t i = 0; i < p->panel_count; i++) {
        struct rect visible = p->panels[i].visible;
        assert_true(rect_overlaps(visible, boxes[0]) || rect_overlaps(visible, boxes[1]));
        print += p->panels[i].print_length_mm;
    }
    assert_true(print < 3 * 2500);
    fixture_close(&f);
}

/* Twelve of a piece take twelve times the film, ink and hours of one, and one setting up and threading. */
static void copies_count(void **state)
{
    (void)state;
    struct fixture f, g;
    const struct rect box = {1000, 300, 2000, 800};
    fixture_open(&f), fixture_open(&g);
    struct surface *one = fixture_surface(&f, "left", 6000, 2000, FRONT_LEFT, RUN_UPRIGHT);
    struct surface *many = fixture_surface(&g, "left", 6000, 2000, FRONT_LEFT, RUN_UPRIGHT);
    f.shop.threading_mm = g.shop.threading_mm = measure_written(0, "shop.yaml:1");
    cover_boxes(&f, one, &box, 1, 2), cover_boxes(&g, many, &box, 1, 2);
    one->contour_cut = many->contour_cut = true;
    one->cut = one->covered, many->cut = many->covered, many->copies = 12;
    const struct plan *a = fixture_plan(&f), *b = fixture_plan(&g);
    assert_close(b->rolls[0].used_mm, 12 * a->rolls[0].used_mm, 1e-6);
    assert_int_equal(b->rolls[0].placement_count, 12 * a->rolls[0].placement_count);
    assert_close((double)b->surfaces[0].work.trim_s, 12 * (double)a->surfaces[0].work.trim_s, 12);
    assert_close((double)b->surfaces[0].work.install_s, 12 * (double)a->surfaces[0].work.install_s, 12);
    for (size_t i = 0; i < a->task_count; i++)
        if (a->tasks[i].kind == TASK_WASH)
            assert_close(b->tasks[i].quantity, 12 * a->tasks[i].quantity, 1e-9);
    assert_close(a->surfaces[0].panels[0].area_m2, 1004.0 * 504 / 1e6, 1e-9);
    fixture_close(&f), fixture_close(&g);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(boxes_plan_as_plain_surfaces),
        cmocka_unit_test(islands_are_all_covered),
        cmocka_unit_test(copies_count),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
