/* Messages between processes: what was put comes out; what was cut or made up is bad, never read past. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/wire.h"
#include <string.h>

static void put(struct text *out)
{
    wire_put_u32(out, 7);
    wire_put_string(out, "left.pdf");
    wire_put_string(out, NULL);
    wire_put_f64(out, 12.5);
    wire_put_i64(out, -3);
    wire_put_bytes(out, "\0\1\2", 3);
}

static bool get(struct wire_in *in, struct arena *arena)
{
    bool same = wire_get_u32(in) == 7;
    const char *name = wire_get_string(in, arena);
    same = same && name && !strcmp(name, "left.pdf") && !wire_get_string(in, arena);
    same = same && wire_get_f64(in) == 12.5 && wire_get_i64(in) == -3;
    struct str bytes = wire_get_bytes(in);
    return same && bytes.length == 3 && !memcmp(bytes.bytes, "\0\1\2", 3);
}

static void round_trip_and_every_cut(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct text out = text_new(arena);
    put(&out);
    struct wire_in in = {.bytes = {out.bytes, out.length}};
    assert_true(get(&in, arena));
    assert_false(in.bad);
    for (size_t cut = 0; cut < out.length; cut++) {
        struct wire_in less = {.bytes = {out.bytes, cut}};
        assert_false(get(&less, arena) && !less.bad);
        assert_true(less.at <= cut);
    }
    arena_free(arena);
}

static void counts_are_believed_only_when_possible(void **state)
{
    (void)state;
    struct wire_in in = {.bytes = {"\xFF\xFF\xFF\x7F", 4}};
    assert_int_equal(wire_get_count(&in, 8), 0);
    assert_true(in.bad);
}

/* What an error speaks of arrives as it was said; what no sentence speaks of does not. */
static void an_error_arrives_with_its_arguments(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    struct error said, told;
    struct argument arguments[ERROR_ARGUMENTS_MOST + 1];
    error_set(&said, FAILURE_MACHINE, "path-cannot-be-read-trouble",
              ARGUMENTS(arg_words("path", "art/left.pdf"), arg_words("trouble", "no permission")));
    struct error copy = said;
    struct text out = text_new(arena);
    wire_put_error(&out, &copy);
    struct wire_in in = {.bytes = {out.bytes, out.length}};
    assert_true(wire_get_error(&in, arena, &told));
    assert_string_equal(told.text, said.text);
    assert_string_equal(told.id, "path-cannot-be-read-trouble");
    const struct argument *a = error_arguments(&told, arguments);
    assert_string_equal(a[0].name, "path");
    assert_string_equal(a[0].words, "art/left.pdf");
    assert_string_equal(a[1].words, "no permission");
    assert_int_equal(a[2].kind, ARGUMENT_END);
    for (size_t cut = 0; cut < out.length; cut++) {
        struct wire_in less = {.bytes = {out.bytes, cut}};
        assert_false(wire_get_error(&less, arena, &told));
    }
    arena_free(arena);
}

/* 1,000 bytes hold names and what of the words has room, whole characters. */
static void long_arguments_are_cut(void **state)
{
    (void)state;
    char words[3001];
    for (size_t i = 0; i < 3000; i += 2) memcpy(words + i, "\xC3\xA9", 2);
    words[3000] = 0;
    struct error error;
    struct argument arguments[ERROR_ARGUMENTS_MOST + 1];
    error_set(&error, FAILURE_INPUT, "path-cannot-be-read-trouble",
              ARGUMENTS(arg_words("path", words), arg_words("trouble", words)));
    const struct argument *a = error_arguments(&error, arguments);
    size_t length = strlen(a[0].words);
    assert_true(length > 900 && length < sizeof error.held && length % 2 == 0);
    assert_string_equal(a[1].name, "trouble");
    assert_true(strlen(a[1].words) < 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_trip_and_every_cut),
        cmocka_unit_test(counts_are_believed_only_when_possible),
        cmocka_unit_test(an_error_arrives_with_its_arguments),
        cmocka_unit_test(long_arguments_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
