/* What of a surface is covered, and pieces on it, against sums of its own: distances, areas by scan lines and spans by
 * points, over random outlines of a fixed seed. */
#include "model/practice.h"
#include "support.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct made made;
static const double W = 5400, H = 1900, BLEED = 50; /* the usual bleed: common practice, no source */

static int set_up(void **state)
{
    (void)state;
    made = made_new();
    made.spec.width_mm = W, made.spec.height_mm = H;
    made.spec.has_front = true, made.spec.front = FRONT_LEFT;
    made.spec.cover.place = (struct place){"job.yaml", 9, 5};
    made.spec.cover.bleed_mm = measure_written(8, "job.yaml:9");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    made_free(&made);
    return 0;
}

static struct surface *covered(enum cover_kind kind, double at)
{
    made.spec.cover.kind = kind, made.spec.cover.at_mm = at;
    made.report = report_new(made.arena);
    assert_true(made_run(&made));
    assert_true(made_cover(&made, NULL));
    return made.surface;
}

static void assert_box(struct rect box, double x0, double y0, double x1, double y1)
{
    assert_near(box.x0, x0, 1e-3), assert_near(box.y0, y0, 1e-3);
    assert_near(box.x1, x1, 1e-3), assert_near(box.y1, y1, 1e-3);
}

/* ---- halves ---- */

static void halves_by_the_front(void **state)
{
    (void)state;
    static const struct {
        enum front front;
        enum cover_kind kind;
        struct rect covered, printed;
    } halves[] = {
        {FRONT_LEFT, COVER_BEHIND, {2100, 0, 5400, 1900}, {2092, -50, 5450, 1950}},
        {FRONT_LEFT, COVER_BEFORE, {0, 0, 2100, 1900}, {-50, -50, 2108, 1950}},
        {FRONT_RIGHT, COVER_BEHIND, {0, 0, 2100, 1900}, {-50, -50, 2108, 1950}},
        {FRONT_RIGHT, COVER_BEFORE, {2100, 0, 5400, 1900}, {2092, -50, 5450, 1950}},
        {FRONT_UP, COVER_BEHIND, {0, 0, 5400, 700}, {-50, -50, 5450, 708}},
        {FRONT_DOWN, COVER_BEHIND, {0, 700, 5400, 1900}, {-50, 692, 5450, 1950}},
    };
    for (size_t i = 0; i < sizeof halves / sizeof *halves; i++) {
        made.spec.front = halves[i].front;
        bool along_y = halves[i].front == FRONT_UP || halves[i].front == FRONT_DOWN;
        const struct surface *s = covered(halves[i].kind, along_y ? 700 : 2100);
        struct rect c = halves[i].covered, p = halves[i].printed;
        assert_int_equal(made.report.count, 0);
        assert_box(surface_covered_box(s), c.x0, c.y0, c.x1, c.y1);
        assert_box(surface_bleed_box(s), p.x0, p.y0, p.x1, p.y1);
        assert_near(region_area(&s->printed), rect_area(p), 1);
        assert_near(s->area_m2, rect_area(c) / 1e6, 1e-9);
        for (size_t x = 0; x < s->up_count; x++)
            assert_int_equal(s->up[x].low_mm <= s->up[x].high_mm, (double)x >= c.x0 && (double)x < c.x1);
        assert_int_equal(s->printed_up.first, (int)p.x0);
        assert_int_equal(s->printed_up.count, (int)(p.x1 - p.x0));
    }
}

static void refused_with_a_sentence(void **state)
{
    (void)state;
    made.spec.front = FRONT_AWAY;
    assert_int_equal(covered(COVER_BEHIND, 2100)->covered.count, 0);
    assert_true(made_says(&made, 9, "the rear lies on no side of it", false));
    made.spec.front = FRONT_LEFT;
    assert_int_equal(covered(COVER_BEHIND, 5400)->covered.count, 0);
    assert_true(made_says(&made, 9, "leaves nothing of it", false));
    assert_int_equal(covered(COVER_BEFORE, 6000)->covered.count, 0);
    assert_true(made_says(&made, 9, "takes in all of it", true));
    assert_int_equal(made.report.errors, 0);
    made.spec.cover.outline = "half";
    (void)covered(COVER_OUTLINE, 0);
    assert_true(made_says(&made, 9, "the surface has no drawing", false));
}

/* ---- outlines ---- */

static const char drawn[] =
    "<svg xmlns='http://www.w3.org/2000/svg' width='700mm' height='300mm' viewBox='0 0 7000 3000'>"
    "<rect class='outline' x='500' y='400' width='5400' height='1900'/>"
    "<path id='half' d='M2500 400 L5900 400 L5900 2300 L3500 2300 Z'/>"
    "<g id='dots'><circle cx='1000' cy='1000' r='100'/><circle cx='2000' cy='2300' r='200'/></g></svg>";

static void a_shape_of_its_drawing(void **state)
{
    (void)state;
    made.spec.cover.kind = COVER_OUTLINE, made.spec.cover.outline = "half";
    assert_true(made_svg(&made, drawn, 10));
    assert_true(made_cover(&made, NULL));
    struct surface *s = made.surface;
    assert_int_equal(made.report.errors, 0);
    assert_box(surface_covered_box(s), 2000, 0, 5400, 1900); /* drawn from 2500, less 500 */
    assert_near(s->area_m2, (3400 + 2400) / 2.0 * 1900 / 1e6, 1e-6);
    made.spec.cover.outline = "dots";
    assert_true(made_svg(&made, drawn, 10) && made_cover(&made, NULL));
    assert_int_equal(made.surface->covered.count, 2);
    assert_near(made.surface->area_m2, (M_PI * 1e4 + M_PI * 2e4) / 1e6, 1e-4); /* the second one is half */
    made.spec.cover.outline = "dot";
    assert_true(made_svg(&made, drawn, 10) && made_cover(&made, NULL));
    assert_true(made_says(&made, 9, "has the id or label", false));
}

static void a_file(void **state)
{
    (void)state;
    made.spec.cover.outline = "half.svg", made.spec.cover.outline_path = "half.svg";
    made_file(
        "<svg xmlns='http://www.w3.org/2000/svg' width='6000mm' height='2500mm' viewBox='0 0 6000 2500'>"
        "<rect id='outline' x='1000' y='1500' width='800' height='600'/></svg>");
    const struct surface *s = covered(COVER_OUTLINE, 0);
    assert_box(surface_covered_box(s), 1000, 400, 1800, 1000); /* from the paper's lower left corner */
    assert_box(surface_bleed_box(s), 992, 392, 1808, 1008);
    made_file("<svg xmlns='http://www.w3.org/2000/svg' width='6000mm' height='2500mm'/>");
    (void)covered(COVER_OUTLINE, 0);
    assert_true(made_says(&made, 9, "half.svg has no closed shape", false));
}

static void a_silhouette(void **state)
{
    (void)state;
    struct point points[] = {{100, 100}, {900, 100}, {900, 400}, {100, 400}};
    struct polygon ring = {points, 4};
    struct region region = {&ring, 1}, none = {NULL, 0};
    made.spec.cover.kind = COVER_SILHOUETTE;
    assert_true(made_run(&made) && made_cover(&made, &none));
    assert_int_equal(made.surface->covered.count, 0);
    assert_true(made_cover(&made, &region));
    assert_box(surface_bleed_box(made.surface), 92, 92, 908, 408);
}

/* Film on a pane ends short of its edges, 7 mm here; only inside of them is it printed. */
static void half_a_pane(void **state)
{
    (void)state;
    made.spec.glass = true, made.spec.bleed.cut_short_mm = 7;
    const struct surface *s = covered(COVER_BEHIND, 2000);
    assert_box(surface_bleed_box(s), 1992, 7, 5393, 1893);
    assert_near(s->area_m2, 3393.0 * 1886 / 1e6, 1e-6);
}

static void features_that_it_lies_on(void **state)
{
    (void)state;
    struct feature features[] = {{.kind = FEATURE_OPENING, .box = {200, 200, 400, 400}, .margin_mm = -1},
                                 {.kind = FEATURE_GAP,
                                  .box = {3000, 0, 3000, 1900},
                                  .from = {3000, 0},
                                  .to = {3000, 1900},
                                  .margin_mm = -1},
                                 {.kind = FEATURE_OPENING, .box = {2000, 500, 2300, 700}, .margin_mm = -1}};
    made.spec.features = features, made.spec.feature_count = 3;
    const struct surface *s = covered(COVER_BEHIND, 2100);
    assert_int_equal(s->feature_count, 2);
    assert_near(s->area_m2, (3300.0 * 1900 - 200 * 200) / 1e6, 1e-9);
}

/* ---- random outlines ---- */

static uint32_t seed;

static double drawn_number(double from, double to)
{
    seed = seed * 1664525u + 1013904223u;
    return from + (to - from) * (double)(seed >> 8) / (double)(1u << 24);
}

/* A star around a middle, partly off the surface: it does not cross itself. */
static struct polygon star(struct point *points, size_t count)
{
    double x = drawn_number(0, W), y = drawn_number(0, H), size = drawn_number(200, 2500);
    for (size_t i = 0; i < count; i++) {
        double turn = 2 * M_PI * (double)i / (double)count, r = size * drawn_number(0.4, 1);
        points[i] = (struct point){x + r * cos(turn), y + r * sin(turn)};
    }
    return (struct polygon){points, count};
}

static bool on_surface(struct point p)
{
    return p.x > 0 && p.y > 0 && p.x < W && p.y < H;
}

static double edge_distance(const struct polygon *polygon, struct point p)
{
    double nearest = INFINITY;
    for (size_t i = 0; i < polygon->count; i++)
        nearest =
            fmin(nearest, segment_distance(p, polygon->points[i], polygon->points[(i + 1) % polygon->count]));
    return nearest;
}

/* Beside the surface the bleed of an edge lies straight out from what is printed at the edge. */
static bool wanted_printed(const struct polygon *polygon, struct point p, double *doubt)
{
    struct point in = {fmin(fmax(p.x, 0), W), fmin(fmax(p.y, 0), H)};
    double away = edge_distance(polygon, in);
    bool inside = polygon_contains(polygon, in);
    *doubt = fabs(away - (inside ? INFINITY : 8));
    *doubt = fmin(*doubt, fabs(hypot(0, fmax(fabs(p.x - in.x), fabs(p.y - in.y))) - BLEED));
    if (fabs(p.x - in.x) > BLEED || fabs(p.y - in.y) > BLEED) return false;
    return inside || away <= 8;
}

/* Within a distance of the star's part on the surface: of the star itself, where it lies on the surface nearby. */
static void points_are_printed_within_the_bleed(void **state)
{
    (void)state;
    size_t judged = 0;
    for (int round = 0; round < 60; round++) {
        struct point points[12];
        seed = (uint32_t)(round + 1) * 2654435761u;
        made.spec.cover.points = star(points, 12);
        const struct polygon asked = made.spec.cover.points;
        const struct surface *s = covered(COVER_OUTLINE, 0);
        if (!s->covered.count) continue;
        for (int i = 0; i < 400; i++) {
            struct point p = {drawn_number(-80, W + 80), drawn_number(-80, H + 80)};
            double doubt, edge = fmin(fmin(fabs(p.x), fabs(p.x - W)), fmin(fabs(p.y), fabs(p.y - H)));
            bool wanted = wanted_printed(&asked, p, &doubt);
            if (doubt < 0.1 || edge_distance(&asked, p) < 0.1 || edge < 8.1) continue;
            if (on_surface(p)) assert_int_equal(region_contains(&s->covered, p), polygon_contains(&asked, p));
            assert_int_equal(region_contains(&s->printed, p), wanted);
            judged++;
        }
    }
    assert_true(judged > 10000);
}

/* Points up three lines of a millimetre that has no corner in it: edges are straight, so two of them are nearly at its
 * ends. */
static void column_agrees(const struct surface *s, const struct polygon *asked, size_t column)
{
    static const double at[] = {0.001, 0.5, 0.999};
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < asked->count; i++)
        if (fabs(asked->points[i].x - (double)column - 0.5) < 1) return;
    for (int i = 0; i < 3; i++)
        for (double y = 0.25; y < H; y += 0.5) {
            if (!polygon_contains(asked, (struct point){(double)column + at[i], y})) continue;
            low = fmin(low, y), high = fmax(high, y);
        }
    if (low > high) return;
    assert_near((double)s->up[column].low_mm, low, 0.6);
    assert_near((double)s->up[column].high_mm, high, 0.6);
}

/* Area by scan lines half a millimetre apart, spans by points of them. */
static void areas_and_spans_by_scan_lines(void **state)
{
    (void)state;
    for (int round = 0; round < 12; round++) {
        struct point points[9];
        seed = (uint32_t)(round + 77) * 2654435761u;
        made.spec.cover.points = star(points, 9);
        const struct polygon asked = made.spec.cover.points;
        const struct surface *s = covered(COVER_OUTLINE, 0);
        double sum = 0;
        if (!s->covered.count) continue;
        for (double y = 0.25; y < H; y += 0.5) {
            double xs[16];
            size_t count = 0;
            for (size_t i = 0; i < 9; i++) {
                struct point p = asked.points[i], q = asked.points[(i + 1) % 9];
                if ((p.y > y) != (q.y > y)) xs[count++] = p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x);
            }
            for (size_t i = 0; i < count;
                 i++) { /* inside between an odd crossing from the left and the next */
                size_t before = 0;
                double next = INFINITY;
                for (size_t k = 0; k < count; k++) before += xs[k] < xs[i];
                for (size_t k = 0; k < count; k++)
                    if (xs[k] > xs[i]) next = fmin(next, xs[k]);
                if (before % 2 == 0 && next < INFINITY) sum += fmax(0, fmin(next, W) - fmax(xs[i], 0)) * 0.5;
            }
        }
        assert_near(s->area_m2, sum / 1e6, 0.001 * sum / 1e6);
        for (size_t x = 3; x < s->up_count; x += 137) column_agrees(s, &asked, x);
    }
}

/* ---- pieces ---- */

static struct artwork_spec logo = {.file = "logo.pdf", .page = 1, .scale = 1, .has_at = true};

static struct piece_spec piece_spec(void)
{
    struct piece_spec spec = {.name = "logo", .place = {"job.yaml", 20, 7}, .count = 2, .artwork = &logo};
    spec.bleed_mm = measure_written(2, "job.yaml:21");
    return spec;
}

static struct surface *piece_of(const struct piece_spec *spec, struct rect box)
{
    struct polygon ring = polygon_of_rect(box, made.arena);
    struct region outline = {&ring, 1};
    struct notes notes = {made.arena, &made.report, &made.findings};
    struct error error = {.kind = FAILURE_NONE};
    struct surface *piece = NULL;
    assert_true(survey_piece(made.surface, spec, &outline, &notes, &piece, &error));
    return piece;
}

static void a_piece_is_a_surface(void **state)
{
    (void)state;
    struct piece_spec spec = piece_spec();
    assert_true(made_run(&made));
    const struct surface *piece = piece_of(&spec, (struct rect){1000, 300, 1800.5, 700});
    assert_string_equal(piece->name, "left logo");
    assert_string_equal(piece->id, "left-logo");
    assert_ptr_equal(piece->host, made.surface);
    assert_ptr_equal(piece->piece, &spec);
    assert_int_equal(piece->copies, 2);
    assert_true(piece->contour_cut);
    assert_near(piece->width_mm, W, 0);
    assert_int_equal(piece->spec->artwork_count, 1);
    assert_int_equal(made.spec.artwork_count, 0);
    assert_box(surface_bleed_box(piece), 998, 298, 1802.5, 702);
    assert_box(region_bounds(&piece->cut), 1000, 300, 1800.5, 700);
    assert_near(piece->area_m2, 800.5 * 400 / 1e6, 1e-9);
    assert_near((double)piece->up[1800].high_mm, 700, 0);
    assert_true(piece->up[1801].low_mm > piece->up[1801].high_mm);
    assert_int_equal(made.findings.count, 0);
}

static void a_piece_past_the_edge(void **state)
{
    (void)state;
    struct piece_spec spec = piece_spec();
    assert_true(made_run(&made));
    const struct surface *piece = piece_of(&spec, (struct rect){5000, -30, 5500, 170});
    const struct finding *f = made_finding(&made, "piece-past-edge");
    assert_non_null(f);
    assert_non_null(strstr(f->text, "320 cm2 of it are cut off"));
    assert_box(region_bounds(&piece->covered), 5000, 0, 5400, 170);
    assert_near(f->figure, (500 * 200 - 400 * 170) / 100.0, 1e-6);
    assert_null(piece_of(&spec, (struct rect){6000, 0, 6200, 100}));
    assert_true(made_says(&made, 20, "nothing of it lies on surface left", false));
}

static void a_piece_apart_at_gaps(void **state)
{
    (void)state;
    struct feature gap = {
        .kind = FEATURE_GAP, .box = {1400, 0, 1400, H}, .from = {1400, 0}, .to = {1400, H}, .margin_mm = -1};
    struct piece_spec spec = piece_spec();
    made.spec.features = &gap, made.spec.feature_count = 1;
    assert_true(made_run(&made));
    assert_int_equal(piece_of(&spec, (struct rect){1000, 300, 1800, 700})->covered.count, 1);
    spec.apart = true;
    const struct surface *piece = piece_of(&spec, (struct rect){1000, 300, 1800, 700});
    assert_int_equal(piece->covered.count, 2);
    assert_near(piece->area_m2, (800 - practice_value("piece-gap").value) * 400 / 1e6, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(halves_by_the_front, set_up, tear_down),
        cmocka_unit_test_setup_teardown(refused_with_a_sentence, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_shape_of_its_drawing, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_file, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_silhouette, set_up, tear_down),
        cmocka_unit_test_setup_teardown(half_a_pane, set_up, tear_down),
        cmocka_unit_test_setup_teardown(features_that_it_lies_on, set_up, tear_down),
        cmocka_unit_test_setup_teardown(points_are_printed_within_the_bleed, set_up, tear_down),
        cmocka_unit_test_setup_teardown(areas_and_spans_by_scan_lines, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_piece_is_a_surface, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_piece_past_the_edge, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_piece_apart_at_gaps, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
