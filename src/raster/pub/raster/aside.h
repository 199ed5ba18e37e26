/* A sink that works in a thread of its own, a strip behind: whoever makes the strips goes on meanwhile. */
#ifndef RASTER_ASIDE_H
#define RASTER_ASIDE_H

#include "base/arena.h"
#include "model/pixels.h"

/* The arena keeps it and one copied strip; to be freed with aside_free whatever comes. */
struct aside;
struct aside *aside_new(struct arena *arena, struct strip_sink next);
/* Where the strips go. begin and end of `next` are called in the caller's thread; what its strip reports is
 * told with the following one, or at the end. When no thread can be started all is done in the caller's. */
struct strip_sink aside_sink(struct aside *aside);
/* Waits for the strip under way and ends the thread. */
void aside_free(struct aside *aside);

#endif
