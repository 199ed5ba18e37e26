/* Smoothing of traced rings: points go to the mean of their neighbours as far as they may, then those go that a
 * chord can do without. */
#include "smooth.h"
#include "geom/region.h"
#include <math.h>

/* Of the distance allowed: how far points may go, and how far chords may miss them. */
static const double SHARE_MOVED = 0.85, SHARE_CHORD = 0.15;

static struct point ring_mean(struct point before, struct point p, struct point after, double share)
{
    return (struct point){p.x + share * ((before.x + after.x) / 2 - p.x),
                          p.y + share * ((before.y + after.y) / 2 - p.y)};
}

static void ring_relax(const struct polygon *ring, double share, struct point *out)
{
    const size_t n = ring->count;
    for (size_t i = 0; i < n; i++)
        out[i] = ring_mean(ring->points[(i + n - 1) % n], ring->points[i], ring->points[(i + 1) % n], share);
    memcpy(ring->points, out, n * sizeof *out);
}

static void ring_hold(struct polygon *ring, const struct point *traced, double most)
{
    for (size_t i = 0; i < ring->count; i++) {
        double dx = ring->points[i].x - traced[i].x, dy = ring->points[i].y - traced[i].y;
        double away = hypot(dx, dy);
        if (away <= most) continue;
        ring->points[i] = (struct point){traced[i].x + dx / away * most, traced[i].y + dy / away * most};
    }
}

/* Rounds out and back again so that curves do not shrink (Taubin, SIGGRAPH 1995; shares from memory, unchecked). The
 * rounds are so many that steps of three times the distance allowed are levelled. */
static bool ring_level(struct polygon *ring, double most, double step_mm, const struct contour_means *means)
{
    enum { ROUNDS_MOST = 60 };
    double reach = 3 * most / step_mm;
    int rounds = (int)fmin(ROUNDS_MOST, ceil(2 * reach * reach));
    struct point *traced = arena_take_array(means->arena, ring->count, sizeof *traced);
    struct point *room = arena_take_array(means->arena, ring->count, sizeof *room);
    memcpy(traced, ring->points, ring->count * sizeof *traced);
    for (int i = 0; i < rounds; i++) {
        if (means->enough && means->enough(means->self)) return false;
        ring_relax(ring, 0.5, room);
        ring_relax(ring, -0.53, room);
    }
    ring_relax(ring, 0.5, room);
    ring_hold(ring, traced, most);
    return true;
}

/* ---- chords ---- */

struct ring_span {
    size_t from, to; /* indices of the ring; `to` may be its count: the first point again */
};

static size_t span_furthest(const struct polygon *ring, struct ring_span stretch, double *furthest)
{
    size_t found = stretch.from;
    struct point from = ring->points[stretch.from], to = ring->points[stretch.to % ring->count];
    *furthest = 0;
    for (size_t i = stretch.from + 1; i < stretch.to; i++) {
        double away = segment_distance(ring->points[i], from, to);
        if (away > *furthest) *furthest = away, found = i;
    }
    return found;
}

/* Douglas and Peucker, The Canadian Cartographer 10, 1973 (from memory, unchecked). */
static bool ring_thin(struct polygon *ring, double most, const struct contour_means *means)
{
    struct ring_span *open = arena_take_array(means->arena, ring->count + 2, sizeof *open);
    bool *kept = arena_take_array(means->arena, ring->count, sizeof *kept);
    size_t count = 0, left = 0;
    kept[0] = true;
    open[count++] = (struct ring_span){0, ring->count};
    while (count) {
        double furthest;
        struct ring_span stretch = open[--count];
        size_t at = span_furthest(ring, stretch, &furthest);
        if (means->enough && means->enough(means->self)) return false;
        if (furthest <= most) continue;
        kept[at] = true;
        open[count++] = (struct ring_span){stretch.from, at};
        open[count++] = (struct ring_span){at, stretch.to};
    }
    for (size_t i = 0; i < ring->count; i++)
        if (kept[i]) ring->points[left++] = ring->points[i];
    ring->count = left;
    return true;
}

bool ring_smooth(struct polygon *ring, double by_mm, double step_mm, const struct contour_means *means)
{
    if (ring->count < 4 || !(by_mm > 0)) return true;
    return ring_level(ring, SHARE_MOVED * by_mm, step_mm, means) &&
           ring_thin(ring, SHARE_CHORD * by_mm, means);
}
