/* What most test programs begin with: a machine and an arena for all of their tests. */
#ifndef WITH_ARENA_H
#define WITH_ARENA_H

#include "test.h"
#include "base/arena.h"
#include "base/machine.h"

static struct machine machine;
static struct arena *arena;

static inline int set_up(void **state)
{
    (void)state;
    machine = machine_real("/proc/self/exe");
    arena = arena_new(&machine);
    return 0;
}

static inline int tear_down(void **state)
{
    (void)state;
    arena_free(arena);
    return 0;
}

#endif
