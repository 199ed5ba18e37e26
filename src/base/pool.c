/* Shares the turns of a loop among threads. Used where pixels are worked on: resampling, colour, packing,
 * fingerprints. */
#include "base/pool.h"
#include <pthread.h>
#include <sched.h>
#include <stdatomic.h>

enum { THREADS_MOST = 64 };

/* One loop that is being run. */
struct pool_share {
    atomic_size_t next;
    size_t count;
    void (*work)(void *, size_t);
    void *context;
};

struct pool {
    struct machine *machine;
    unsigned threads, started;
    pthread_t others[THREADS_MOST];
    pthread_mutex_t lock;
    pthread_cond_t called, idle;
    struct pool_share *share;
    unsigned wanted; /* workers that may still join the share */
    unsigned active; /* that have */
    bool over;
};

static void take_turns(struct pool_share *share)
{
    for (size_t i; (i = atomic_fetch_add(&share->next, 1)) < share->count;) share->work(share->context, i);
}

static void *worker(void *argument)
{
    struct pool *pool = argument;
    pthread_mutex_lock(&pool->lock);
    while (!pool->over) {
        if (!pool->wanted) {
            pthread_cond_wait(&pool->called, &pool->lock);
            continue;
        }
        pool->wanted--;
        pool->active++;
        struct pool_share *share = pool->share;
        pthread_mutex_unlock(&pool->lock);
        take_turns(share);
        pthread_mutex_lock(&pool->lock);
        if (!--pool->active) pthread_cond_signal(&pool->idle);
    }
    pthread_mutex_unlock(&pool->lock);
    return NULL;
}

struct pool *pool_new(struct machine *machine, unsigned threads)
{
    struct pool *pool = machine->allocate(machine, sizeof *pool);
    if (!pool) machine->no_memory(machine);
    pool->machine = machine;
    pool->threads = threads < THREADS_MOST ? threads : THREADS_MOST;
    pthread_mutex_init(&pool->lock, NULL);
    pthread_cond_init(&pool->called, NULL);
    pthread_cond_init(&pool->idle, NULL);
    return pool;
}

void pool_free(struct pool *pool)
{
    if (!pool) return;
    pthread_mutex_lock(&pool->lock);
    pool->over = true;
    pthread_cond_broadcast(&pool->called);
    pthread_mutex_unlock(&pool->lock);
    for (unsigned i = 0; i < pool->started; i++) pthread_join(pool->others[i], NULL);
    pthread_mutex_destroy(&pool->lock);
    pthread_cond_destroy(&pool->called);
    pthread_cond_destroy(&pool->idle);
    pool->machine->release(pool->machine, pool);
}

unsigned pool_threads(const struct pool *pool)
{
    return pool && pool->threads > 1 ? pool->threads : 1;
}

static void start_workers(struct pool *pool, size_t wanted)
{
    while (pool->started < wanted && !pthread_create(&pool->others[pool->started], NULL, worker, pool))
        pool->started++;
}

void pool_run(struct pool *pool, size_t count, void (*work)(void *, size_t), void *context)
{
    struct pool_share share = {.count = count, .work = work, .context = context};
    if (!pool || pool->threads < 2 || count < 2) {
        take_turns(&share);
        return;
    }
    size_t others = count < pool->threads ? count - 1 : pool->threads - 1;
    start_workers(pool, others);
    pthread_mutex_lock(&pool->lock);
    pool->share = &share;
    pool->wanted = (unsigned)others;
    pthread_cond_broadcast(&pool->called);
    pthread_mutex_unlock(&pool->lock);
    take_turns(&share);
    pthread_mutex_lock(&pool->lock);
    pool->wanted = 0; /* whoever wakes up only now is too late */
    while (pool->active) pthread_cond_wait(&pool->idle, &pool->lock);
    pthread_mutex_unlock(&pool->lock);
}

unsigned pool_processors(void)
{
    cpu_set_t set;
    if (sched_getaffinity(0, sizeof set, &set)) return 1;
    int count = CPU_COUNT(&set);
    return count < 1 ? 1 : (unsigned)count;
}
