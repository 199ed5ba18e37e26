/* Whether an outline crosses itself, and what it spans over each millimetre. Called when a surface is
 * measured. */
#include "plane.h"
#include "base/arena.h"
#include <math.h>
#include <stdlib.h>

/* ---- self-crossing ---- */

struct edge_box { /* an edge, ordered by where it begins in x */
    double x0, x1;
    size_t index;
};

static int profile_by_start(const void *one, const void *other)
{
    const struct edge_box *a = one, *b = other;
    return a->x0 != b->x0 ? (a->x0 > b->x0) - (a->x0 < b->x0) : (a->index > b->index) - (a->index < b->index);
}

/* Distance of r from the line p-q, signed. */
static double side(struct point p, struct point q, struct point r)
{
    double length = hypot(q.x - p.x, q.y - p.y);
    return length > 0 ? ((q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x)) / length : 0;
}

static bool profile_apart(double a, double b)
{
    static const double touch_mm = 0.01;
    return (a > touch_mm && b < -touch_mm) || (a < -touch_mm && b > touch_mm);
}

static bool edges_cross(const struct polygon *polygon, size_t i, size_t j, struct point *where)
{
    const struct point *points = polygon->points;
    struct point p = points[i], q = points[(i + 1) % polygon->count];
    struct point r = points[j], s = points[(j + 1) % polygon->count];
    if (fmax(p.y, q.y) < fmin(r.y, s.y) || fmax(r.y, s.y) < fmin(p.y, q.y)) return false;
    double from = side(p, q, r), to = side(p, q, s);
    if (!profile_apart(from, to) || !profile_apart(side(r, s, p), side(r, s, q))) return false;
    double share = from / (from - to);
    *where = (struct point){r.x + share * (s.x - r.x), r.y + share * (s.y - r.y)};
    return true;
}

bool polygon_crosses_itself(const struct polygon *polygon, struct arena *arena, struct point *where)
{
    size_t count = polygon->count;
    struct edge_box *edges = arena_take_array(arena, count, sizeof *edges);
    for (size_t i = 0; i < count; i++) {
        double a = polygon->points[i].x, b = polygon->points[(i + 1) % count].x;
        edges[i] = (struct edge_box){fmin(a, b), fmax(a, b), i};
    }
    qsort(edges, count, sizeof *edges, profile_by_start);
    for (size_t i = 0; i < count; i++)
        for (size_t j = i + 1; j < count && edges[j].x0 <= edges[i].x1; j++)
            if (edges_cross(polygon, edges[i].index, edges[j].index, where)) return true;
    return false;
}

/* ---- spans ---- */

/* Takes the part of the edge p-q that lies in each column it reaches; by `touch` into it at least. */
static void profile_span_edge(struct point p, struct point q, double touch, struct span *spans, size_t count)
{
    if (p.x > q.x) {
        struct point swap = p;
        p = q, q = swap;
    }
    double slope = q.x > p.x ? (q.y - p.y) / (q.x - p.x) : 0;
    double first = fmax(0, ceil(p.x - 1 + touch)), last = fmin((double)count - 1, floor(q.x - touch));
    for (double column = first; column <= last; column++) {
        double from = p.x < column ? p.y + (column - p.x) * slope : p.y;
        double to = q.x > column + 1 ? p.y + (column + 1 - p.x) * slope : q.y;
        struct span *span = &spans[(size_t)column];
        span->low_mm = fminf(span->low_mm, (float)fmin(from, to));
        span->high_mm = fmaxf(span->high_mm, (float)fmax(from, to));
    }
}

static struct span *empty_spans(double extent, struct arena *arena, size_t *count)
{
    *count = (size_t)ceil(extent);
    struct span *spans = arena_take_array(arena, *count, sizeof *spans);
    for (size_t i = 0; i < *count; i++) spans[i] = (struct span){INFINITY, -INFINITY};
    return spans;
}

struct span *spans_up(const struct polygon *polygon, double width, struct arena *arena, size_t *count)
{
    struct span *spans = empty_spans(width, arena, count);
    for (size_t i = 0; i < polygon->count; i++)
        profile_span_edge(polygon->points[i], polygon->points[(i + 1) % polygon->count], 0, spans, *count);
    return spans;
}

static struct point exchanged(struct point p)
{
    return (struct point){p.y, p.x};
}

struct span *spans_along(const struct polygon *polygon, double height, struct arena *arena, size_t *count)
{
    struct span *spans = empty_spans(height, arena, count);
    for (size_t i = 0; i < polygon->count; i++)
        profile_span_edge(exchanged(polygon->points[i]), exchanged(polygon->points[(i + 1) % polygon->count]),
                          0, spans, *count);
    return spans;
}

struct span_table spans_of_region(const struct region *region, bool upwards, struct arena *arena)
{
    static const double touch_mm = 0.001;
    struct rect box = region_bounds(region);
    double low = upwards ? box.x0 : box.y0, high = upwards ? box.x1 : box.y1;
    struct span_table table = {.first = (int)floor(low + touch_mm)};
    table.spans = empty_spans(fmax(0, high - touch_mm - table.first), arena, &table.count);
    for (size_t r = 0; r < region->count; r++)
        for (size_t i = 0; i < region->rings[r].count; i++) {
            struct point p = region->rings[r].points[i];
            struct point q = region->rings[r].points[(i + 1) % region->rings[r].count];
            if (!upwards) p = exchanged(p), q = exchanged(q);
            p.x -= table.first, q.x -= table.first;
            profile_span_edge(p, q, touch_mm, table.spans, table.count);
        }
    return table;
}
