/* Colour differences against published pairs. */
#include "values.h"
#include "colour/difference.h"
#include <math.h>

static struct lab lab_of(const struct values *values, int field)
{
    return (struct lab){value(values, field), value(values, field + 1), value(values, field + 2)};
}

/* Sharma, Wu, Dalal 2005, table 1: 34 pairs, four decimals. */
static void sharma(void **state)
{
    (void)state;
    struct values row;
    if (!values_open(&row, "ciede2000_sharma_34.csv")) skip();
    int pairs = 0;
    while (values_row(&row)) {
        if (row.count < 8 || !strcmp(row.field[0], "pair")) continue;
        double got = difference_2000(lab_of(&row, 1), lab_of(&row, 4));
        assert_true(fabs(got - value(&row, 7)) < 5e-5 + 1e-12);
        assert_true(fabs(got - difference_2000(lab_of(&row, 4), lab_of(&row, 1))) < 1e-12);
        pairs++;
    }
    assert_int_equal(pairs, 34);
}

/* Values of the general-purpose library named in the table's first lines. */
static void of_a_general_library(void **state)
{
    (void)state;
    struct values row;
    if (!values_open(&row, "deltae_cie76_cie94.csv")) skip();
    int checked = 0;
    while (values_row(&row)) {
        if (row.count < 8 || !strcmp(row.field[0], "L1")) continue;
        struct lab one = lab_of(&row, 0), other = lab_of(&row, 3);
        double expected = value(&row, 7);
        if (strcmp(row.field[6], "CIE2000")) continue;
        double got = difference_2000(one, other);
        assert_true(fabs(got - expected) < 1e-6 * expected);
        checked++;
    }
    assert_true(checked >= 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(sharma), cmocka_unit_test(of_a_general_library)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
