#include "base/pool.h"
#include <pthread.h>
#include <sched.h>
#include <stdatomic.h>

enum { THREADS_MOST = 64 };

struct share {
    atomic_size_t next;
    size_t count;
    void (*work)(void *, size_t);
    void *context;
};

static void *worker(void *argument)
{
    struct share *share = argument;
    for (size_t i; (i = atomic_fetch_add(&share->next, 1)) < share->count;) share->work(share->context, i);
    return NULL;
}

void pool_run(unsigned threads, size_t count, void (*work)(void *, size_t), void *context)
{
    struct share share = {.count = count, .work = work, .context = context};
    pthread_t others[THREADS_MOST];
    unsigned started = 0;
    while (started + 1 < threads && started + 1 < count && started < THREADS_MOST &&
           !pthread_create(&others[started], NULL, worker, &share))
        started++;
    worker(&share);
    for (unsigned i = 0; i < started; i++) pthread_join(others[i], NULL);
}

unsigned pool_processors(void)
{
    cpu_set_t set;
    if (sched_getaffinity(0, sizeof set, &set)) return 1;
    int count = CPU_COUNT(&set);
    return count < 1 ? 1 : (unsigned)count;
}
