/* How often rings wind around a place: a ray to the right counts the sides that pass it, up and down. Sides stand in
 * bands of y, so that a place looks at few of them. */
#include "inner.h"
#include <math.h>

struct side {
    struct point from, to;
};

struct winding {
    struct side *sides; /* band after band; a side that crosses bands stands in each */
    size_t *first;      /* of each band, and the end of the last */
    size_t bands;
    double low, height; /* of the lowest band, of each */
};

static size_t winding_band(const struct winding *winding, double y)
{
    double band = floor((y - winding->low) / winding->height);
    if (!(band > 0)) return 0;
    return band < (double)winding->bands ? (size_t)band : winding->bands - 1;
}

/* Sides counted into their bands (`fill` false), or put there. */
static void winding_sort(struct winding *winding, const struct polygon *ring, bool fill)
{
    for (size_t i = 0; i < ring->count; i++) {
        struct point p = ring->points[i], q = ring->points[(i + 1) % ring->count];
        size_t band = winding_band(winding, fmin(p.y, q.y)), last = winding_band(winding, fmax(p.y, q.y));
        for (; band <= last; band++) {
            if (fill) winding->sides[winding->first[band]] = (struct side){p, q};
            winding->first[band + !fill] += 1;
        }
    }
}

/* So many that sides stand in some five bands each at the most: tall sides make few bands. */
static size_t winding_bands(const struct polygon *rings, size_t count, double height)
{
    double rise = 0, sides = 0;
    for (size_t r = 0; r < count; r++)
        for (size_t i = 0; i < rings[r].count; i++, sides++)
            rise += fabs(rings[r].points[(i + 1) % rings[r].count].y - rings[r].points[i].y);
    return 1 + (size_t)fmin(sides / 4, rise > 0 ? 4 * sides * height / rise : 0);
}

struct winding *winding_new(const struct polygon *rings, size_t count, struct arena *arena)
{
    const struct region all = {(struct polygon *)rings, count};
    struct rect box = region_bounds(&all);
    struct winding *winding = arena_take(arena, sizeof *winding);
    winding->bands = winding_bands(rings, count, rect_height(box));
    winding->low = box.y0, winding->height = fmax(rect_height(box) / (double)winding->bands, CONTOUR_GRID_MM);
    winding->first = arena_take_array(arena, winding->bands + 1, sizeof *winding->first);
    for (size_t i = 0; i < count; i++) winding_sort(winding, &rings[i], false);
    for (size_t i = 0; i < winding->bands; i++) winding->first[i + 1] += winding->first[i];
    winding->sides = arena_take_array(arena, winding->first[winding->bands], sizeof *winding->sides);
    for (size_t i = 0; i < count; i++) winding_sort(winding, &rings[i], true);
    for (size_t i = winding->bands; i > 0; i--) winding->first[i] = winding->first[i - 1];
    winding->first[0] = 0; /* filling has moved each to the next one's begin */
    return winding;
}

int winding_at(const struct winding *winding, struct point place)
{
    int turns = 0;
    size_t band = winding_band(winding, place.y);
    for (size_t i = winding->first[band]; i < winding->first[band + 1]; i++) {
        struct point p = winding->sides[i].from, q = winding->sides[i].to;
        if ((p.y > place.y) == (q.y > place.y)) continue;
        if (place.x < p.x + (place.y - p.y) / (q.y - p.y) * (q.x - p.x)) turns += q.y > p.y ? 1 : -1;
    }
    return turns;
}
