/* Surfaces that wrap round a corner over their neighbour go on after it. */
#include "base/str.h"
#include "schedule.h"

static bool corners_waits(const struct job *job, const struct workloads *workloads, size_t index,
                          const bool *placed)
{
    const char *name = workloads->items[index].surface->surface->name;
    for (size_t i = 0; i < job->corner_count; i++) {
        const struct corner *c = &job->corners[i];
        if (!string_equal(c->over, name)) continue;
        const char *under = string_equal(c->one, name) ? c->other : c->one;
        for (size_t k = 0; k < workloads->count; k++)
            if (!placed[k] && string_equal(workloads->items[k].surface->surface->name, under)) return true;
    }
    return false;
}

size_t *corners_sequence(const struct job *job, const struct workloads *workloads, struct arena *arena)
{
    size_t *sequence = arena_take_array(arena, workloads->count, sizeof *sequence), count = 0;
    bool *placed = arena_take_array(arena, workloads->count, sizeof *placed);
    while (count < workloads->count) {
        size_t next = 0, first = workloads->count;
        for (next = 0; next < workloads->count; next++) {
            if (placed[next]) continue;
            if (first == workloads->count) first = next;
            if (!corners_waits(job, workloads, next, placed)) break;
        }
        if (next == workloads->count) next = first; /* a circle is refused when the job is read */
        placed[next] = true;
        sequence[count++] = next;
    }
    return sequence;
}
