/* A surface's ink from its prints, against means and windows written out here pixel by pixel. */
#include "../with_arena.h"
#include "scan/heat.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A surface whose estimate is the same everywhere. */
static struct ink_map map_of(double width, double height, uint16_t each_channel)
{
    struct ink_map map = {
        .box = {0, 0, width, height}, .columns = (size_t)ceil(width / 5), .rows = (size_t)ceil(height / 5)};
    for (int i = 0; i < INK_CHANNELS; i++) {
        map.channel[i] = arena_take_array(arena, map.columns * map.rows, sizeof(uint16_t));
        for (size_t k = 0; k < map.columns * map.rows; k++) map.channel[i][k] = each_channel;
    }
    return map;
}

struct print {
    int width, height;
    double ppi;
    uint8_t *cmyk;
};

static struct print print_of(int width, int height, double ppi)
{
    return (struct print){width, height, ppi, arena_take_array(arena, (size_t)width * (size_t)height, 4)};
}

static void fill(struct print *p, int x0, int y0, int x1, int y1, uint8_t value)
{
    for (int y = y0; y < y1; y++) memset(p->cmyk + (y * p->width + x0) * 4, value, (size_t)(x1 - x0) * 4);
}

static struct ink_reading *reading_of(const struct print *p, double limit)
{
    struct ink_meter *meter = ink_meter_new(arena, p->width, p->height, p->ppi, limit);
    for (int y = 0; y < p->height; y++) ink_meter_row(meter, p->cmyk + (size_t)y * (size_t)p->width * 4);
    return ink_meter_result(meter);
}

/* Its lower left corner at x, y on the surface. */
static struct heat_print lay(const struct print *p, double x, double y, double limit)
{
    double pixel = 25.4 / p->ppi;
    struct rect box = {x, y, x + p->width * pixel, y + p->height * pixel};
    return (struct heat_print){.area = box, .box = box, .reading = reading_of(p, limit), .pixel_mm = pixel};
}

static double slow_mean(const struct print *p, int x0, int y0, int w, int h)
{
    double sum = 0;
    for (int y = y0; y < y0 + h; y++)
        for (int x = x0; x < x0 + w; x++)
            for (int i = 0; i < 4; i++) sum += p->cmyk[(y * p->width + x) * 4 + i];
    return sum / w / h / 2.55;
}

/* A pixel a millimetre, so that the print's cells are the surface's: 23 and 13 of them, from the other end.
 */
static void cells_are_the_means(void **state)
{
    (void)state;
    struct print p = print_of(115, 65, 25.4);
    for (int i = 0; i < 115 * 65 * 4; i++) p.cmyk[i] = (uint8_t)((i * 31 + i / 400 * 57) % 200);
    struct ink_map map = map_of(115, 65, 1000);
    struct heat_maker *maker = heat_maker_new(arena, &map, 390);
    struct heat_print print = lay(&p, 0, 0, 390);
    heat_maker_count(maker, &print);
    struct ink_heat *heat = heat_maker_result(maker);
    assert_int_equal(heat->counted, 23 * 13);
    assert_int_equal(heat->estimated, 0);
    for (int row = 0; row < 13; row++)
        for (int column = 0; column < 23; column++)
            assert_true(fabs(heat->level[row * 23 + column] / 100.0 -
                             slow_mean(&p, column * 5, 60 - row * 5, 5, 5)) < 0.006);
}

/* Not printed: nothing. Printed and not counted: the estimate. Counted twice: the more. */
static void what_is_known_shows(void **state)
{
    (void)state;
    struct print light = print_of(60, 50, 25.4), heavy = print_of(60, 50, 25.4);
    fill(&light, 0, 0, 60, 50, 51), fill(&heavy, 0, 0, 60, 50, 102); /* 80 and 160 % */
    struct ink_map map = map_of(300, 50, 3000);                      /* 120 % */
    struct heat_maker *maker = heat_maker_new(arena, &map, 280);
    struct heat_print first = lay(&heavy, 0, 0, 280), second = lay(&light, 40, 0, 280);
    heat_maker_estimate(maker, (struct rect){80, 0, 200, 50});
    heat_maker_count(maker, &first);
    heat_maker_count(maker, &second);
    struct ink_heat *heat = heat_maker_result(maker);
    static const struct {
        int column, level;
    } expected[] = {{0, 16000},  {10, 16000}, {11, 16000}, {13, 8000}, {19, 8000},
                    {21, 12000}, {39, 12000}, {41, 0},     {59, 0}};
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
        assert_int_equal(heat->level[expected[i].column], expected[i].level);
    assert_true(heat->counted >= 200 && heat->counted <= 210 && heat->estimated >= 190 &&
                heat->estimated <= 200);
    assert_int_equal(heat->place_total, 0);
}

/* A surface's last cells may be narrower than its prints' pixels: they are not left to the estimate. */
static void slivers_are_counted(void **state)
{
    (void)state;
    struct print p = print_of(100, 60, 25.4);
    fill(&p, 0, 0, 100, 60, 51);
    struct ink_map map = map_of(100.3, 60.4, 9000);
    struct heat_maker *maker = heat_maker_new(arena, &map, 280);
    struct heat_print print = lay(&p, 0, 0, 280);
    heat_maker_estimate(maker, print.area);
    heat_maker_count(maker, &print);
    struct ink_heat *heat = heat_maker_result(maker);
    assert_int_equal(heat->columns * heat->rows, 21 * 13);
    assert_int_equal(heat->counted, 21 * 13);
    for (size_t i = 0; i < 21 * 13; i++) assert_int_equal(heat->level[i], 8000);
}

/* Wherever a heavy square of 6 x 6 mm lies and however the grids lie to each other, it is one place there. */
static void no_place_is_lost(void **state)
{
    (void)state;
    static const double ppis[] = {25.4, 37, 72, 100};
    for (size_t i = 0; i < 4; i++)
        for (int step = 0; step < 12; step++) {
            double pixel = 25.4 / ppis[i], x = 3.3 + step * 9.1, y = 2.7 + step * 7.3;
            struct print p = print_of((int)(130 / pixel), (int)(100 / pixel), ppis[i]);
            int x0 = (int)(x / pixel), y0 = (int)(y / pixel), side = (int)ceil(6 / pixel);
            fill(&p, x0, y0, x0 + side, y0 + side, 255);
            struct ink_map map = map_of(150, 120, 0);
            struct heat_maker *maker = heat_maker_new(arena, &map, 300);
            struct heat_print print = lay(&p, 11.9, 6.1, 300);
            heat_maker_count(maker, &print);
            struct ink_heat *heat = heat_maker_result(maker);
            assert_int_equal(heat->place_total, 1);
            struct heat_place place = heat->places[0];
            assert_true(fabs(place.peak_percent - 400) < 0.01);
            double middle_x = 11.9 + (x0 + side / 2.0) * pixel,
                   middle_y = print.box.y1 - (y0 + side / 2.0) * pixel;
            assert_true(fabs((place.box.x0 + place.box.x1) / 2 - middle_x) < 5);
            assert_true(fabs((place.box.y0 + place.box.y1) / 2 - middle_y) < 5);
            assert_true(rect_width(place.box) <= 20 && rect_height(place.box) <= 20);
        }
}

static struct rect twice_as_long(void *self, struct rect r)
{
    (void)self;
    return (struct rect){r.x0 * 2, r.y0, r.x1 * 2, r.y1};
}

/* A print twice as long as what is seen: 100 mm along it are 50 on the surface. A cell of the surface is two
 * of the print, and the heavier one shows. */
static void longer_prints_are_laid_back(void **state)
{
    (void)state;
    for (int x = 20; x < 200; x += 7) {
        struct print p = print_of(240, 50, 25.4);
        fill(&p, x, 20, x + 6, 26, 255);
        struct ink_map map = map_of(120, 50, 0);
        struct heat_maker *maker = heat_maker_new(arena, &map, 280);
        struct heat_print print = lay(&p, 0, 0, 280);
        print.area = (struct rect){0, 0, 120, 50};
        print.printed = twice_as_long;
        heat_maker_count(maker, &print);
        struct ink_heat *heat = heat_maker_result(maker);
        assert_int_equal(heat->place_total, 1);
        assert_true(fabs(heat->places[0].peak_percent - 400) < 0.01);
        struct rect box = heat->places[0].box;
        assert_true(fabs((box.x0 + box.x1) / 2 - (x + 3) / 2.0) < 5);
        assert_true(fabs((box.y0 + box.y1) / 2 - (50 - 23)) < 5);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cells_are_the_means),         cmocka_unit_test(what_is_known_shows),
        cmocka_unit_test(slivers_are_counted),         cmocka_unit_test(no_place_is_lost),
        cmocka_unit_test(longer_prints_are_laid_back),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
