/* Workers for loops whose turns do not depend on each other. Results must not depend on the number of
 * threads: each turn writes its own place. */
#ifndef BASE_POOL_H
#define BASE_POOL_H

#include <stddef.h>

/* Runs work(context, i) for i in 0..count-1 on up to `threads` threads (1: in the caller). Which turn runs
 * where is not fixed; all are done on return. When no thread can be started the caller does the work. */
void pool_run(unsigned threads, size_t count, void (*work)(void *context, size_t i), void *context);
/* Processors this program may use, at least 1. */
unsigned pool_processors(void);

#endif
