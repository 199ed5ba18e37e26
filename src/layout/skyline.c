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

int64_t skyline_level_for(const struct skyline *skyline, int64_t width)
{
    const struct skyline_step *steps = skyline->steps;
    int64_t lowest = INT64_MAX;
    for (size_t i = 0; i < skyline->count; i++) {
        int64_t level = steps[i].level, reach = steps[i].at + width;
        size_t k = i + 1;
        for (; k < skyline->count && steps[k].at < reach; k++)
            if (steps[k].level > level) level = steps[k].level;
        bool inside = reach <= steps[skyline->count - 1].at + steps[skyline->count - 1].width;
        if (inside && level < lowest) lowest = level;
    }
    /* A window that ends with a step may begin within one: the same from the right. */
    for (size_t i = skyline->count; i-- > 0;) {
        int64_t level = steps[i].level, reach = steps[i].at + steps[i].width - width;
        for (size_t k = i; k-- > 0 && steps[k].at + steps[k].width > reach;)
            if (steps[k].level > level) level = steps[k].level;
        if (reach >= 0 && level < lowest) lowest = level;
    }
    return lowest;
}

struct niche niche_of(const struct skyline *skyline, int64_t limit)
{
    size_t k = skyline_lowest(skyline);
    const struct skyline_step *steps = skyline->steps;
    int64_t room = limit - steps[k].level;
    int64_t left = k > 0 ? steps[k - 1].level - steps[k].level : room;
    int64_t right = k + 1 < skyline->count ? steps[k + 1].level - steps[k].level : room;
    bool high_is_left = left >= right;
    return (struct niche){k,
                          steps[k].level,
                          steps[k].width,
                          room,
                          high_is_left ? left : right,
                          high_is_left ? right : left,
                          high_is_left};
}
