/* Edges: overlaps along ribs, corners of the vehicle, panes; held against formulas and figures by hand. */
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

/* Height of a sine rib above its trough by its own formula, at the worst place between two. */
static double lowest_height(double from, double to, double pitch, double depth)
{
    double low = depth;
    for (double u = from; u <= to + 1e-9; u += 0.25)
        low = fmin(low, depth / 2 * (1 + cos(2 * M_PI * (u - 100) / pitch)));
    return low;
}

/* All of the overlap is as high as an eighth of a pitch from the crest's middle: (1 + cos 45 degrees) / 2. */
static void overlaps_stay_on_their_crest(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *ribs = fixture_feature(&f, s, FEATURE_CORRUGATION, rect_of(100, 0, 2400, 1900));
    ribs->ribs_upright = true, ribs->depth_mm = 18;
    for (int i = 0; i < 24; i++) {
        ribs->pitch_mm = 60 + 7.3 * i, s->overlap_mm = 6 + i % 8;
        s->front = i % 2 ? FRONT_LEFT : FRONT_RIGHT;
        struct plan *plan = fixture_plan(&f);
        const struct seam *seam = &plan->surfaces[0].seams[0];
        double hidden = i % 2 ? seam->at_mm - seam->overlap_mm : seam->at_mm + seam->overlap_mm;
        double low = lowest_height(fmin(seam->at_mm, hidden), fmax(seam->at_mm, hidden), ribs->pitch_mm, 18);
        assert_true(low >= 18 * (1 + cos(M_PI / 4)) / 2 - 0.01);
        assert_null(fixture_finding(plan, "overlap-off-crest"));
    }
}

/* A crest of a 76 mm rib is 19 mm wide; a seam on a whole millimetre holds 18 for sure. */
static void overlap_wider_than_a_crest_is_said(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *ribs = fixture_feature(&f, s, FEATURE_CORRUGATION, rect_of(100, 0, 2400, 1900));
    ribs->ribs_upright = true, ribs->pitch_mm = 76, ribs->depth_mm = 18, s->overlap_mm = 25;
    const struct finding *finding = fixture_finding(fixture_plan(&f), "overlap-off-crest");
    assert_non_null(finding);
    assert_non_null(strstr(finding->text, "up to 18 mm fits"));
    s->overlap_mm = 18;
    assert_null(fixture_finding(fixture_plan(&f), "overlap-off-crest"));
    /* A trapezoid's flat: 280 / 2 - 36 / tan 60 = 119.2 mm. */
    ribs->profile = PROFILE_TRAPEZOID, ribs->pitch_mm = 280, ribs->depth_mm = 36, ribs->wall_deg = 60;
    s->overlap_mm = 25;
    struct plan *plan = fixture_plan(&f);
    const struct seam *seam = &plan->surfaces[0].seams[0];
    assert_null(fixture_finding(plan, "overlap-off-crest"));
    double crest = 100 + 280 * round((seam->at_mm - 12.5 - 100) / 280);
    assert_true(seam->at_mm <= crest + 59.7 && seam->at_mm - 25 >= crest - 59.7);
}

static void overlap_of_nothing_is_said(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    assert_null(fixture_finding(fixture_plan(&f), "overlap-none"));
    s->overlap_mm = 0;
    assert_non_null(fixture_finding(fixture_plan(&f), "overlap-none"));
}

/* Side over rear (common practice, no source): the rear goes on first though the job names it last. */
static void what_lies_under_a_corner_goes_on_first(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 1300, 900, FRONT_LEFT, RUN_UPRIGHT);
    fixture_surface(&f, "rear", 1200, 900, FRONT_AWAY, RUN_UPRIGHT);
    struct corner corner = {
        .one = "left", .other = "rear", .over = "left", .wrap_mm = measure_written(20, "job.yaml:8")};
    f.job.corners = &corner, f.job.corner_count = 1;
    struct plan *plan = fixture_plan(&f);
    int64_t start[2] = {0};
    for (size_t i = 0; i < plan->step_count; i++)
        if (plan->steps[i].kind == STEP_INSTALL)
            start[plan->steps[i].panels[0][0] == 'r'] = plan->steps[i].start;
    assert_true(start[0] && start[1] && start[1] < start[0]);
    f.job.corner_count = 0;
}

/* A pane: film 7 mm inside its edge on all sides. */
static void panes_are_cut_short(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "window", 1200, 700, FRONT_LEFT, RUN_UPRIGHT);
    for (int e = 0; e < EDGE_COUNT; e++) s->bleed_mm[e] = -7;
    const struct panel *panel = &fixture_plan(&f)->surfaces[0].panels[0];
    assert_near(panel->visible.x0, 7);
    assert_near(panel->visible.y1, 693);
    assert_near(rect_area(panel->print), 1186 * 686);
    assert_near(panel->print.x1, panel->visible.x1);
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)
    const struct CMUnitTest tests[] = {
        ONE(overlaps_stay_on_their_crest), ONE(overlap_wider_than_a_crest_is_said),
        ONE(overlap_of_nothing_is_said),   ONE(what_lies_under_a_corner_goes_on_first),
        ONE(panes_are_cut_short),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
