/* Workers for loops whose turns do not depend on each other. Results must not depend on the number of
 * threads: each turn writes its own place. */
#ifndef BASE_POOL_H
#define BASE_POOL_H

#include "base/machine.h"

/* Threads that wait for work: a picture has hundreds of strips with several steps each, too many to start
 * threads for every step. They are started when there is work for the first time. `threads` counts the
 * caller's own, at most 64. Yours to free. */
struct pool;
struct pool *pool_new(struct machine *machine, unsigned threads);
void pool_free(struct pool *pool); /* NULL is allowed */
/* How many may work at once, the caller among them; 1 for NULL. */
unsigned pool_threads(const struct pool *pool);

/* Runs work(context, i) for i in 0..count-1 on the caller's thread and those of the pool (NULL: the caller's
 * alone). Which turn runs where is not fixed; all are done on return. When no thread can be started the
 * caller does the work. For one caller at a time, and not from within work. */
void pool_run(struct pool *pool, size_t count, void (*work)(void *context, size_t i), void *context);

/* Processors this program may use, at least 1. */
unsigned pool_processors(void);

#endif
