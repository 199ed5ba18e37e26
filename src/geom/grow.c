/* A polygon grown by a distance: first the raw line that runs beside it, with loops where the polygon is
 * hollow, then the outer edge of that line. */
#include "base/arena.h"
#include "geom/geom.h"
#include <assert.h>
#include <math.h>
#include <stdint.h>

static struct point direction_of(struct point from, struct point to)
{
    double length = hypot(to.x - from.x, to.y - from.y);
    return (struct point){(to.x - from.x) / length, (to.y - from.y) / length};
}

static double cross_of(struct point a, struct point b)
{
    return a.x * b.y - a.y * b.x;
}

static struct point grow_beside(struct point p, struct point direction, double by)
{
    return (struct point){p.x + direction.y * by, p.y - direction.x * by};
}

/* ---- the raw line ---- */

static void round_corner(struct outline_builder *raw, struct point corner, struct point before,
                         struct point after, double by, double tolerance)
{
    double turn = atan2(cross_of(before, after), before.x * after.x + before.y * after.y);
    double step = 2 * acos(fmax(0, 1 - tolerance / by)), from = atan2(-before.x, before.y);
    int chords = (int)ceil(turn / fmax(step, 1e-3));
    for (int i = 1; i < chords; i++) {
        double angle = from + turn * i / chords;
        outline_add(raw, (struct point){corner.x + by * cos(angle), corner.y + by * sin(angle)});
    }
}

/* Around a hollow corner through the corner itself: what loops there lies inside. */
static void grow_corner(struct outline_builder *raw, const struct polygon *polygon, size_t i, double by,
                        double tolerance)
{
    size_t n = polygon->count;
    struct point corner = polygon->points[i];
    struct point before = direction_of(polygon->points[(i + n - 1) % n], corner);
    struct point after = direction_of(corner, polygon->points[(i + 1) % n]);
    outline_add(raw, grow_beside(corner, before, by));
    if (cross_of(before, after) < 0)
        outline_add(raw, corner);
    else
        round_corner(raw, corner, before, after, by, tolerance);
    outline_add(raw, grow_beside(corner, after, by));
}

/* ---- its outer edge ---- */

/* The nearest place between `from` and `to` where the raw line leaves towards the right: there the outer edge
 * goes on with it. The index of the point that it leads to; SIZE_MAX when there is none. */
static size_t next_exit(const struct outline_builder *raw, struct point from, struct point to, size_t own,
                        struct point *place)
{
    struct point d = {to.x - from.x, to.y - from.y};
    size_t found = SIZE_MAX;
    double nearest = 1;
    for (size_t i = 0; i < raw->count; i++) {
        struct point p = raw->points[i], q = raw->points[(i + 1) % raw->count];
        struct point e = {q.x - p.x, q.y - p.y}, off = {p.x - from.x, p.y - from.y};
        double across = cross_of(d, e);
        if (i == own || across >= -1e-12) continue;
        double along = cross_of(off, e) / across, share = cross_of(off, d) / across;
        if (along <= 1e-9 || along >= nearest || share < 0 || share >= 1) continue;
        nearest = along, found = (i + 1) % raw->count;
        *place = (struct point){from.x + along * d.x, from.y + along * d.y};
    }
    return found;
}

static size_t lowest_point(const struct outline_builder *raw)
{
    size_t lowest = 0;
    for (size_t i = 1; i < raw->count; i++) {
        struct point a = raw->points[i], b = raw->points[lowest];
        if (a.y < b.y || (a.y == b.y && a.x < b.x)) lowest = i;
    }
    return lowest;
}

/* Walked from its lowest point, which surely belongs to it. False when the walk does not come back there. */
static bool trace_outer(const struct outline_builder *raw, struct outline_builder *outer)
{
    assert(raw->count > 0);
    size_t start = lowest_point(raw), next = (start + 1) % raw->count, steps = 4 * raw->count + 16;
    struct point at = raw->points[start], place = at;
    outline_add(outer, at);
    while (steps--) {
        size_t own = (next + raw->count - 1) % raw->count, exit;
        exit = next_exit(raw, at, raw->points[next], own, &place);
        at = exit == SIZE_MAX ? raw->points[next] : place;
        if (exit == SIZE_MAX && next == start) return true;
        next = exit == SIZE_MAX ? (next + 1) % raw->count : exit;
        outline_add(outer, at);
    }
    return false;
}

static struct polygon without_doubles(const struct polygon *polygon, struct arena *arena)
{
    struct outline_builder kept = {.arena = arena};
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = polygon->points[i],
                     last = kept.count ? kept.points[kept.count - 1] : (struct point){0};
        if (!kept.count || hypot(p.x - last.x, p.y - last.y) > 1e-9) outline_add(&kept, p);
    }
    if (!kept.count) return (struct polygon){kept.points, 0};
    struct point first = kept.points[0], last = kept.points[kept.count - 1];
    if (kept.count > 1 && hypot(first.x - last.x, first.y - last.y) <= 1e-9) kept.count--;
    return (struct polygon){kept.points, kept.count};
}

struct polygon polygon_of_rect(struct rect r, struct arena *arena)
{
    struct point *corners = arena_take_array(arena, 4, sizeof *corners);
    corners[0] = (struct point){r.x0, r.y0}, corners[1] = (struct point){r.x1, r.y0};
    corners[2] = (struct point){r.x1, r.y1}, corners[3] = (struct point){r.x0, r.y1};
    return (struct polygon){corners, 4};
}

struct polygon polygon_grow(const struct polygon *polygon, double by, double tolerance, struct arena *arena)
{
    struct outline_builder raw = {.arena = arena}, outer = {.arena = arena};
    struct polygon plain = without_doubles(polygon, arena);
    if (!(by > 0) || plain.count < 3) return plain;
    for (size_t i = 0; i < plain.count; i++) grow_corner(&raw, &plain, i, by, tolerance);
    struct polygon line = {raw.points, raw.count}, clean = without_doubles(&line, arena);
    raw.points = clean.points, raw.count = clean.count;
    if (trace_outer(&raw, &outer)) return (struct polygon){outer.points, outer.count};
    struct polygon box = polygon_of_rect(polygon_bounds(&plain), arena);
    return polygon_grow(&box, by, tolerance, arena);
}

/* ---- inside ---- */

struct grow_side { /* runs along `dir`, its inside to the left */
    struct point at, dir;
};

/* Where two sides meet when both have come in by `by`. */
static struct point corner_inside(const struct grow_side *a, const struct grow_side *b, double by)
{
    struct point p = {a->at.x - by * a->dir.y, a->at.y + by * a->dir.x};
    struct point q = {b->at.x - by * b->dir.y, b->at.y + by * b->dir.x};
    double cross = a->dir.x * b->dir.y - a->dir.y * b->dir.x;
    if (fabs(cross) < 1e-9) return q;
    double along = ((q.x - p.x) * b->dir.y - (q.y - p.y) * b->dir.x) / cross;
    return (struct point){p.x + along * a->dir.x, p.y + along * a->dir.y};
}

/* Sides that have shrunk to nothing by then go; how many are left. `left` has room for as many. */
static size_t drop_spent(struct grow_side *sides, size_t count, double by, struct grow_side *left)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        const struct grow_side *s = &sides[i];
        struct point from = corner_inside(&sides[(i + count - 1) % count], s, by);
        struct point to = corner_inside(s, &sides[(i + 1) % count], by);
        if ((to.x - from.x) * s->dir.x + (to.y - from.y) * s->dir.y > 0) left[kept++] = *s;
    }
    for (size_t i = 0; i < kept; i++) sides[i] = left[i];
    return kept;
}

/* The sides come in by small steps, so that they go in about the order in which they are spent. */
static struct polygon inner(const struct polygon *plain, double by, struct arena *arena)
{
    enum { STEPS = 40 };
    struct outline_builder out = {.arena = arena};
    struct grow_side *sides = arena_take_array(arena, 2 * plain->count, sizeof *sides),
                     *room = sides + plain->count;
    size_t count = plain->count, before = 0;
    bool turned = polygon_area(plain) < 0;
    for (size_t i = 0; i < count; i++) {
        size_t at = turned ? count - i : i, next = turned ? count - i - 1 : i + 1;
        struct point p = plain->points[at % count], q = plain->points[next % count];
        double length = hypot(q.x - p.x, q.y - p.y);
        sides[i] = (struct grow_side){p, {(q.x - p.x) / length, (q.y - p.y) / length}};
    }
    for (int step = 1; step <= STEPS; step++)
        for (before = 0; count >= 3 && count != before;)
            before = count, count = drop_spent(sides, count, by * step / STEPS, room);
    for (size_t i = 0; count >= 3 && i < count; i++)
        outline_add(&out, corner_inside(&sides[(i + count - 1) % count], &sides[i], by));
    return (struct polygon){out.points, out.count};
}

struct polygon polygon_shrink(const struct polygon *polygon, double by, double radius, double tolerance,
                              struct arena *arena)
{
    struct polygon plain = without_doubles(polygon, arena);
    if (plain.count < 3) return (struct polygon){NULL, 0};
    struct polygon core = inner(&plain, by + radius, arena);
    return core.count ? polygon_grow(&core, radius, tolerance, arena) : inner(&plain, by, arena);
}
