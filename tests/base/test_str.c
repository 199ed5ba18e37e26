/* Numbers against strtod (ISO C); UTF-8 against the table of RFC 3629; distances worked by hand. */
#include "../test.h"
#include "base/str.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void numbers_like_strtod(void **state)
{
    (void)state;
    const char *const texts[] = {
        "0",  "12", "-3.5", "+0.25",       "1e3", "2.5E-4",      "9.80", "123456789012345678",
        ".5", "5.", "1e22", "1234567.875", "0.1", "3.4028235e38"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        double ours, theirs = strtod(texts[i], NULL);
        assert_int_equal(str_number(str_from(texts[i]), &ours), strlen(texts[i]));
        assert_true(fabs(ours - theirs) <= fabs(theirs) * 4e-16);
    }
}

static void not_numbers(void **state)
{
    (void)state;
    double value;
    const char *const texts[] = {"", "-", "+", ".", "e5", "nan", "inf", "1e999", "0x"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        assert_int_equal(str_number(str_from(texts[i]), &value),
                         i == 8 ? 1 : 0);                      /* of 0x only the 0 is read */
    assert_int_equal(str_number(str_from("12,5"), &value), 2); /* a comma is no decimal sign */
}

static void utf8(void **state)
{
    (void)state;
    assert_true(str_is_utf8(str_from("\xC3\xA4 \xE2\x82\xAC \xF0\x9F\x9A\x90")));
    const char *const bad[] = {"\xC0\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\x80", "\xC3", "\xE2\x82"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) assert_false(str_is_utf8(str_from(bad[i])));
    assert_false(str_is_utf8((struct str){"a\0b", 3}));
}

static void nearest_key(void **state)
{
    (void)state;
    const char *const names[] = {"overlap", "bleed", "resolution", "format", NULL};
    assert_int_equal(str_distance("overlpa", "overlap"), 1); /* two neighbours swapped */
    assert_int_equal(str_distance("blood", "bleed"), 2);
    assert_string_equal(str_nearest("overlpa", names), "overlap");
    assert_string_equal(str_nearest("resolutoin", names), "resolution");
    assert_null(str_nearest("laminate", names));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_like_strtod),
        cmocka_unit_test(not_numbers),
        cmocka_unit_test(utf8),
        cmocka_unit_test(nearest_key),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
