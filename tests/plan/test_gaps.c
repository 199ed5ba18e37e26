/* Door gaps as vehicles have them: of part of the height, with something beside them, through lettering. What
 * a seam costs there, how far panels print, and what a lap beside a gap leaves. Values by hand beside each
 * test; the second planner in tests/outside holds the whole of it. */
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

static struct feature *gap_at(struct surface *s, double x, double low, double high)
{
    return fixture_feature(&f, s, FEATURE_GAP, (struct rect){x, low, x, high});
}

static const struct surface_plan *planned(void)
{
    return &fixture_plan(&f)->surfaces[0];
}

static const struct seam *only_seam(void)
{
    const struct surface_plan *plan = planned();
    assert_int_equal(plan->seam_count, 1);
    return &plan->seams[0];
}

static struct fixed_seam fixed;
static void fix(double at, const char *over)
{
    fixed = (struct fixed_seam){.at_mm = at, .over = over};
    f.specs[0].seams = &fixed, f.specs[0].seam_count = 1, f.specs[0].seams_fixed = true;
}

/* 80 % of 1900 mm: 1520 mm of gap, 380 mm of lap, whoever lies over, whichever way the film runs. Both panels
 * print the turn-in past the line, or the overlap where that is more. */
static void a_gap_of_part_of_the_height(void **state)
{
    (void)state;
    static const enum front fronts[] = {FRONT_LEFT, FRONT_RIGHT};
    static const double overlaps[] = {12, 40};
    for (int i = 0; i < 4; i++) {
        f.input.surface_count = 0;
        struct surface *s = fixture_surface(&f, "left", 2600, 1900, fronts[i / 2], RUN_UPRIGHT);
        s->overlap_mm = overlaps[i % 2];
        gap_at(s, 1400, 0, 1520);
        const struct surface_plan *plan = planned();
        const struct seam *seam = &plan->seams[0];
        size_t low_over = fronts[i / 2] == FRONT_LEFT;
        assert_near(seam->at_mm, 1400);
        assert_int_equal(seam->kind, SEAM_GAP);
        assert_true(seam->laps);
        assert_int_equal(seam->gap_count, 1);
        assert_near(seam->gaps[0].from_mm, 0), assert_near(seam->gaps[0].to_mm, 1520);
        assert_near(seam->overlap_mm, overlaps[i % 2]), assert_near(seam->trim_mm, 3);
        assert_near(seam->turn_in_mm, 25);
        assert_int_equal(seam->over, low_over ? 0 : 1), assert_int_equal(seam->under, low_over ? 1 : 0);
        assert_near(plan->panels[seam->over].install_sequence, 2); /* what lies under goes on first */
        double under = fmax(overlaps[i % 2], 25);
        assert_near(plan->panels[0].print.x1, 1400 + (low_over ? 25 : under));
        assert_near(plan->panels[1].print.x0, 1400 - (low_over ? under : 25));
    }
}

/* 0.38 m of lap at 3 min and 2 a metre, 1.52 m of gap at 2 min, an installer at 42 an hour; film of 25 + 25
 * mm past the line over 1.9 m at 9.80 + 7.10. */
static void what_it_costs(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    gap_at(s, 1400, 380, 1900);
    const struct seam *seam = only_seam();
    double minutes = 0.38 * 3 + 1.52 * 2;
    assert_near(seam->minutes, minutes);
    assert_near((double)seam->cost, round(100 * (minutes / 60 * 42 + 0.38 * 2 + 0.05 * 1.9 * 16.9)));
    assert_near((double)seam->shown, 76);
}

/* A rest of up to 10 mm goes with the gap, one longer is a lap; two gaps one above the other are both told.
 */
static void short_rests_go_with_the_gap(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *gap = gap_at(s, 1400, 10, 1890);
    const struct seam *seam = only_seam();
    assert_false(seam->laps);
    assert_near(seam->gaps[0].from_mm, 0), assert_near(seam->gaps[0].to_mm, 1900);
    assert_near(seam->overlap_mm, 0);
    gap->box.y0 = 11;
    seam = only_seam();
    assert_true(seam->laps);
    assert_near(seam->gaps[0].from_mm, 11), assert_near(seam->gaps[0].to_mm, 1900);
    gap->box = (struct rect){1400, 0, 1400, 700};
    gap_at(s, 1400, 900, 1900);
    seam = only_seam();
    assert_int_equal(seam->gap_count, 2);
    assert_near(seam->gaps[0].to_mm, 700), assert_near(seam->gaps[1].from_mm, 900);
    fixture_feature(&f, s, FEATURE_OPENING, rect_of(1300, 695, 300, 210)); /* a window between them */
    assert_false(only_seam()->laps);
}

/* A person may say who lies over on the rest; where a gap covers all of it, saying so makes it a lap. */
static void over_by_hand(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *gap = gap_at(s, 1400, 0, 1520);
    fix(1400, "right");
    assert_int_equal(only_seam()->over, 1);
    assert_int_equal(only_seam()->kind, SEAM_GAP);
    gap->box.y1 = 1900;
    assert_int_equal(only_seam()->kind, SEAM_LAP);
    assert_near(only_seam()->minutes, 1.9 * 3);
}

/* A gap at 1290, even division at 1300. Beside it the lap's edges (the line, and 12 mm before it the edge
 * beneath) keep 60 mm: lines up to 1230 or from 1362. Where the gap's own place must stay whole, 1230 or 1362
 * remain: 1362 is the nearer to even by 62 against 70. */
static void no_sliver_beside_a_gap(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    gap_at(s, 1290, 0, 1900);
    assert_near(only_seam()->at_mm, 1290);
    fixture_feature(&f, s, FEATURE_KEEP_WHOLE, rect_of(1285, 500, 10, 10));
    assert_near(only_seam()->at_mm, 1362);
    assert_null(fixture_finding(fixture_plan(&f), "sliver"));
    s->front = FRONT_RIGHT; /* the edge beneath lies behind the line: 1218 or 1350 */
    assert_near(only_seam()->at_mm, 1350);
}

/* Where seams can stand only beside the gap, they do, at a price, and it is said. */
static void a_sliver_where_nothing_else_is_left(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    gap_at(s, 1290, 0, 1000)->name = "sliding door";
    fixture_feature(&f, s, FEATURE_KEEP_WHOLE, rect_of(0, 500, 1299, 10));
    fixture_feature(&f, s, FEATURE_KEEP_WHOLE, rect_of(1310, 500, 1290, 10));
    struct plan *plan = fixture_plan(&f);
    const struct finding *finding = fixture_finding(plan, "sliver");
    const struct seam *seam = &plan->surfaces[0].seams[0];
    assert_true(seam->at_mm >= 1299 && seam->at_mm <= 1310);
    assert_non_null(finding);
    assert_int_equal(finding->severity, SEVERITY_WARN);
    assert_non_null(strstr(finding->text, "sliding door"));
    assert_non_null(strstr(finding->text, "1000 mm long"));
    assert_near((double)seam->shown, 100 * (1.9 * 2 + 1.0 * 60)); /* the usual price of a metre of sliver */
}

/* A window from 1000 to 1240: laps keep 60 mm from its edge. The windscreen's pillar at 45 degrees is none.
 */
static void no_sliver_beside_an_edge(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    fixture_feature(&f, s, FEATURE_OPENING, rect_of(1000, 900, 290, 700));
    f.film.price_per_m2 = 0; /* else across the window it would be cheaper */
    fixture_feature(&f, s, FEATURE_KEEP_WHOLE, rect_of(1000, 100, 290, 10));
    double at = only_seam()->at_mm;
    assert_near(at, 1362);
    fix(1310, NULL);
    assert_non_null(fixture_finding(fixture_plan(&f), "sliver"));
    f.input.surface_count = 0;
    s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct point pillar[] = {{0, 0}, {2600, 0}, {2600, 1900}, {1700, 1900}, {900, 1100}, {0, 1100}};
    fixture_outline(&f, s, pillar, 6);
    fix(1300, NULL);
    assert_null(fixture_finding(fixture_plan(&f), "sliver"));
    struct point step[] = {{0, 0}, {2600, 0}, {2600, 1900}, {1280, 1900}, {1280, 1100}, {0, 1100}};
    fixture_outline(&f, s, step, 6);
    const struct finding *finding = fixture_finding(fixture_plan(&f), "sliver");
    assert_non_null(finding);
    assert_non_null(strstr(finding->text, "8 mm wide and 800 mm long"));
}

/* A line of text over the gap: the gap cuts it with or without a seam. The seam in the gap costs what it
 * costs without the text; on the rest of the line letters count. */
static void lettering_that_the_gap_cuts(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    gap_at(s, 1310, 0, 1520);
    money_minor plain = only_seam()->cost;
    struct text_line line = {.box = {1000, 300, 1500, 400}, .height_mm = 100, .words = "555 0199"};
    struct artwork_facts facts = {.kind = ARTWORK_PDF, .lines = &line, .line_count = 1};
    struct placed_art placed = {
        .facts = &facts, .to_surface = affine_scale(1, 1), .clip = {-50, -50, 2650, 1950}};
    struct surface_art art = {&placed, 1};
    f.inputs[0].art = &art;
    struct plan *plan = fixture_plan(&f);
    const struct seam *seam = &plan->surfaces[0].seams[0];
    assert_near(seam->at_mm, 1310);
    assert_int_equal(seam->cost, plain);
    assert_int_equal(seam->crosses_count, 0);
    assert_null(fixture_finding(plan, "seam-crosses"));
    line.box = (struct rect){1200, 1600, 1330, 1700}; /* above the door: no seam through it */
    assert_true(fabs(only_seam()->at_mm - 1310) >= 60);
}

/* A handle 20 mm from the gap: its margin of 30 mm keeps laps away, not the door's own edge. */
static void hardware_beside_a_gap(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    gap_at(s, 1310, 0, 1900);
    fixture_feature(&f, s, FEATURE_HANDLE, rect_of(1330, 900, 120, 60));
    assert_near(only_seam()->at_mm, 1310);
    f.surfaces[0].features[0].box.y1 = 800; /* the door ends below its handle: there it is a lap */
    assert_true(only_seam()->at_mm < 1310);
}

/* Three panels with both seams in door gaps against two with a lap through a busy middle, by hand: a lap
 * of 1.9 m with 3 units of detail costs 1.9 x (3 min x 0.7 + 3 x 10 + 2) and 0.015 x 1.9 m2 of film; a
 * gap 1.9 x 2 min x 0.7 and 0.05 x 1.9 m2. Each panel takes 2120 mm of the roll (two need the wider one) and
 * 10 minutes. */
static void least_cost_first(void **state)
{
    (void)state;
    enum { COLUMNS = 2700, ROWS = 200 };
    static uint16_t busy[COLUMNS * ROWS];
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    gap_at(s, 800, 0, 1900), gap_at(s, 1800, 0, 1900);
    for (size_t i = 0; i < COLUMNS * ROWS; i++) busy[i] = 300;
    struct detail_maps maps = {.upright = {{-50, -50, 2650, 1950}, COLUMNS, ROWS, busy, busy}};
    f.inputs[0].detail = &maps;
    double film = 16.9, lap = 1.9 * (3 * 0.7 + 30 + 2) + 0.015 * 1.9 * film;
    double gap = 1.9 * 2 * 0.7 + 0.05 * 1.9 * film, length = 2.120;
    double two = lap + 2 * (1.52 * length * film + 7), three = 2 * gap + 3 * (1.37 * length * film + 7);
    bool three_pays = three < two;
    struct plan *plan = fixture_plan(&f);
    assert_string_equal(plan->alternatives[0].name, "least cost");
    assert_int_equal(plan->surfaces[0].panel_count, three_pays ? 3 : 2);
    assert_true(three_pays);
    size_t fewest = 0;
    for (size_t i = 0; i < plan->alternative_count; i++)
        if (!strcmp(plan->alternatives[i].name, "fewest panels")) fewest = i;
    assert_int_equal(plan->alternatives[fewest].panel_count, 2);
    f.job.choice = "fewest panels";
    assert_int_equal(planned()->panel_count, 2);
    f.job.choice = "best"; /* what it was once called */
    assert_int_equal(planned()->panel_count, 3);
    f.job.choice = NULL;
    f.shop.seams.panel_min = measure_written(600, "shop.yaml:1"); /* ten hours for a panel: never a third */
    plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].panel_count, 2);
    f.job.choice = "fewest panels"; /* the same plan: that is no finding */
    assert_null(fixture_finding(fixture_plan(&f), "value-assumed"));
}

int main(void)
{
#define WITH_FIXTURE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)
    const struct CMUnitTest tests[] = {
        WITH_FIXTURE(a_gap_of_part_of_the_height), WITH_FIXTURE(what_it_costs),
        WITH_FIXTURE(short_rests_go_with_the_gap), WITH_FIXTURE(over_by_hand),
        WITH_FIXTURE(no_sliver_beside_a_gap),      WITH_FIXTURE(a_sliver_where_nothing_else_is_left),
        WITH_FIXTURE(no_sliver_beside_an_edge),    WITH_FIXTURE(lettering_that_the_gap_cuts),
        WITH_FIXTURE(hardware_beside_a_gap),       WITH_FIXTURE(least_cost_first),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
