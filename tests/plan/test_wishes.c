/* What a job may ask of its seams: rolls of several widths, seams in line round a corner, a shop's own
 * weights. Values are worked out by hand beside each test. */
#include "fixture.h"
#include <math.h>
#include <string.h>

static struct fixture f;

static void assert_near(double value, double wanted)
{
    if (fabs(value - wanted) > 1e-6) fail_msg("%.9g, not %.9g", value, wanted);
}

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

/* ---- rolls of several widths ---- */

/* Usable 1354 and 1504 mm. Seven metres and a bit upright, 4020 wide: prints add up to 4020 + 100 (bleed) +
 * 30 (two seams of 12 + 3) = 4150 mm. Three of 1354 are 4062: too little; 1354 + 1354 + 1504 = 4212 is
 * enough.
 */
static struct surface *mixed_side(void)
{
    struct surface *s = fixture_surface(&f, "left", 4020, 2000, FRONT_LEFT, RUN_UPRIGHT);
    f.specs[0].mixed_widths = true;
    f.shop.print_per_h = f.shop.laminate_per_h = 0; /* setting up costs nothing ... */
    f.shop.threading_mm = measure_written(0, "shop.yaml:1");
    return s;
}

static void each_panel_its_roll(void **state)
{
    (void)state;
    mixed_side();
    struct plan *plan = fixture_plan(&f);
    const struct surface_plan *sp = &plan->surfaces[0];
    assert_int_equal(sp->panel_count, 3);
    int narrow = 0;
    for (size_t i = 0; i < 3; i++) {
        narrow += sp->panels[i].roll_width_mm == 1370;
        assert_true(rect_width(sp->panels[i].print) <= sp->panels[i].roll_width_mm - 16 + 1e-6);
    }
    assert_int_equal(narrow, 2);
    assert_near(sp->roll_width_mm, 1520);
    assert_non_null(fixture_finding(plan, "widths-mixed"));
}

/* Each panel is 2000 + 100 + 120 = 2220 mm long: two on the narrow roll, one on the wide one, and the
 * laminate of each width with them. */
static void rolls_and_material_follow(void **state)
{
    (void)state;
    mixed_side();
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->roll_count, 2);
    for (size_t i = 0; i < 2; i++) {
        const struct roll *roll = &plan->rolls[i];
        bool narrow = roll->width_mm == 1370;
        assert_int_equal(roll->placement_count, narrow ? 2 : 1);
        assert_near(roll->used_mm, narrow ? 4440 : 2220);
        for (size_t k = 0; k < roll->placement_count; k++)
            assert_near(plan->surfaces[0].panels[roll->placements[k].panel].roll_width_mm, roll->width_mm);
    }
    double film = 0, laminate = 0;
    for (size_t i = 0; i < plan->material_count; i++) {
        const struct material_line *line = &plan->materials[i];
        if (!strcmp(line->what, "film")) film += line->area_m2;
        if (!strcmp(line->what, "laminate")) laminate += line->area_m2;
    }
    double area = (2 * 1370 + 1520) * 2220 / 1e6;
    assert_near(film, area);
    assert_near(laminate, area);
}

/* Setting up printer and laminator again (20 min each at 35 and 30 an hour: 21.67) and a metre of laminate
 * cost more than the 0.15 m x 2 x 2.22 m x 16.90 = 11.26 that mixing saves here. */
static void a_change_of_rolls_has_its_price(void **state)
{
    (void)state;
    mixed_side();
    f.shop.print_per_h = 35000000, f.shop.laminate_per_h = 30000000;
    f.shop.threading_mm = measure_written(1000, "shop.yaml:1");
    struct plan *plan = fixture_plan(&f);
    for (size_t i = 0; i < 3; i++) assert_near(plan->surfaces[0].panels[i].roll_width_mm, 1520);
    assert_int_equal(plan->roll_count, 1);
    assert_null(fixture_finding(plan, "widths-mixed"));
}

static void one_width_unless_asked(void **state)
{
    (void)state;
    mixed_side();
    f.specs[0].mixed_widths = false;
    struct plan *plan = fixture_plan(&f);
    for (size_t i = 0; i < 3; i++) assert_near(plan->surfaces[0].panels[i].roll_width_mm, 1520);
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)
    const struct CMUnitTest tests[] = {
        ONE(each_panel_its_roll),
        ONE(rolls_and_material_follow),
        ONE(a_change_of_rolls_has_its_price),
        ONE(one_width_unless_asked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
