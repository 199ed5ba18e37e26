/* Forms against the WHATWG URL standard's application/x-www-form-urlencoded (its rules from memory), and what
 * a hostile sender may try. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "form.h"
#include <math.h>
#include <string.h>

static struct machine machine;

static struct arena *arena_for_test(void)
{
    machine = machine_real("/proc/self/exe");
    return arena_new(&machine);
}

static void pairs(void **state)
{
    (void)state;
    struct arena *arena = arena_for_test();
    struct form form;
    assert_true(
        form_read(str_from("surface=left&seams=1310%2C2690&title=F%C3%BCr+alle%21&&empty="), arena, &form));
    assert_int_equal(form.count, 4);
    assert_string_equal(form_get(&form, "surface"), "left");
    assert_string_equal(form_get(&form, "seams"), "1310,2690");
    assert_string_equal(form_get(&form, "title"), "F\xC3\xBCr alle!");
    assert_null(form_get(&form, "empty"));
    assert_null(form_get(&form, "absent"));
    assert_true(form_read(str_from(""), arena, &form));
    assert_int_equal(form.count, 0);
    arena_free(arena);
}

static void refused(void **state)
{
    (void)state;
    struct arena *arena = arena_for_test();
    struct form form;
    const char *const bad[] = {"a=%", "a=%4", "a=%zz", "a=%00", "%00=a", "a=%c0%80", "a=%ff", "a=%ed%a0%80"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_false(form_read(str_from(bad[i]), arena, &form));
    assert_false(form_read((struct str){"a=\0b", 4}, arena, &form));
    char many[2 * FORM_PAIRS_MOST + 2];
    memset(many, '&', sizeof many);
    assert_false(form_read((struct str){many, sizeof many}, arena, &form));
    arena_free(arena);
}

static void numbers(void **state)
{
    (void)state;
    struct arena *arena = arena_for_test();
    struct form form;
    double value;
    int64_t whole;
    assert_true(
        form_read(str_from("t=+21.5+&cold=-60&word=warm&n=2147483648&big=99999999999999999999&minus=-1"),
                  arena, &form));
    assert_true(form_number(&form, "t", -40, 80, &value) && value == 21.5);
    assert_false(form_number(&form, "cold", -40, 80, &value));
    assert_false(form_number(&form, "word", -40, 80, &value));
    assert_true(form_number(&form, "absent", -40, 80, &value) && isnan(value));
    assert_true(form_whole(&form, "n", INT64_MAX / 16, &whole) && whole == 2147483648LL);
    assert_false(form_whole(&form, "big", INT64_MAX / 16, &whole));
    assert_false(form_whole(&form, "minus", 10, &whole));
    assert_true(form_whole(&form, "absent", 10, &whole) && whole == -1);
    arena_free(arena);
}

static void lists(void **state)
{
    (void)state;
    struct arena *arena = arena_for_test();
    size_t count;
    const char **items = form_list(" left-1, left-2 ,,roof-1", arena, &count);
    assert_int_equal(count, 3);
    assert_string_equal(items[1], "left-2");
    form_list("", arena, &count);
    assert_int_equal(count, 0);
    arena_free(arena);
}

static void segments(void **state)
{
    (void)state;
    struct arena *arena = arena_for_test();
    assert_string_equal(segment_decode(str_from("LV-2031"), arena), "LV-2031");
    assert_string_equal(segment_decode(str_from("a+b%20c"), arena), "a+b c"); /* + is no blank in a path */
    const char *const bad[] = {"a%2fb", "a%2Fb", "%00", "a%", "%e2%82"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_null(segment_decode(str_from(bad[i]), arena));
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pairs), cmocka_unit_test(refused),  cmocka_unit_test(numbers),
        cmocka_unit_test(lists), cmocka_unit_test(segments),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
