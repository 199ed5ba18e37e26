/* Rectangles, affine maps and polygons: areas, extents, containment. Every room that places things calls
 * it; growing and shrinking polygons is grow.c. */
#include "geom/geom.h"
#include <math.h>

static double least(double a, double b)
{
    return a < b ? a : b;
}

static double geom_most(double a, double b)
{
    return a > b ? a : b;
}

struct rect rect_of(double x, double y, double width, double height)
{
    return (struct rect){x, y, x + width, y + height};
}

double rect_width(struct rect r)
{
    return r.x1 - r.x0;
}

double rect_height(struct rect r)
{
    return r.y1 - r.y0;
}

double rect_area(struct rect r)
{
    return rect_width(r) * rect_height(r);
}

bool rect_is_empty(struct rect r)
{
    return !(r.x1 > r.x0 && r.y1 > r.y0);
}

struct rect rect_grow(struct rect r, double by)
{
    return (struct rect){r.x0 - by, r.y0 - by, r.x1 + by, r.y1 + by};
}

struct rect rect_intersect(struct rect a, struct rect b)
{
    struct rect r = {geom_most(a.x0, b.x0), geom_most(a.y0, b.y0), least(a.x1, b.x1), least(a.y1, b.y1)};
    return r.x0 > r.x1 || r.y0 > r.y1 ? (struct rect){0, 0, 0, 0} : r;
}

struct rect rect_union(struct rect a, struct rect b)
{
    return (struct rect){least(a.x0, b.x0), least(a.y0, b.y0), geom_most(a.x1, b.x1), geom_most(a.y1, b.y1)};
}

bool rect_contains(struct rect outer, struct rect inner, double tolerance)
{
    return inner.x0 >= outer.x0 - tolerance && inner.y0 >= outer.y0 - tolerance &&
           inner.x1 <= outer.x1 + tolerance && inner.y1 <= outer.y1 + tolerance;
}

bool rect_overlaps(struct rect a, struct rect b)
{
    return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
}

/* The first rectangle's part, and what the others cover of the up to four pieces around it. */
double rects_area_in(const struct rect *rects, size_t count, struct rect in)
{
    while (count && !rect_overlaps(*rects, in)) rects++, count--;
    if (!count || rect_is_empty(in)) return 0;
    struct rect part = rect_intersect(*rects, in);
    return rect_area(part) +
           rects_area_in(rects + 1, count - 1, (struct rect){in.x0, in.y0, part.x0, in.y1}) +
           rects_area_in(rects + 1, count - 1, (struct rect){part.x1, in.y0, in.x1, in.y1}) +
           rects_area_in(rects + 1, count - 1, (struct rect){part.x0, in.y0, part.x1, part.y0}) +
           rects_area_in(rects + 1, count - 1, (struct rect){part.x0, part.y1, part.x1, in.y1});
}

struct rect rect_normal(struct point a, struct point b)
{
    return (struct rect){least(a.x, b.x), least(a.y, b.y), geom_most(a.x, b.x), geom_most(a.y, b.y)};
}

const struct affine affine_identity = {1, 0, 0, 1, 0, 0};

struct affine affine_scale(double x, double y)
{
    return (struct affine){x, 0, 0, y, 0, 0};
}

struct affine affine_shift(double x, double y)
{
    return (struct affine){1, 0, 0, 1, x, y};
}

struct affine affine_then(struct affine m, struct affine n)
{
    return (struct affine){
        m.a * n.a + m.b * n.c, m.a * n.b + m.b * n.d,       m.c * n.a + m.d * n.c,
        m.c * n.b + m.d * n.d, m.e * n.a + m.f * n.c + n.e, m.e * n.b + m.f * n.d + n.f,
    };
}

bool affine_is_finite(struct affine m)
{
    return isfinite(m.a) && isfinite(m.b) && isfinite(m.c) && isfinite(m.d) && isfinite(m.e) && isfinite(m.f);
}

bool affine_invert(struct affine m, struct affine *inverse)
{
    double det = m.a * m.d - m.b * m.c;
    if (!isfinite(det) || det == 0) return false;
    struct affine linear = {m.d / det, -m.b / det, -m.c / det, m.a / det, 0, 0};
    struct point origin = affine_apply(linear, (struct point){m.e, m.f});
    linear.e = -origin.x, linear.f = -origin.y;
    *inverse = linear;
    return affine_is_finite(linear);
}

struct point affine_apply(struct affine m, struct point p)
{
    return (struct point){m.a * p.x + m.c * p.y + m.e, m.b * p.x + m.d * p.y + m.f};
}

struct rect affine_apply_rect(struct affine m, struct rect r)
{
    struct point corners[4] = {{r.x0, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0, r.y1}};
    struct point first = affine_apply(m, corners[0]);
    struct rect box = {first.x, first.y, first.x, first.y};
    for (int i = 1; i < 4; i++) {
        struct point p = affine_apply(m, corners[i]);
        box = rect_union(box, (struct rect){p.x, p.y, p.x, p.y});
    }
    return box;
}

struct rect polygon_bounds(const struct polygon *polygon)
{
    if (!polygon->count) return (struct rect){0, 0, 0, 0};
    struct point first = polygon->points[0];
    struct rect box = {first.x, first.y, first.x, first.y};
    for (size_t i = 1; i < polygon->count; i++) {
        struct point p = polygon->points[i];
        box = rect_union(box, (struct rect){p.x, p.y, p.x, p.y});
    }
    return box;
}

double polygon_area(const struct polygon *polygon)
{
    double twice = 0;
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = polygon->points[i], q = polygon->points[(i + 1) % polygon->count];
        twice += p.x * q.y - q.x * p.y;
    }
    return twice / 2;
}

bool polygon_contains(const struct polygon *polygon, struct point at)
{
    bool inside = false;
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = polygon->points[i], q = polygon->points[(i + 1) % polygon->count];
        if ((p.y > at.y) == (q.y > at.y)) continue;
        if (at.x < p.x + (at.y - p.y) / (q.y - p.y) * (q.x - p.x)) inside = !inside;
    }
    return inside;
}

/* Takes the y of the edge p-q between x0 and x1 into low and high. */
static void geom_span_edge(struct point p, struct point q, double x0, double x1, double *low, double *high)
{
    if (p.x > q.x) {
        struct point swap = p;
        p = q, q = swap;
    }
    if (q.x < x0 || p.x > x1) return;
    double from = p.y, to = q.y;
    if (q.x > p.x) {
        double slope = (q.y - p.y) / (q.x - p.x);
        if (p.x < x0) from = p.y + (x0 - p.x) * slope;
        if (q.x > x1) to = p.y + (x1 - p.x) * slope;
    }
    *low = least(*low, least(from, to));
    *high = geom_most(*high, geom_most(from, to));
}

bool polygon_span_y(const struct polygon *polygon, double x0, double x1, double *low, double *high)
{
    *low = INFINITY, *high = -INFINITY;
    for (size_t i = 0; i < polygon->count; i++)
        geom_span_edge(polygon->points[i], polygon->points[(i + 1) % polygon->count], x0, x1, low, high);
    return *low <= *high;
}

static struct point geom_turned(struct point p)
{
    return (struct point){p.y, p.x};
}

bool polygon_span_x(const struct polygon *polygon, double y0, double y1, double *low, double *high)
{
    *low = INFINITY, *high = -INFINITY;
    for (size_t i = 0; i < polygon->count; i++)
        geom_span_edge(geom_turned(polygon->points[i]),
                       geom_turned(polygon->points[(i + 1) % polygon->count]), y0, y1, low, high);
    return *low <= *high;
}

/* Signed area between the edge p-q, clipped to x0..x1, and the line y = base, with y clipped to y0..y1. */
static double area_under(struct point p, struct point q, struct rect r)
{
    double sign = 1;
    if (p.x > q.x) {
        struct point swap = p;
        p = q, q = swap, sign = -1;
    }
    double from = geom_most(p.x, r.x0), to = least(q.x, r.x1);
    if (from >= to) return 0;
    double slope = (q.y - p.y) / (q.x - p.x), sum = 0;
    /* Cut where the edge passes the lower and the upper side; between the cuts it is straight. */
    double cuts[4] = {from, to, to, to};
    size_t count = 1;
    double sides[2] = {r.y0, r.y1};
    for (int i = 0; slope != 0 && i < 2; i++) {
        double x = p.x + (sides[slope > 0 ? i : 1 - i] - p.y) / slope;
        if (x > cuts[count - 1] && x < to) cuts[count++] = x;
    }
    cuts[count] = to;
    for (size_t i = 0; i < count; i++) {
        double left = p.y + (cuts[i] - p.x) * slope, right = p.y + (cuts[i + 1] - p.x) * slope;
        left = least(geom_most(left, r.y0), r.y1), right = least(geom_most(right, r.y0), r.y1);
        sum += ((left + right) / 2 - r.y0) * (cuts[i + 1] - cuts[i]);
    }
    return sign * sum;
}

double polygon_area_in(const struct polygon *polygon, struct rect r)
{
    double sum = 0;
    for (size_t i = 0; i < polygon->count; i++)
        sum += area_under(polygon->points[i], polygon->points[(i + 1) % polygon->count], r);
    return fabs(sum);
}
