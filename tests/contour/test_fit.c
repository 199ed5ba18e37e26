/* Register marks: the fit against sheets of which shift, turn and stretch are known, and a camera's noise. */
#include "../with_arena.h"
#include "contour/fit.h"
#include "outlines.h"
#include <string.h>

enum { SHEETS = 4000 };

/* Two by three around a piece of 1,000 by 600 mm. */
static const struct point six[] = {{-20, 0}, {1020, 0}, {-20, 300}, {1020, 300}, {-20, 600}, {1020, 600}};

/* Normal, by Box and Muller. */
static double noise(uint64_t *dice)
{
    return sqrt(-2 * log(roll(dice, 1e-12, 1))) * cos(2 * M_PI * roll(dice, 0, 1));
}

/* Shifted by 2 mm, turned, 0.3 % longer along the feed and 0.1 % shorter across. */
static struct affine sheet_of(uint64_t *dice)
{
    double turn = roll(dice, -0.03, 0.03), towards = roll(dice, 0, 6.3);
    const struct affine turned = {cos(turn), sin(turn),        -sin(turn),
                                  cos(turn), 2 * cos(towards), 2 * sin(towards)};
    return affine_then(affine_scale(0.999, 1.003), turned);
}

static struct contour_fit fit_of(const struct point *measured, enum contour_model model)
{
    struct contour_fit fit;
    struct error error;
    if (!contour_fit(six, measured, 6, model, &fit, &error)) fail_msg("%s", error.text);
    return fit;
}

static void known_sheets_are_found(void **state)
{
    (void)state;
    uint64_t dice = 3;
    for (int i = 0; i < 50; i++) {
        struct point measured[6];
        const struct affine sheet = sheet_of(&dice);
        for (int k = 0; k < 6; k++) measured[k] = affine_apply(sheet, six[k]);
        for (int model = CONTOUR_STRETCH; model <= CONTOUR_AFFINE; model++) {
            struct contour_fit fit = fit_of(measured, (enum contour_model)model);
            assert_true(fit.worst_mm < 1e-9 && fabs(fit.stretch_x - 0.999) < 1e-12);
            assert_true(fabs(fit.stretch_y - 1.003) < 1e-12 && fabs(fit.shear_deg) < 1e-9);
            assert_true(fabs(fit.turn_deg - atan2(sheet.b, sheet.a) * 180 / M_PI) < 1e-9);
            assert_true(fabs(fit.map.e - sheet.e) < 1e-9 && fabs(fit.map.f - sheet.f) < 1e-9);
        }
        assert_true(fit_of(measured, CONTOUR_SIMILAR).worst_mm > 0.4); /* two stretches are beyond it */
    }
}

/* Root of the mean square miss over places of the piece (or at its corners), of many sheets. */
static double miss_of(enum contour_model model, double noise_mm, bool corners, double *expected)
{
    uint64_t dice = 12345;
    double sum = 0, sum_expected = 0;
    for (int i = 0; i < SHEETS; i++) {
        struct point measured[6];
        const struct affine sheet = sheet_of(&dice);
        for (int k = 0; k < 6; k++) {
            struct point p = affine_apply(sheet, six[k]);
            measured[k] = (struct point){p.x + noise_mm * noise(&dice), p.y + noise_mm * noise(&dice)};
        }
        struct contour_fit fit = fit_of(measured, model);
        struct point place = corners ? (struct point){i % 2 ? 0 : 1000, i / 2 % 2 ? 0 : 600}
                                     : (struct point){roll(&dice, 0, 1000), roll(&dice, 0, 600)};
        struct point cut = affine_apply(fit.map, place), right = affine_apply(sheet, place);
        sum += (cut.x - right.x) * (cut.x - right.x) + (cut.y - right.y) * (cut.y - right.y);
        double e = contour_fit_expected_mm(&fit, place, noise_mm);
        sum_expected += e * e;
    }
    *expected = sqrt(sum_expected / SHEETS);
    return sqrt(sum / SHEETS);
}

/* The camera: 0.05 mm a pixel, noise of 4 pixels, 6 marks, 0.3 % stretch, 2 mm shift. The noise is taken as the
 * standard deviation of each coordinate of a mark's middle: 0.2 mm, the hardest reading of it. */
static void six_marks_and_four_pixels_of_noise_cut_within_a_fifth_of_a_millimetre(void **state)
{
    (void)state;
    double expected, miss = miss_of(CONTOUR_STRETCH, 4 * 0.05, false, &expected);
    assert_true(miss < 0.2);
    assert_true(fabs(miss - expected) < 0.05 * expected);
    double affine = miss_of(CONTOUR_AFFINE, 4 * 0.05, false, &expected);
    assert_true(affine > miss && fabs(affine - expected) < 0.05 * expected);
    double corners = miss_of(CONTOUR_STRETCH, 4 * 0.05, true, &expected);
    print_message("# at its corners by %.3f mm (expected %.3f); affine %.3f mm\n", corners, expected, affine);
    assert_true(corners > miss && fabs(corners - expected) < 0.05 * expected);
}

/* A mark that was taken for another is the one that misses most, and the noise shows it. */
static void a_wrong_mark_stands_out(void **state)
{
    (void)state;
    uint64_t dice = 8;
    for (size_t wrong = 0; wrong < 6; wrong++) {
        struct point measured[6];
        const struct affine sheet = sheet_of(&dice);
        for (int k = 0; k < 6; k++) measured[k] = affine_apply(sheet, six[k]);
        measured[wrong].x += 5;
        struct contour_fit fit = fit_of(measured, CONTOUR_STRETCH);
        assert_int_equal(fit.worst, wrong);
        assert_true(fit.noise_mm > 1);
    }
}

static void refuse_fit(const struct point *measured, size_t count, enum contour_model model,
                       const char *words)
{
    struct contour_fit fit;
    struct error error;
    assert_false(contour_fit(six, measured, count, model, &fit, &error));
    assert_int_equal(error.kind, FAILURE_INPUT);
    assert_non_null(strstr(error.text, words));
}

static void marks_that_say_nothing_are_refused(void **state)
{
    (void)state;
    struct point measured[6], line[] = {{0, 0}, {10, 10}, {20, 20}, {30, 30}};
    memcpy(measured, six, sizeof measured);
    refuse_fit(measured, 2, CONTOUR_STRETCH, "from 3 to 1000");
    refuse_fit(measured, 1, CONTOUR_SIMILAR, "from 2 to 1000");
    measured[3].y = NAN;
    refuse_fit(measured, 6, CONTOUR_AFFINE, "mark 4");
    for (int i = 0; i < 6; i++) measured[i] = (struct point){-six[i].x, six[i].y};
    refuse_fit(measured, 6, CONTOUR_STRETCH, "mirrored");
    struct contour_fit fit;
    struct error error;
    assert_false(contour_fit(line, line, 4, CONTOUR_STRETCH, &fit, &error));
    assert_non_null(strstr(error.text, "one line"));
    assert_true(contour_fit(line, line, 4, CONTOUR_SIMILAR, &fit, &error));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_sheets_are_found),
        cmocka_unit_test(six_marks_and_four_pixels_of_noise_cut_within_a_fifth_of_a_millimetre),
        cmocka_unit_test(a_wrong_mark_stands_out),
        cmocka_unit_test(marks_that_say_nothing_are_refused),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
