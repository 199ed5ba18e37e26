/* Planned against used: figures worked by hand, Student's t from tables, and amounts as people write them. */
#include "../test.h"
#include "model/used.h"
#include <math.h>

/* Logarithms 1, -1, 1, -1 ... and 0 where their number is odd: their squares add up to n, or n - 1, so that the
 * interval's half is t sqrt(that / (n - 1) / n). */
static double t_of(size_t degrees)
{
    double ratios[200];
    size_t n = degrees + 1, even = n / 2 * 2;
    for (size_t i = 0; i < n; i++) ratios[i] = i == even ? 1 : exp(i % 2 ? -1 : 1);
    struct used_ratio r = used_judge(ratios, n);
    return log(r.high / r.low) / 2 / sqrt((double)even / (double)degrees / (double)n);
}

/* NIST/SEMATECH e-Handbook, 1.3.6.7.2 (critical values of Student's t, 0.975), from memory. */
static void t_is_that_of_tables(void **state)
{
    static const struct {
        size_t degrees;
        double t;
    } rows[] = {{1, 12.706}, {2, 4.303},  {5, 2.571},  {9, 2.262},  {10, 2.228}, {11, 2.201},
                {12, 2.179}, {15, 2.131}, {20, 2.086}, {30, 2.042}, {60, 2.000}, {100, 1.984}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_true(fabs(t_of(rows[i].degrees) - rows[i].t) < 0.00051);
}

/* By hand: ln 1, ln 1.1, ln 1.21 = 0, 0.09531, 0.19062; mean and deviation 0.09531; half of the interval
 * 4.30265 x 0.09531 / sqrt 3 = 0.23676; exp(-0.14145) = 0.8681, exp(0.33207) = 1.3939. */
static void three_jobs_by_hand(void **state)
{
    double ratios[] = {1.21, 1, 1.1};
    (void)state;
    struct used_ratio r = used_judge(ratios, 3);
    assert_int_equal(r.jobs, 3);
    assert_true(fabs(r.median - 1.1) < 1e-9);
    assert_true(fabs(r.low - 0.8681) < 0.0001 && fabs(r.high - 1.3939) < 0.0001);
    assert_int_equal(r.sure, USED_STANDS);
}

/* By hand: the middle two of four are 1.2 and 1.25, their geometric mean sqrt 1.5 = 1.22474. */
static void how_sure(void **state)
{
    double four[] = {1.3, 1.2, 1.25, 1.18}, two[] = {1.2, 1.3}, one[] = {2};
    double six[] = {1.2, 1.22, 1.25, 1.18, 1.3, 1.21};
    (void)state;
    struct used_ratio r = used_judge(four, 4);
    assert_true(fabs(r.median - sqrt(1.5)) < 1e-9);
    assert_int_equal(r.sure, USED_PERHAPS);
    assert_int_equal(used_judge(two, 2).sure, USED_TOO_FEW);
    assert_true(isnan(used_judge(one, 1).low));
    assert_int_equal(used_judge(one, 0).jobs, 0);
    assert_int_equal(used_judge(six, 6).sure, USED_SURE);
}

/* By hand: 1.6 m2/h and a quarter more hours: 1.6 / 1.25 = 1.28; 8 % more film than was laid: 8 % of waste. */
static void suggested(void **state)
{
    (void)state;
    assert_true(fabs(used_suggest(used_kind_find("installing"), 1.6, 1.25) - 1.28) < 1e-9);
    assert_true(fabs(used_suggest(used_kind_find("film"), 5, 1.08) - 8) < 1e-9);
    assert_true(used_suggest(used_kind_find("film"), 5, 0.9) == 0);
    assert_true(fabs(used_suggest(used_kind_find("ink"), 1, 1.1) - 1.1) < 1e-9);
    assert_true(isnan(used_suggest(used_kind_find("design"), 48, 1.1)));
    assert_null(used_kind_find("glue"));
    assert_null(used_kind_find(NULL));
}

static void amounts(void **state)
{
    static const struct {
        const char *kind, *written;
        double amount;
    } rows[] = {{"film", "8200", 8200}, {"film", "8.2 m", 8200},    {"ink", "120", 120},
                {"ink", "1.5 l", 1500}, {"installing", "4.5", 4.5}, {"installing", "4 h 30 min", 4.5}};
    double amount;
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_true(used_read(used_kind_find(rows[i].kind), str_from(rows[i].written), &amount));
        assert_true(fabs(amount - rows[i].amount) < 1e-9);
    }
    assert_false(used_read(used_kind_find("film"), str_from("3 h"), &amount));
    assert_false(used_read(used_kind_find("ink"), str_from("3 m"), &amount));
    assert_false(used_read(used_kind_find("design"), str_from("3 ml"), &amount));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(t_is_that_of_tables),
                                       cmocka_unit_test(three_jobs_by_hand), cmocka_unit_test(how_sure),
                                       cmocka_unit_test(suggested), cmocka_unit_test(amounts)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
