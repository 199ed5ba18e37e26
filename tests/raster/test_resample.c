/* Resampling against the definition, written once more and slowly in double precision: one sum over all
 * source pixels for every destination pixel (Lanczos with three lobes; widened when reducing). */
#include "collect.h"
#include "../with_arena.h"
#include "raster/resample.h"
#include <math.h>

static uint8_t *noise(size_t bytes)
{
    uint8_t *pixels = arena_take(arena, bytes);
    uint32_t random = 7;
    for (size_t i = 0; i < bytes; i++) pixels[i] = (uint8_t)((random = random * 1664525 + 1013904223) >> 24);
    return pixels;
}

/* The picture through the filter, in strips of `rows`. */
static struct collected run(const struct resample_order *order, const uint8_t *pixels,
                            struct strip_shape shape, int rows)
{
    struct collected all = {.arena = arena};
    struct resample *resample = resample_new(arena, order, collect_sink(&all));
    struct strip_sink sink = resample_sink(resample);
    struct error error = {0};
    size_t stride = (size_t)shape.width * pixel_bytes(shape.format);
    assert_true(sink.begin(sink.self, &shape, &error));
    for (int y = 0; y < shape.height; y += rows) {
        int count = shape.height - y < rows ? shape.height - y : rows;
        struct strip strip = {y, count, shape.width, shape.format, stride, pixels + (size_t)y * stride};
        assert_true(sink.strip(sink.self, &strip, &error));
    }
    assert_true(sink.end(sink.self, &error));
    assert_true(all.ended);
    return all;
}

static double kernel(double x)
{
    if (x == 0) return 1;
    if (fabs(x) >= 3) return 0;
    return 3 * sin(M_PI * x) * sin(M_PI * x / 3) / (M_PI * M_PI * x * x);
}

static double weight(int k, int i, double scale, double offset, int count)
{
    double centre = fmin(fmax(scale * (i + 0.5) + offset, 0), count);
    return kernel((k + 0.5 - centre) / fmax(scale, 1));
}

static double cover(int i, double scale, double offset, int count)
{
    return fmax(0, fmin(scale * (i + 1) + offset, count) - fmax(scale * i + offset, 0)) / scale;
}

static double reference(const struct resample_order *o, const uint8_t *in, struct strip_shape shape, int x,
                        int y, int s)
{
    double sum = 0, whole = 0,
           covered = cover(x, o->x_scale, o->x_offset, shape.width) *
                     cover(y, o->y_scale, o->y_offset, shape.height);
    double paper = o->paper[s] / 257.0;
    if (covered <= 0) return paper;
    for (int v = 0; v < shape.height; v++)
        for (int u = 0; u < shape.width; u++) {
            double w = weight(u, x, o->x_scale, o->x_offset, shape.width) *
                       weight(v, y, o->y_scale, o->y_offset, shape.height);
            sum += w * in[(v * shape.width + u) * (int)pixel_samples(shape.format) + s];
            whole += w;
        }
    return fmin(fmax(sum / whole * covered + paper * (1 - covered), 0), 255);
}

static void equals_the_definition(void **state)
{
    (void)state;
    static const struct resample_order orders[] = {
        {.width = 20, .height = 17, .x_scale = 2.37, .x_offset = 0.4, .y_scale = 1.9, .y_offset = -0.25},
        {.width = 60, .height = 40, .x_scale = 0.4, .x_offset = -2.3, .y_scale = 0.61, .y_offset = 1.7},
        {.width = 9, .height = 30, .x_scale = 7.5, .x_offset = -11, .y_scale = 1, .y_offset = 0.5},
        {.width = 41,
         .height = 33,
         .x_scale = 1,
         .x_offset = 0.31,
         .y_scale = 1,
         .y_offset = -0.77,
         .paper = {65535, 0, 30000, 65535}},
    };
    struct strip_shape shape = {41, 33, PIXELS_CMYK8, 0};
    const uint8_t *in = noise(41 * 33 * 4);
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        struct collected all = run(&orders[i], in, shape, 5);
        for (int y = 0; y < orders[i].height; y++)
            for (int x = 0; x < orders[i].width; x++)
                for (int s = 0; s < 4; s++) {
                    double expected = reference(&orders[i], in, shape, x, y, s);
                    double got = all.pixels[(y * orders[i].width + x) * 4 + s];
                    assert_true(fabs(got - expected) <=
                                0.501); /* half a level of rounding, and single precision */
                }
    }
}

static void strips_and_threads_make_no_difference(void **state)
{
    (void)state;
    struct resample_order order = {
        .width = 50, .height = 70, .x_scale = 1.3, .x_offset = -3.1, .y_scale = 0.8, .y_offset = 2.2};
    struct strip_shape shape = {64, 61, PIXELS_RGB8, 0};
    const uint8_t *in = noise(64 * 61 * 3);
    struct collected one = run(&order, in, shape, 1), all = run(&order, in, shape, 61);
    assert_memory_equal(one.pixels, all.pixels, all.bytes);
    order.pool = pool_new(arena_machine(arena), 3);
    struct collected shared = run(&order, in, shape, 24);
    assert_memory_equal(shared.pixels, all.pixels, all.bytes);
    pool_free(order.pool);
}

/* The same grid where the source covers all of the destination: rows are passed on where they lie. */
static void parts_of_the_same_grid_pass(void **state)
{
    (void)state;
    struct strip_shape shape = {30, 20, PIXELS_CMYK8, 0};
    const uint8_t *in = noise(30 * 20 * 4);
    struct resample_order order = {
        .width = 17, .height = 31, .x_scale = 1, .x_offset = 5, .y_scale = 1, .y_offset = -4};
    static const uint8_t none[4];
    for (int rows = 1; rows <= 20; rows += 6) {
        struct collected all = run(&order, in, shape, rows);
        for (int y = 0; y < 31; y++)
            for (int x = 0; x < 17; x++) {
                const uint8_t *expected = y >= 4 && y < 24 ? in + ((y - 4) * 30 + x + 5) * 4 : none;
                assert_memory_equal(all.pixels + (y * 17 + x) * 4, expected, 4);
            }
    }
}

/* Where the grids agree bytes pass; beyond the source there is paper. */
static void same_grid_passes_bytes(void **state)
{
    (void)state;
    struct strip_shape shape = {30, 20, PIXELS_CMYK8, 0};
    const uint8_t *in = noise(30 * 20 * 4);
    struct resample_order order = {
        .width = 40, .height = 31, .x_scale = 1, .x_offset = -6, .y_scale = 1, .y_offset = -4};
    struct collected all = run(&order, in, shape, 3);
    static const uint8_t none[4];
    for (int y = 0; y < 31; y++)
        for (int x = 0; x < 40; x++) {
            bool inside = x >= 6 && x < 36 && y >= 4 && y < 24;
            const uint8_t *expected = inside ? in + ((y - 4) * 30 + x - 6) * 4 : none;
            assert_memory_equal(all.pixels + (y * 40 + x) * 4, expected, 4);
        }
}

static void wide_samples(void **state)
{
    (void)state;
    struct strip_shape shape = {33, 27, PIXELS_RGB8, 0}, wide_shape = {33, 27, PIXELS_RGB16, 0};
    uint8_t *in = noise(33 * 27 * 3);
    uint16_t *wide = arena_take_array(arena, 33 * 27 * 3, sizeof *wide);
    for (size_t i = 0; i < 33 * 27 * 3; i++) wide[i] = (uint16_t)(in[i] * 257);
    struct resample_order order = {
        .width = 21, .height = 19, .x_scale = 1.4, .y_scale = 1.3, .to_8bit = true};
    raster_paper(PIXELS_RGB8, order.paper);
    struct collected narrow = run(&order, in, shape, 4);
    struct collected from_wide = run(&order, (const uint8_t *)wide, wide_shape, 4);
    assert_int_equal(from_wide.shape.format, PIXELS_RGB8);
    for (size_t i = 0; i < narrow.bytes; i++) assert_true(abs(narrow.pixels[i] - from_wide.pixels[i]) <= 1);
    order.to_8bit = false;
    from_wide = run(&order, (const uint8_t *)wide, wide_shape, 4);
    const uint16_t *out = (const uint16_t *)(const void *)from_wide.pixels;
    for (size_t i = 0; i < narrow.bytes; i++) assert_true(fabs(out[i] / 257.0 - narrow.pixels[i]) <= 0.51);
}

static void bad_orders_are_refused(void **state)
{
    (void)state;
    static const struct resample_order bad[] = {
        {.width = 0, .height = 5, .x_scale = 1, .y_scale = 1},
        {.width = 5, .height = 5, .x_scale = -1, .y_scale = 1},
        {.width = 5, .height = 400000, .x_scale = 1, .y_scale = 1},
        {.width = 5, .height = 5, .x_scale = 1, .y_scale = 9999},
        {.width = 5, .height = 5, .x_scale = 1, .y_scale = 1, .y_offset = NAN},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct collected all = {.arena = arena};
        struct strip_sink sink = resample_sink(resample_new(arena, &bad[i], collect_sink(&all)));
        struct strip_shape shape = {10, 10, PIXELS_RGB8, 0};
        struct error error = {0};
        assert_false(sink.begin(sink.self, &shape, &error));
        assert_int_equal(error.kind, FAILURE_INPUT);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(equals_the_definition),  cmocka_unit_test(strips_and_threads_make_no_difference),
        cmocka_unit_test(same_grid_passes_bytes), cmocka_unit_test(parts_of_the_same_grid_pass),
        cmocka_unit_test(wide_samples),           cmocka_unit_test(bad_orders_are_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
