/* Surfaces that wrap round a corner over their neighbour go on after it. */
#include "base/str.h"
#include "schedule.h"

static bool corners_waits(const struct job *job, const struct efforts *efforts, size_t index,
                          const bool *placed)
{
    const char *name = efforts->items[index].surface->surface->name;
    for (size_t i = 0; i < job->corner_count; i++) {
        const struct corner *c = &job->corners[i];
        if (!string_equal(c->over, name)) continue;
        const char *under = string_equal(c->one, name) ? c->other : c->one;
        for (size_t k = 0; k < efforts->count; k++)
            if (!placed[k] && string_equal(efforts->items[k].surface->surface->name, under)) return true;
    }
    return false;
}

size_t *corners_sequence(const struct job *job, const struct efforts *efforts, struct arena *arena)
{
    size_t *sequence = arena_take_array(arena, efforts->count, sizeof *sequence), count = 0;
    bool *placed = arena_take_array(arena, efforts->count, sizeof *placed);
    while (count < efforts->count) {
        size_t next = 0, first = efforts->count;
        for (next = 0; next < efforts->count; next++) {
            if (placed[next]) continue;
            if (first == efforts->count) first = next;
            if (!corners_waits(job, efforts, next, placed)) break;
        }
        if (next == efforts->count) next = first; /* a circle is refused when the job is read */
        placed[next] = true;
        sequence[count++] = next;
    }
    return sequence;
}
