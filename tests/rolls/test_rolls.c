/* Prints of plans on rolls. Two surfaces of 900 x 2000 mm, of one print each: 1000 mm across with bleed of 50, and along the
 * film 2100 mm with bleed and 120 mm of label strips, which is 2220. Sums are worked by hand beside each check. */
#include "../plan/fixture.h"
#include "rolls/rolls.h"
#include <math.h>
#include <string.h>

enum { PRINT_LONG = 2220, LEADER = 500, TAIL = 300, GAP = 10 };

struct shelf {
    struct fixture f;
    struct roll_job jobs[2];
    struct roll_order order;
    struct roll_layout layout;
};

static void shelf_open(struct shelf *shelf, size_t surfaces)
{
    static const char *const names[] = {"left", "right", "rear"};
    memset(shelf, 0, sizeof *shelf);
    fixture_open(&shelf->f);
    shelf->f.condition.laminate = NULL;
    shelf->f.shop.rolls = (struct roll_habits){.gap_mm = measure_written(GAP, "shop.yaml:1"),
                                               .leader_mm = measure_written(LEADER, "shop.yaml:1"),
                                               .tail_mm = measure_written(TAIL, "shop.yaml:1"),
                                               .off_cut_width_mm = measure_written(300, "shop.yaml:1"),
                                               .off_cut_length_mm = measure_written(1000, "shop.yaml:1")};
    for (size_t i = 0; i < surfaces; i++)
        fixture_surface(&shelf->f, names[i], 900, 2000, FRONT_LEFT, RUN_UPRIGHT);
    shelf->f.film.width_count = 1; /* 1370: printed between 8 and 1362 */
    shelf->order = (struct roll_order){.jobs = shelf->jobs, .job_count = 1, .seed = 1};
}

static void shelf_lay(struct shelf *shelf, size_t vehicles)
{
    struct error error;
    shelf->jobs[0] = (struct roll_job){fixture_plan(&shelf->f), vehicles};
    for (size_t i = 0; i < shelf->jobs[0].plan->surface_count; i++) {
        assert_int_equal(shelf->jobs[0].plan->surfaces[i].panel_count, 1);
        assert_float_equal(shelf->jobs[0].plan->surfaces[i].panels[0].print_length_mm, PRINT_LONG, 1e-6);
    }
    assert_true(rolls_lay(&shelf->order, shelf->f.arena, &shelf->layout, &error));
}

static struct stock_roll roll_in(const char *name, double left_mm, const char *batch)
{
    return (struct stock_roll){.name = name,
                               .what = "film",
                               .of = "cast-white",
                               .batch = batch,
                               .width_mm = 1370,
                               .length_mm = 50000,
                               .in = 1,
                               .left_mm = left_mm};
}

static const struct laid_roll *only_roll(const struct shelf *shelf)
{
    assert_int_equal(shelf->layout.roll_count, 1);
    return &shelf->layout.rolls[0];
}

static void new_roll_loses_its_ends(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 2);
    shelf_lay(&shelf, 1);
    const struct laid_roll *roll = only_roll(&shelf);
    assert_true(roll->is_new);
    assert_string_equal(roll->name, "new 1");
    assert_float_equal(roll->length_mm, 50000, 0);
    /* 500 + 2220 + 10 + 2220 + 300 */
    assert_float_equal(roll->used_mm, 5250, 0.01);
    assert_int_equal(roll->print_count, 2);
    assert_float_equal(roll->prints[0].along_mm, LEADER, 0.01);
    assert_float_equal(roll->prints[1].along_mm, LEADER + PRINT_LONG + GAP, 0.01);
    for (size_t i = 0; i < 2; i++) {
        assert_true(roll->prints[i].across_mm >= 8); /* the printer's edge */
        assert_true(roll->prints[i].across_mm + roll->prints[i].wide_mm <= 1362);
        assert_int_equal(roll->prints[i].turned_deg, 0);
    }
    assert_true(shelf.layout.lower_mm <= shelf.layout.used_mm);
    /* one roll of 50 m x 1.37 m at 9.80 = 671.30 */
    assert_int_equal(shelf.layout.cash, 67130);
    fixture_close(&shelf.f);
}

static void stock_comes_before_new_film(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 2);
    /* R1 holds one print (3020 of 4000), R2 both (5250 of 5300); R3 is long, and another batch. */
    const struct stock_roll stock[] = {roll_in("R1", 4000, "a"), roll_in("R2", 5300, "b"),
                                       roll_in("R3", 40000, "c")};
    shelf.order.stock = stock, shelf.order.stock_count = 3;
    shelf_lay(&shelf, 1);
    double used = 0;
    for (size_t i = 0; i < shelf.layout.roll_count; i++) {
        assert_false(shelf.layout.rolls[i].is_new);
        used += shelf.layout.rolls[i].used_mm;
        assert_true(shelf.layout.rolls[i].used_mm <= shelf.layout.rolls[i].length_mm);
    }
    /* together on one roll 5250; on two 2 x (500 + 2220 + 300) = 6040 */
    assert_float_equal(used, 5250, 0.01);
    assert_int_equal(shelf.layout.cash, 0);
    fixture_close(&shelf.f);
}

static void passed_over(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 1);
    struct stock_roll gone = roll_in("R1", 40000, "a"), unsaid = roll_in("R2", NAN, "a"),
                      short_roll = roll_in("R3", 3019, "a"), narrow = roll_in("R4", 40000, "a"),
                      other = roll_in("R5", 40000, "a");
    gone.out = 2, narrow.width_mm = 1000, other.of = "another film";
    /* R3: 500 + 2220 + 300 = 3020, a millimetre more than there is; R4: 984 between its edges, 1000 wanted. */
    const struct stock_roll stock[] = {gone, unsaid, short_roll, narrow, other};
    shelf.order.stock = stock, shelf.order.stock_count = 5;
    shelf_lay(&shelf, 1);
    assert_true(only_roll(&shelf)->is_new);
    assert_float_equal(only_roll(&shelf)->used_mm, 3020, 0.01);
    fixture_close(&shelf.f);
}

static void just_long_enough(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 1);
    const struct stock_roll stock[] = {roll_in("R3", 3020, "a")};
    shelf.order.stock = stock, shelf.order.stock_count = 1;
    shelf_lay(&shelf, 1);
    assert_string_equal(only_roll(&shelf)->name, "R3");
    fixture_close(&shelf.f);
}

static void off_cut_beside_prints(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 2);
    shelf_lay(&shelf, 1);
    const struct laid_roll *roll = only_roll(&shelf);
    const struct laid_print *print = &roll->prints[0];
    float free_mm = 1370 - (float)(print->across_mm + print->wide_mm + GAP);
    assert_true(free_mm >= 300); /* 1370 - 8 - 1000 and marks - 10 */
    assert_int_equal(shelf.layout.off_cut_count, 1);
    const struct off_cut *cut = &shelf.layout.off_cuts[0];
    assert_float_equal(cut->width_mm, free_mm, 0.01);
    assert_float_equal(cut->length_mm, 2 * PRINT_LONG + GAP, 0.01);
    assert_float_equal(cut->along_mm, LEADER, 0.01);
    assert_string_equal(cut->name, "new 1/1");
    fixture_close(&shelf.f);
}

static void small_off_cuts_are_not_kept(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 1);
    shelf.f.shop.rolls.off_cut_length_mm = measure_written(PRINT_LONG + 1, "shop.yaml:1");
    shelf_lay(&shelf, 1);
    assert_int_equal(shelf.layout.off_cut_count, 0);
    fixture_close(&shelf.f);
}

static void laminate_is_as_long_with_its_threading(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 2);
    shelf.f.condition.laminate = &shelf.f.laminate;
    shelf.f.shop.threading_mm = measure_written(1500, "shop.yaml:1");
    shelf_lay(&shelf, 1);
    /* 5250 and 1500 of threading, of both webs */
    assert_float_equal(only_roll(&shelf)->used_mm, 6750, 0.01);
    assert_int_equal(shelf.layout.laminate_count, 1);
    const struct laid_laminate *run = &shelf.layout.laminates[0];
    assert_true(fabs(run->to_mm - run->from_mm - 6750) < 0.01);
    assert_float_equal(run->width_mm, 1370, 0);
    /* a roll of film 671.30, one of laminate 50 x 1.37 x 7.10 = 486.35 */
    assert_int_equal(shelf.layout.cash, 67130 + 48635);
    fixture_close(&shelf.f);
}

static void vehicles_together_buy_less(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 2);
    shelf_lay(&shelf, 9);
    assert_true(shelf.layout.saving.known);
    assert_int_equal(shelf.layout.saving.vehicles, 9);
    /* 18 prints: 800 + 18 x 2220 + 17 x 10 = 40930, one roll; singly 9 x 5250 = 47250, a roll each. */
    assert_float_equal(shelf.layout.saving.together_mm, 40930, 0.01);
    assert_float_equal(shelf.layout.saving.singly_mm, 47250, 0.01);
    assert_int_equal(shelf.layout.saving.together_rolls, 1);
    fixture_close(&shelf.f);
}

static void printers_longest_print(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 3);
    shelf.f.printer.max_length_mm = 5000; /* two prints and the gap between: 4450; three: 6680 */
    shelf_lay(&shelf, 1);
    const struct laid_roll *roll = only_roll(&shelf);
    assert_int_equal(roll->prints[0].sent, 0);
    assert_int_equal(roll->prints[1].sent, 0);
    assert_int_equal(roll->prints[2].sent, 1);
    fixture_close(&shelf.f);
}

static void nothing_wide_enough(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 1);
    shelf.jobs[0] = (struct roll_job){fixture_plan(&shelf.f), 1};
    shelf.f.widths[0] = 900; /* the shop has no wider film any more */
    struct error error;
    assert_true(rolls_lay(&shelf.order, shelf.f.arena, &shelf.layout, &error));
    assert_int_equal(shelf.layout.roll_count, 0);
    assert_int_equal(shelf.layout.left_out_count, 1);
    assert_int_equal(shelf.layout.findings.count, 1);
    fixture_close(&shelf.f);
}

static void too_many(void **state)
{
    (void)state;
    struct shelf shelf;
    shelf_open(&shelf, 1);
    struct error error = {.kind = FAILURE_NONE};
    shelf.jobs[0] = (struct roll_job){fixture_plan(&shelf.f), ROLL_PRINTS_MOST + 1};
    assert_false(rolls_lay(&shelf.order, shelf.f.arena, &shelf.layout, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    fixture_close(&shelf.f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(new_roll_loses_its_ends),
        cmocka_unit_test(stock_comes_before_new_film),
        cmocka_unit_test(passed_over),
        cmocka_unit_test(just_long_enough),
        cmocka_unit_test(off_cut_beside_prints),
        cmocka_unit_test(small_off_cuts_are_not_kept),
        cmocka_unit_test(laminate_is_as_long_with_its_threading),
        cmocka_unit_test(vehicles_together_buy_less),
        cmocka_unit_test(printers_longest_print),
        cmocka_unit_test(nothing_wide_enough),
        cmocka_unit_test(too_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
