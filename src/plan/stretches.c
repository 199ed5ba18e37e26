/* Stretches along a line: cut out, join, measure what lies between two places. Called by the files that
 * work on a seam's line. */
#include "stretches.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

void stretches_cut_out(struct stretches *seen, double low, double high)
{
    size_t count = seen->count;
    for (size_t i = 0; i < count; i++) {
        struct seam_part *s = &seen->items[i];
        if (low >= s->to_mm || high <= s->from_mm) continue;
        if (low > s->from_mm && high < s->to_mm)
            seen->items[seen->count++] = (struct seam_part){high, s->to_mm};
        if (low > s->from_mm)
            s->to_mm = low;
        else
            s->from_mm = fmin(high, s->to_mm);
    }
}

double stretches_between(const struct stretches *seen, double low, double high)
{
    double sum = 0;
    for (size_t i = 0; i < seen->count; i++)
        sum += fmax(0, fmin(high, seen->items[i].to_mm) - fmax(low, seen->items[i].from_mm));
    return sum;
}

double stretches_length(const struct stretches *seen)
{
    return stretches_between(seen, -INFINITY, INFINITY);
}

static int by_stretch_start(const void *one, const void *other)
{
    double a = ((const struct seam_part *)one)->from_mm, b = ((const struct seam_part *)other)->from_mm;
    return (a > b) - (a < b);
}

void stretches_join(struct stretches *parts)
{
    size_t kept = 0;
    if (!parts->count) return;
    qsort(parts->items, parts->count, sizeof *parts->items, by_stretch_start);
    for (size_t i = 1; i < parts->count; i++) {
        struct seam_part *last = &parts->items[kept], part = parts->items[i];
        if (part.from_mm <= last->to_mm + 1e-6)
            last->to_mm = fmax(last->to_mm, part.to_mm);
        else
            parts->items[++kept] = part;
    }
    parts->count = kept + 1;
}

struct stretches stretches_copy(const struct stretches *parts, struct arena *arena)
{
    struct stretches copy = {arena_take_array(arena, parts->count, sizeof *parts->items), parts->count};
    if (parts->count) memcpy(copy.items, parts->items, parts->count * sizeof *parts->items);
    return copy;
}
