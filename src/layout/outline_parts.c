/* Outlines in convex parts: ears are clipped off (Meisters, American Mathematical Monthly 82, 1975, 648-651), and
 * neighbours joined as long as they stay convex (Hertel and Mehlhorn, Information and Control 64, 1985, 52-76;
 * both from memory, unchecked). */
#include "outline_parts.h"
#include <assert.h>
#include <math.h>
#include <string.h>

/* ---- ears ---- */

static int64_t corner_turn(struct layout_point a, struct layout_point b, struct layout_point c)
{
    return (b.across - a.across) * (c.along - b.along) - (b.along - a.along) * (c.across - b.across);
}

static bool triangle_holds(const struct layout_point t[3], struct layout_point p)
{
    for (int i = 0; i < 3; i++) {
        const struct layout_point *a = &t[i], *b = &t[(i + 1) % 3];
        if (corner_turn(*a, *b, p) < 0) return false;
    }
    return true;
}

static bool points_same(struct layout_point a, struct layout_point b)
{
    return a.across == b.across && a.along == b.along;
}

/* The corner's triangle has none of the other points in it. */
static bool is_ear(const struct layout_point *ring, size_t count, size_t corner)
{
    const struct layout_point t[3] = {ring[(corner + count - 1) % count], ring[corner],
                                      ring[(corner + 1) % count]};
    if (corner_turn(t[0], t[1], t[2]) <= 0) return false;
    for (size_t i = 0; i < count; i++) {
        struct layout_point p = ring[i];
        if (points_same(p, t[0]) || points_same(p, t[1]) || points_same(p, t[2])) continue;
        if (triangle_holds(t, p)) return false;
    }
    return true;
}

static bool is_straight(const struct layout_point *ring, size_t count, size_t corner)
{
    return corner_turn(ring[(corner + count - 1) % count], ring[corner], ring[(corner + 1) % count]) == 0;
}

static void ring_drop(struct layout_point *ring, size_t *count, size_t corner)
{
    --*count;
    memmove(ring + corner, ring + corner + 1, (*count - corner) * sizeof *ring);
}

static void parts_add(struct convex_parts *parts, const struct layout_point *ring, size_t count,
                      size_t corner, struct arena *arena)
{
    struct convex *part = &parts->parts[parts->count++];
    part->points = arena_take_array(arena, 3, sizeof *part->points), part->count = 3;
    for (size_t k = 0; k < 3; k++) part->points[k] = ring[(corner + count - 1 + k) % count];
}

static size_t ear_find(const struct layout_point *ring, size_t count)
{
    size_t corner = 0;
    while (corner < count && !is_straight(ring, count, corner) && !is_ear(ring, count, corner)) corner++;
    return corner;
}

static void ears_clip(struct layout_point *ring, size_t count, struct convex_parts *parts,
                      struct arena *arena)
{
    while (count > 2) {
        size_t corner = ear_find(ring, count);
        if (corner == count) return; /* none: only a line that crosses itself has none */
        if (!is_straight(ring, count, corner)) parts_add(parts, ring, count, corner, arena);
        ring_drop(ring, &count, corner);
    }
}

/* ---- joining ---- */

/* `b` goes in where `a` has the edge that both share; no corner may then turn back. */
static bool parts_join(struct convex *a, const struct convex *b, size_t at, size_t from, struct arena *arena)
{
    size_t count = a->count + b->count - 2, filled = 0;
    struct layout_point *points = arena_take_array(arena, count, sizeof *points);
    for (size_t i = 0; i < a->count; i++) points[filled++] = a->points[(at + 1 + i) % a->count];
    for (size_t i = 1; i + 1 < b->count; i++) points[filled++] = b->points[(from + 1 + i) % b->count];
    for (size_t i = 0; i < count; i++)
        if (corner_turn(points[i], points[(i + 1) % count], points[(i + 2) % count]) < 0) return false;
    *a = (struct convex){points, count};
    return true;
}

static bool parts_try(struct convex *a, const struct convex *b, struct arena *arena)
{
    for (size_t i = 0; i < a->count; i++)
        for (size_t k = 0; k < b->count; k++)
            if (points_same(a->points[i], b->points[(k + 1) % b->count]) &&
                points_same(a->points[(i + 1) % a->count], b->points[k]))
                return parts_join(a, b, i, k, arena);
    return false;
}

static void parts_merge(struct convex_parts *parts, struct arena *arena)
{
    for (size_t i = 0; i < parts->count; i++)
        for (size_t k = i + 1; k < parts->count;) {
            if (!parts_try(&parts->parts[i], &parts->parts[k], arena)) {
                k++;
                continue;
            }
            parts->parts[k] = parts->parts[--parts->count];
            k = i + 1;
        }
}

struct convex_parts convex_parts_of(const struct shape *shape, struct arena *arena)
{
    struct layout_point *ring = arena_take_array(arena, shape->count, sizeof *ring);
    struct convex_parts parts = {arena_take_array(arena, shape->count, sizeof *parts.parts), 0};
    int64_t twice = 0;
    for (size_t i = 1; i + 1 < shape->count; i++)
        twice += corner_turn(shape->points[0], shape->points[i], shape->points[i + 1]);
    int64_t left = twice > 0 ? twice : -twice;
    for (size_t i = 0; i < shape->count; i++) ring[i] = shape->points[twice > 0 ? i : shape->count - 1 - i];
    ears_clip(ring, shape->count, &parts, arena);
    for (size_t i = 0; i < parts.count; i++) {
        const struct layout_point *t = parts.parts[i].points;
        left -= corner_turn(t[0], t[1], t[2]);
    }
    if (left) parts.count = 0;
    parts_merge(&parts, arena);
    return parts;
}

struct convex_parts convex_parts_mirror(const struct convex_parts *parts, struct arena *arena)
{
    struct convex_parts other = {arena_take_array(arena, parts->count, sizeof *other.parts), parts->count};
    for (size_t i = 0; i < parts->count; i++) {
        const struct convex *part = &parts->parts[i];
        struct layout_point *points = arena_take_array(arena, part->count, sizeof *points);
        for (size_t k = 0; k < part->count; k++)
            points[k] = (struct layout_point){-part->points[k].across, -part->points[k].along};
        other.parts[i] = (struct convex){points, part->count};
    }
    return other;
}

/* ---- sums ---- */

static size_t convex_lowest(const struct convex *c)
{
    size_t lowest = 0;
    for (size_t i = 1; i < c->count; i++) {
        const struct layout_point *p = &c->points[i], *q = &c->points[lowest];
        if (p->along < q->along || (p->along == q->along && p->across < q->across)) lowest = i;
    }
    return lowest;
}

static struct layout_point convex_at(const struct convex *c, size_t i)
{
    assert(c->count);
    return c->points[i % c->count];
}

static struct layout_point convex_edge(const struct convex *c, size_t i)
{
    struct layout_point a = convex_at(c, i), b = convex_at(c, i + 1);
    return (struct layout_point){b.across - a.across, b.along - a.along};
}

/* The edges of both in the order of their directions, from the lowest points on. */
struct convex convex_sum(const struct convex *a, const struct convex *b, struct arena *arena)
{
    struct convex sum = {arena_take_array(arena, a->count + b->count, sizeof *sum.points), 0};
    size_t i = convex_lowest(a), k = convex_lowest(b), i_end = i + a->count, k_end = k + b->count;
    while (i < i_end || k < k_end) {
        struct layout_point p = convex_at(a, i), q = convex_at(b, k);
        sum.points[sum.count++] = (struct layout_point){p.across + q.across, p.along + q.along};
        struct layout_point e = convex_edge(a, i), f = convex_edge(b, k);
        int64_t turn = e.across * f.along - e.along * f.across;
        bool take_a = k == k_end || (i < i_end && turn >= 0), take_b = i == i_end || (k < k_end && turn <= 0);
        i += take_a, k += take_b;
    }
    return sum;
}

struct convex convex_disc(int64_t gap, struct arena *arena)
{
    enum { CORNERS = 16 };
    const double turn = 2 * 3.14159265358979323846 / CORNERS, radius = (double)gap / cos(turn / 2);
    struct convex disc = {arena_take_array(arena, CORNERS, sizeof *disc.points), gap ? CORNERS : 1};
    for (int i = 0; (size_t)i < disc.count; i++)
        disc.points[i] =
            (struct layout_point){llround(radius * cos(turn * i)), llround(radius * sin(turn * i))};
    return disc;
}
