/* The border of faces that lie beside each other: sides that two of them share go, the others are linked to rings. */
#include "inner.h"
#include <math.h>
#include <stdlib.h>

/* ---- rings ---- */

double ring_area(const struct polygon *ring)
{
    double twice = 0;
    struct point o = ring->points[0];
    for (size_t i = 1; i + 1 < ring->count; i++) {
        struct point p = ring->points[i], q = ring->points[i + 1];
        twice += (p.x - o.x) * (q.y - o.y) - (q.x - o.x) * (p.y - o.y);
    }
    return twice / 2;
}

static int64_t grid_steps(double mm)
{
    return llround(mm / CONTOUR_GRID_MM);
}

/* On the way straight from a to b: all three lie on the grid, so that this is exact. */
static bool point_is_between(struct point a, struct point p, struct point b)
{
    int64_t ux = grid_steps(p.x) - grid_steps(a.x), uy = grid_steps(p.y) - grid_steps(a.y);
    int64_t vx = grid_steps(b.x) - grid_steps(p.x), vy = grid_steps(b.y) - grid_steps(p.y);
    return ux * vy == uy * vx && (double)ux * (double)vx + (double)uy * (double)vy > 0;
}

void ring_straighten(struct polygon *ring)
{
    size_t kept = 0;
    for (size_t i = 0; i < ring->count; i++) {
        struct point before = ring->points[kept ? kept - 1 : ring->count - 1], p = ring->points[i];
        if (!point_is_between(before, p, ring->points[(i + 1) % ring->count])) ring->points[kept++] = p;
    }
    ring->count = kept;
}

struct border_side { /* its face lies to the left */
    struct point from, to;
    bool used;
};

static int compare_points(struct point a, struct point b)
{
    int x = (a.x > b.x) - (a.x < b.x);
    return x ? x : (a.y > b.y) - (a.y < b.y);
}

/* ---- shared sides ---- */

static struct point side_low(const struct border_side *side)
{
    return compare_points(side->from, side->to) < 0 ? side->from : side->to;
}

static struct point side_high(const struct border_side *side)
{
    return compare_points(side->from, side->to) < 0 ? side->to : side->from;
}

static int compare_places(const void *a, const void *b)
{
    int low = compare_points(side_low(a), side_low(b));
    return low ? low : compare_points(side_high(a), side_high(b));
}

static int compare_from(const void *a, const void *b)
{
    const struct border_side *one = a, *other = b;
    int from = compare_points(one->from, other->from);
    return from ? from : compare_points(one->to, other->to);
}

/* Faces have no common inside: a place has one side, or two that run opposite ways. */
static size_t sides_drop_shared(struct border_side *sides, size_t count)
{
    size_t kept = 0;
    qsort(sides, count, sizeof *sides, compare_places);
    for (size_t i = 0; i < count; i++)
        if (i + 1 < count && compare_places(&sides[i], &sides[i + 1]) == 0)
            i++;
        else
            sides[kept++] = sides[i];
    return kept;
}

/* ---- links ---- */

struct border {
    struct border_side *sides; /* sorted by where they begin */
    size_t count;
    struct arena *arena;
    struct region found;
    size_t capacity;
};

static size_t border_first(const struct border *border, struct point from)
{
    size_t low = 0, high = border->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (compare_points(border->sides[middle].from, from) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* By how much one has to turn clockwise from the way back to the way on: what lies between is the face. */
static double border_wedge(const struct border_side *in, const struct border_side *out)
{
    double back = atan2(in->from.y - in->to.y, in->from.x - in->to.x);
    double turn = back - atan2(out->to.y - out->from.y, out->to.x - out->from.x);
    return turn > 0 ? turn : turn + 2 * M_PI;
}

/* Which side goes on from there; *several: the border passes there more than once. */
static size_t border_next(const struct border *border, size_t at, size_t start, bool *several)
{
    struct point from = border->sides[at].to;
    size_t first = border_first(border, from), found = SIZE_MAX;
    double least = INFINITY;
    *several = false;
    for (size_t i = first; i < border->count && compare_points(border->sides[i].from, from) == 0; i++) {
        *several = *several || i > first;
        if (border->sides[i].used && i != start) continue;
        double wedge = border_wedge(&border->sides[at], &border->sides[i]);
        if (wedge < least) least = wedge, found = i;
    }
    return found;
}

static void border_emit(struct border *border, const struct point *points, size_t count)
{
    struct polygon ring = {arena_take_array(border->arena, count, sizeof *points), count};
    memcpy(ring.points, points, count * sizeof *points);
    ring_straighten(&ring);
    if (ring.count < 3 || ring_area(&ring) == 0) return;
    struct polygon *place = arena_append(border->arena, &border->found.rings, &border->found.count,
                                         &border->capacity, sizeof *place);
    *place = ring;
}

/* Along the border from a side back to it; where it comes by a point again, a ring is complete. */
static void border_follow(struct border *border, size_t start, struct point *stack)
{
    size_t height = 0, at = start;
    do {
        bool several;
        struct point p = border->sides[at].to;
        border->sides[at].used = true;
        at = border_next(border, at, start, &several);
        for (size_t k = several ? height : 0; k > 0; k--)
            if (compare_points(stack[k - 1], p) == 0) {
                border_emit(border, stack + k - 1, height - k + 1);
                height = k - 1;
                break;
            }
        stack[height++] = p;
    } while (at != start && at != SIZE_MAX);
    border_emit(border, stack, height);
}

/* ---- which hole is in which ring ---- */

static size_t ring_around(const struct region *found, const struct rect *boxes, size_t hole)
{
    const struct polygon *ring = &found->rings[hole];
    size_t best = SIZE_MAX;
    double least = INFINITY;
    struct point middle = {(ring->points[0].x + ring->points[1].x) / 2,
                           (ring->points[0].y + ring->points[1].y) / 2};
    for (size_t i = 0; i < found->count; i++) {
        if (!rect_contains(boxes[i], boxes[hole], 0)) continue;
        double area = ring_area(&found->rings[i]);
        if (area > 0 && area < least && polygon_contains(&found->rings[i], middle)) best = i, least = area;
    }
    return best;
}

/* Outer rings, each with its holes behind it. */
static struct region rings_in_sequence(const struct region *found, struct arena *arena)
{
    struct region out = {arena_take_array(arena, found->count, sizeof *out.rings), 0};
    struct rect *boxes = arena_take_array(arena, found->count, sizeof *boxes);
    size_t *around = arena_take_array(arena, found->count, sizeof *around);
    size_t *first = arena_take_array(arena, found->count, sizeof *first); /* hole of each, from 1; 0: none */
    size_t *next = arena_take_array(arena, found->count, sizeof *next);
    for (size_t i = 0; i < found->count; i++) boxes[i] = polygon_bounds(&found->rings[i]);
    for (size_t i = found->count; i-- > 0;) {
        if (ring_area(&found->rings[i]) > 0) continue;
        around[i] = ring_around(found, boxes, i);
        if (around[i] != SIZE_MAX) next[i] = first[around[i]], first[around[i]] = i + 1;
    }
    for (size_t i = 0; i < found->count; i++) {
        if (ring_area(&found->rings[i]) < 0) continue;
        out.rings[out.count++] = found->rings[i];
        for (size_t hole = first[i]; hole; hole = next[hole - 1])
            out.rings[out.count++] = found->rings[hole - 1];
    }
    return out;
}

struct region faces_border(const struct region *faces, struct arena *arena)
{
    const size_t points = region_points(faces);
    struct border border = {.arena = arena};
    border.sides = arena_take_array(arena, points, sizeof *border.sides);
    for (size_t r = 0; r < faces->count; r++)
        for (size_t i = 0; i < faces->rings[r].count; i++)
            border.sides[border.count++] = (struct border_side){
                faces->rings[r].points[i], faces->rings[r].points[(i + 1) % faces->rings[r].count], false};
    if (border.count) border.count = sides_drop_shared(border.sides, border.count);
    if (border.count) qsort(border.sides, border.count, sizeof *border.sides, compare_from);
    struct point *stack = arena_take_array(arena, border.count + 1, sizeof *stack);
    for (size_t i = 0; i < border.count; i++)
        if (!border.sides[i].used) border_follow(&border, i, stack);
    return rings_in_sequence(&border.found, arena);
}
