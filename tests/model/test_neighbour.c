/* Neighbours of a panel as text and back. The text is what plan versions on record have had since their first form
 * (tests/outside/record-form-1.sql has the column): cases written by hand. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "model/neighbour.h"

static struct machine machine;
static struct arena *arena;

static int begin(void **unused)
{
    (void)unused;
    machine = machine_real("");
    arena = arena_new(&machine);
    return 0;
}

static int end(void **unused)
{
    (void)unused;
    arena_free(arena);
    return 0;
}

static void text_is_read(void **state)
{
    (void)state;
    size_t count;
    const struct neighbour *all = neighbours_read("over left-2;under left-3;gap side_a-14", arena, &count);
    assert_int_equal(count, 3);
    assert_int_equal(all[0].lies, LIES_OVER);
    assert_string_equal(all[0].panel, "left-2");
    assert_int_equal(all[1].lies, LIES_UNDER);
    assert_string_equal(all[1].panel, "left-3");
    assert_int_equal(all[2].lies, LIES_GAP);
    assert_string_equal(all[2].panel, "side_a-14");
    assert_string_equal(neighbours_write(all, count, arena), "over left-2;under left-3;gap side_a-14");
}

static void none_is_none(void **state)
{
    (void)state;
    size_t count = 9;
    neighbours_read(NULL, arena, &count);
    assert_int_equal(count, 0);
    neighbours_read("", arena, &count);
    assert_int_equal(count, 0);
    assert_null(neighbours_write(NULL, 0, arena));
}

static void what_is_no_neighbour_is_left_out(void **state)
{
    (void)state;
    size_t count;
    const struct neighbour *all =
        neighbours_read(";over;over ;overleft-1;beside left-2;;gap left-4;", arena, &count);
    assert_int_equal(count, 1);
    assert_int_equal(all[0].lies, LIES_GAP);
    assert_string_equal(all[0].panel, "left-4");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_is_read),
        cmocka_unit_test(none_is_none),
        cmocka_unit_test(what_is_no_neighbour_is_left_out),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
