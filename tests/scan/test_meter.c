/* Ink counted at full size, against sums written out here pixel by pixel. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "scan/meter.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct print {
    int width, height;
    double ppi;
    uint8_t *cmyk;
};

static int total_of(const struct print *p, int x, int y)
{
    const uint8_t *pixel = p->cmyk + ((size_t)y * (size_t)p->width + (size_t)x) * 4;
    return pixel[0] + pixel[1] + pixel[2] + pixel[3];
}

static struct ink_reading *reading_of(struct arena *arena, const struct print *p, double limit)
{
    struct ink_meter *meter = ink_meter_new(arena, p->width, p->height, p->ppi, limit);
    for (int y = 0; y < p->height; y++) ink_meter_row(meter, p->cmyk + (size_t)y * (size_t)p->width * 4);
    return ink_meter_result(meter);
}

static double slow_window(const struct print *p, int x0, int y0, int w, int h)
{
    double sum = 0;
    for (int y = y0; y < y0 + h; y++)
        for (int x = x0; x < x0 + w; x++) sum += total_of(p, x, y);
    return sum / w / h / 2.55;
}

static double slow_mean(const struct print *p, int channel)
{
    double sum = 0;
    size_t pixels = (size_t)p->width * (size_t)p->height;
    for (size_t i = 0; i < pixels; i++) sum += p->cmyk[i * 4 + (size_t)channel];
    return sum / (double)pixels / 2.55;
}

/* Every window at every pixel, and every pixel's total. */
static void compare(struct arena *arena, const struct print *p)
{
    struct ink_reading *r = reading_of(arena, p, 0);
    int side = (int)round(5 * p->ppi / 25.4); /* 5 mm, as asked for */
    int w = side < p->width ? side : p->width, h = side < p->height ? side : p->height;
    double peak = 0;
    for (int y = 0; y + h <= p->height; y++)
        for (int x = 0; x + w <= p->width; x++) peak = fmax(peak, slow_window(p, x, y, w, h));
    assert_true(fabs(r->peak_percent - peak) < 1e-9);
    assert_true(fabs(slow_window(p, r->peak_x, r->peak_y, w, h) - peak) < 1e-9);
    for (int c = 0; c < 4; c++) assert_true(fabs(r->channel_percent[c] - slow_mean(p, c)) < 1e-9);
    uint64_t counts[INK_TOTALS] = {0};
    for (int y = 0; y < p->height; y++)
        for (int x = 0; x < p->width; x++) counts[total_of(p, x, y)]++;
    assert_memory_equal(counts, r->histogram, sizeof counts);
}

static struct print random_print(struct arena *arena, int width, int height, double ppi, unsigned seed)
{
    struct print p = {width, height, ppi, NULL};
    size_t bytes = (size_t)width * (size_t)height * 4;
    p.cmyk = arena_take(arena, bytes);
    srand(seed);
    /* Rough blots, so that windows differ more than noise does. */
    for (size_t i = 0; i < bytes; i++) {
        size_t x = i / 4 % (size_t)width, y = i / 4 / (size_t)width;
        p.cmyk[i] = (uint8_t)((rand() >> 8) % (1 + (int)((x / 17 * 31 + y / 13 * 57 + seed) % 255)));
    }
    return p;
}

static void against_slow_sums(void **state)
{
    struct arena *arena = *state;
    static const struct {
        int width, height;
        double ppi;
    } cases[] = {{300, 70, 25.4}, {700, 40, 72}, {257, 33, 100}, {520, 9, 25.4}, {3, 50, 100}, {30, 3, 100}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        for (unsigned seed = 1; seed <= 3; seed++) {
            struct print p = random_print(arena, cases[i].width, cases[i].height, cases[i].ppi, seed);
            compare(arena, &p);
        }
}

/* Percent, rounded to hundredths, as cells have it. */
static void assert_level(const struct ink_reading *r, int column, int row, double percent)
{
    assert_true(fabs(r->cell_levels[row * r->cell_columns + column] / 100.0 - percent) <= 0.005 + 1e-9);
}

/* Every cell has the mean of its pixels, the smaller ones at the right and lower edge too. */
static void cells_against_slow_sums(void **state)
{
    struct arena *arena = *state;
    static const struct {
        int width, height;
        double ppi;
    } cases[] = {{300, 70, 25.4}, {303, 73, 72}, {257, 33, 100}, {40, 40, 100}, {3, 50, 100}, {30, 3, 100}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct print p = random_print(arena, cases[i].width, cases[i].height, cases[i].ppi, 7);
        struct ink_reading *r = reading_of(arena, &p, 0);
        int w = r->window_x, h = r->window_y;
        for (int y = 0; y < p.height; y += h)
            for (int x = 0; x < p.width; x += w)
                assert_level(r, x / w, y / h,
                             slow_window(&p, x, y, x + w < p.width ? w : p.width - x,
                                         y + h < p.height ? h : p.height - y));
    }
}

/* Of all windows with their middle in the cell. */
static double slow_cell_peak(const struct print *p, int column, int row, int w, int h)
{
    double peak = 0;
    for (int y = row * h - h / 2; y < (row + 1) * h - h / 2; y++)
        for (int x = column * w - w / 2; x < (column + 1) * w - w / 2; x++)
            if (x >= 0 && y >= 0 && x + w <= p->width && y + h <= p->height)
                peak = fmax(peak, slow_window(p, x, y, w, h));
    return peak;
}

/* Cells over the limit are those of windows over it, with their largest. */
static void cells_over_the_limit(void **state)
{
    struct arena *arena = *state;
    double limit = 110;
    struct print p = random_print(arena, 203, 71, 25.4, 5);
    struct ink_reading *r = reading_of(arena, &p, limit);
    int over = 0;
    for (int row = 0; row * 5 < p.height; row++)
        for (int column = 0; column * 5 < p.width; column++) {
            double peak = slow_cell_peak(&p, column, row, 5, 5);
            if (peak > limit)
                assert_level(r, column, row, peak), over++;
            else
                assert_true(r->cell_levels[row * r->cell_columns + column] <= limit * 100);
        }
    assert_true(over > 20 && over < 400 && r->place_total > 1);
}

/* A heavy square of 10 x 10 mm on a light ground: the one place over the limit, wherever it lies. */
static void places_over_the_limit(void **state)
{
    struct arena *arena = *state;
    for (int at = 0; at <= 90; at += 15) {
        struct print p = {100, 100, 25.4, arena_take(arena, 100 * 100 * 4)};
        for (int y = at; y < at + 10; y++)
            for (int x = 90 - at; x < 100 - at; x++) memset(p.cmyk + (y * 100 + x) * 4, 255, 3);
        struct ink_reading *r = reading_of(arena, &p, 280);
        assert_int_equal(r->place_total, 1);
        struct ink_place place = r->places[0];
        assert_true(fabs(place.peak_percent - 300) < 1e-9); /* three inks in full */
        assert_true(place.x0 <= 95 - at && place.x1 > 95 - at && place.y0 <= at + 5 && place.y1 > at + 5);
        assert_true(place.x1 - place.x0 <= 20 && place.y1 - place.y0 <= 20);
        assert_int_equal(reading_of(arena, &p, 300)->place_total, 0);
    }
}

/* Many places: the heaviest are kept, in falling order. */
static void heaviest_places_are_kept(void **state)
{
    struct arena *arena = *state;
    struct print p = {400, 20, 25.4, arena_take(arena, 400 * 20 * 4)};
    for (int i = 0; i < 12; i++)
        for (int y = 5; y < 15; y++) memset(p.cmyk + (y * 400 + i * 30 + 5) * 4, 120 + i * 10, 10 * 4);
    struct ink_reading *r = reading_of(arena, &p, 100);
    assert_int_equal(r->place_total, 12);
    assert_int_equal(r->place_count, INK_PLACES_MOST);
    for (size_t i = 0; i < r->place_count; i++)
        assert_true(fabs(r->places[i].peak_percent - 4 * (230 - 10 * (double)i) / 2.55) < 1e-6);
}

static int set_up(void **state)
{
    static struct machine machine;
    machine = machine_real("/proc/self/exe");
    *state = arena_new(&machine);
    return 0;
}

static int tear_down(void **state)
{
    arena_free(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(against_slow_sums),        cmocka_unit_test(cells_against_slow_sums),
        cmocka_unit_test(cells_over_the_limit),     cmocka_unit_test(places_over_the_limit),
        cmocka_unit_test(heaviest_places_are_kept),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
