/* For each pair of outlines the places at which they are too near to each other: the sums of the convex parts of one
 * and of the other mirrored (Minkowski), and of a disc for the gap, looked at where the grid's lines along run. */
#include "outline_maps.h"
#include "outline_parts.h"
#include <math.h>
#include <string.h>

enum { CELLS_MOST = 16 * 1024 * 1024, DEPTH_MOST = 65535 };

/* ---- stances ---- */

static bool outlines_are_alike(const struct layout_outline *a, const struct layout_outline *b)
{
    return a->count == b->count && outline_turns(a) == outline_turns(b) &&
           memcmp(a->points, b->points, a->count * sizeof *a->points) == 0;
}

static int32_t steps_up(int64_t length, int64_t step)
{
    return (int32_t)((length + step - 1) / step);
}

static int32_t steps_near(int64_t length, int64_t step)
{
    int64_t steps = (length + step / 2) / step;
    return steps ? (int32_t)steps : 1;
}

static void stances_of(struct outline_maps *maps, size_t outline, struct arena *arena)
{
    const struct layout_outlines_order *order = maps->order;
    maps->first[outline] = maps->stance_count;
    for (int quarters = 0; quarters < 4; quarters++) {
        if (!(outline_turns(&order->outlines[outline]) >> quarters & 1)) continue;
        struct shape shape = shape_of(&order->outlines[outline], quarters, arena);
        int32_t width = steps_near(shape.width, maps->step), length = steps_near(shape.length, maps->step);
        if (shape.width > order->width) continue;
        if (width > maps->width) width = maps->width;
        maps->stances[maps->stance_count++] =
            (struct outline_stance){outline, quarters, shape, width, length};
    }
    maps->kinds[outline] = maps->stance_count - maps->first[outline];
}

static void stances_find(struct outline_maps *maps, struct arena *arena)
{
    for (size_t i = 0; i < maps->order->count; i++) {
        size_t k = 0;
        while (k < i && !outlines_are_alike(&maps->order->outlines[k], &maps->order->outlines[i])) k++;
        if (k < i)
            maps->first[i] = maps->first[k], maps->kinds[i] = maps->kinds[k];
        else
            stances_of(maps, i, arena);
    }
}

/* ---- where two are too near ---- */

static struct depth_map map_frame(const struct outline_maps *maps, const struct outline_stance *a,
                                  const struct outline_stance *b)
{
    int64_t reach = maps->order->gap + maps->order->gap / 32 + 4; /* of the disc with corners */
    int32_t gap = steps_up(reach, maps->step) + 2;
    return (struct depth_map){-b->width - gap, -b->length - gap, a->width + b->width + 2 * gap + 1,
                              a->length + b->length + 2 * gap + 1, NULL};
}

/* What of the line at `along` lies inside a convex polygon by more than `by`, from `low` to `high`; false: nothing. */
static bool convex_span(const struct convex *c, double along, double by, double *low, double *high)
{
    *low = -HUGE_VAL, *high = HUGE_VAL;
    for (size_t i = 0; i < c->count; i++) {
        struct layout_point p = c->points[i], q = c->points[(i + 1) % c->count];
        double x = (double)(q.along - p.along), y = (double)(p.across - q.across); /* outwards */
        double left = x * (double)p.across + y * ((double)p.along - along) - by * hypot(x, y);
        if (x > 0)
            *high = fmin(*high, left / x);
        else if (x < 0)
            *low = fmax(*low, left / x);
        else if (left < 0)
            return false;
    }
    return *low <= *high;
}

static void map_mark(const struct outline_maps *maps, struct depth_map *map, const struct convex *sum)
{
    const double step = (double)maps->step;
    int64_t lowest = INT64_MAX, highest = INT64_MIN;
    for (size_t i = 0; i < sum->count; i++) {
        if (sum->points[i].along < lowest) lowest = sum->points[i].along;
        if (sum->points[i].along > highest) highest = sum->points[i].along;
    }
    int32_t y0 = (int32_t)ceil((double)lowest / step), y1 = (int32_t)floor((double)highest / step);
    for (int32_t y = y0; y <= y1; y++) {
        double low, high;
        if (!convex_span(sum, y * step, maps->leeway, &low, &high)) continue;
        int32_t x0 = (int32_t)ceil(low / step) - map->across0,
                x1 = (int32_t)floor(high / step) - map->across0;
        uint16_t *row = map->depth + (size_t)(y - map->along0) * (size_t)map->width;
        for (int32_t x = x0; x <= x1; x++) row[x] = DEPTH_MOST;
    }
}

/* ---- how deep ---- */

static void depth_lower(uint16_t *cell, uint16_t from)
{
    if (*cell > from + 1) *cell = (uint16_t)(from + 1);
}

/* Steps to the nearest clear place, by steps across and along; the frame's rim is clear. */
static void map_deepen(struct depth_map *map)
{
    const size_t w = (size_t)map->width, h = (size_t)map->length;
    for (size_t y = 1; y + 1 < h; y++)
        for (size_t x = 1; x + 1 < w; x++) {
            uint16_t *cell = &map->depth[y * w + x];
            depth_lower(cell, cell[-1]), depth_lower(cell, *(cell - w));
        }
    for (size_t y = h - 1; y-- > 1;)
        for (size_t x = w - 1; x-- > 1;) {
            uint16_t *cell = &map->depth[y * w + x];
            depth_lower(cell, cell[1]), depth_lower(cell, cell[w]);
        }
}

static void map_fill(const struct outline_maps *maps, struct depth_map *map, const struct convex_parts *a,
                     const struct convex_parts *b, struct arena *arena)
{
    map->depth = arena_take_array(arena, (size_t)map->width * (size_t)map->length, sizeof *map->depth);
    struct arena *sums = arena_new(arena_machine(arena));
    for (size_t i = 0; i < a->count; i++)
        for (size_t k = 0; k < b->count; k++) {
            struct convex sum = convex_sum(&a->parts[i], &b->parts[k], sums);
            map_mark(maps, map, &sum);
        }
    arena_free(sums);
    map_deepen(map);
}

/* The same pair seen from the other. */
static void map_reverse(const struct depth_map *map, struct depth_map *other, struct arena *arena)
{
    size_t cells = (size_t)map->width * (size_t)map->length;
    *other = *map;
    other->across0 = -(map->across0 + map->width - 1), other->along0 = -(map->along0 + map->length - 1);
    other->depth = arena_take_array(arena, cells, sizeof *other->depth);
    for (size_t i = 0; i < cells; i++) other->depth[i] = map->depth[cells - 1 - i];
}

static bool maps_are_too_large(const struct outline_maps *maps)
{
    double cells = 0;
    for (size_t i = 0; i < maps->stance_count; i++)
        for (size_t k = 0; k < maps->stance_count; k++) {
            struct depth_map map = map_frame(maps, &maps->stances[i], &maps->stances[k]);
            cells += (double)map.width * (double)map.length;
        }
    return cells > CELLS_MOST;
}

static bool maps_fill(struct outline_maps *maps, struct arena *arena)
{
    size_t n = maps->stance_count;
    struct convex disc = convex_disc(maps->order->gap, arena);
    struct convex_parts *near = maps->parts = arena_take_array(arena, n, sizeof *near),
                        *mirrored = arena_take_array(arena, n, sizeof *mirrored);
    for (size_t i = 0; i < n; i++) {
        near[i] = convex_parts_of(&maps->stances[i].shape, arena);
        if (!near[i].count) return false;
        mirrored[i] = convex_parts_mirror(&near[i], arena);
        for (size_t k = 0; k < mirrored[i].count; k++)
            mirrored[i].parts[k] = convex_sum(&mirrored[i].parts[k], &disc, arena);
    }
    for (size_t i = 0; i < n; i++)
        for (size_t k = i; k < n; k++) {
            struct depth_map *map = &maps->maps[i * n + k];
            *map = map_frame(maps, &maps->stances[i], &maps->stances[k]);
            map_fill(maps, map, &near[i], &mirrored[k], arena);
            if (k > i) map_reverse(map, &maps->maps[k * n + i], arena);
        }
    return true;
}

struct outline_maps *outline_maps_new(const struct layout_outlines_order *order, int64_t step,
                                      struct arena *arena)
{
    struct outline_maps *maps = arena_take(arena, sizeof *maps);
    maps->order = order, maps->step = step, maps->width = (int32_t)(order->width / step);
    maps->leeway = 0.75 * (double)step;
    maps->stances = arena_take_array(arena, 4 * order->count, sizeof *maps->stances);
    maps->first = arena_take_array(arena, order->count, sizeof *maps->first);
    maps->kinds = arena_take_array(arena, order->count, sizeof *maps->kinds);
    stances_find(maps, arena);
    if (maps_are_too_large(maps)) return NULL;
    maps->maps = arena_take_array(arena, maps->stance_count * maps->stance_count, sizeof *maps->maps);
    return maps_fill(maps, arena) ? maps : NULL;
}
