/* The sums of drying against published values and the shared tables. Tolerances are those of the tables' last
 * digits, unless said. */
#include "fixture.h"
#include "vapour.h"
#include "plan/clock.h"
#include "base/str.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void assert_share(double value, double expected, double tolerance)
{
    if (fabs(value - expected) > tolerance * fabs(expected)) fail_msg("%.9g is not %.9g", value, expected);
}

/* A shared table, line by line; skips the test when the folder is not there. */
static FILE *table(const char *name)
{
    const char *folder = getenv("LAPSTRAKE_SHARED");
    char path[500];
    snprintf(path, sizeof path, "%s/handbook/values/%s", folder ? folder : "absent", name);
    FILE *file = folder ? fopen(path, "r") : NULL;
    if (!file) {
        print_message("# skipped: %s is not here\n", name);
        skip();
    }
    return file;
}

/* The next row of numbers and words, cut at commas; false at the end. Comments and the heading are passed
 * over. */
static bool row(FILE *file, char *line, int size, char **cells, int count)
{
    static bool heading;
    if (ftell(file) == 0) heading = true;
    while (fgets(line, size, file)) {
        if (*line == '#') continue;
        if (heading) {
            heading = false;
            continue;
        }
        char *at = line;
        for (int i = 0; i < count; i++) {
            cells[i] = at;
            at += strcspn(at, ",\n");
            if (*at) *at++ = 0;
        }
        return true;
    }
    fclose(file);
    return false;
}

static const struct solvent *solvent(const char *name)
{
    for (size_t i = 0; i < solvent_count; i++)
        if (!strcmp(solvent_table[i].name, name)) return &solvent_table[i];
    return NULL;
}

static double number(const char *text)
{
    double value = 0;
    assert_true(str_number(str_from(text), &value) > 0);
    return value;
}

/* Published: an open library's worked value of Crank's solution: 100 s, half thickness 0.2 mm, 1e-10 m2/s.
 * And Terzaghi's time factors of consolidation, the same equation: 50 % at 0.197, 90 % at 0.848. */
static void crank_published(void **state)
{
    (void)state;
    assert_share(crank_share(1e-10 * 100 / (0.2e-3 * 0.2e-3)), 0.562233541762138, 1e-12);
    assert_share(crank_time_factor(0.5), 0.197, 0.002);
    assert_share(crank_time_factor(0.9), 0.848, 0.0005);
    /* Both forms meet where one takes over from the other. */
    assert_share(crank_share(0.04 - 1e-12), crank_share(0.04 + 1e-12), 1e-9);
    assert_share(clock_curve(48 * 3600, 48 * 3600), 0.9, 1e-9);
    assert_true(clock_curve(48 * 3600, 0) == 0);
}

static void crank_tables(void **state)
{
    (void)state;
    char line[400], *c[4];
    FILE *file = table("crank_plane_sheet.csv");
    int rows = 0;
    for (; row(file, line, sizeof line, c, 4); rows++)
        assert_true(fabs(crank_share(number(c[0])) - number(c[2])) <= 0.6e-6);
    file = table("crank_inverse.csv");
    for (; row(file, line, sizeof line, c, 3); rows++)
        assert_true(fabs(crank_time_factor(number(c[0])) - number(c[1])) <= 0.6e-5);
    assert_true(rows > 30);
}

/* In cm2/s with the constant 0.01013 for pascal, which the table uses: 0.2 % more than the rounded 0.00143
 * for bar. */
static double fuller_table(double kelvin, double atm, double ma, double va, double mb, double vb)
{
    double constant = 0.00143 / sqrt(2) / 1.01325;
    return fuller_diffusivity(kelvin, atm * 1.01325, ma, va, mb, vb) * 1e4 * (101.3 / 101325) / constant;
}

/* Nine measured diffusivities (Bird, Stewart, Lightfoot; Poling): Fuller's equation is within -4 to +7 % of
 * them. Carbon dioxide in nitrogen at 288.2 K: 0.158 cm2/s measured, 0.1531 by the equation, carried here. */
static void fuller(void **state)
{
    (void)state;
    assert_share(fuller_table(288.2, 1, 44.01, 26.9, 28.014, 18.5), 0.1531, 5e-4);
    char line[400], *c[11];
    FILE *file = table("fuller_checks.csv");
    int rows = 0;
    while (row(file, line, sizeof line, c, 11) && rows < 9) {
        double d =
            fuller_table(number(c[2]), number(c[3]), number(c[4]), number(c[5]), number(c[6]), number(c[7]));
        assert_true(fabs(d - number(c[9])) <= 0.6e-4);
        assert_true(d > number(c[8]) * 0.955 && d < number(c[8]) * 1.075);
        rows++;
    }
    assert_int_equal(rows, 9);
}

/* The solvents' vapour at 25 degrees C, to the four digits of the table. */
static void solvents(void **state)
{
    (void)state;
    char line[800], *c[19];
    FILE *file = table("solvents.csv");
    size_t met = 0;
    while (row(file, line, sizeof line, c, 19)) {
        const struct solvent *s = solvent(c[0]);
        if (!s) continue;
        met++;
        assert_share(solvent_saturation_g_m3(s, 298.15), number(c[16]), 1e-3);
        assert_share(solvent_diffusivity(s, 298.15), number(c[18]), 1e-3);
    }
    assert_int_equal(met, solvent_count);
}

static struct roll_gap gap_of(const struct solvent *s, double solvent_g_m2, double gap_mm)
{
    return (struct roll_gap){1.37, gap_mm / 1000, solvent_g_m2, solvent_diffusivity(s, 298.15),
                             solvent_saturation_g_m3(s, 298.15)};
}

static void roll_times(void **state)
{
    (void)state;
    char line[400], *c[7];
    FILE *file = table("roll_drying_times.csv");
    int rows = 0;
    while (row(file, line, sizeof line, c, 7)) {
        const struct solvent *s = solvent(c[0]);
        if (!s) continue;
        struct roll_gap gap = gap_of(s, number(c[2]), number(c[3]));
        assert_share(roll_time_exact(&gap) / 3600, number(c[5]), 1.5e-3);
        assert_share(roll_time_quasi(&gap) / 3600, number(c[6]), 1.5e-3);
        rows++;
    }
    assert_true(rows > 40);
    file = table("roll_upright_times.csv");
    for (rows = 0; row(file, line, sizeof line, c, 7);) {
        const struct solvent *s = solvent(c[0]);
        if (!s) continue;
        struct roll_gap gap = gap_of(s, number(c[1]), number(c[2]));
        assert_share(roll_time_upright(&gap, s->mass_g_mol) / 3600, number(c[6]), 5e-3);
        rows++;
    }
    assert_true(rows > 20);
}

/* Published: 5 in outside, 2 in core, 0.011 in thick: 1499.39 in long. 25 m with 3 mm gaps on a 76.2 mm core
 * is 333 mm across. */
static void roll_sizes(void **state)
{
    (void)state;
    assert_share(roll_diameter(1499.39, 2, 0.011), 5, 1e-5);
    char line[400], *c[7];
    FILE *file = table("roll_geometry.csv");
    int rows = 0;
    for (; row(file, line, sizeof line, c, 7); rows++)
        assert_true(fabs(roll_diameter(number(c[3]), number(c[1]), number(c[2])) - number(c[4])) <= 0.006);
    assert_true(rows >= 8);
}

static void open_sheets(void **state)
{
    (void)state;
    char line[400], *c[3];
    FILE *file = table("open_sheet_times.csv");
    int rows = 0;
    while (row(file, line, sizeof line, c, 3)) {
        const char *gas = "gas side 1 g/m2 ", *film = "film side t90";
        double value = number(c[2]), a, b;
        if (!strncmp(c[0], gas, strlen(gas)) && solvent(c[0] + strlen(gas))) {
            const struct solvent *s = solvent(c[0] + strlen(gas));
            double layer = number(c[1] + strlen("delta ")) / 1000;
            assert_share(
                sheet_time_air(1, layer, solvent_diffusivity(s, 298.15), solvent_saturation_g_m3(s, 298.15)) /
                    3600,
                value, 1e-3);
            rows++;
        } else if (!strcmp(c[0], film) && sscanf(c[1], "l=%lf um D=%lf", &a, &b) == 2) {
            assert_share(sheet_time_film(0.9, a * 1e-6, b) / 3600, value, 1e-3);
            rows++;
        }
    }
    assert_true(rows >= 20);
}

/* The order of the ways of drying, as the trade tells it, comes out of the sums: hung quicker than loosely
 * wound, far quicker than tight (gaps of 3 and 0.02 mm). And none of it shortens the established time: the
 * clock does not take it. */
static void order_of_ways(void **state)
{
    (void)state;
    for (size_t i = 0; i < solvent_count; i++) {
        const struct solvent *s = &solvent_table[i];
        struct roll_gap loose = gap_of(s, 1, 3), tight = gap_of(s, 1, 0.02);
        double hung = sheet_time_air(1, 0.005, loose.diffusivity_m2_s, loose.saturation_g_m3);
        assert_true(hung < roll_time_upright(&loose, s->mass_g_mol));
        assert_true(roll_time_upright(&loose, s->mass_g_mol) <
                    roll_time_upright(&tight, s->mass_g_mol) / 100);
        assert_true(roll_time_exact(&tight) > 30 * 86400.0); /* months */
    }
}

/* The rule of ink by hand, eco-solvent with the shop's 48 h to 72 h at 300 %: 100 % -> 48, 200 % -> 60, 300 %
 * -> 72, and never beyond. */
static void rule_of_ink(void **state)
{
    struct fixture *f = *state;
    struct ink ink = {.technology = INK_ECO_SOLVENT,
                      .dry_least_s = measure_written(48 * 3600, "shop.yaml:14"),
                      .dry_most_s = measure_written(72 * 3600, "shop.yaml:14")};
    const struct measure room_c = measure_written(21, "job.yaml:5"),
                         humidity = measure_written(50, "job.yaml:5");
    static const double table_of[][2] = {{0, 48}, {100, 48}, {150, 54}, {200, 60}, {300, 72}, {400, 72}};
    for (size_t i = 0; i < 6; i++) {
        struct dry_case dry = {.ink = &ink,
                               .hand_percent = table_of[i][0],
                               .most_at_percent = measure_written(300, "shop.yaml:14"),
                               .method = DRYING_HUNG,
                               .humidity_percent = humidity,
                               .celsius = room_c};
        struct dry_time time = clock_dry(&dry, f->arena);
        assert_share(time.seconds / 3600, table_of[i][1], 1e-9);
        assert_int_equal(time.heavy, table_of[i][1] > 48);
        assert_non_null(strstr(time.why.words, "shop.yaml:14"));
    }
}

static int open_fixture(void **state)
{
    static struct fixture f;
    fixture_open(&f);
    *state = &f;
    return 0;
}

static int close_fixture(void **state)
{
    fixture_close(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(crank_published), cmocka_unit_test(crank_tables),  cmocka_unit_test(fuller),
        cmocka_unit_test(solvents),        cmocka_unit_test(roll_times),    cmocka_unit_test(roll_sizes),
        cmocka_unit_test(open_sheets),     cmocka_unit_test(order_of_ways), cmocka_unit_test(rule_of_ink),
    };
    return cmocka_run_group_tests(tests, open_fixture, close_fixture);
}
