/* Due, expected, late: worked by hand. An hour is caught up: the house's own judgement. */
#include "../test.h"
#include "plan/promise.h"

#define HOUR   INT64_C(3600)
#define FRIDAY INT64_C(1804255200) /* 2027-03-05T14:00Z */

static void late_is_after_due(void **unused)
{
    (void)unused;
    struct promise promise = promise_of(FRIDAY, FRIDAY, 0);
    assert_false(promise.late);
    assert_int_equal(promise.expected, FRIDAY);
    promise = promise_of(FRIDAY, FRIDAY + 60, 0); /* the plan says so: no hour is given to it */
    assert_true(promise.late && promise.late_s == 60);
    assert_false(promise_of(0, FRIDAY, 90 * HOUR).late); /* nothing was promised */
    assert_false(promise_of(FRIDAY, 0, 90 * HOUR).late); /* no date can be given: another finding says that */
}

/* Finished as promised to the minute: a step a minute behind its plan is not late, one of a day is. */
static void a_minute_is_caught_up(void **unused)
{
    (void)unused;
    assert_false(promise_of(FRIDAY, FRIDAY, 60).late);
    assert_false(promise_of(FRIDAY, FRIDAY, HOUR).late);
    struct promise promise = promise_of(FRIDAY, FRIDAY, 24 * HOUR);
    assert_true(promise.late && promise.late_s == 24 * HOUR);
    assert_false(promise_of(FRIDAY + 30 * HOUR, FRIDAY, 24 * HOUR).late); /* there was room for it */
}

static void a_step_is_behind_when_it_cannot_begin_in_time(void **unused)
{
    (void)unused;
    struct next_step next = {.kind = FACT_LAMINATED, .from = FRIDAY, .needed = FRIDAY - HOUR};
    assert_int_equal(next_step_delay_s(&next, FRIDAY - 5 * HOUR), HOUR);
    assert_int_equal(next_step_delay_s(&next, FRIDAY + HOUR), 2 * HOUR);
    next.needed = 0; /* not known */
    assert_int_equal(next_step_delay_s(&next, FRIDAY + HOUR), 0);
    struct job_terms terms = {
        .has_due = false, .due = FRIDAY, .has_install = true, .finished = FRIDAY + HOUR};
    assert_false(promise_of_terms(&terms, 0).late);
    terms.has_due = true;
    assert_true(promise_of_terms(&terms, 0).late);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(late_is_after_due),
        cmocka_unit_test(a_minute_is_caught_up),
        cmocka_unit_test(a_step_is_behind_when_it_cannot_begin_in_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
