/* How many of its cases a long test takes: all, or the share that LAPSTRAKE_SHARE names (tests/meson.build); in Python,
 * tests/outside/share.py. */
#ifndef SUPPORT_SHARE_H
#define SUPPORT_SHARE_H

#include <stdlib.h>

/* `cases`, or the first of them: at least one. */
static inline int share_of(int cases)
{
    const char *share = getenv("LAPSTRAKE_SHARE");
    int some = share ? (int)(cases * atof(share) + 0.5) : cases;
    return some < 1 ? 1 : some;
}

#endif
