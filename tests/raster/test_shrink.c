/* Means of n x n pixels against the definition, sample by sample: every factor's way, edges that are not
 * whole, 8 and 16 bits, one, three and four samples. */
#include "collect.h"
#include "../with_arena.h"
#include "shrink.h"

enum { WIDTH = 53, HEIGHT = 29 };

/* A decoder whose rows lie in memory. */
struct rows {
    const uint8_t *next;
    size_t stride;
};

static bool give_row(void *self, uint8_t *pixels, struct error *error)
{
    (void)error;
    struct rows *rows = self;
    memcpy(pixels, rows->next, rows->stride);
    rows->next += rows->stride;
    return true;
}

static unsigned sample_at(const uint8_t *bytes, size_t at, bool wide)
{
    return wide ? ((const uint16_t *)(const void *)bytes)[at] : bytes[at];
}

/* Noise, with stretches of the least and the most, where sums are largest. */
static uint8_t *picture(size_t bytes)
{
    uint8_t *pixels = arena_take(arena, bytes);
    uint32_t random = 3;
    for (size_t i = 0; i < bytes; i++) {
        random = random * 1664525 + 1013904223;
        pixels[i] = i / 97 % 3 == 0 ? 255 : i / 97 % 3 == 1 ? (uint8_t)(random >> 24) : 0;
    }
    return pixels;
}

static unsigned mean(const uint8_t *pixels, int x, int y, int s, int factor, int samples, bool wide)
{
    uint64_t sum = 0, count = 0;
    for (int v = y * factor; v < (y + 1) * factor && v < HEIGHT; v++)
        for (int u = x * factor; u < (x + 1) * factor && u < WIDTH; u++, count++)
            sum += sample_at(pixels, ((size_t)v * WIDTH + (size_t)u) * (size_t)samples + (size_t)s, wide);
    return (unsigned)((sum + count / 2) / count);
}

static void assert_means(enum pixel_format format, int factor)
{
    int samples = (int)pixel_samples(format);
    bool wide = pixel_bytes(format) != (size_t)samples;
    size_t stride = WIDTH * pixel_bytes(format);
    const uint8_t *pixels = picture(stride * HEIGHT);
    struct rows rows = {pixels, stride};
    struct decoder decoder = {
        .header = {.width = WIDTH, .height = HEIGHT, .orientation = 1, .format = format},
        .scale = 1,
        .self = &rows,
        .row = give_row};
    struct upright upright = upright_new(&decoder, arena);
    struct shrink shrink = shrink_new(&upright, factor, arena);
    assert_int_equal(shrink.width, (WIDTH + factor - 1) / factor);
    assert_int_equal(shrink.height, (HEIGHT + factor - 1) / factor);
    uint8_t *row = arena_take(arena, (size_t)shrink.width * pixel_bytes(format));
    for (int y = 0; y < shrink.height; y++) {
        assert_true(shrink_row(&shrink, row, NULL));
        for (int x = 0; x < shrink.width; x++)
            for (int s = 0; s < samples; s++)
                assert_int_equal(sample_at(row, (size_t)(x * samples + s), wide),
                                 mean(pixels, x, y, s, factor, samples, wide));
    }
}

static void means_of_every_format(void **state)
{
    (void)state;
    static const enum pixel_format formats[] = {PIXELS_GREY8,  PIXELS_RGB8,  PIXELS_CMYK8,
                                                PIXELS_GREY16, PIXELS_RGB16, PIXELS_CMYK16};
    for (size_t f = 0; f < sizeof formats / sizeof *formats; f++)
        for (int factor = 1; factor <= 7; factor++) assert_means(formats[f], factor);
    assert_means(PIXELS_RGB8, 60); /* one pixel for the whole */
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(means_of_every_format)};
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
