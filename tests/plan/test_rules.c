/* The rules of the job folder's contract for panels, held against tables written by hand. */
#include "../support/share.h"
#include "fixture.h"
#include "plan/suit.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
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

static void assert_rect(struct rect r, double x0, double y0, double x1, double y1)
{
    assert_near(r.x0, x0), assert_near(r.y0, y0), assert_near(r.x1, x1), assert_near(r.y1, y1);
}

/* Three panels, seams fixed at 1000 and 2000 of 3000 mm. The table is the contract's "over and under": on a
 * side the panel nearer the front, and the upper, lie over; from above the one nearer the front, and nearer
 * the middle; on rear and front the upper, and nearer the middle. Numbers count from the left and from below;
 * the order begins with what lies under, from the back and from the bottom. */
static const struct over_row {
    enum front front;
    enum panels_run run;
    int over[2];  /* number of the panel that lies over at each seam */
    int order[3]; /* install order of panels 1, 2, 3 */
} over_table[] = {
    {FRONT_LEFT, RUN_UPRIGHT, {1, 2}, {3, 2, 1}}, {FRONT_RIGHT, RUN_UPRIGHT, {2, 3}, {1, 2, 3}},
    {FRONT_UP, RUN_UPRIGHT, {2, 2}, {1, 3, 2}},   {FRONT_DOWN, RUN_UPRIGHT, {2, 2}, {1, 3, 2}},
    {FRONT_AWAY, RUN_UPRIGHT, {2, 2}, {1, 3, 2}}, {FRONT_TOWARDS, RUN_UPRIGHT, {2, 2}, {1, 3, 2}},
    {FRONT_LEFT, RUN_LYING, {2, 3}, {1, 2, 3}},   {FRONT_RIGHT, RUN_LYING, {2, 3}, {1, 2, 3}},
    {FRONT_UP, RUN_LYING, {2, 3}, {1, 2, 3}},     {FRONT_DOWN, RUN_LYING, {1, 2}, {3, 2, 1}},
    {FRONT_AWAY, RUN_LYING, {2, 3}, {1, 2, 3}},   {FRONT_TOWARDS, RUN_LYING, {2, 3}, {1, 2, 3}},
};

static void over_and_under(void **state)
{
    (void)state;
    struct fixed_seam seams[] = {{.at_mm = 1000}, {.at_mm = 2000}};
    for (size_t i = 0; i < sizeof over_table / sizeof *over_table; i++) {
        const struct over_row *row = &over_table[i];
        f.input.surface_count = 0;
        fixture_surface(&f, "s", 3000, 3000, row->front, row->run);
        f.specs[0].seams = seams, f.specs[0].seam_count = 2, f.specs[0].seams_fixed = true;
        struct surface_plan *plan = &fixture_plan(&f)->surfaces[0];
        assert_int_equal(plan->panel_count, 3);
        assert_int_equal(plan->seam_count, 2);
        for (size_t k = 0; k < 2; k++) {
            assert_int_equal(plan->seams[k].over + 1, row->over[k]);
            assert_int_equal(plan->seams[k].axis, row->run == RUN_UPRIGHT ? AXIS_X : AXIS_Y);
            assert_near(plan->seams[k].at_mm, 1000.0 * (double)(k + 1));
            assert_near(plan->seams[k].to_mm - plan->seams[k].from_mm, 3000);
        }
        for (size_t k = 0; k < 3; k++) assert_int_equal(plan->panels[k].install_sequence, row->order[k]);
    }
}

/* In a tie the left one lies over: one seam in the middle of a rear. */
static void middle_is_left_over(void **state)
{
    (void)state;
    struct fixed_seam seam = {.at_mm = 1000};
    fixture_surface(&f, "rear", 2000, 2000, FRONT_AWAY, RUN_UPRIGHT);
    f.specs[0].seams = &seam, f.specs[0].seam_count = 1, f.specs[0].seams_fixed = true;
    assert_int_equal(fixture_plan(&f)->surfaces[0].seams[0].over, 0);
    seam.over = "right"; /* said by hand */
    assert_int_equal(fixture_plan(&f)->surfaces[0].seams[0].over, 1);
}

/* Rectangles by hand: front left, seams at 1000 and 2000. Panel 1 lies over 2: prints 3 beyond. Panel 2 lies
 * under 1: prints 12 beyond at the left, and 3 at the right. Panel 3: 12 at the left, bleed 50 at the right.
 * Height 1900 and bleed 50 at both ends; label strips of 60 mm in the file. */
static void rectangles(void **state)
{
    (void)state;
    struct fixed_seam seams[] = {{.at_mm = 2000}, {.at_mm = 1000}}; /* in any order */
    fixture_surface(&f, "left", 3000, 1900, FRONT_LEFT, RUN_UPRIGHT);
    f.specs[0].seams = seams, f.specs[0].seam_count = 2, f.specs[0].seams_fixed = true;
    struct panel *p = fixture_plan(&f)->surfaces[0].panels;
    assert_rect(p[0].visible, 0, 0, 1000, 1900);
    assert_rect(p[1].visible, 1000, 0, 2000, 1900);
    assert_rect(p[2].visible, 2000, 0, 3000, 1900);
    assert_rect(p[0].print, -50, -50, 1003, 1950);
    assert_rect(p[1].print, 988, -50, 2003, 1950);
    assert_rect(p[2].print, 1988, -50, 3050, 1950);
    assert_rect(p[1].file, 988, -110, 2003, 2010);
    assert_near(p[1].print_length_mm, 2120);
    assert_near(p[1].area_m2, 1.015 * 2.0);
    assert_string_equal(p[1].id, "left-2");
    assert_string_equal(p[1].file_name, "panels/T-1_left.pdf");
    assert_int_equal(p[1].page, 2);
}

static void lying_rectangles(void **state)
{
    (void)state;
    struct fixed_seam seam = {.at_mm = 900};
    fixture_surface(&f, "left", 4000, 1900, FRONT_LEFT, RUN_LYING);
    f.specs[0].seams = &seam, f.specs[0].seam_count = 1, f.specs[0].seams_fixed = true;
    f.job.feed_percent = 100.5;
    struct plan *plan = fixture_plan(&f);
    struct panel *p = plan->surfaces[0].panels;
    assert_rect(p[0].visible, 0, 0, 4000, 900);
    assert_rect(p[0].print, -50, -50, 4050, 912); /* the upper lies over: 12 beneath it */
    assert_rect(p[1].print, -50, 897, 4050, 1950);
    assert_rect(p[0].file, -110, -50, 4110, 912);
    assert_near(p[0].print_length_mm, 4220 * 1.005);
    assert_int_equal(plan->rolls[0].placements[0].turned_deg, 90);
    assert_int_equal(plan->rolls[0].placements[0].panel, 0); /* the lower goes on first */
    assert_near(plan->rolls[0].placements[1].along_mm, 4220 * 1.005);
    assert_near(plan->rolls[0].used_mm, 2 * 4220 * 1.005 + 1000); /* and threading */
}

/* Fewest by hand. Usable 1504 on the wider roll; n panels hold 50 + w1 + 3, 12 + w + 3, 12 + wn + 50, so at
 * most 1451 + (n - 2) 1489 + 1442: 2893 mm in 2 panels, 4382 in 3. */
static void fewest_panels(void **state)
{
    (void)state;
    static const struct {
        double width;
        size_t panels;
    } table[] = {{1404, 1}, {1405, 2}, {2893, 2}, {2894, 3}, {4382, 3}, {4383, 4}, {5871, 4}, {5872, 5}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        f.input.surface_count = 0;
        fixture_surface(&f, "left", table[i].width, 1900, FRONT_LEFT, RUN_UPRIGHT);
        struct surface_plan *plan = &fixture_plan(&f)->surfaces[0];
        assert_int_equal(plan->panel_count, table[i].panels);
    }
}

/* Of two rolls that both need two panels, the narrower is cheaper. 1354 usable: 1301 + 1292 = 2593. */
static void cheapest_roll(void **state)
{
    (void)state;
    fixture_surface(&f, "a", 2593, 1900, FRONT_LEFT, RUN_UPRIGHT);
    fixture_surface(&f, "b", 2594, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct plan *plan = fixture_plan(&f);
    assert_near(plan->surfaces[0].roll_width_mm, 1370);
    assert_near(plan->surfaces[0].usable_mm, 1354);
    assert_near(plan->surfaces[1].roll_width_mm, 1520);
    f.printer.media_width_mm = 1500; /* the printer's width limits: usable 1484 */
    assert_near(fixture_plan(&f)->surfaces[1].usable_mm, 1484);
}

/* A TIFF's pixels are rounded outward, up to one at each side: 2593 mm just fit two panels of the narrower
 * roll (see above), and no longer when 2 x 25.4 / 72 mm must stay free. What is reported is the film's. */
static void pixels_need_room(void **state)
{
    (void)state;
    fixture_surface(&f, "a", 2593, 1900, FRONT_LEFT, RUN_UPRIGHT);
    f.job.resolution_ppi = 72;
    assert_near(fixture_plan(&f)->surfaces[0].usable_mm, 1354);
    f.job.format = PANEL_TIFF;
    struct surface_plan *plan = &fixture_plan(&f)->surfaces[0];
    assert_near(plan->usable_mm, 1504);
    f.specs[0].width_mm = 2590, f.surfaces[0].width_mm = 2590;
    struct point corners[] = {{0, 0}, {2590, 0}, {2590, 1900}, {0, 1900}};
    fixture_outline(&f, &f.surfaces[0], corners, 4); /* 2593 - 2 x 0.71 = 2591.6 hold it again */
    plan = &fixture_plan(&f)->surfaces[0];
    assert_near(plan->usable_mm, 1354);
    for (size_t i = 0; i < plan->panel_count; i++)
        assert_true(rect_width(plan->panels[i].print) <= 1354 - 2 * 25.4 / 72 + 1e-6);
}

/* Two surfaces of one condition: one line of film, one of laminate, as much as both need. */
static void materials_add_up(void **state)
{
    (void)state;
    fixture_surface(&f, "a", 1200, 1000, FRONT_LEFT, RUN_UPRIGHT);
    fixture_surface(&f, "b", 1200, 2000, FRONT_LEFT, RUN_UPRIGHT);
    f.film.length_mm = 3500; /* each surface on a roll of its own */
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->roll_count, 2);
    assert_string_equal(plan->materials[0].what, "film");
    assert_near(plan->materials[0].amount, 1000 + 220 + 2000 + 220 + 2 * 1000); /* bleed, ends, threading */
    assert_string_equal(plan->materials[1].what, "laminate");
    assert_near(plan->materials[1].amount, 3440 + 2 * 1000); /* and threading */
    for (size_t i = 2; i < plan->material_count; i++) assert_non_null(strstr(plan->materials[i].what, "ink"));
}

/* auto: 1300 mm high needs one lying panel and several upright ones; 9000 high and 1300 wide the reverse. */
static void auto_takes_fewer(void **state)
{
    (void)state;
    fixture_surface(&f, "low", 9000, 1300, FRONT_LEFT, RUN_AUTO);
    fixture_surface(&f, "tall", 1300, 9000, FRONT_AWAY, RUN_AUTO);
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].direction, RUN_LYING);
    assert_int_equal(plan->surfaces[0].panel_count, 1);
    assert_int_equal(plan->surfaces[1].direction, RUN_UPRIGHT);
    f.printer.max_length_mm = 8000; /* too long to lie in one piece: in two, still fewer than upright */
    plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].direction, RUN_LYING);
    assert_int_equal(plan->surfaces[0].panel_count, 2);
    assert_int_equal(plan->surfaces[0].seams[0].axis, AXIS_X);
}

static void features_forbid(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    fixture_feature(&f, s, FEATURE_HANDLE, rect_of(1250, 900, 150, 60)); /* margin 30: 1220 to 1430 */
    struct seam *seam = fixture_plan(&f)->surfaces[0].seams;
    assert_true(seam->at_mm <= 1220 || seam->at_mm >= 1430);
    assert_near(seam->at_mm, 1220); /* the nearest to even */
    /* The same seam may pass where the outline ends below the handle: there it does not meet it. */
    struct point low[] = {{0, 0},      {2600, 0},   {2600, 1900}, {1600, 1900},
                          {1600, 800}, {1100, 800}, {1100, 1900}, {0, 1900}};
    fixture_outline(&f, s, low, 8);
    assert_near(fixture_plan(&f)->surfaces[0].seams[0].at_mm, 1300);
}

static void gaps_are_welcome(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *gap = fixture_feature(&f, s, FEATURE_GAP, (struct rect){1410, 0, 1410, 1900});
    gap->from = (struct point){1410, 0}, gap->to = (struct point){1410, 1900};
    struct plan *plan = fixture_plan(&f);
    struct seam *seam = plan->surfaces[0].seams;
    assert_near(seam->at_mm, 1410);
    assert_int_equal(seam->kind, SEAM_GAP);
    assert_near(seam->overlap_mm, 0);
    assert_near(seam->trim_mm, 0);
    assert_near(seam->turn_in_mm, 25);
    assert_rect(plan->surfaces[0].panels[0].print, -50, -50, 1435, 1950); /* both go 25 past the gap */
    assert_rect(plan->surfaces[0].panels[1].print, 1385, -50, 2650, 1950);
    assert_null(fixture_finding(plan, "cut-line"));
    /* Fixed elsewhere: a panel runs across the gap and is marked for cutting. */
    struct fixed_seam fixed = {.at_mm = 1300};
    f.specs[0].seams = &fixed, f.specs[0].seam_count = 1, f.specs[0].seams_fixed = true;
    assert_non_null(fixture_finding(fixture_plan(&f), "cut-line"));
}

static void openings_cost_nothing(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    double plain = (double)fixture_plan(&f)->surfaces[0].seams[0].cost;
    fixture_feature(&f, s, FEATURE_OPENING, rect_of(1350, 800, 60, 900));
    struct seam *seam = fixture_plan(&f)->surfaces[0].seams;
    assert_true(seam->at_mm > 1350 && seam->at_mm < 1410);
    assert_true((double)seam->cost < plain);
}

static void ribs_take_crests(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *ribs = fixture_feature(&f, s, FEATURE_CORRUGATION, rect_of(100, 0, 2400, 1900));
    ribs->pitch_mm = 76, ribs->depth_mm = 18, ribs->ribs_upright = true;
    double at = fixture_plan(&f)->surfaces[0].seams[0].at_mm, off = fabs(remainder(at - 100, 76));
    assert_true(off <= 76.0 / 8);
    /* Even would be 1300, which is a wall: (1300 - 100) / 76 = 15.79 pitches. The nearest crest is 16
     * pitches, 1316, and reaches an eighth of 76 to either side: 1306.5 to 1325.5. The left panel lies over,
     * so the overlap of 12 mm runs to the left of the line: from 1318.5 on it stays on the crest, so 1319. */
    assert_near(at, 1319);
}

static void fixed_seams_are_checked(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct feature *number = fixture_feature(&f, s, FEATURE_KEEP_WHOLE, rect_of(1200, 300, 300, 200));
    number->name = "telephone number";
    struct fixed_seam fixed = {.at_mm = 1300.5};
    f.specs[0].seams = &fixed, f.specs[0].seam_count = 1, f.specs[0].seams_fixed = true;
    struct plan *plan = fixture_plan(&f);
    const struct finding *cut = fixture_finding(plan, "keep-whole-cut");
    assert_non_null(cut);
    assert_int_equal(cut->severity, SEVERITY_WARN); /* fixed by hand: warn, else a stop */
    assert_near(plan->surfaces[0].seams[0].at_mm, 1300.5);
    assert_int_equal(plan->surfaces[0].seams[0].crosses_count, 1);
    assert_string_equal(plan->surfaces[0].seams[0].crosses[0], "telephone number");
    fixed.at_mm = 400; /* the other panel: 12 + 2200 + 50 is wider than any roll */
    plan = fixture_plan(&f);
    assert_non_null(fixture_finding(plan, "no-seam-possible"));
    assert_int_equal(plan->surfaces[0].panel_count, 0);
    /* Left free, the seam keeps off the number. */
    f.specs[0].seams_fixed = false;
    double at = fixture_plan(&f)->surfaces[0].seams[0].at_mm;
    assert_true(at <= 1200 || at >= 1500);
}

/* An impossible surface has neither seams nor panels and names what is in the way; the others are complete.
 */
static void impossible_is_said(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 4000, 1900, FRONT_LEFT, RUN_UPRIGHT);
    fixture_feature(&f, s, FEATURE_KEEP_CLEAR, rect_of(900, 0, 2000, 1900))->name = "mural";
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    struct plan *plan = fixture_plan(&f);
    const struct finding *no = fixture_finding(plan, "no-seam-possible");
    assert_non_null(no);
    assert_int_equal(no->severity, SEVERITY_STOP);
    assert_non_null(strstr(no->text, "mural"));
    assert_int_equal(plan->surfaces[0].panel_count + plan->surfaces[0].seam_count, 0);
    assert_int_equal(plan->surfaces[1].panel_count, 1);
    assert_true(plan->has_install && plan->total_cost > 0);
}

static void glass_is_one_piece(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "window", 2600, 900, FRONT_LEFT, RUN_UPRIGHT);
    s->glass = true;
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].panel_count, 0);
    assert_non_null(fixture_finding(plan, "no-seam-possible"));
    assert_non_null(fixture_finding(plan, "window-rules"));
    fixture_feature(&f, s, FEATURE_GAP, (struct rect){1300, 0, 1300, 900}); /* a pillar */
    plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].panel_count, 2);
    assert_int_equal(plan->surfaces[0].seams[0].kind, SEAM_GAP);
}

/* A sloped outline: by hand, height at x is 1000 + x / 3. Each strip is as long as its part with the overlap
 * band. */
static void strips_follow_the_outline(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 3000, 2000, FRONT_LEFT, RUN_UPRIGHT);
    struct point slope[] = {{0, 0}, {3000, 0}, {3000, 2000}, {0, 1000}};
    fixture_outline(&f, s, slope, 4);
    struct fixed_seam seams[] = {{.at_mm = 1000}, {.at_mm = 2000}};
    f.specs[0].seams = seams, f.specs[0].seam_count = 2, f.specs[0].seams_fixed = true;
    struct surface_plan *plan = &fixture_plan(&f)->surfaces[0];
    const double right[] = {1003, 2003, 3000}; /* 3 mm of trim beyond the line still print */
    for (int i = 0; i < 3; i++) {
        assert_true(fabs(plan->panels[i].visible.y1 - (1000 + right[i] / 3)) < 0.01);
        assert_near(plan->panels[i].print.y1 - plan->panels[i].visible.y1, 50);
    }
    /* The seam's line ends at the lower of both neighbours: the height at 1000 is 1333.3. */
    assert_true(fabs(plan->seams[0].to_mm - (1000 + 1000.0 / 3)) < 0.4);
}

/* Visible rectangles cover an outline once: points inside it lie in exactly one of them. 60 random outlines,
 * widths that are not whole millimetres, every front, both ways. */
static void tiles_cover_once(void **state)
{
    (void)state;
    srand(7);
    for (int n = 0; n < share_of(60); n++) {
        f.input.surface_count = 0;
        double width = 800 + rand() % 5000 + 0.37, height = 600 + rand() % 2500 + 0.81;
        struct surface *s =
            fixture_surface(&f, "s", width, height, (enum front)(n % 6), n & 1 ? RUN_LYING : RUN_UPRIGHT);
        double cut = width * (rand() % 90) / 100, drop = height * (rand() % 80) / 100;
        struct point points[] = {{0, 0}, {width, 0}, {width, height - drop}, {cut, height}, {0, height}};
        fixture_outline(&f, s, points, 5);
        struct surface_plan *plan = &fixture_plan(&f)->surfaces[0];
        assert_true(plan->panel_count > 0);
        for (int k = 0; k < 400; k++) {
            struct point p = {width * rand() / RAND_MAX, height * rand() / RAND_MAX};
            if (!polygon_contains(&s->outline, p)) continue;
            int inside = 0;
            for (size_t i = 0; i < plan->panel_count; i++) {
                struct rect v = plan->panels[i].visible;
                inside += p.x >= v.x0 && p.x < v.x1 && p.y >= v.y0 - 1e-3 && p.y < v.y1 + 1e-3;
            }
            if (n & 1) { /* lying: the same with the axes exchanged */
                inside = 0;
                for (size_t i = 0; i < plan->panel_count; i++) {
                    struct rect v = plan->panels[i].visible;
                    inside += p.y >= v.y0 && p.y < v.y1 && p.x >= v.x0 - 1e-3 && p.x < v.x1 + 1e-3;
                }
            }
            assert_int_equal(inside, 1);
        }
        for (size_t i = 0; i < plan->panel_count; i++) {
            double across = n & 1 ? rect_height(plan->panels[i].print) : rect_width(plan->panels[i].print);
            assert_true(across <= plan->usable_mm + 1e-6);
        }
    }
}

/* The seam keeps off what shows: a map with one plain stretch, far from even. */
static void seams_go_where_nothing_shows(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 2600, 1000, FRONT_LEFT, RUN_UPRIGHT);
    enum { COLUMNS = 2700, ROWS = 110 };
    static uint16_t across[COLUMNS * ROWS], along[COLUMNS * ROWS];
    for (size_t i = 0; i < COLUMNS * ROWS; i++) {
        double x = (double)(i % COLUMNS) - 50;
        across[i] = along[i] = x >= 1180 && x < 1200 ? 0 : 200;
    }
    struct detail_maps maps = {.upright = {{-50, -50, 2650, 1050}, COLUMNS, ROWS, across, along}};
    f.inputs[0].detail = &maps;
    struct seam *seam = fixture_plan(&f)->surfaces[0].seams;
    /* The band of 12 mm before the line is plain for lines from 1192 to 1200; 1200 is nearest to even. */
    assert_near(seam->at_mm, 1200);
    assert_near(seam->detail, 0);
    struct fixed_seam fixed = {.at_mm = 1206};
    f.specs[0].seams = &fixed, f.specs[0].seam_count = 1, f.specs[0].seams_fixed = true;
    /* 1194 to 1206: half plain, half 2 units: mean 1, as model's own mean over that band says. */
    seam = fixture_plan(&f)->surfaces[0].seams;
    assert_near(seam->detail, 1);
    assert_non_null(
        strstr(seam->why.words, "would cost 10.00 EUR less")); /* 1 m x 1 unit x 10, see doc/seams.md */
    assert_near(seam->detail, detail_map_mean(&maps.upright, (struct rect){1194, 0, 1206, 1000}));
}

/* A line of a PDF's text, on a page at 1:10, gives a box by hand: page (128, 30, 134, 34) x 10. */
static void lettering_is_found(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct text_line line = {.box = {128, 30, 134, 34}, .height_mm = 4, .words = "555 0199"};
    struct artwork_facts facts = {.kind = ARTWORK_PDF, .lines = &line, .line_count = 1};
    struct placed_art placed = {
        .facts = &facts, .to_surface = affine_scale(10, 10), .clip = {-50, -50, 2650, 1950}};
    struct surface_art art = {&placed, 1};
    f.inputs[0].art = &art;
    /* 1300 would be even; with 15 mm of margin the nearest places are 1265 and 1355. */
    struct plan *plan = fixture_plan(&f);
    assert_near(plan->surfaces[0].seams[0].at_mm, 1265);
    assert_null(fixture_finding(plan, "seam-crosses"));
    assert_int_equal(plan->surfaces[0].lettering_count, 1);
    assert_rect(plan->surfaces[0].letterings[0].box, 1280, 300, 1340, 340);
    assert_true(plan->surfaces[0].letterings[0].kept);
    /* Fixed through it: used, named, and a person is told. */
    struct fixed_seam fixed = {.at_mm = 1310};
    f.specs[0].seams = &fixed, f.specs[0].seam_count = 1, f.specs[0].seams_fixed = true;
    plan = fixture_plan(&f);
    assert_string_equal(plan->surfaces[0].seams[0].crosses[0], "lettering \"555 0199\"");
    assert_non_null(strstr(fixture_finding(plan, "seam-crosses")->text, "555 0199"));
    f.specs[0].seams_fixed = false;
    /* Longer than a panel: no seam can pass it by, so it is cut, and said. */
    line.box = (struct rect){10, 30, 250, 60};
    plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].panel_count, 2);
    assert_false(plan->surfaces[0].letterings[0].kept);
    assert_non_null(fixture_finding(plan, "seam-crosses"));
    /* A line that a panel holds, where seams could only stand in it (glass elsewhere): cut rather than no
     * plan. */
    line.box = (struct rect){111, 30, 145, 34};
    fixture_feature(&f, &f.surfaces[0], FEATURE_KEEP_CLEAR, rect_of(0, 0, 1130, 1900));
    fixture_feature(&f, &f.surfaces[0], FEATURE_KEEP_CLEAR, rect_of(1450, 0, 1150, 1900));
    plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].panel_count, 2);
    assert_non_null(fixture_finding(plan, "seam-crosses"));
}

/* Two panels suffice; one plain place lies at 1200 only, and two more with three panels. Where the seams
 * stand in the artwork's detail, the least visible plan is another one, and each alternative is the best in
 * its name. */
static void alternatives_differ(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 2880, 1000, FRONT_LEFT, RUN_UPRIGHT); /* two panels: seam 1429 to 1451 */
    enum { COLUMNS = 2980, ROWS = 110 };
    static uint16_t across[COLUMNS * ROWS], along[COLUMNS * ROWS];
    for (size_t i = 0; i < COLUMNS * ROWS; i++) {
        double x = (double)(i % COLUMNS) - 50;
        across[i] = along[i] = x >= 980 && x < 1000 ? 0 : x >= 1980 && x < 2000 ? 0 : 60;
    }
    struct detail_maps maps = {.upright = {{-50, -50, 2930, 1050}, COLUMNS, ROWS, across, along}};
    f.inputs[0].detail = &maps;
    struct plan *best = fixture_plan(&f);
    assert_string_equal(best->alternatives[0].name, "least cost");
    assert_int_equal(best->surfaces[0].panel_count, 2); /* a third panel costs more than 0.6 of detail */
    size_t hidden = 0;
    for (size_t i = 1; i < best->alternative_count; i++)
        if (!strcmp(best->alternatives[i].name, "least visible")) hidden = i;
    assert_true(hidden > 0);
    assert_near(best->alternatives[hidden].worst_detail, 0);
    assert_int_equal(best->alternatives[hidden].panel_count, 3);
    assert_true(best->alternatives[hidden].price > best->alternatives[0].price);
    size_t names = 0; /* each choice is one of the alternatives, and said of it */
    for (size_t i = 0; i < best->alternative_count; i++) names += best->alternatives[i].name_count;
    assert_int_equal(names, 4);
    assert_string_equal(best->alternatives[0].names[1], "fewest panels");
    f.input.choose = (int)hidden;
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->chosen, hidden);
    assert_int_equal(plan->surfaces[0].panel_count, 3);
    assert_int_equal(plan->price, best->alternatives[hidden].price);
    f.input.choose = 0, f.job.choice = "least visible"; /* recorded in the job */
    assert_int_equal(fixture_plan(&f)->chosen, hidden);
    f.job.choice = "least blue"; /* no such: the best, and it is said */
    plan = fixture_plan(&f);
    assert_int_equal(plan->chosen, 0);
    assert_non_null(fixture_finding(plan, "value-assumed"));
}

static void equal_spacing(void **state)
{
    (void)state;
    struct surface *s = fixture_surface(&f, "left", 5400, 1900, FRONT_LEFT, RUN_UPRIGHT);
    f.specs[0].even = true;
    struct surface_plan *plan = &fixture_plan(&f)->surfaces[0];
    assert_int_equal(plan->panel_count, 4);
    for (size_t i = 0; i < 3; i++) assert_near(plan->seams[i].at_mm, 1350 * (double)(i + 1));
    fixture_feature(&f, s, FEATURE_HANDLE, rect_of(2650, 900, 100, 60)); /* in the way of the middle seam */
    plan = &fixture_plan(&f)->surfaces[0];
    assert_int_equal(plan->panel_count, 5);
}

/* Moving a seam 50 mm: on a plain surface it costs the same; where the film is used up to the last millimetre
 * (2893 mm in two panels, see fewest_panels) it cannot be moved at all. */
static void moving_a_seam(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct seam *seam = fixture_plan(&f)->surfaces[0].seams;
    assert_true(seam->cost > 0);
    assert_int_equal(seam->cost_before, seam->cost);
    assert_int_equal(seam->cost_after, seam->cost);
    f.input.surface_count = 0;
    fixture_surface(&f, "left", 2893, 1900, FRONT_LEFT, RUN_UPRIGHT);
    seam = fixture_plan(&f)->surfaces[0].seams;
    assert_near(seam->at_mm, 1451);
    assert_true(seam->cost_before < 0 && seam->cost_after < 0);
}

/* The same place named twice is one seam. */
static void a_seam_named_twice(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 2600, 1900, FRONT_LEFT, RUN_UPRIGHT);
    struct fixed_seam seams[] = {{.at_mm = 1300}, {.at_mm = 1300}};
    f.specs[0].seams = seams, f.specs[0].seam_count = 2, f.specs[0].seams_fixed = true;
    assert_int_equal(fixture_plan(&f)->surfaces[0].panel_count, 2);
}

static void too_long_is_cut_or_a_stop(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 1300, 1900, FRONT_LEFT, RUN_UPRIGHT);
    f.printer.max_length_mm = 2120; /* 1900 + 2 x 50 + 60 + 60 */
    assert_int_equal(fixture_plan(&f)->surfaces[0].panel_count, 1);
    f.printer.max_length_mm = 2119;
    struct plan *plan = fixture_plan(&f);
    assert_int_equal(plan->surfaces[0].panel_count, 2);
    assert_int_equal(plan->surfaces[0].seams[0].axis, AXIS_Y);
    assert_int_equal(plan->surfaces[0].seams[0].over, 1); /* the upper lies over */
    assert_null(fixture_finding(plan, "panel-too-long"));
    f.printer.max_length_mm = 160; /* marks and bleed alone take 170 */
    assert_non_null(fixture_finding(fixture_plan(&f), "panel-too-long"));
}

/* ---- cut both ways ---- */

/* The contract's rule for a lap: whether the left or lower panel lies over. */
static bool low_lies_over(enum front front, enum axis axis, double at, double middle)
{
    bool nearer = at >= middle;
    if (front == FRONT_LEFT || front == FRONT_RIGHT) return axis == AXIS_X && front == FRONT_LEFT;
    if (axis == AXIS_X) return nearer;
    return front == FRONT_DOWN;
}

static void judge_two_way_seam(const struct surface_plan *plan, const struct seam *seam)
{
    const struct panel *over = &plan->panels[seam->over], *under = &plan->panels[seam->under];
    bool x = seam->axis == AXIS_X;
    bool low_over =
        x ? over->visible.x1 <= under->visible.x0 + 1e-6 : over->visible.y1 <= under->visible.y0 + 1e-6;
    const struct surface *s = plan->surface;
    assert_int_equal(low_over,
                     low_lies_over(s->front, seam->axis, seam->at_mm, (x ? s->width_mm : s->height_mm) / 2));
    assert_true(under->install_sequence < over->install_sequence);
    const struct panel *low = low_over ? over : under, *high = low_over ? under : over;
    assert_near(x ? low->visible.x1 : low->visible.y1, seam->at_mm);
    assert_near(x ? high->visible.x0 : high->visible.y0, seam->at_mm);
    assert_near((x ? low->print.x1 : low->print.y1) - seam->at_mm, low_over ? 3 : 12);
    assert_near(seam->at_mm - (x ? high->print.x0 : high->print.y0), low_over ? 12 : 3);
    double from = x ? fmax(low->visible.y0, high->visible.y0) : fmax(low->visible.x0, high->visible.x0);
    double to = x ? fmin(low->visible.y1, high->visible.y1) : fmin(low->visible.x1, high->visible.x1);
    assert_near(seam->from_mm, from), assert_near(seam->to_mm, to);
}

/* Crossings of strips that meet keep apart, so no more than three panels meet anywhere. */
static void judge_corners(const struct surface_plan *plan)
{
    for (size_t i = 0; i < plan->seam_count; i++) {
        struct point p = plan->seams[i].axis == AXIS_X
                             ? (struct point){plan->seams[i].at_mm, plan->seams[i].from_mm}
                             : (struct point){plan->seams[i].from_mm, plan->seams[i].at_mm};
        int meet = 0;
        for (size_t k = 0; k < plan->panel_count; k++) {
            struct rect v = plan->panels[k].visible;
            meet += p.x >= v.x0 - 100 && p.x <= v.x1 + 100 && p.y >= v.y0 - 1 && p.y <= v.y1 + 1 &&
                    plan->direction == RUN_LYING;
            meet += p.y >= v.y0 - 100 && p.y <= v.y1 + 100 && p.x >= v.x0 - 1 && p.x <= v.x1 + 1 &&
                    plan->direction == RUN_UPRIGHT;
        }
        assert_true(meet <= 3);
    }
}

/* A side of 13.6 m by 2.6 m and one of 12 m by 3 m, prints at most 6 m, every front, both ways: the pieces
 * cover it once, fit film and printer, every pair that meets has its seam, laps follow the contract. */
static void both_ways(void **state)
{
    (void)state;
    f.printer.max_length_mm = 6000;
    for (int n = 0; n < share_of(12); n++) {
        f.input.surface_count = 0;
        bool lying = n % 4 < 2, big = n & 1;
        double along = big ? 13600 : 12000, across = big ? 2600 : 3000;
        fixture_surface(&f, "s", lying ? along : across, lying ? across : along, (enum front)(n % 6),
                        lying ? RUN_LYING : RUN_UPRIGHT);
        struct plan *plan = fixture_plan(&f);
        struct surface_plan *sp = &plan->surfaces[0];
        assert_null(fixture_finding(plan, "panel-too-long"));
        assert_true(sp->panel_count >= 6);
        double seen = 0;
        size_t pairs = 0;
        for (size_t i = 0; i < sp->panel_count; i++) {
            struct rect v = sp->panels[i].visible, print = sp->panels[i].print;
            seen += rect_area(v);
            assert_true(sp->panels[i].print_length_mm <= 6000 + 1e-6);
            assert_true((lying ? rect_height(print) : rect_width(print)) <= sp->usable_mm + 1e-6);
            for (size_t k = 0; k < i; k++) {
                struct rect o = sp->panels[k].visible;
                assert_true(rect_is_empty(rect_intersect(v, o)));
                double x = fmin(v.x1, o.x1) - fmax(v.x0, o.x0), y = fmin(v.y1, o.y1) - fmax(v.y0, o.y0);
                pairs += (fabs(x) < 1e-6 && y > 1e-6) || (fabs(y) < 1e-6 && x > 1e-6);
            }
        }
        assert_near(seen / 1e6, along * across / 1e6);
        assert_int_equal(sp->seam_count, pairs);
        for (size_t i = 0; i < sp->seam_count; i++) judge_two_way_seam(sp, &sp->seams[i]);
        judge_corners(sp);
    }
}

/* The published overlap example (CIP4, XJDF-Schema, sample impositionForTiling, also in the shared tables):
 * tiles of 600 x 400 with 10 past every trim edge, so 620 x 420 are printed, neighbours share 20, and 3 x 3
 * tiles show 1820 x 1220. Here: bleed 10 outside; at a seam the overlap of 20 lies on the under panel's side
 * of the line. Published prints sit symmetrically, ours from the line: sums and shared widths are what must
 * agree. */
static void published_tiling_sums(void **state)
{
    (void)state;
    struct fixed_seam columns[] = {{.at_mm = 610},
                                   {.at_mm = 1210}}; /* the published print edges: 620 + k 600 - 10 */
    for (int lying = 0; lying < 2; lying++) {
        f.input.surface_count = 0;
        double tile = lying ? 400 : 600, length = 3 * tile;
        columns[0].at_mm = tile + 10, columns[1].at_mm = 2 * tile + 10;
        struct surface *s = fixture_surface(&f, "s", 1800, 1200, FRONT_LEFT, lying ? RUN_LYING : RUN_UPRIGHT);
        s->overlap_mm = 20, s->seam_trim_mm = 0;
        for (int e = 0; e < EDGE_COUNT; e++) s->bleed_mm[e] = 10;
        f.specs[0].seams = columns, f.specs[0].seam_count = 2, f.specs[0].seams_fixed = true;
        struct panel *p = fixture_plan(&f)->surfaces[0].panels;
        double sum = 0, from[3], to[3];
        for (int i = 0; i < 3; i++) {
            from[i] = lying ? p[i].print.y0 : p[i].print.x0, to[i] = lying ? p[i].print.y1 : p[i].print.x1;
            sum += to[i] - from[i];
        }
        if (!lying) /* front left: the left one lies over, so each print starts 20 before the line: 620 each
                     */
            for (int i = 0; i < 3; i++) assert_near(to[i] - from[i], 620);
        assert_near(sum, 3 * (tile + 20));
        assert_near(to[0] - from[1], 20);
        assert_near(to[1] - from[2], 20);
        assert_near(to[2] - from[0], length + 20);
    }
}

static void same_input_same_plan(void **state)
{
    (void)state;
    fixture_surface(&f, "left", 5400, 1900, FRONT_LEFT, RUN_AUTO);
    struct plan *one = fixture_plan(&f), *other = fixture_plan(&f);
    assert_int_equal(one->price, other->price);
    for (size_t i = 0; i < one->surfaces[0].seam_count; i++)
        assert_true(one->surfaces[0].seams[i].at_mm == other->surfaces[0].seams[i].at_mm);
    for (size_t i = 0; i < one->step_count; i++)
        assert_string_equal(one->steps[i].why.words, other->steps[i].why.words);
}

/* Ink by hand: 100 % C on the left half of a print of 1400 x 2000: half of 2.8 m2 at 8 ml: 11.2 ml. A spot of
 * 300 % passes the limit of 280 and is named with its place. */
static void ink_by_hand(void **state)
{
    (void)state;
    fixture_surface(&f, "rear", 1300, 1900, FRONT_AWAY, RUN_UPRIGHT);
    enum { COLUMNS = 280, ROWS = 400 };
    static uint16_t c[COLUMNS * ROWS], none[COLUMNS * ROWS], spot[COLUMNS * ROWS];
    for (size_t i = 0; i < COLUMNS * ROWS; i++) c[i] = i % COLUMNS < COLUMNS / 2 ? 10000 : 0;
    struct ink_map map = {{-50, -50, 1350, 1950}, COLUMNS, ROWS, {c, none, spot, spot}};
    f.inputs[0].ink = &map;
    struct plan *plan = fixture_plan(&f);
    assert_near(plan->surfaces[0].panels[0].ink_ml[0], 11.2);
    assert_near(plan->surfaces[0].panels[0].coverage.mean_percent, 50);
    assert_null(fixture_finding(plan, "ink-over-limit"));
    spot[100 * COLUMNS + 20] = 10000; /* x from 50, y from 450 */
    const struct finding *over = fixture_finding(fixture_plan(&f), "ink-over-limit");
    assert_non_null(over);
    assert_rect(over->box, 50, 450, 55, 455);
}

int main(void)
{
#define ONE(test) cmocka_unit_test_setup_teardown(test, open_fixture, close_fixture)
    const struct CMUnitTest tests[] = {
        ONE(over_and_under),
        ONE(middle_is_left_over),
        ONE(rectangles),
        ONE(lying_rectangles),
        ONE(fewest_panels),
        ONE(cheapest_roll),
        ONE(pixels_need_room),
        ONE(materials_add_up),
        ONE(auto_takes_fewer),
        ONE(features_forbid),
        ONE(gaps_are_welcome),
        ONE(openings_cost_nothing),
        ONE(ribs_take_crests),
        ONE(fixed_seams_are_checked),
        ONE(impossible_is_said),
        ONE(glass_is_one_piece),
        ONE(strips_follow_the_outline),
        ONE(tiles_cover_once),
        ONE(seams_go_where_nothing_shows),
        ONE(lettering_is_found),
        ONE(alternatives_differ),
        ONE(equal_spacing),
        ONE(moving_a_seam),
        ONE(a_seam_named_twice),
        ONE(too_long_is_cut_or_a_stop),
        ONE(both_ways),
        ONE(published_tiling_sums),
        ONE(same_input_same_plan),
        ONE(ink_by_hand),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
