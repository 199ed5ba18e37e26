/* The sums against published constants and the handbook's tables; positions against an integration of our own
 * that knows nothing of the formulas. */
#include "support.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static struct made made;

static int set_up(void **state)
{
    (void)state;
    made = made_new();
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    made_free(&made);
    return 0;
}

/* Abramowitz and Stegun, table 17.1: E(0) = pi/2, E(0.5) = 1.35064 38810, E(1) = 1. */
static void complete_integral(void **state)
{
    (void)state;
    assert_near(elliptic_complete(0), M_PI / 2, 1e-15);
    assert_near(elliptic_complete(0.5), 1.3506438810476755, 1e-14);
    assert_near(elliptic_complete(1), 1, 0);
    /* DLMF 19.7.2: E(-m) = sqrt(1+m) E(m/(1+m)). */
    assert_near(elliptic_complete(-2), sqrt(3) * elliptic_complete(2.0 / 3), 1e-14);
}

/* Simpson's rule on sqrt(1 - m sin^2). */
static double by_simpson(double phi, double m)
{
    enum { STEPS = 2000 };
    double h = phi / STEPS, sum = 0;
    for (int i = 0; i <= STEPS; i++) {
        double s = sin(i * h), weight = i == 0 || i == STEPS ? 1 : i % 2 ? 4 : 2;
        sum += weight * sqrt(1 - m * s * s);
    }
    return sum * h / 3;
}

static void incomplete_integral(void **state)
{
    (void)state;
    for (double m = -20; m <= 0.99; m += 0.37)
        for (double phi = 0; phi <= 1.57; phi += 0.1)
            assert_near(elliptic_incomplete(phi, m), by_simpson(phi, m), 1e-9);
    for (double m = -20; m < 1; m += 0.5)
        assert_near(elliptic_incomplete(M_PI / 2, m), elliptic_complete(m), 1e-12);
}

/* Handbook: one period of sin x is 7.640395578 long (standard constant). */
static void one_period_of_the_sine(void **state)
{
    (void)state;
    assert_near(factor_sinusoid(2, 2 * M_PI) * 2 * M_PI, 7.640395578, 1e-9);
    assert_near(factor_sinusoid(0, 50), 1, 1e-15);
}

/* Rows of the handbook's tables (recomputed there by quadrature), carried here so that the sums are checked
 * everywhere. */
static void core_values(void **state)
{
    (void)state;
    assert_near(factor_sinusoid(0.24, 1), 1.1297347, 5e-8);
    assert_near(factor_sinusoid(1, 1), 2.3048927, 5e-8);
    assert_near(factor_trapezoid(0.2, 1, 60), 1.230940, 5e-7);
    assert_near(factor_trapezoid(0.3, 1, 90), 1.6, 5e-7);
    assert_near(factor_arcs(0.25, 1), 1.159119, 5e-7);
    assert_near(factor_arc_tangent(12.7, 67.73, 18.11), 1.0797, 5e-5);
    assert_near(strain_recess(1, 0.3, 60, 0), 0.346410, 5e-7);
    assert_near(strain_recess(240, 18, 90, 0), 2 * 18 / 240.0, 1e-12);
    assert_near(factor_cap(1, 0.133975), 1.047198, 1e-6);
}

/* The next row of a table: its cells as numbers (NAN for words) and the first as written. Rows whose second
 * cell is no number are headings. */
static size_t table_row(struct str *rest, double values[8], char word[32])
{
    while (rest->length) {
        size_t end = 0, count = 0, from = 0;
        while (end < rest->length && rest->bytes[end] != '\n') end++;
        struct str line = str_slice(*rest, 0, end);
        *rest = str_slice(*rest, end + 1, rest->length);
        if (str_starts(line, "#")) continue;
        for (size_t i = 0; i <= line.length && count < 8; i++) {
            if (i < line.length && line.bytes[i] != ',') continue;
            struct str cell = str_slice(line, from, i);
            if (str_number(cell, &values[count]) != cell.length || !cell.length) values[count] = NAN;
            if (count == 0)
                snprintf(word, 32, "%.*s", (int)(cell.length < 31 ? cell.length : 31), cell.bytes);
            count++, from = i + 1;
        }
        if (count > 1 && !isnan(values[1])) return count;
    }
    return 0;
}

static void sinusoid_table(void **state)
{
    (void)state;
    struct str rest = shared_file(made.arena, "handbook/values/corrugation_sinusoid.csv");
    double v[8];
    char word[32];
    int rows = 0;
    for (; table_row(&rest, v, word); rows++) {
        assert_near(factor_sinusoid(v[1], 1), v[3], 5.1e-8);
        assert_near(100 * (factor_sinusoid(v[1], 1) - 1), v[4], 5.1e-5);
    }
    assert_int_equal(rows, 17);
}

static void trapezoid_and_arc_table(void **state)
{
    (void)state;
    struct str rest = shared_file(made.arena, "handbook/values/corrugation_trapezoid_arc.csv");
    double v[8];
    char word[32];
    int rows = 0;
    for (; table_row(&rest, v, word); rows++) {
        bool arcs = !strcmp(word, "circular_arcs");
        double factor = arcs ? factor_arcs(v[1], 1) : factor_trapezoid(v[1], 1, v[2]);
        assert_near(factor, v[3], 5.1e-7);
        if (arcs) assert_near(2 * atan(2 * v[1]) * 180 / M_PI, v[2], 5.1e-5);
    }
    assert_int_equal(rows, 35);
}

static void arc_tangent_table(void **state)
{
    (void)state;
    struct str rest = shared_file(made.arena, "handbook/values/corrugation_arc_tangent.csv");
    double v[8];
    char word[32];
    int rows = 0;
    for (; table_row(&rest, v, word); rows++) assert_near(factor_arc_tangent(v[2], v[1], v[3]), v[6], 5.1e-5);
    assert_int_equal(rows, 3);
}

/* Published take-up of a board flute: arcs and tangents, so the plain sinusoid may be off by a few percent
 * (the table says 3.1 %). */
static void flute_is_plausible(void **state)
{
    (void)state;
    assert_near(factor_sinusoid(0.045 * 25.4, 12 * 25.4 / 96) / 1.23, 1.031, 0.001);
}

static void recess_table(void **state)
{
    (void)state;
    struct str rest = shared_file(made.arena, "handbook/values/recess_stretch.csv");
    double v[8];
    char word[32];
    int rows = 0;
    for (; table_row(&rest, v, word); rows++) assert_near(strain_recess(1, v[0], v[1], 0), v[2], 5.1e-7);
    assert_int_equal(rows, 22);
}

static void cap_table(void **state)
{
    (void)state;
    struct str rest = shared_file(made.arena, "handbook/values/spherical_cap.csv");
    double v[8];
    char word[32];
    int rows = 0;
    for (; table_row(&rest, v, word); rows++) {
        double t = v[0] * M_PI / 180;
        assert_near(factor_cap(2 * sin(t), 1 - cos(t)), v[3], 5.1e-7);
        assert_near((1 - cos(t)) / (2 * sin(t)), v[7], 5.1e-7);
    }
    assert_int_equal(rows, 16);
}

/* Rounding takes two tangent lengths and gives an arc at each bend; a path drawn by hand for 90 degrees. */
static void rounded_recess(void **state)
{
    (void)state;
    double sharp = 100 + 2 * 20, rounded = sharp - 4 * (2 * 5 - 5 * M_PI / 2);
    assert_near(strain_recess(100, 20, 90, 5), rounded / 100 - 1, 1e-12);
    /* Bends that meet on the wall: the wall is two quarter circles, whatever larger radius is said. */
    assert_near(strain_recess(100, 20, 90, 1000), strain_recess(100, 20, 90, 10), 1e-12);
}

/* Correction of the trade: tacked on half of each pitch, the other half takes it all. */
static void local_is_over_the_free_span(void **state)
{
    (void)state;
    assert_near(strain_local(0.05, 80, 40), 0.10, 1e-12);
    assert_near(strain_local(0.05, 80, 0), 0.05, 1e-12);
    struct corrugation upright = {
        .profile = PROFILE_TRAPEZOID, .pitch_mm = 80, .depth_mm = 10, .wall_deg = 90};
    assert_near(corrugation_tacked_mm(&upright), 40, 1e-9);
}

/* ---- positions, folded back ---- */

static const struct point measured[] = {{3, 0}, {13, 0}, {20, -12}, {31, -12}, {31, -4}, {40, 0}, {48, 0}};

static const struct corrugation shapes[] = {
    {.profile = PROFILE_SINUSOID, .pitch_mm = 76, .depth_mm = 18},
    {.profile = PROFILE_SINUSOID, .pitch_mm = 20, .depth_mm = 20},
    {.profile = PROFILE_TRAPEZOID, .pitch_mm = 120, .depth_mm = 25, .wall_deg = 60},
    {.profile = PROFILE_TRAPEZOID, .pitch_mm = 60, .depth_mm = 8, .wall_deg = 90},
    {.profile = PROFILE_ARCS, .pitch_mm = 50, .depth_mm = 20},
    {.profile = PROFILE_ARCS, .pitch_mm = 67.73, .depth_mm = 12.7, .radius_mm = 18.11},
    {.profile = PROFILE_POLYLINE, .pitch_mm = 45, .depth_mm = 12, .polyline = measured, .polyline_count = 7},
};
enum { SHAPES = sizeof shapes / sizeof *shapes };

/* The height of each profile at x from the start of a rib, drawn from its description alone. */
static double height_at(const struct corrugation *s, double x)
{
    double p = s->pitch_mm, d = s->depth_mm;
    x = fmod(x, p);
    if (s->profile == PROFILE_SINUSOID) return d / 2 * cos(2 * M_PI * x / p);
    if (s->profile == PROFILE_POLYLINE) {
        for (size_t i = 1; i < s->polyline_count; i++) {
            struct point a = s->polyline[i - 1], b = s->polyline[i];
            if (x + 3 <= b.x && b.x > a.x) return a.y + (b.y - a.y) * (x + 3 - a.x) / (b.x - a.x);
        }
        return 0;
    }
    if (x > p / 2) x = p - x;
    if (s->profile == PROFILE_TRAPEZOID) {
        double run = s->wall_deg == 90 ? 0 : d / tan(s->wall_deg * M_PI / 180), flat = (p / 2 - run) / 2;
        if (x <= flat) return d / 2;
        return x >= flat + run ? -d / 2 : d / 2 - d * (x - flat) / run;
    }
    /* Arcs: circles of radius r about (0, d/2 - r), and the valley's turned about the middle of the wall. */
    double r = s->radius_mm > 0 ? s->radius_mm : ((p / 4) * (p / 4) + (d / 2) * (d / 2)) / d;
    bool valley = x > p / 4;
    if (valley) x = p / 2 - x;
    double best = d / 2 - r + sqrt(fmax(0, r * r - x * x));
    if (s->radius_mm > 0) {
        /* The tangent from the middle of the wall to the circle. */
        double cx = -p / 4, cy = d / 2 - r, reach = hypot(cx, cy), a = atan2(cy, cx) - asin(r / reach);
        double tx = p / 4 + cos(a) * sqrt(reach * reach - r * r);
        if (x > tx) best = tan(a) * (x - p / 4);
    }
    return valley ? -best : best;
}

/* Length along the profile from 0 to x: chords over 100,000 steps, nothing else. */
static double walked(const struct corrugation *s, double x)
{
    double length = 0, before = height_at(s, 0);
    enum { STEPS = 100000 };
    for (int i = 1; i <= STEPS; i++) {
        double now = height_at(s, i * x / STEPS);
        length += hypot(x / STEPS, now - before);
        before = now;
    }
    return length;
}

/* What is printed at corrugation_print_mm(x) must lie at x when the print is laid along the profile. */
static void print_folds_back(void **state)
{
    (void)state;
    for (int k = 0; k < SHAPES; k++)
        for (int i = 1; i < 40; i++) {
            double x = shapes[k].pitch_mm * i / 39.7;
            assert_near(corrugation_print_mm(&shapes[k], x), walked(&shapes[k], x), 0.02);
        }
}

static void factors_agree_with_walking(void **state)
{
    (void)state;
    for (int k = 0; k < SHAPES; k++) {
        double p = shapes[k].pitch_mm;
        assert_near(corrugation_factor(&shapes[k]), walked(&shapes[k], p * (1 - 1e-9)) / p, 1e-4);
        assert_near(corrugation_print_mm(&shapes[k], 7 * p), 7 * p * corrugation_factor(&shapes[k]), 1e-6);
    }
}

/* Between samples a straight line is near enough; both rise. */
static void samples_are_straight_enough(void **state)
{
    (void)state;
    for (int k = 0; k < SHAPES; k++) {
        size_t count;
        double *at = corrugation_samples(&shapes[k], 0.1, made.arena, &count);
        assert_true(count > 4 && count < 400);
        assert_near(at[0], 0, 0);
        assert_near(at[count - 1], shapes[k].pitch_mm, 0);
        for (size_t i = 1; i < count; i++) {
            double y0 = corrugation_print_mm(&shapes[k], at[i - 1]),
                   y1 = corrugation_print_mm(&shapes[k], at[i]);
            if (i == count - 1) y1 = corrugation_factor(&shapes[k]) * shapes[k].pitch_mm;
            assert_true(at[i] > at[i - 1] && y1 > y0);
            for (double t = 0.1; t < 0.95; t += 0.1) {
                double x = at[i - 1] + t * (at[i] - at[i - 1]);
                assert_near(y0 + t * (y1 - y0), corrugation_print_mm(&shapes[k], x), 0.1);
            }
        }
    }
}

static void impossible_shapes_are_named(void **state)
{
    (void)state;
    static const struct point back[] = {{0, 0}, {10, 5}, {9, 0}};
    const struct corrugation bad[] = {
        {.profile = PROFILE_TRAPEZOID, .pitch_mm = 30, .depth_mm = 20, .wall_deg = 30},
        {.profile = PROFILE_ARCS, .pitch_mm = 30, .depth_mm = 16},
        {.profile = PROFILE_ARCS, .pitch_mm = 30, .depth_mm = 10, .radius_mm = 20},
        {.profile = PROFILE_SINUSOID, .depth_mm = 10},
        {.profile = PROFILE_POLYLINE, .pitch_mm = 9, .polyline = back, .polyline_count = 3},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_non_null(corrugation_fault(&bad[i], made.arena));
    for (int k = 0; k < SHAPES; k++) assert_null(corrugation_fault(&shapes[k], made.arena));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(complete_integral, set_up, tear_down),
        cmocka_unit_test_setup_teardown(incomplete_integral, set_up, tear_down),
        cmocka_unit_test_setup_teardown(one_period_of_the_sine, set_up, tear_down),
        cmocka_unit_test_setup_teardown(core_values, set_up, tear_down),
        cmocka_unit_test_setup_teardown(sinusoid_table, set_up, tear_down),
        cmocka_unit_test_setup_teardown(trapezoid_and_arc_table, set_up, tear_down),
        cmocka_unit_test_setup_teardown(arc_tangent_table, set_up, tear_down),
        cmocka_unit_test_setup_teardown(flute_is_plausible, set_up, tear_down),
        cmocka_unit_test_setup_teardown(recess_table, set_up, tear_down),
        cmocka_unit_test_setup_teardown(cap_table, set_up, tear_down),
        cmocka_unit_test_setup_teardown(rounded_recess, set_up, tear_down),
        cmocka_unit_test_setup_teardown(local_is_over_the_free_span, set_up, tear_down),
        cmocka_unit_test_setup_teardown(print_folds_back, set_up, tear_down),
        cmocka_unit_test_setup_teardown(factors_agree_with_walking, set_up, tear_down),
        cmocka_unit_test_setup_teardown(samples_are_straight_enough, set_up, tear_down),
        cmocka_unit_test_setup_teardown(impossible_shapes_are_named, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
