/* Pixels outside of what is printed carry no ink: each middle held against the region by itself. */
#include "../test.h"
#include "base/machine.h"
#include "base/units.h"
#include "mask.h"
#include <math.h>
#include <stdlib.h>

enum { WIDE = 131, HIGH = 97 };

struct taken {
    uint8_t pixels[HIGH][WIDE][4];
    int rows, ended;
};

static bool take_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)self, (void)error;
    assert_int_equal(shape->width, WIDE);
    return true;
}

static bool take_strip(void *self, const struct strip *strip, struct error *error)
{
    struct taken *taken = self;
    (void)error;
    assert_int_equal(strip->y, taken->rows);
    for (int i = 0; i < strip->rows; i++)
        memcpy(taken->pixels[taken->rows++], strip->pixels + (size_t)i * strip->stride, WIDE * 4);
    return true;
}

static bool take_end(void *self, struct error *error)
{
    (void)error;
    ((struct taken *)self)->ended++;
    return true;
}

static uint32_t seed;

static double mask_number(double from, double to)
{
    seed = seed * 1664525u + 1013904223u;
    return from + (to - from) * (double)(seed >> 8) / (double)(1u << 24);
}

/* A star with a hole, reaching out of the grid at times. */
static struct region star(struct polygon rings[2], struct point points[2][17])
{
    double x = mask_number(0, 300), y = mask_number(0, 200), size = mask_number(40, 200);
    for (size_t i = 0; i < 17; i++) {
        double turn = 2 * M_PI * (double)i / 17, r = size * mask_number(0.5, 1);
        points[0][i] = (struct point){x + r * cos(turn), y + r * sin(turn)};
        points[1][i] = (struct point){x + 0.3 * size * cos(-turn), y + 0.3 * size * sin(-turn)};
    }
    rings[0] = (struct polygon){points[0], 17}, rings[1] = (struct polygon){points[1], 17};
    return (struct region){rings, 2};
}

static void pixels_by_their_middles(void **state)
{
    (void)state;
    static uint8_t ink[HIGH][WIDE][4];
    struct machine machine = machine_real("");
    memset(ink, 77, sizeof ink);
    for (int round = 0; round < 30; round++) {
        struct arena *arena = arena_new(&machine);
        struct polygon rings[2];
        struct point points[2][17];
        struct taken *taken = arena_take(arena, sizeof *taken);
        seed = (uint32_t)(round + 1) * 2654435761u;
        struct region region = star(rings, points);
        const double pixel = 2.3;
        struct pixel_grid grid = {
            {-5, 3, -5 + WIDE * pixel, 3 + HIGH * pixel}, MM_PER_INCH / pixel, WIDE, HIGH};
        struct strip_sink sink =
            mask_sink(&region, &grid, arena, (struct strip_sink){taken, take_begin, take_strip, take_end});
        assert_true(sink.begin(sink.self, &(struct strip_shape){WIDE, HIGH, PIXELS_CMYK8, 0}, NULL));
        for (int y = 0, rows; y < HIGH; y += rows) {
            rows = (int)mask_number(1, 90);
            rows = rows < HIGH - y ? rows : HIGH - y;
            struct strip strip = {y, rows, WIDE, PIXELS_CMYK8, WIDE * 4, ink[y][0]};
            assert_true(sink.strip(sink.self, &strip, NULL));
        }
        assert_true(sink.end(sink.self, NULL));
        assert_int_equal(taken->rows, HIGH), assert_int_equal(taken->ended, 1);
        for (int y = 0; y < HIGH; y++)
            for (int x = 0; x < WIDE; x++) {
                struct point middle = {grid.box.x0 + (x + 0.5) * pixel, grid.box.y1 - (y + 0.5) * pixel};
                if (region_distance(&region, middle) < 1e-6) continue;
                for (int c = 0; c < 4; c++)
                    assert_int_equal(taken->pixels[y][x][c], region_contains(&region, middle) ? 77 : 0);
            }
        arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pixels_by_their_middles)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
