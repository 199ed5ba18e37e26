/* Ends a search after so many seconds of this process's own time. The clock is a call of the system that can take as long
 * as a hundred tries: it is asked each sixteenth time. */
#ifndef BENCH_CLOCK_H
#define BENCH_CLOCK_H

#include <stdbool.h>
#include <time.h>

struct bench_clock {
    double end;
    unsigned asked;
};

static inline double bench_seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* layout_effort.enough; `self` is a struct bench_clock. */
static inline bool bench_enough(void *self)
{
    struct bench_clock *clock = self;
    return clock->asked++ % 16 == 15 && bench_seconds() >= clock->end;
}

#endif
