/* The queue of background work, with a program that ends at once in place of the planner. */
#include "../test.h"
#include "work.h"
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct bench {
    struct machine machine;
    struct hub hub;
    struct works works;
    volatile int ended;
    void (*when_ended)(struct bench *bench); /* what others do just then */
};

static void ended(void *self, const char *job)
{
    struct bench *b = self;
    (void)job;
    if (!b->ended++ && b->when_ended) b->when_ended(b);
}

static struct bench *begin(void (*when_ended)(struct bench *))
{
    struct bench *b = calloc(1, sizeof *b);
    struct error error = {0};
    assert_non_null(b);
    b->machine = machine_real("/bin/true");
    b->when_ended = when_ended;
    hub_start(&b->hub);
    assert_true(works_start(&b->works, &b->machine, &b->hub, ended, b, &error));
    return b;
}

static void end(struct bench *b)
{
    works_end(&b->works);
    hub_end(&b->hub);
    free(b);
}

/* At most five seconds. */
static bool waits_for(const struct bench *b, int times)
{
    for (int i = 0; i < 500 && b->ended < times; i++) usleep(10 * 1000);
    return b->ended >= times;
}

static void put_again(struct bench *b)
{
    assert_true(works_put(&b->works, WORK_PLAN, "T-1", "/", 0));
}

static void what_is_asked_while_planning_ends_is_planned(void **state)
{
    (void)state;
    struct bench *b = begin(put_again);
    put_again(b);
    assert_true(waits_for(b, 2));
    end(b);
}

static void stop(struct bench *b)
{
    works_stop(&b->works, "T-1");
}

static void a_stop_while_planning_ends_stops_nothing_else(void **state)
{
    (void)state;
    struct background_work work;
    struct bench *b = begin(stop);
    put_again(b);
    assert_true(works_put(&b->works, WORK_PLAN, "T-2", "/", 0));
    assert_true(waits_for(b, 2));
    for (int i = 0; i < 500 && works_look(&b->works, "T-2", &work); i++) usleep(10 * 1000);
    assert_int_equal(b->works.count, 0);
    end(b);
}

static void the_same_work_waits_once(void **state)
{
    (void)state;
    struct background_work work;
    struct bench *b = begin(NULL);
    for (int i = 0; i < 5; i++) assert_true(works_put(&b->works, WORK_PLAN, "T-1", "/", 60 * 1000));
    assert_true(works_look(&b->works, "T-1", &work));
    assert_int_equal(b->works.count, 1);
    works_stop(&b->works, "T-1");
    assert_false(works_look(&b->works, "T-1", &work));
    end(b);
}

static void changes_in_a_row_put_it_off_for_a_while_only(void **state)
{
    (void)state;
    struct background_work work;
    struct bench *b = begin(NULL);
    assert_true(works_put(&b->works, WORK_PLAN, "T-1", "/", 60 * 1000));
    assert_true(works_look(&b->works, "T-1", &work));
    int64_t first = work.not_before_ms;
    assert_true(works_put(&b->works, WORK_PLAN, "T-1", "/", 65 * 1000));
    assert_true(works_look(&b->works, "T-1", &work));
    assert_true(work.not_before_ms >= first + 5000 && work.not_before_ms < first + WORK_PUT_OFF_MS);
    assert_true(works_put(&b->works, WORK_PLAN, "T-1", "/", 3600 * 1000));
    assert_true(works_look(&b->works, "T-1", &work));
    assert_int_equal(work.not_before_ms, first + WORK_PUT_OFF_MS);
    works_stop(&b->works, "T-1");
    end(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_asked_while_planning_ends_is_planned),
        cmocka_unit_test(a_stop_while_planning_ends_stops_nothing_else),
        cmocka_unit_test(the_same_work_waits_once),
        cmocka_unit_test(changes_in_a_row_put_it_off_for_a_while_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
