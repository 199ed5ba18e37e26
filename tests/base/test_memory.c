/* The arena, and what happens when the machine has no memory left. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/report.h"
#include "base/text.h"
#include <stdlib.h>
#include <string.h>

struct poor {
    struct machine machine;
    int left, live;
    struct arena *made; /* NULL when not even the arena could be had */
    jmp_buf out;
};

static void *poor_allocate(struct machine *machine, size_t size)
{
    struct poor *poor = machine->self;
    if (poor->left-- <= 0) return NULL;
    poor->live++;
    return calloc(1, size);
}

static void poor_release(struct machine *machine, void *memory)
{
    struct poor *poor = machine->self;
    if (memory) poor->live--;
    free(memory);
}

__attribute__((noreturn)) static void poor_no_memory(struct machine *machine)
{
    struct poor *poor = machine->self;
    longjmp(poor->out, 1);
}

static void work(struct machine *machine, struct arena **arena)
{
    *arena = arena_new(machine);
    struct report report = report_new(*arena);
    for (int i = 0; i < 60; i++) {
        report_add(&report, (struct place){"job.yaml", 60 - i, 1}, "as-said",
                   ARGUMENTS(arg_words("words", arena_format(*arena, "value %d is too large", i))));
        memset(arena_take(*arena, 30000), 1, 30000);
    }
    struct text out = text_new(*arena);
    report_write(&report, &out);
    assert_memory_equal(text_string(&out), "job.yaml:1:1: value 59", 22); /* sorted by line */
}

/* The n-th allocation fails, for every n: no_memory is called, nothing is touched behind it, and what was
 * taken can be given back. */
static void every_allocation_fails_once(void **state)
{
    (void)state;
    for (volatile int n = 0;; n++) {
        struct poor poor = {.left = n};
        poor.machine = machine_real("");
        poor.machine.self = &poor;
        poor.machine.allocate = poor_allocate, poor.machine.release = poor_release;
        poor.machine.no_memory = poor_no_memory;
        bool failed = setjmp(poor.out);
        if (!failed) work(&poor.machine, &poor.made);
        arena_free(poor.made);
        assert_int_equal(poor.live, 0);
        if (!failed) {
            assert_true(n > 10);
            return;
        }
    }
}

static void arrays_grow_and_keep(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct arena *arena = arena_new(&machine);
    int *items = NULL;
    size_t count = 0, capacity = 0;
    for (int i = 0; i < 1000; i++) {
        int *place = arena_append(arena, &items, &count, &capacity, sizeof *place);
        assert_int_equal(*place, 0);
        *place = i;
    }
    for (int i = 0; i < 1000; i++) assert_int_equal(items[i], i);
    for (size_t size = 0; size < 200; size++) assert_int_equal((uintptr_t)arena_take(arena, size) % 16, 0);
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_allocation_fails_once),
        cmocka_unit_test(arrays_grow_and_keep),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
