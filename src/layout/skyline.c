/* The upper outline of what lies on a strip. Used by the greedy packing and by the exact search. */
#include "inner.h"
#include <assert.h>
#include <string.h>

void skyline_start(struct skyline *skyline, int64_t width)
{
    skyline->count = 1;
    skyline->steps[0] = (struct skyline_step){0, 0, width};
}

size_t skyline_lowest(const struct skyline *skyline)
{
    size_t lowest = 0;
    for (size_t i = 1; i < skyline->count; i++)
        if (skyline->steps[i].level < skyline->steps[lowest].level) lowest = i;
    return lowest;
}

static void skyline_drop(struct skyline *skyline, size_t k)
{
    skyline->count--;
    memmove(skyline->steps + k, skyline->steps + k + 1, (skyline->count - k) * sizeof *skyline->steps);
}

static void skyline_join(struct skyline *skyline, size_t k)
{
    struct skyline_step *steps = skyline->steps;
    if (k + 1 < skyline->count && steps[k + 1].level == steps[k].level) {
        steps[k].width += steps[k + 1].width;
        skyline_drop(skyline, k + 1);
    }
    if (k > 0 && steps[k - 1].level == steps[k].level) {
        steps[k - 1].width += steps[k].width;
        skyline_drop(skyline, k);
    }
}

/* Step k becomes two, of which the left one has that width. */
static void skyline_split(struct skyline *skyline, size_t k, int64_t width)
{
    struct skyline_step *steps = skyline->steps;
    memmove(steps + k + 1, steps + k, (skyline->count - k) * sizeof *steps);
    skyline->count++;
    steps[k].width = width;
    steps[k + 1].at += width, steps[k + 1].width -= width;
}

void skyline_raise_left(struct skyline *skyline, size_t k, int64_t width, int64_t level)
{
    assert(width > 0 && width <= skyline->steps[k].width && level > skyline->steps[k].level);
    if (width < skyline->steps[k].width) skyline_split(skyline, k, width);
    skyline->steps[k].level = level;
    skyline_join(skyline, k);
}

void skyline_raise_right(struct skyline *skyline, size_t k, int64_t width, int64_t level)
{
    assert(width > 0 && width <= skyline->steps[k].width && level > skyline->steps[k].level);
    if (width < skyline->steps[k].width) skyline_split(skyline, k, skyline->steps[k].width - width), k++;
    skyline->steps[k].level = level;
    skyline_join(skyline, k);
}
