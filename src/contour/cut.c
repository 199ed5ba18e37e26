/* Sequence, starts and times of cutting. */
#include "contour/cut.h"
#include <math.h>

static const double CORNER_TURN = 20 * M_PI / 180, CORNER_REACH_MM = 1;

struct cut_ring {
    const struct polygon *ring;
    struct rect box;
    double area;
    size_t around; /* the smallest ring around it; SIZE_MAX: none */
    size_t inside; /* rings in it that are still to be cut */
    bool done;
    bool fixed; /* it has corners: `start` and `side` are chosen already */
    struct point start;
    size_t side; /* of the ring, that the start lies on */
};

/* ---- starts ---- */

struct ring_walk { /* along a ring, from its first point */
    const struct polygon *ring;
    double *at;    /* distance to each point; one more than the ring has: its length */
    double *turns; /* sum of turns, either way, at the points before each one; once around and once more */
    bool *corner;
};

static double point_turn(const struct polygon *ring, size_t i)
{
    const size_t n = ring->count;
    struct point a = ring->points[(i + n - 1) % n], p = ring->points[i % n], b = ring->points[(i + 1) % n];
    double ux = p.x - a.x, uy = p.y - a.y, vx = b.x - p.x, vy = b.y - p.y;
    return fabs(atan2(ux * vy - uy * vx, ux * vx + uy * vy));
}

/* Distance along the ring to a point that may be a turn further on. */
static double walk_at(const struct ring_walk *walk, size_t i)
{
    const size_t n = walk->ring->count, times = i / n;
    const double rounds = (double)times;
    return walk->at[i % n] + walk->at[n] * rounds;
}

/* Whether the ring turns sharply within reach of the point: turns are summed while a window moves along. */
static void walk_corners(const struct ring_walk *walk)
{
    const size_t n = walk->ring->count;
    size_t first = 0, end = 0; /* the window's points, of three turns around */
    for (size_t i = n; i < 2 * n; i++) {
        while (walk_at(walk, i) - walk_at(walk, first) > CORNER_REACH_MM) first++;
        while (end < 3 * n && walk_at(walk, end) - walk_at(walk, i) <= CORNER_REACH_MM) end++;
        walk->corner[i - n] = walk->turns[end] - walk->turns[first] > CORNER_TURN;
    }
}

static struct ring_walk walk_new(const struct polygon *ring, struct arena *arena)
{
    const size_t n = ring->count;
    struct ring_walk walk = {ring, arena_take_array(arena, n + 1, sizeof(double)),
                             arena_take_array(arena, 3 * n + 1, sizeof(double)),
                             arena_take_array(arena, n, 1)};
    for (size_t i = 0; i < n; i++) {
        struct point p = ring->points[i], q = ring->points[(i + 1) % n];
        walk.at[i + 1] = walk.at[i] + hypot(q.x - p.x, q.y - p.y);
    }
    for (size_t i = 0; i < 3 * n; i++) walk.turns[i + 1] = walk.turns[i] + point_turn(ring, i);
    walk_corners(&walk);
    return walk;
}

static void start_at(const struct ring_walk *walk, double at, struct cut_ring *cut)
{
    const struct polygon *ring = walk->ring;
    size_t side = 0;
    at = fmod(at, walk->at[ring->count]);
    while (side + 1 < ring->count && walk->at[side + 1] <= at) side++;
    struct point p = ring->points[side], q = ring->points[(side + 1) % ring->count];
    double length = walk->at[side + 1] - walk->at[side],
           share = length > 0 ? (at - walk->at[side]) / length : 0;
    cut->start = (struct point){p.x + share * (q.x - p.x), p.y + share * (q.y - p.y)}, cut->side = side;
    cut->fixed = true;
}

/* The middle of the best stretch between two corners; a turn of a radian makes one count half. */
static void start_choose(struct cut_ring *cut, struct arena *arena)
{
    const size_t n = cut->ring->count;
    const struct ring_walk walk = walk_new(cut->ring, arena);
    size_t last = SIZE_MAX;
    double best = 0, at = 0;
    for (size_t i = 0; i < 2 * n; i++) {
        if (!walk.corner[i % n]) continue;
        if (last != SIZE_MAX) {
            double length = walk_at(&walk, i) - walk_at(&walk, last);
            double worth = length / (1 + walk.turns[i] - walk.turns[last + 1]);
            if (worth > best * (1 + 1e-9)) best = worth, at = walk_at(&walk, last) + length / 2;
        }
        last = i;
    }
    if (best > 0) start_at(&walk, at, cut);
}

static void start_nearest(struct cut_ring *cut, struct point from)
{
    double nearest = INFINITY;
    for (size_t i = 0; i < cut->ring->count; i++) {
        struct point p = cut->ring->points[i];
        double away = hypot(p.x - from.x, p.y - from.y);
        if (away < nearest) nearest = away, cut->start = p, cut->side = i;
    }
}

/* ---- sequence ---- */

static bool ring_lies_in(const struct cut_ring *inner, const struct cut_ring *outer)
{
    if (fabs(inner->area) >= fabs(outer->area) || !rect_contains(outer->box, inner->box, 0)) return false;
    const struct polygon *ring = inner->ring; /* rings may touch in points: the middle of a side lies clear */
    struct point middle = {(ring->points[0].x + ring->points[1].x) / 2,
                           (ring->points[0].y + ring->points[1].y) / 2};
    return polygon_contains(outer->ring, middle);
}

static void rings_nest(struct cut_ring *rings, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < count; k++) {
            const struct cut_ring *around = rings[i].around == SIZE_MAX ? NULL : &rings[rings[i].around];
            if (k != i && (!around || fabs(rings[k].area) < fabs(around->area)) &&
                ring_lies_in(&rings[i], &rings[k]))
                rings[i].around = k;
        }
        if (rings[i].around != SIZE_MAX) rings[rings[i].around].inside++;
    }
}

static struct cut_ring *cut_rings_new(const struct region *region, struct arena *arena)
{
    struct cut_ring *rings = arena_take_array(arena, region->count, sizeof *rings);
    for (size_t i = 0; i < region->count; i++) {
        const struct polygon *ring = &region->rings[i];
        rings[i] = (struct cut_ring){
            ring, polygon_bounds(ring), polygon_area(ring), SIZE_MAX, 0, false, false, {0, 0}, 0};
        if (ring->count >= 3) start_choose(&rings[i], arena);
        rings[i].done = ring->count < 3;
    }
    rings_nest(rings, region->count);
    return rings;
}

/* The ring to cut next from there; SIZE_MAX when all are done. */
static size_t cut_next(struct cut_ring *rings, size_t count, struct point from)
{
    size_t found = SIZE_MAX;
    double nearest = INFINITY;
    for (size_t i = 0; i < count; i++) {
        if (rings[i].done || rings[i].inside) continue;
        if (!rings[i].fixed) start_nearest(&rings[i], from);
        double away = hypot(rings[i].start.x - from.x, rings[i].start.y - from.y);
        if (away < nearest) nearest = away, found = i;
    }
    return found;
}

/* ---- paths ---- */

/* From the start over all points back to it, and on by the overcut. */
static struct contour_cut_path path_of(const struct cut_ring *cut, size_t ring, double overcut,
                                       struct arena *arena)
{
    const size_t n = cut->ring->count;
    struct outline_builder path = {.arena = arena};
    outline_add(&path, cut->start);
    for (size_t i = 1; i <= n; i++) outline_add(&path, cut->ring->points[(cut->side + i) % n]);
    outline_add(&path, cut->start);
    for (size_t i = 1; i <= n && overcut > 0; i++) {
        struct point p = path.points[path.count - 1], q = cut->ring->points[(cut->side + i) % n];
        double length = hypot(q.x - p.x, q.y - p.y), share = length > overcut ? overcut / length : 1;
        outline_add(&path, (struct point){p.x + share * (q.x - p.x), p.y + share * (q.y - p.y)});
        overcut -= length;
    }
    return (struct contour_cut_path){ring, path.points, path.count};
}

static double path_length(const struct contour_cut_path *path)
{
    double sum = 0;
    for (size_t i = 1; i < path->count; i++)
        sum += hypot(path->points[i].x - path->points[i - 1].x, path->points[i].y - path->points[i - 1].y);
    return sum;
}

static bool knife_check(const struct contour_knife *knife, struct error *error)
{
    bool good = fabs(knife->home.x) <= CONTOUR_REACH_MM && fabs(knife->home.y) <= CONTOUR_REACH_MM &&
                knife->overcut_mm >= 0 && knife->overcut_mm <= 50;
    good = good && knife->cut_mm_s > 0 && knife->cut_mm_s <= 1e5 && knife->travel_mm_s > 0 &&
           knife->travel_mm_s <= 1e5 && knife->lift_s >= 0 && knife->lift_s <= 3600;
    return good || error_set(error, FAILURE_INPUT, "contour-knife", NULL);
}

bool contour_cut(const struct region *region, const struct contour_knife *knife,
                 const struct contour_means *means, struct contour_cut_plan *plan, struct error *error)
{
    if (!knife_check(knife, error)) return false;
    if (region->count > CONTOUR_RINGS_MOST)
        return error_set(error, FAILURE_INPUT, "contour-rings",
                         ARGUMENTS(arg_count("most", CONTOUR_RINGS_MOST)));
    *plan = (struct contour_cut_plan){.paths =
                                          arena_take_array(means->arena, region->count, sizeof *plan->paths)};
    struct cut_ring *rings = cut_rings_new(region, means->arena);
    struct point at = knife->home;
    for (size_t i; (i = cut_next(rings, region->count, at)) != SIZE_MAX;) {
        if (means->enough && means->enough(means->self))
            return error_set(error, FAILURE_INPUT, "contour-long", NULL);
        struct contour_cut_path *path = &plan->paths[plan->count++];
        *path = path_of(&rings[i], i, knife->overcut_mm, means->arena);
        plan->travel_mm += hypot(rings[i].start.x - at.x, rings[i].start.y - at.y);
        plan->cut_mm += path_length(path);
        rings[i].done = true, at = path->points[path->count - 1];
        if (rings[i].around != SIZE_MAX) rings[rings[i].around].inside--;
    }
    plan->seconds = plan->cut_mm / knife->cut_mm_s + plan->travel_mm / knife->travel_mm_s +
                    (double)plan->count * knife->lift_s;
    return true;
}
