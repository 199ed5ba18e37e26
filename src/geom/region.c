/* What a region measures. Rings are taken one by one: their directions make sums come out right. */
#include "geom/region.h"
#include <math.h>

double region_area(const struct region *region)
{
    double sum = 0;
    for (size_t i = 0; i < region->count; i++) sum += polygon_area(&region->rings[i]);
    return sum;
}

double polygon_length(const struct polygon *polygon)
{
    double sum = 0;
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = polygon->points[i], q = polygon->points[(i + 1) % polygon->count];
        sum += hypot(q.x - p.x, q.y - p.y);
    }
    return sum;
}

double region_length(const struct region *region)
{
    double sum = 0;
    for (size_t i = 0; i < region->count; i++) sum += polygon_length(&region->rings[i]);
    return sum;
}

size_t region_points(const struct region *region)
{
    size_t sum = 0;
    for (size_t i = 0; i < region->count; i++) sum += region->rings[i].count;
    return sum;
}

struct rect region_bounds(const struct region *region)
{
    if (!region->count) return (struct rect){0, 0, 0, 0};
    struct rect box = polygon_bounds(&region->rings[0]);
    for (size_t i = 1; i < region->count; i++) box = rect_union(box, polygon_bounds(&region->rings[i]));
    return box;
}

bool region_contains(const struct region *region, struct point place)
{
    bool inside = false;
    for (size_t i = 0; i < region->count; i++)
        if (polygon_contains(&region->rings[i], place)) inside = !inside;
    return inside;
}

static double segment_distance_square(struct point place, struct point from, struct point to)
{
    double dx = to.x - from.x, dy = to.y - from.y, square = dx * dx + dy * dy;
    double share = square > 0 ? ((place.x - from.x) * dx + (place.y - from.y) * dy) / square : 0;
    share = share < 0 ? 0 : share > 1 ? 1 : share;
    dx = place.x - from.x - share * dx, dy = place.y - from.y - share * dy;
    return dx * dx + dy * dy;
}

double segment_distance(struct point place, struct point from, struct point to)
{
    return sqrt(segment_distance_square(place, from, to));
}

double region_distance(const struct region *region, struct point place)
{
    double nearest = INFINITY;
    for (size_t i = 0; i < region->count; i++) {
        const struct polygon *ring = &region->rings[i];
        for (size_t k = 0; k < ring->count; k++) {
            struct point from = ring->points[k], to = ring->points[k + 1 < ring->count ? k + 1 : 0];
            double square = segment_distance_square(place, from, to);
            if (square < nearest) nearest = square;
        }
    }
    return sqrt(nearest);
}
