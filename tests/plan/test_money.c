/* Material, hours and price by hand. */
#include "fixture.h"
#include <math.h>
#include <string.h>

static struct fixture f;

static int open_fixture(void **state)
{
    (void)state;
    fixture_open(&f);
    return 0;
}

static int close_fixture(void **state)
{
    (void)state;
    fixture_close(&f);
    return 0;
}

static void assert_near(double a, double b)
{
    if (fabs(a - b) > 1e-6) fail_msg("%.9f is not %.9f", a, b);
}

/* By hand: one panel 1300 x 1900, bleed 50: print 1400 x 2000 = 2.8 m2; film 2120 mm and a metre of threading of
 * the 1520 roll (1354 would not hold 1400): 4.7424 m2 at 9.80 and 5 % waste: 48.799296; laminate the same at 7.10:
 * 35.354592. Printing 2.8 / 12 h + 20 min = 2040 s at 35: 19.8333. Laminating 20 min + 3.12 m at 2 m per min =
 * 1293.6 -> 1294 s at 30: 10.7833. Trimming 2.8 / 12 h = 840 s at 30: 7.00. Installing 2.47 m2 at 1.6 and 10 min for
 * the panel: 6157.5 s -> 6158 s at 42: 71.8433. Washing 2.47 m2 at 4 min: 592.8 -> 593 s: 6.9183. Check 20 min: 14.00.
 * Sum 214.52; with 30 %: 278.876; as a margin 214.52 / 0.7 = 306.457. */
static void cost_by_hand(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    struct plan *plan = fixture_plan(&f);
    const money_minor by_hand[] = {4880, 3535, 0, 1983, 1078, 700, 7184, 692, 1400};
    assert_int_equal(plan->cost_count, 9);
    for (size_t i = 0; i < 9; i++) assert_int_equal(plan->costs[i].cost, by_hand[i]);
    assert_int_equal(plan->total_cost, 21452);
    assert_int_equal(plan->price, 27888);
    const char *words = fixture_finding(plan, "margin-meaning")->text;
    assert_non_null(strstr(words, "278.88 EUR"));
    assert_non_null(strstr(words, "306.46 EUR"));
    f.shop.money = 2;
    plan = fixture_plan(&f);
    assert_int_equal(plan->price, 30646);
    assert_null(fixture_finding(plan, "margin-meaning"));
    f.shop.money = 1, f.shop.margin_percent = 0, f.shop.mark_up_percent = 12.5; /* 241.335 */
    plan = fixture_plan(&f);
    assert_int_equal(plan->price, 24134);
    assert_null(fixture_finding(plan, "margin-meaning"));
}

/* The same with an inlay for a recess of 300 x 200, walls of 60 degrees 40 mm deep. A wall is 40 tan 30 = 23.094 mm
 * longer than its run, and 10 mm go under the film all round: the print is 366.188 x 266.188 = 0.0974748 m2, its film
 * 266.188 + 120 mm. Film 3.506188 m of 1520 at 9.80 and 5 %: 54.8396; laminate 39.7307. Printing
 * (2.8 + 0.0974748) / 12 h = 870 s + 20 min at 35: 20.125. Laminating 20 min + 3.506188 m: 1306 s: 10.8833. Trimming
 * 870 s: 7.25. The recess counts twice: (2.47 + 0.06) / 2.47 = 102 %, so installing takes 5557.5 s x 102 % + 10 min for
 * the panel, 10 min for the inlay and a rim of 1 m at 3 min: 7048.65 -> 7049 s: 82.2383. Relief cuts take no film, and
 * 5 min in place of 13: 6568.65 -> 6569 s: 76.6383, and 5 min of post-heat. */
static void recess_covered_otherwise(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    struct feature *recess = fixture_feature(&f, s, FEATURE_RECESS, rect_of(500, 700, 300, 200));
    recess->depth_mm = 40, recess->wall_deg = 60, recess->inlay = true;
    struct plan *plan = fixture_plan(&f);
    const money_minor by_hand[] = {5484, 3973, 0, 2013, 1088, 725, 8224, 692, 1400};
    assert_int_equal(plan->cost_count, 9);
    for (size_t i = 0; i < 9; i++) assert_int_equal(plan->costs[i].cost, by_hand[i]);
    assert_int_equal(plan->surfaces[0].inlay_count, 1);
    const struct panel *inlay = &plan->surfaces[0].panels[plan->surfaces[0].panel_count];
    assert_string_equal(inlay->id, "rear-inlay-1");
    assert_near(inlay->print.x0, 500 - 10 - 40 / sqrt(3));
    assert_true(fabs(inlay->area_m2 - 0.0974748) < 1e-7);
    assert_int_equal(plan->roll_count, 1);
    assert_int_equal(plan->rolls[0].placement_count, 2);
    assert_near(plan->rolls[0].placements[1].along_mm, 2120);
    assert_true(fabs(plan->rolls[0].used_mm - 3506.188) < 1e-3);
    recess->inlay = false, recess->relief = true;
    plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].inlay_count, 0);
    assert_int_equal(plan->costs[0].cost, 4880);
    assert_int_equal(plan->costs[6].cost, 7664);
}

/* An inlay as wide as no roll is a stop. */
static void inlay_wider_than_the_film(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 3000, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *recess = fixture_feature(&f, s, FEATURE_RECESS, rect_of(500, 700, 1330, 200));
    f.film.width_count = f.laminate.width_count = 1;
    recess->depth_mm = 5, recess->wall_deg = 60,
    recess->inlay = true; /* 1330 + 2 (10 + 5 tan 30) = 1355.8 > 1354 */
    assert_non_null(fixture_finding(fixture_plan(&f), "inlay-wide"));
    recess->box.x1 -= 2;
    assert_null(fixture_finding(fixture_plan(&f), "inlay-wide"));
}

/* What nobody priced is named, and the sum is that of the rest: without film 214.52 - 48.80, and without an hour
 * of installing 71.84, 6.92 and 14.00 less. A price of 0 is a price. */
static void nothing_is_free_in_silence(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    assert_null(fixture_finding(fixture_plan(&f), "price-missing"));
    f.film.price_per_m2 = 0;
    assert_null(fixture_finding(fixture_plan(&f), "price-missing"));
    f.film.price_per_m2 = f.shop.install_per_h = PRICE_UNSAID;
    struct plan *plan = fixture_plan(&f);
    const struct finding *missing = fixture_finding(plan, "price-missing");
    assert_non_null(missing);
    assert_non_null(strstr(missing->text, "film \"cast-white\", an hour of installing"));
    assert_int_equal(plan->total_cost, 21452 - 4880 - 7184 - 692 - 1400);
    assert_int_equal(plan->missing_count, 2);
    assert_true(plan->costs[0].missing && plan->materials[0].missing && !plan->costs[1].missing);
}

/* Whole rolls: two sides of 5400 take more than a roll of 6 m; each line is one film and width. */
static void whole_rolls(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 5400, 1900, FRONT_LEFT, RUN_UPRIGHT);
    f.film.length_mm = 6000, f.laminate.length_mm = 50000, f.shop.waste_percent = 0;
    struct plan *plan = fixture_plan(&f);
    double used = 0;
    size_t rolls = 0;
    for (size_t i = 0; i < plan->roll_count; i++) {
        assert_true(plan->rolls[i].used_mm <= 6000);
        used += plan->rolls[i].used_mm, rolls++;
    }
    assert_string_equal(plan->buys[0].what, "film");
    assert_int_equal(plan->buys[0].rolls, rolls);
    assert_true(rolls >= 2 && used > 6000);
    assert_int_equal(plan->buys[1].rolls, 1);
    /* rolls x width x length x price, in cents */
    double cash =
        (double)rolls * plan->buys[0].width_mm * 6000 / 1e6 * 980 + plan->buys[1].width_mm * 50 / 1e3 * 710;
    assert_true(fabs((double)plan->cash - cash) < 1);
    /* a roll of 3 m less a metre of threading holds no panel of 1900, its bleed and ends, that stays whole */
    f.input.surface_count = 0;
    struct surface *whole = fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    fixture_feature(&f, whole, FEATURE_KEEP_WHOLE, (struct rect){0, 0, 1300, 1900});
    f.film.length_mm = 3200;
    assert_null(fixture_finding(fixture_plan(&f), "panel-too-long"));
    f.film.length_mm = 3000;
    const struct finding *stop = fixture_finding(fixture_plan(&f), "panel-too-long");
    assert_non_null(stop);
    assert_non_null(strstr(stop->text, "roll of film \"cast-white\" takes 2000 mm"));
    assert_int_equal(stop->severity, SEVERITY_STOP);
}

/* An ink set in another order, with light inks and white: 50 % of C on all of a print of 2.8 m2, each channel at
 * its own amount for a square metre. */
static void channels_by_name(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    enum { COLUMNS = 280, ROWS = 400 };
    static uint16_t half[COLUMNS * ROWS], none[COLUMNS * ROWS];
    for (size_t i = 0; i < COLUMNS * ROWS; i++) half[i] = 5000;
    struct ink_map map = {{-50, -50, 1350, 1950}, COLUMNS, ROWS, {half, none, none, none}};
    f.inputs[0].ink = &map;
    static const char *const names[] = {"K", "C", "M", "Y", "LC", "k", "W"};
    static const double ml[] = {100, 1, 2, 3, 4, 5, 6}, covered[] = {0, 50, 0, 0, 50, 0, 100};
    f.ink.channel_count = 7;
    for (size_t i = 0; i < 7; i++) {
        f.ink.channels[i] = names[i], f.ink.ml_per_m2[i] = ml[i];
        f.condition.coverage_percent[i] = -1;
    }
    struct plan *plan = fixture_plan(&f);
    for (size_t i = 0; i < 7; i++)
        assert_near(plan->surfaces[0].panels[0].ink_ml[i], 2.8 * covered[i] / 100 * ml[i]);
    assert_non_null(strstr(fixture_finding(plan, "value-assumed")->text, "LC (as its colour)"));
    f.condition.coverage_percent[6] = 25, f.condition.coverage_percent[4] = 10,
    f.condition.coverage_percent[5] = 0;
    plan = fixture_plan(&f);
    assert_near(plan->surfaces[0].panels[0].ink_ml[6], 2.8 * 0.25 * 6);
    assert_near(plan->surfaces[0].panels[0].ink_ml[4], 2.8 * 0.10 * 4);
    assert_null(fixture_finding(plan, "value-assumed"));
    size_t lines = 0;
    for (size_t i = 0; i < plan->material_count; i++) lines += !strncmp(plan->materials[i].what, "ink ", 4);
    assert_int_equal(lines, 7);
}

/* The condition's feed, the job's before it: 1000 mm of length correction at 100.4 % and at 99.5 %. */
static void feed_of_the_condition(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    f.job.feed_percent = 0;
    assert_near(fixture_plan(&f)->surfaces[0].panels[0].print_length_mm, 2120);
    f.condition.feed_percent = 100.4;
    assert_near(fixture_plan(&f)->surfaces[0].panels[0].print_length_mm, 2120 * 1.004);
    f.job.feed_percent = 99.5;
    assert_near(fixture_plan(&f)->surfaces[0].panels[0].print_length_mm, 2120 * 0.995);
}

/* Taking off a handle and a badge, not a handle that stays, nor a light, round which film is cut: 2 x 8 min there and back; half as much again on a hard
 * surface: 24 min. Sealing 2 x (1.3 + 1.9) m at 1 min, hard: 9.6 min. Old film 2.47 m2 at the shop's 20 min: 4446 s; of
 * 7 years, 10 % more for each beyond 3, 140 %: 6224.4 s. */
static void tasks_by_hand(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    fixture_feature(&f, s, FEATURE_HANDLE, (struct rect){100, 100, 200, 150});
    fixture_feature(&f, s, FEATURE_BADGE, (struct rect){100, 1700, 200, 1800});
    fixture_feature(&f, s, FEATURE_LIGHT, (struct rect){900, 1700, 1000, 1800});
    fixture_feature(&f, s, FEATURE_HANDLE, (struct rect){600, 900, 700, 950})->stays = true;
    f.job.edge_seal = f.job.old_film = true;
    f.specs[0].difficulty = DIFFICULTY_HARD;
    f.shop.task_minutes[TASK_REMOVE_FILM] = measure_written(20, "shop.yaml:9");
    struct plan *plan = fixture_plan(&f);
    const struct {
        enum task_kind kind;
        int64_t seconds;
    } by_hand[] = {{TASK_TAKE_OFF, 1440},
                   {TASK_REFIT, 1440},
                   {TASK_EDGE_SEAL, 576},
                   {TASK_REMOVE_FILM, 4446},
                   {TASK_WASH, 890 /* 592.8 x 1.5 = 889.2 */},
                   {TASK_CHECK, 1200}};
    for (size_t i = 0; i < sizeof by_hand / sizeof *by_hand; i++) {
        int64_t seconds = 0;
        for (size_t k = 0; k < plan->task_count; k++)
            if (plan->tasks[k].kind == by_hand[i].kind) seconds += plan->tasks[k].seconds;
        assert_int_equal(seconds, by_hand[i].seconds);
    }
    f.specs[0].old_film_age_y = 7;
    f.shop.quote.removal_year_percent = measure_written(10, "shop.yaml:10");
    plan = fixture_plan(&f);
    for (size_t k = 0; k < plan->task_count; k++)
        if (plan->tasks[k].kind == TASK_REMOVE_FILM) assert_int_equal(plan->tasks[k].seconds, 6225);
}

/* 2.47 m2 at 1.6 m2/h: 5557.5 s. A recess of 0.5 x 0.4 m counts twice, ribs of 0.6 x 0.5 m half, a lamp as 0.1 m2:
 * (2.47 + 0.2 + 0.15 + 0.1) / 2.47 = 118.2: 118 %, hard 177 %: 9836.775 s, and 10 min for the panel. The lamp's and the
 * handle's other work stands in tasks. Dates and cost go by the same seconds. */
static void installing_by_hand(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    fixture_feature(&f, s, FEATURE_RECESS, rect_of(100, 100, 500, 400));
    fixture_feature(&f, s, FEATURE_CORRUGATION, rect_of(100, 900, 600, 500));
    fixture_feature(&f, s, FEATURE_LIGHT, rect_of(900, 1700, 100, 100));
    fixture_feature(&f, s, FEATURE_HANDLE, rect_of(900, 900, 100, 100));
    f.specs[0].difficulty = DIFFICULTY_HARD;
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].panel_count, 1);
    assert_int_equal(plan->surfaces[0].work.install_s, 10437);
    assert_int_equal(plan->costs[6].cost, 12177); /* 10437 s at 42 */
    for (size_t i = 0; i < plan->step_count; i++)
        if (plan->steps[i].kind == STEP_INSTALL)
            assert_non_null(strstr(plan->steps[i].why.words, "difficulty 177 %"));
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)
    const struct CMUnitTest tests[] = {
        ONE(cost_by_hand),
        ONE(recess_covered_otherwise),
        ONE(inlay_wider_than_the_film),
        ONE(nothing_is_free_in_silence),
        ONE(whole_rolls),
        ONE(channels_by_name),
        ONE(feed_of_the_condition),
        ONE(tasks_by_hand),
        ONE(installing_by_hand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
