/* Offsets: the raw line beside every ring, and what it winds around.
 *
 * Why the winding number is right. Seen from the offset's side, the raw line is the region's edge, and for each side
 * the border of the strip beside it, and for each corner that points outwards the border of its sector, all run
 * the same way round: at hollow corners it goes back to the corner itself, along the ends of both strips. Its winding
 * number at a place is then the region's plus the number of strips and sectors there. Whatever has its nearest
 * place of the edge inside a side lies in that side's strip; else the nearest place is a corner that points to it,
 * and it lies in its sector. Where two strips at a hollow corner cut each other short of both their ends, the line
 * turns where they cross: the kite that both have covered is counted once less, and there is still one. */
#include "contour/offset.h"
#include "inner.h"
#include <math.h>

struct raw_side { /* of a ring without doubled points */
    struct point from, along;
    double length;
    double cut_from, cut_to; /* what its hollow corners take off its strip, when they can be cut short */
};

struct raw_offset {
    struct arena *arena;
    double by;   /* to the right of every side: out of the region, less than 0 into it */
    double step; /* of an arc, radians */
    double
        bulge; /* share by which points of an arc lie outside of it, so that chords miss it to both sides alike */
    double bridge; /* the longest side that may close a hollow */
    double
        mitre_least; /* cosine of half the turn from which on mitres are short enough; above 1: round joins */
};

static double raw_cross(struct point a, struct point b)
{
    return a.x * b.y - a.y * b.x;
}

static double raw_dot(struct point a, struct point b)
{
    return a.x * b.x + a.y * b.y;
}

static struct point raw_beside(struct point p, struct point along, double by)
{
    return (struct point){p.x + along.y * by, p.y - along.x * by};
}

/* Turn from one side to the next, positive where the corner points to the offset's side. */
static double raw_turn(const struct raw_offset *offset, const struct raw_side *before,
                       const struct raw_side *after)
{
    double turn = atan2(raw_cross(before->along, after->along), raw_dot(before->along, after->along));
    return offset->by < 0 ? -turn : turn;
}

/* ---- corners ---- */

static void raw_arc(const struct raw_offset *offset, struct outline_builder *line, struct point corner,
                    struct point before, double turn)
{
    int chords = (int)ceil(turn / offset->step);
    const double away = offset->by * offset->bulge;
    struct point arm = {before.y * away, -before.x * away};
    for (int i = 1; i < chords; i++) {
        double angle = (offset->by < 0 ? -turn : turn) * i / chords, c = cos(angle), s = sin(angle);
        outline_add(line, (struct point){corner.x + c * arm.x - s * arm.y, corner.y + s * arm.x + c * arm.y});
    }
}

/* Where the lines beside both sides cross. */
static struct point raw_mitre(const struct raw_offset *offset, const struct raw_side *before,
                              const struct raw_side *after)
{
    struct point p = raw_beside(after->from, before->along, offset->by);
    double half = tan(raw_turn(offset, before, after) / 2) * fabs(offset->by);
    return (struct point){p.x + half * before->along.x, p.y + half * before->along.y};
}

static void raw_corner(const struct raw_offset *offset, struct outline_builder *line,
                       const struct raw_side *before, const struct raw_side *after)
{
    const double turn = raw_turn(offset, before, after);
    struct point corner = after->from;
    if (turn < 0 && before->cut_to > 0) {
        outline_add(line, raw_mitre(offset, before, after));
        return;
    }
    outline_add(line, raw_beside(corner, before->along, offset->by));
    if (turn < 0)
        outline_add(line, corner);
    else if (cos(turn / 2) >= offset->mitre_least)
        outline_add(line, raw_mitre(offset, before, after));
    else
        raw_arc(offset, line, corner, before->along, turn);
    outline_add(line, raw_beside(corner, after->along, offset->by));
}

/* ---- sides ---- */

static void raw_sides(const struct polygon *ring, struct raw_side *sides)
{
    for (size_t i = 0; i < ring->count; i++) {
        struct point p = ring->points[i], q = ring->points[(i + 1) % ring->count];
        double length = hypot(q.x - p.x, q.y - p.y);
        sides[i] = (struct raw_side){p, {(q.x - p.x) / length, (q.y - p.y) / length}, length, 0, 0};
    }
}

/* Hollow corners whose strips stay longer than what is cut from them are cut short; the others go back to the
 * corner. One that cannot be makes room for its neighbours: they were counted with it, which is the safe side. */
static void raw_cut_short(const struct raw_offset *offset, struct raw_side *sides, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        struct raw_side *before = &sides[i], *after = &sides[(i + 1) % count];
        double turn = raw_turn(offset, before, after);
        double cut =
            turn < -3 ? INFINITY : -tan(turn / 2) * fabs(offset->by); /* needles are never cut short */
        before->cut_to = after->cut_from = fmax(cut, 0);
    }
    for (size_t i = 0; i < count; i++) {
        struct raw_side *s = &sides[i];
        if (s->cut_from + s->cut_to < s->length) continue;
        s->cut_from = s->cut_to = -1; /* marks both ends; the neighbours hear of it below */
    }
    for (size_t i = 0; i < count; i++) {
        struct raw_side *before = &sides[i], *after = &sides[(i + 1) % count];
        if (before->cut_to < 0 || after->cut_from < 0) before->cut_to = 0;
    }
}

/* Whether the hollow at `corner` may be bridged: whatever lies within the offset of the bridge lies within it of one
 * of its ends, or misses that by less than the bridge's square over 8 offsets, however deep the hollow is. So small
 * bays of many short sides, whose strips would all cross, become few. */
static bool raw_may_bridge(const struct raw_offset *offset, struct point before, struct point corner,
                           struct point after)
{
    struct point in = {corner.x - before.x, corner.y - before.y},
                 out = {after.x - corner.x, after.y - corner.y};
    double cross = raw_cross(in, out);
    return (offset->by < 0 ? cross > 0 : cross < 0) &&
           hypot(after.x - before.x, after.y - before.y) <= offset->bridge;
}

static struct polygon raw_bridged(const struct raw_offset *offset, const struct polygon *ring)
{
    struct polygon out = {arena_take_array(offset->arena, ring->count, sizeof *out.points), 0};
    for (size_t i = 0; i < ring->count; i++) {
        while (out.count > 1 &&
               raw_may_bridge(offset, out.points[out.count - 2], out.points[out.count - 1], ring->points[i]))
            out.count--;
        out.points[out.count++] = ring->points[i];
    }
    return out;
}

static struct polygon raw_line(const struct raw_offset *offset, const struct polygon *whole)
{
    const struct polygon ring = raw_bridged(offset, whole);
    struct outline_builder line = {.arena = offset->arena};
    struct raw_side *sides = arena_take_array(offset->arena, ring.count, sizeof *sides);
    raw_sides(&ring, sides);
    raw_cut_short(offset, sides, ring.count);
    for (size_t i = 0; i < ring.count; i++)
        raw_corner(offset, &line, &sides[i], &sides[(i + 1) % ring.count]);
    return (struct polygon){line.points, line.count};
}

/* ---- the whole ---- */

static struct raw_offset raw_offset_of(const struct contour_offset *offset, struct arena *arena)
{
    double tolerance = offset->tolerance_mm > 0 ? offset->tolerance_mm : CONTOUR_TOLERANCE_MM;
    double limit = offset->mitre_limit > 0 ? offset->mitre_limit : 4;
    double away = fabs(offset->by_mm);
    struct raw_offset raw = {.arena = arena, .by = offset->by_mm};
    raw.bulge = 1 + tolerance / fmax(away, tolerance);
    raw.step = 2 * acos(fmax(0, 2 / raw.bulge - 1));
    raw.bridge = sqrt(8 * away * tolerance / 2);
    raw.mitre_least = offset->join == CONTOUR_MITRE ? 1 / limit : 2;
    return raw;
}

/* A hole outwards, an island inwards, of which no place is further from its ring than the offset. */
static bool ring_is_spent(const struct polygon *ring, double by)
{
    struct rect box = polygon_bounds(ring);
    return (ring_area(ring) < 0) == (by > 0) && fmin(rect_width(box), rect_height(box)) <= 2 * fabs(by);
}

static bool offset_once(const struct region *region, const struct contour_offset *offset,
                        const struct contour_means *means, struct region *result, struct error *error)
{
    struct raw_offset raw = raw_offset_of(offset, means->arena);
    struct polygon *lines = arena_take_array(means->arena, region->count, sizeof *lines);
    struct polygon *plain = arena_take_array(means->arena, region->count, sizeof *plain);
    size_t count = rings_on_grid(region->rings, region->count, means->arena, plain);
    if (offset->by_mm == 0) return rings_clean(plain, count, CONTOUR_POSITIVE, means, result, error);
    size_t left = 0;
    for (size_t i = 0; i < count; i++)
        if (!ring_is_spent(&plain[i], raw.by)) lines[left++] = raw_line(&raw, &plain[i]);
    return rings_clean(lines, left, CONTOUR_POSITIVE, means, result, error);
}

static bool offset_number(double value, double least)
{
    return value >= least && value <= CONTOUR_OFFSET_MOST_MM;
}

static bool offset_check(const struct contour_offset *offset, struct error *error)
{
    bool good = offset_number(offset->by_mm, -CONTOUR_OFFSET_MOST_MM) &&
                offset_number(offset->corner_mm, 0) && offset->fill_holes_mm2 >= 0 &&
                offset->drop_islands_mm2 >= 0;
    if (!good)
        return error_set(error, FAILURE_INPUT, "contour-offset",
                         ARGUMENTS(arg_number("most", CONTOUR_OFFSET_MOST_MM)));
    good = (offset->mitre_limit == 0 || offset_number(offset->mitre_limit, 1)) &&
           (offset->tolerance_mm == 0 || offset_number(offset->tolerance_mm, CONTOUR_GRID_MM));
    return good || error_set(error, FAILURE_INPUT, "contour-join", NULL);
}

/* Grown and shrunk in turn. Outer corners: shrunk by as much of the radius as the offset has, since what was grown
 * by the offset comes back whole from that. Inner ones: grown first. */
static bool offset_corners(const struct region *region, const struct contour_offset *offset,
                           const struct contour_means *means, struct region *result, struct error *error)
{
    const double inner = offset->corner_mm, outer = fmin(offset->corner_mm, fmax(offset->by_mm, 0));
    struct contour_offset way = *offset;
    struct region grown, shrunk;
    way.by_mm = offset->by_mm + inner;
    if (!offset_once(region, &way, means, &grown, error)) return false;
    way.join = CONTOUR_ROUND, way.by_mm = -inner - outer;
    if (!offset_once(&grown, &way, means, &shrunk, error)) return false;
    way.by_mm = outer;
    return offset_once(&shrunk, &way, means, result, error);
}

struct region contour_without_small(const struct region *region, double holes_mm2, double islands_mm2,
                                    struct arena *arena)
{
    struct region kept = {arena_take_array(arena, region->count, sizeof *kept.rings), 0};
    for (size_t i = 0, next; i < region->count; i = next) {
        double area = ring_area(&region->rings[i]);
        const size_t first = kept.count;
        kept.rings[kept.count++] = region->rings[i];
        for (next = i + 1; next < region->count; next++) {
            double hole = -ring_area(&region->rings[next]);
            if (hole < 0) break;
            if (hole <= holes_mm2) continue;
            kept.rings[kept.count++] = region->rings[next], area -= hole;
        }
        if (area <= islands_mm2) kept.count = first;
    }
    return kept;
}

/* A hole that is filled may have had an island: what lies in another outer ring now goes. */
static bool offset_tidy(const struct contour_offset *offset, const struct contour_means *means,
                        struct region *result, struct error *error)
{
    const struct region kept =
        contour_without_small(result, offset->fill_holes_mm2, offset->drop_islands_mm2, means->arena);
    if (kept.count == result->count) return true;
    return rings_clean(kept.rings, kept.count, CONTOUR_POSITIVE, means, result, error);
}

bool contour_offset(const struct region *region, const struct contour_offset *offset,
                    const struct contour_means *means, struct region *result, struct error *error)
{
    if (!offset_check(offset, error) || !region_check(region, error)) return false;
    bool corners = offset->corner_mm > 0 && offset->by_mm >= 0;
    return (corners ? offset_corners : offset_once)(region, offset, means, result, error) &&
           offset_tidy(offset, means, result, error);
}
