/* Private to layout: outlines at the places of a grid, and how deep two lie in each other there. */
#ifndef LAYOUT_OUTLINE_MAPS_H
#define LAYOUT_OUTLINE_MAPS_H

#include "outline_parts.h"

/* An outline as it may lie. Outlines that are alike have the same. */
struct outline_stance {
    size_t outline; /* one of those alike */
    int quarters;
    struct shape shape;
    int32_t width, length; /* in steps, rounded */
};

/* How far, in steps, a second stance has to go to be clear of a first, by its place less the first's; 0: it is. */
struct depth_map {
    int32_t across0, along0, width, length; /* the least difference there is, and how many there are */
    uint16_t *depth;                        /* row by row along */
};

struct outline_maps {
    const struct layout_outlines_order *order;
    int64_t step; /* of the grid */
    double
        leeway; /* how deep in each other counts as clear: places between the grid's are found afterwards */
    int32_t width; /* of the strip in steps, rounded down */
    struct outline_stance *stances;
    struct convex_parts *parts; /* of each stance */
    size_t stance_count;
    size_t *first, *kinds;  /* of each outline: its first stance, and how many */
    struct depth_map *maps; /* stance_count x stance_count: first, second */
};

/* NULL when they would be larger than can be borne, or an outline could not be cut into convex parts. */
struct outline_maps *outline_maps_new(const struct layout_outlines_order *order, int64_t step,
                                      struct arena *arena);

static inline const struct depth_map *outline_map(const struct outline_maps *maps, size_t first,
                                                  size_t second)
{
    return &maps->maps[first * maps->stance_count + second];
}

static inline uint16_t depth_at(const struct depth_map *map, int32_t across, int32_t along)
{
    int32_t x = across - map->across0, y = along - map->along0;
    if (x < 0 || y < 0 || x >= map->width || y >= map->length) return 0;
    return map->depth[(size_t)y * (size_t)map->width + (size_t)x];
}

#endif
