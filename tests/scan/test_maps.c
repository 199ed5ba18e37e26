/* The maps against slow sums over the pixels written out here in double precision. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "scan/scan.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Colours of a make-believe condition: L is 255 - K, a and b follow C and M. */
static void to_lab(void *self, const uint8_t *cmyk, uint8_t *lab, size_t count)
{
    (void)self;
    for (size_t i = 0; i < count; i++)
        lab[i * 3] = (uint8_t)(255 - cmyk[i * 4 + 3]), lab[i * 3 + 1] = cmyk[i * 4],
                lab[i * 3 + 2] = cmyk[i * 4 + 1];
}

static void to_rgb(void *self, const uint8_t *cmyk, uint8_t *rgb, size_t count)
{
    (void)self;
    for (size_t i = 0; i < count; i++)
        for (int k = 0; k < 3; k++) rgb[i * 3 + (size_t)k] = (uint8_t)(255 - cmyk[i * 4 + (size_t)k]);
}

static const struct scan_colours colours = {NULL, to_lab, to_rgb};

struct rendering {
    int width, height;
    double pixel_mm;
    uint8_t *cmyk;
};

static struct surface_scan *scan_of(struct arena *arena, const struct rendering *r, struct rect box,
                                    int strip_rows)
{
    struct scan *scan = scan_new(arena, box, 25.4 / r->pixel_mm, &colours, 50);
    struct strip_sink sink = scan_sink(scan);
    struct strip_shape shape = {r->width, r->height, PIXELS_CMYK8, 25.4 / r->pixel_mm};
    assert_true(sink.begin(sink.self, &shape, NULL));
    for (int y = 0; y < r->height; y += strip_rows) {
        int rows = r->height - y < strip_rows ? r->height - y : strip_rows;
        struct strip strip = {y,
                              rows,
                              r->width,
                              PIXELS_CMYK8,
                              (size_t)r->width * 4,
                              r->cmyk + (size_t)y * (size_t)r->width * 4};
        assert_true(sink.strip(sink.self, &strip, NULL));
    }
    assert_true(sink.end(sink.self, NULL));
    return scan_result(scan);
}

static struct rendering random_rendering(struct arena *arena, struct rect box, double ppi, unsigned seed)
{
    double pixel = 25.4 / ppi;
    struct rendering r = {(int)ceil(rect_width(box) / pixel), (int)ceil(rect_height(box) / pixel), pixel,
                          NULL};
    size_t bytes = (size_t)r.width * (size_t)r.height * 4;
    r.cmyk = arena_take(arena, bytes);
    srand(seed);
    for (size_t i = 0; i < bytes; i++) r.cmyk[i] = (uint8_t)(rand() >> 8);
    return r;
}

/* Mean of one channel over a rectangle, percent, by the part of each pixel inside it. */
static double slow_mean(const struct rendering *r, struct rect box, struct rect area, int channel)
{
    double sum = 0, whole = 0;
    for (int j = 0; j < r->height; j++)
        for (int i = 0; i < r->width; i++) {
            struct rect pixel = {box.x0 + i * r->pixel_mm, box.y1 - (j + 1) * r->pixel_mm,
                                 box.x0 + (i + 1) * r->pixel_mm, box.y1 - j * r->pixel_mm};
            double part = rect_area(rect_intersect(pixel, area));
            sum += part * r->cmyk[((size_t)j * (size_t)r->width + (size_t)i) * 4 + (size_t)channel];
            whole += part;
        }
    return sum / whole / 255 * 100;
}

static void ink_is_the_mean_of_the_pixels(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    const double ppis[] = {36, 25.4, 18, 72};
    for (unsigned n = 0; n < 4; n++) {
        struct arena *arena = arena_new(&machine);
        struct rect box = {-50, -30, 130, 95},
                    area = {-50, -30, 100, 90}; /* on cell borders: no cell is shared */
        struct rendering r = random_rendering(arena, box, ppis[n], n);
        struct surface_scan *scan = scan_of(arena, &r, box, 7);
        struct coverage coverage = ink_map_coverage(&scan->ink, area);
        for (int c = 0; c < INK_CHANNELS; c++)
            assert_true(fabs(coverage.channel_percent[c] - slow_mean(&r, box, area, c)) < 0.02);
        arena_free(arena);
    }
}

static void strips_do_not_matter(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct rect box = {0, 0, 203.3, 77.7};
    struct rendering r = random_rendering(arena, box, 36, 5);
    struct surface_scan *one = scan_of(arena, &r, box, r.height), *many = scan_of(arena, &r, box, 1);
    for (int c = 0; c < INK_CHANNELS; c++)
        assert_memory_equal(one->ink.channel[c], many->ink.channel[c], one->ink.columns * one->ink.rows * 2);
    const struct detail_map *a = &one->detail.upright, *b = &many->detail.upright;
    assert_memory_equal(a->across, b->across, a->columns * a->rows * 2);
    assert_memory_equal(one->preview.rgb, many->preview.rgb,
                        (size_t)one->preview.width * (size_t)one->preview.height * 3);
    arena_free(arena);
}

/* One upright edge between two flat colours at x = 60 mm: CIE76 of L 100 against L 60 is 40 by definition,
 * seen across between two columns only, and nowhere along. */
static void an_edge_shows_where_it_is(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct rect box = {0, 0, 120, 50};
    struct rendering r = {120, 50, 1, arena_take(arena, 120 * 50 * 4)};
    for (size_t j = 0; j < 50; j++)
        for (size_t i = 60; i < 120; i++) r.cmyk[(j * 120 + i) * 4 + 3] = 102; /* 40 % of 255 */
    struct surface_scan *scan = scan_of(arena, &r, box, 16);
    double at_edge = detail_map_mean(&scan->detail.upright, (struct rect){59, 0, 60, 50});
    double beside = detail_map_mean(&scan->detail.upright, (struct rect){61, 0, 90, 50});
    assert_true(fabs(at_edge - 40 * 2.0 / 3) < 0.05);
    assert_true(beside == 0);
    double lying = detail_map_mean(&scan->detail.lying, (struct rect){50, 0, 60, 50});
    assert_true(fabs(lying - 40.0 / 10 / 3) < 0.05); /* along, one of ten columns, weight one in three */
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ink_is_the_mean_of_the_pixels),
        cmocka_unit_test(strips_do_not_matter),
        cmocka_unit_test(an_edge_shows_where_it_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
