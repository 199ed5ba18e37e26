/* Exact money. Minor units: ISO 4217, list one (currency and funds codes). Sums: worked by hand, and for random ones
 * by what rounding half up means: the amount is the only whole number in [exact - 1/2, exact + 1/2). */
#include "../with_arena.h"
#include "base/machine.h"
#include "model/charge.h"
#include "model/money.h"
#include <string.h>

static void minor_units_are_those_of_the_standard(void **state)
{
    (void)state;
    static const struct {
        const char *code;
        int digits;
    } table[] = {{"EUR", 2}, {"USD", 2}, {"GBP", 2}, {"CHF", 2}, {"HUF", 2}, {"MGA", 2}, {"MRU", 2},
                 {"BIF", 0}, {"CLP", 0}, {"DJF", 0}, {"GNF", 0}, {"ISK", 0}, {"JPY", 0}, {"KMF", 0},
                 {"KRW", 0}, {"PYG", 0}, {"RWF", 0}, {"UGX", 0}, {"UYI", 0}, {"VND", 0}, {"VUV", 0},
                 {"XAF", 0}, {"XOF", 0}, {"XPF", 0}, {"BHD", 3}, {"IQD", 3}, {"JOD", 3}, {"KWD", 3},
                 {"LYD", 3}, {"OMR", 3}, {"TND", 3}, {"CLF", 4}, {"UYW", 4}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        assert_int_equal(currency_digits(table[i].code), table[i].digits);
    assert_int_equal(currency_digits("JP"), 2); /* no part of a code is one */
    assert_int_equal(currency_digits(" JP"), 2);
}

static void amounts_are_rounded_once_half_up(void **state)
{
    (void)state;
    money_minor amount;
    assert_true(money_amount(45, 9500000, 2, &amount)); /* 0.45 x 9.50 = 4.275 */
    assert_int_equal(amount, 428);
    assert_true(money_amount(45, 2500000, 2, &amount)); /* 0.45 x 2.50 = 1.125 */
    assert_int_equal(amount, 113);
    assert_true(money_amount(150, 333000000, 0, &amount)); /* 1.5 x 333 = 499.5 */
    assert_int_equal(amount, 500);
    assert_true(money_amount(300, 33300, 3, &amount)); /* 3 x 0.0333 = 0.0999 */
    assert_int_equal(amount, 100);
    assert_true(money_amount(100, 4999, 2, &amount)); /* 0.004999 */
    assert_int_equal(amount, 0);
    assert_int_equal(money_share(348555, 9.975), 34768); /* 347.6836... */
    assert_int_equal(money_share(10133, 5), 507);        /* 5.0665 */
    assert_int_equal(money_share(50, 1), 1);             /* 0.005 */
    assert_int_equal(money_share(49, 1), 0);
}

static void random_amounts_are_the_nearest(void **state)
{
    (void)state;
    uint64_t seed = 15;
    for (int i = 0; i < 100000; i++) {
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        int64_t quantity = (int64_t)(seed >> 44), rate = (int64_t)(seed >> 20 & 0xFFFFFFF);
        int digits = (int)(seed >> 10) % 5;
        digits = digits < 0 ? -digits : digits;
        __int128 unit = 100; /* exact amount = quantity x rate / unit */
        for (int d = digits; d < 6; d++) unit *= 10;
        money_minor amount;
        assert_true(money_amount(quantity, rate, digits, &amount));
        __int128 exact = (__int128)quantity * rate;
        assert_true(2 * amount * unit - unit <= 2 * exact && 2 * exact < 2 * amount * unit + unit);
    }
}

static void too_much_is_refused(void **state)
{
    (void)state;
    money_minor amount;
    assert_true(money_amount(100000000, INT64_C(10000000000000), 2, &amount)); /* 10^6 x 10^7 = 10^13 */
    assert_int_equal(amount, MONEY_MOST);
    assert_false(money_amount(100000001, INT64_C(10000000000000), 2, &amount));
    assert_false(money_amount(INT64_MAX, INT64_MAX, 0, &amount));
    assert_int_equal(amount, MONEY_MOST);
}

static void money_is_written_with_its_digits(void **state)
{
    (void)state;
    assert_string_equal(money_decimal(128450, 2, arena), "1284.50");
    assert_string_equal(money_decimal(-5, 2, arena), "-0.05");
    assert_string_equal(money_decimal(7, 0, arena), "7");
    assert_string_equal(money_decimal(1001, 3, arena), "1.001");
    assert_string_equal(money_decimal(0, 3, arena), "0.000");
    assert_string_equal(money_rate(18000000, 2, arena), "18.00");
    assert_string_equal(money_rate(208000, 2, arena), "0.208");
    assert_string_equal(money_rate(150500000, 0, arena), "150.5");
    assert_string_equal(money_rate(1, 2, arena), "0.000001");
}

static void every_kind_has_a_name_and_units(void **state)
{
    (void)state;
    for (int kind = 0; kind < QUOTE_KIND_COUNT; kind++) {
        assert_non_null(quote_kind_names[kind]);
        bool free = kind == QUOTE_OTHER || kind == QUOTE_MINIMUM;
        assert_int_equal(!quote_units_of((enum quote_kind)kind), free);
        for (int other = 0; other < kind; other++)
            assert_string_not_equal(quote_kind_names[kind], quote_kind_names[other]);
    }
    assert_null(quote_kind_names[QUOTE_KIND_COUNT]);
    assert_null(quote_unit_names[QUOTE_UNIT_COUNT]);
    assert_null(surface_sort_names[SURFACE_SORT_COUNT]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(minor_units_are_those_of_the_standard),
        cmocka_unit_test(amounts_are_rounded_once_half_up),
        cmocka_unit_test(random_amounts_are_the_nearest),
        cmocka_unit_test(too_much_is_refused),
        cmocka_unit_test(money_is_written_with_its_digits),
        cmocka_unit_test(every_kind_has_a_name_and_units),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
