/* Every turn of a loop runs once, whatever the number of threads and turns. */
#include "../test.h"
#include "base/machine.h"
#include "base/pool.h"
#include <stdatomic.h>
#include <time.h>

enum { TURNS_MOST = 300 };

struct tally {
    atomic_int turns[TURNS_MOST];
    atomic_int in_all;
};

static void count_turn(void *context, size_t i)
{
    struct tally *tally = context;
    tally->turns[i]++;
    tally->in_all++;
}

static void assert_each_once(struct pool *pool, size_t count)
{
    struct tally tally = {0};
    pool_run(pool, count, count_turn, &tally);
    assert_int_equal(tally.in_all, count);
    for (size_t i = 0; i < count; i++) assert_int_equal(tally.turns[i], 1);
}

static void each_turn_runs_once(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    static const size_t counts[] = {0, 1, 2, 3, 64, TURNS_MOST};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) assert_each_once(NULL, counts[i]);
    for (unsigned threads = 0; threads <= 9; threads += 3) {
        struct pool *pool = pool_new(&machine, threads);
        for (int again = 0; again < 200; again++)
            for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) assert_each_once(pool, counts[i]);
        pool_free(pool);
    }
    pool_free(NULL);
}

struct meeting {
    atomic_int there;
    bool met[2];
};

/* Two turns that wait for each other only meet where they run side by side. */
static void meet(void *context, size_t i)
{
    struct meeting *meeting = context;
    meeting->there++;
    for (int tries = 0; meeting->there < 2 && tries < 20000; tries++)
        nanosleep(&(struct timespec){.tv_nsec = 1000000}, NULL);
    meeting->met[i] = meeting->there == 2;
}

static void turns_run_side_by_side(void **state)
{
    (void)state;
    struct machine machine = machine_real("");
    struct pool *pool = pool_new(&machine, 2);
    struct meeting meeting = {0};
    pool_run(pool, 2, meet, &meeting);
    assert_true(meeting.met[0] && meeting.met[1]);
    pool_free(pool);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_turn_runs_once),
        cmocka_unit_test(turns_run_side_by_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
