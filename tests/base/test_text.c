/* Formatting against the C library's printf in the C locale (ISO C, 7.21.6.1). */
#include "../test.h"
#include "base/arena.h"
#include "base/json.h"
#include "base/machine.h"
#include "base/text.h"
#include <stdio.h>
#include <string.h>

static void formats_like_printf(void **state)
{
    (void)state;
    char ours[200], theirs[200];
    static const char *const format = "%d|%5d|%05d|%u|%lld|%zu|%x|%02x|%s|%.3s|%c|%%";
    format_into(ours, sizeof ours, format, -12, 42, -42, 7u, -5000000000LL, (size_t)99, 255u, 10u, "film",
                "abcdef", 'x');
    snprintf(theirs, sizeof theirs, format, -12, 42, -42, 7u, -5000000000LL, (size_t)99, 255u, 10u, "film",
             "abcdef", 'x');
    assert_string_equal(ours, theirs);
}

static void fixed_like_printf(void **state)
{
    (void)state;
    uint64_t seed = 1;
    for (int i = 0; i < 20000; i++) {
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        /* Whole 1/1024 steps: exact in binary, so that ties are ties in both; ties themselves are left out
           (ours rounds away from zero, printf to even). */
        double value = (double)((int64_t)(seed >> 30) - (1LL << 33)) / 1024.0 + 1.0 / 65536;
        char ours[64], theirs[64];
        format_into(ours, sizeof ours, "%.3f", value);
        snprintf(theirs, sizeof theirs, "%.3f", value);
        assert_string_equal(ours, theirs);
    }
}

static void numbers_without_zeros(void **state)
{
    (void)state;
    char out[64];
    const struct {
        double value;
        const char *text;
    } cases[] = {{12, "12"},        {12.5, "12.5"}, {0.031, "0.031"},
                 {-0.0000001, "0"}, {100.0, "100"}, {-3.25, "-3.25"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        format_into(out, sizeof out, "%g", cases[i].value);
        assert_string_equal(out, cases[i].text);
    }
}

static void cut_at_the_end(void **state)
{
    (void)state;
    char small[5];
    assert_int_equal(format_into(small, sizeof small, "%s", "overlap"), 4);
    assert_string_equal(small, "over");
}

/* RFC 8259: what must be escaped, and shape. */
static void json_is_json(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct text out = text_new(arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "a\"b", "tab\t\\ \x01");
    json_open_list_inline(&json, "box");
    json_number(&json, NULL, 1.50, 3);
    json_whole(&json, NULL, -2);
    json_close(&json);
    json_null(&json, "none");
    json_bool(&json, "yes", true);
    json_close(&json);
    assert_string_equal(text_string(&out), "{\n  \"a\\\"b\": \"tab\\t\\\\ \\u0001\",\n  \"box\": [1.5, -2],\n"
                                           "  \"none\": null,\n  \"yes\": true\n}\n");
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(formats_like_printf),   cmocka_unit_test(fixed_like_printf),
        cmocka_unit_test(numbers_without_zeros), cmocka_unit_test(cut_at_the_end),
        cmocka_unit_test(json_is_json),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
