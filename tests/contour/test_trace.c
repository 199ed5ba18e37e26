/* Silhouettes of pictures: against the shapes that they were drawn from, and against pixels counted by flooding. */
#include "../with_arena.h"
#include "contour/trace.h"
#include "outlines.h"
#include <string.h>

static struct contour_means means;

static int with_means(void **state)
{
    set_up(state);
    means = (struct contour_means){.arena = arena};
    return 0;
}

static struct contour_mask mask_new(size_t width, size_t height, double px_per_mm)
{
    return (struct contour_mask){arena_take(arena, width * height), width, height, width, px_per_mm, {0, 0}};
}

static uint8_t *pixel_of(const struct contour_mask *mask, size_t x, size_t y) /* y up */
{
    return (uint8_t *)mask->values + (mask->height - 1 - y) * mask->stride + x;
}

static struct region trace(const struct contour_mask *mask, double smooth_mm)
{
    struct region region;
    struct error error;
    const struct contour_trace how = {128, smooth_mm};
    if (!contour_trace(mask, &how, &means, &region, &error)) fail_msg("%s", error.text);
    assert_int_equal(region_crossings(&region, arena), 0);
    return region;
}

/* A ring of radii 20 and 8 mm about (25, 25): how far the place is inside, mm. */
static double ring_depth(struct point p)
{
    double away = hypot(p.x - 25, p.y - 25);
    return fmin(20 - away, away - 8);
}

/* The same as a slanted bar of 30 by 6 mm. */
static double bar_depth(struct point p)
{
    const double c = cos(0.4), s = sin(0.4), x = p.x - 25, y = p.y - 25;
    return fmin(15 - fabs(c * x + s * y), 3 - fabs(c * y - s * x));
}

/* A pixel's part inside, by 16 x 16 places in it; or all or nothing by its middle. */
static struct contour_mask drawn(double (*depth)(struct point), double px_per_mm, bool soft)
{
    enum { FINE = 16 };
    struct contour_mask mask = mask_new((size_t)(50 * px_per_mm), (size_t)(50 * px_per_mm), px_per_mm);
    const int fine = soft ? FINE : 1;
    for (size_t y = 0; y < mask.height; y++)
        for (size_t x = 0; x < mask.width; x++) {
            int inside = 0;
            for (int i = 0; i < fine * fine; i++)
                inside +=
                    depth((struct point){((double)x + (i % fine + 0.5) / fine) / px_per_mm,
                                         ((double)y + ((double)(i / fine) + 0.5) / fine) / px_per_mm}) > 0;
            *pixel_of(&mask, x, y) = (uint8_t)(255 * inside / (fine * fine));
        }
    return mask;
}

static double furthest_off(const struct region *region, double (*depth)(struct point))
{
    double furthest = 0;
    for (size_t r = 0; r < region->count; r++)
        for (size_t i = 0; i < region->rings[r].count; i++)
            furthest = fmax(furthest, fabs(depth(region->rings[r].points[i])));
    return furthest;
}

static void drawn_edges_are_found_within_a_part_of_a_pixel(void **state)
{
    (void)state;
    const struct contour_mask soft = drawn(ring_depth, 4, true);
    struct region region = trace(&soft, 0);
    assert_int_equal(region.count, 2);
    assert_true(polygon_area(&region.rings[1]) < 0);
    assert_true(furthest_off(&region, ring_depth) < 0.1 / 4); /* a tenth of a pixel: slanted edges */
    assert_true(fabs(region_area(&region) - M_PI * (400 - 64)) < 0.001 * M_PI * 336);
}

/* All or nothing at 6 pixels a mm (150 a inch): steps of 0.08 mm go. */
static void steps_of_pixels_are_smoothed(void **state)
{
    (void)state;
    double (*const shapes[])(struct point) = {ring_depth, bar_depth};
    const double areas[] = {M_PI * 336, 180};
    for (int i = 0; i < 2; i++) {
        const struct contour_mask hard = drawn(shapes[i], 6, false);
        struct region raw = trace(&hard, 0), smooth = trace(&hard, 0.2);
        assert_int_equal(smooth.count, raw.count);
        assert_true(region_points(&smooth) * 4 < region_points(&raw));
        assert_true(region_length(&smooth) < 0.97 * region_length(&raw));
        assert_true(furthest_off(&smooth, shapes[i]) < 0.1);
        assert_true(fabs(region_area(&smooth) - areas[i]) < 0.001 * areas[i]);
    }
}

/* Neither is further than 0.2 mm from the other, whatever the picture. */
static void smoothing_stays_within_its_distance(void **state)
{
    (void)state;
    uint64_t dice = 99;
    for (int round = 0; round < 6; round++) {
        struct contour_mask mask = mask_new(120, 90, 1 + 2 * round);
        for (size_t i = 0; i < 120 * 90; i++)
            ((uint8_t *)mask.values)[i] = (uint8_t)(roll(&dice, 0, 1) < 0.02 * round ? 255 : 0);
        for (size_t y = 20; y < 60; y++)
            for (size_t x = 20 + y / 3; x < 100; x++) *pixel_of(&mask, x, y) = (uint8_t)roll(&dice, 100, 255);
        struct region raw = trace(&mask, 0), smooth = trace(&mask, 0.2);
        for (size_t r = 0; r < smooth.count; r++)
            for (size_t i = 0; i < smooth.rings[r].count; i++)
                assert_true(region_distance(&raw, smooth.rings[r].points[i]) < 0.2 + 1e-3);
        for (size_t r = 0; r < raw.count; r++)
            for (size_t i = 0; i < raw.rings[r].count; i += 3)
                if (fabs(polygon_area(&raw.rings[r])) > 0.5) /* specks of less may go */
                    assert_true(region_distance(&smooth, raw.rings[r].points[i]) < 0.2 + 1e-3);
    }
}

/* ---- counted by flooding ---- */

static void flood(const struct contour_mask *mask, int *label, int x, int y, bool in)
{
    const int w = (int)mask->width + 2, h = (int)mask->height + 2;
    if (x < 0 || y < 0 || x >= w || y >= h || label[y * w + x]) return;
    bool inside =
        x > 0 && y > 0 && x < w - 1 && y < h - 1 && *pixel_of(mask, (size_t)x - 1, (size_t)y - 1) > 127;
    if (inside != in) return;
    label[y * w + x] = 1;
    for (int dy = -1; dy <= 1; dy++)
        for (int dx = -1; dx <= 1; dx++)
            if (in || !dx || !dy) flood(mask, label, x + dx, y + dy, in);
}

static int parts_of(const struct contour_mask *mask, bool in)
{
    const int w = (int)mask->width + 2, h = (int)mask->height + 2;
    int *label = arena_take_array(arena, (size_t)(w * h), sizeof *label), parts = 0;
    for (int i = 0; i < w * h; i++) {
        bool inside = i % w > 0 && i / w > 0 && i % w < w - 1 && i / w < h - 1 &&
                      *pixel_of(mask, (size_t)(i % w) - 1, (size_t)(i / w) - 1) > 127;
        if (inside != in || label[i]) continue;
        parts++;
        flood(mask, label, i % w, i / w, in);
    }
    return parts;
}

/* Black and white by chance, up to the border: islands join by corners too, what is around them by sides only. */
static void islands_and_holes_are_those_that_flooding_finds(void **state)
{
    (void)state;
    uint64_t dice = 4711;
    for (int round = 0; round < 30; round++) {
        struct contour_mask mask = mask_new(40, 30, 2);
        for (size_t i = 0; i < 40 * 30; i++)
            ((uint8_t *)mask.values)[i] = roll(&dice, 0, 30) < round ? 255 : 0;
        struct region region = trace(&mask, 0);
        int islands = 0, holes = 0;
        for (size_t r = 0; r < region.count; r++) ++*(polygon_area(&region.rings[r]) > 0 ? &islands : &holes);
        assert_int_equal(islands, parts_of(&mask, true));
        assert_int_equal(holes, parts_of(&mask, false) - 1);
    }
}

static void a_full_picture_ends_at_its_edge(void **state)
{
    (void)state;
    struct contour_mask mask = mask_new(30, 20, 2);
    memset((uint8_t *)mask.values, 255, 600);
    mask.corner = (struct point){100, 200};
    struct region region = trace(&mask, 0);
    struct rect box = region_bounds(&region);
    assert_true(fabs(box.x0 - 100) < 1e-9 && fabs(box.y0 - 200) < 1e-9);
    assert_true(fabs(box.x1 - 115) < 1e-9 && fabs(box.y1 - 210) < 1e-9);
    memset((uint8_t *)mask.values, 127, 600);
    assert_int_equal(trace(&mask, 0.2).count, 0);
}

static void refuse_mask(struct contour_mask mask, struct contour_trace how, const char *words)
{
    struct region region;
    struct error error;
    assert_false(contour_trace(&mask, &how, &means, &region, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, words));
}

static bool at_once(void *self)
{
    return self == NULL;
}

static void masks_that_cannot_be_traced_are_refused(void **state)
{
    (void)state;
    struct contour_mask mask = mask_new(900, 900, 4), bad = mask;
    for (size_t i = 0; i < 900 * 900; i++) ((uint8_t *)mask.values)[i] = i % 2 && i / 900 % 2 ? 255 : 0;
    refuse_mask(mask, (struct contour_trace){128, 0}, "more than 300000 points");
    bad.width = 0;
    refuse_mask(bad, (struct contour_trace){128, 0}, "1 to 30000 pixels");
    bad = mask, bad.stride = 899;
    refuse_mask(bad, (struct contour_trace){128, 0}, "pixels");
    bad = mask, bad.px_per_mm = NAN;
    refuse_mask(bad, (struct contour_trace){128, 0}, "per mm");
    refuse_mask(mask, (struct contour_trace){0, 0}, "level");
    refuse_mask(mask, (struct contour_trace){128, 0.21}, "0 to 0.2 mm");
    means.enough = at_once;
    refuse_mask(mask, (struct contour_trace){128, 0.1}, "takes too long");
    means.enough = NULL;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(drawn_edges_are_found_within_a_part_of_a_pixel),
        cmocka_unit_test(steps_of_pixels_are_smoothed),
        cmocka_unit_test(smoothing_stays_within_its_distance),
        cmocka_unit_test(islands_and_holes_are_those_that_flooding_finds),
        cmocka_unit_test(a_full_picture_ends_at_its_edge),
        cmocka_unit_test(masks_that_cannot_be_traced_are_refused),
    };
    return cmocka_run_group_tests(tests, with_means, tear_down);
}
