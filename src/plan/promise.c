/* Due, expected, late: the one rule. */
#include "plan/promise.h"
#include "model/practice.h"
#include <math.h>

static int64_t caught_up_s(void)
{
    return llround(practice_value("caught-up").value * 3600);
}

struct promise promise_of(int64_t due, int64_t finished, int64_t delay_s)
{
    int64_t expected = finished && delay_s > caught_up_s() ? finished + delay_s : finished;
    bool late = due && expected > due;
    return (struct promise){
        .due = due, .expected = expected, .late = late, .late_s = late ? expected - due : 0};
}

struct promise promise_of_terms(const struct job_terms *terms, int64_t delay_s)
{
    return promise_of(terms->has_due ? terms->due : 0, terms->has_install ? terms->finished : 0, delay_s);
}

int64_t next_step_delay_s(const struct next_step *next, int64_t now)
{
    int64_t soonest = next->from > now ? next->from : now;
    return next->needed && soonest > next->needed ? soonest - next->needed : 0;
}
