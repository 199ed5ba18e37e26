/* A sink in a thread of its own: the same strips in the same order, its refusal told, and no end waited for
 * when the source gives up. */
#include "collect.h"
#include "../with_arena.h"
#include "raster/aside.h"

enum { WIDTH = 40, HEIGHT = 95, ROWS = 8 };

static const struct strip_shape shape = {WIDTH, HEIGHT, PIXELS_CMYK8, 0};

/* Strips from the top, each from the same memory, which is written over for the next; false when one is not
 * taken. */
static bool give(struct strip_sink sink, int rows, struct error *error)
{
    uint8_t pixels[ROWS * (WIDTH + 3) * 4];
    if (!sink.begin(sink.self, &shape, error)) return false;
    for (int y = 0; y < rows; y += ROWS) {
        int count = rows - y < ROWS ? rows - y : ROWS;
        struct strip strip = {y, count, WIDTH, PIXELS_CMYK8, (WIDTH + 3) * 4, pixels};
        for (size_t i = 0; i < sizeof pixels; i++) pixels[i] = (uint8_t)(i * 7 + (size_t)y);
        if (!sink.strip(sink.self, &strip, error)) return false;
    }
    return true;
}

static void the_same_strips(void **state)
{
    (void)state;
    struct collected straight = {.arena = arena}, beside = {.arena = arena};
    struct strip_sink sink = collect_sink(&straight);
    assert_true(give(sink, HEIGHT, NULL) && sink.end(sink.self, NULL));
    struct aside *aside = aside_new(arena, collect_sink(&beside));
    assert_true(give(aside_sink(aside), HEIGHT, NULL) && aside_sink(aside).end(aside, NULL));
    aside_free(aside);
    assert_true(beside.ended);
    assert_int_equal(beside.bytes, straight.bytes);
    assert_memory_equal(beside.pixels, straight.pixels, straight.bytes);
}

static bool refuse(void *self, const struct strip *strip, struct error *error)
{
    (void)self;
    return strip->y < 2 * ROWS || error_words(error, FAILURE_INPUT, "not the row expected");
}

static void a_refusal_is_told(void **state)
{
    (void)state;
    struct collected all = {.arena = arena};
    struct strip_sink next = collect_sink(&all);
    next.strip = refuse;
    for (int rows = 3 * ROWS; rows <= 5 * ROWS; rows += ROWS) { /* at the end, or with a strip that follows */
        struct error error = {0};
        struct aside *aside = aside_new(arena, next);
        assert_false(give(aside_sink(aside), rows, &error) && aside_sink(aside).end(aside, &error));
        assert_int_equal(error.kind, FAILURE_INPUT);
        assert_string_equal(error.text, "not the row expected");
        aside_free(aside);
    }
}

static void a_source_may_give_up(void **state)
{
    (void)state;
    struct collected all = {.arena = arena};
    aside_free(aside_new(arena, collect_sink(&all))); /* before it began */
    struct aside *aside = aside_new(arena, collect_sink(&all));
    assert_true(give(aside_sink(aside), 3 * ROWS, NULL));
    aside_free(aside);
    assert_int_equal(all.rows, 3 * ROWS); /* what was taken is worked on */
    assert_false(all.ended);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_strips),
        cmocka_unit_test(a_refusal_is_told),
        cmocka_unit_test(a_source_may_give_up),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
