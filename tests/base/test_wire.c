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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_trip_and_every_cut),
        cmocka_unit_test(counts_are_believed_only_when_possible),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
