/* Flaws of an outline: what discs cannot reach, islands, and hollow corners. */
#include "contour/flaws.h"
#include "inner.h"
#include <math.h>

/* Chords of arcs miss them by less: what is left over beside them is none. */
static const double FLAW_SLACK_MM = 0.012;

static struct contour_flaw *flaw_add(struct contour_flaws *flaws, struct arena *arena,
                                     enum contour_flaw_kind kind)
{
    struct contour_flaw *flaw =
        arena_append(arena, &flaws->items, &flaws->count, &flaws->capacity, sizeof *flaw);
    flaw->kind = kind;
    return flaw;
}

static double flaw_dot(struct point a, struct point b)
{
    return a.x * b.x + a.y * b.y;
}

static struct point flaw_middle(struct point a, struct point b)
{
    return (struct point){(a.x + b.x) / 2, (a.y + b.y) / 2};
}

/* ---- a remnant: what a disc has not reached ---- */

struct remnant_side {
    struct point from, to;
    size_t
        run; /* sides on the region's own edge, in a row between mouths: from 1 on; 0: a mouth, open to the rest */
};

struct remnant {
    struct remnant_side *sides;
    size_t count, runs, mouths;
    double reach; /* of its points from the nearest mouth; INFINITY without one */
};

/* Numbers a ring's runs and counts its mouths. A ring without a mouth is one run, one of nothing else one mouth. */
static void remnant_runs(struct remnant *remnant, struct remnant_side *sides, size_t count)
{
    size_t first = 0;
    while (first < count && !(!sides[first].run && sides[(first + count - 1) % count].run)) first++;
    const bool whole = first == count && sides[0].run; /* else `first` begins a mouth */
    bool open = false;
    if (whole) remnant->runs++;
    for (size_t i = 0; i < count; i++) {
        struct remnant_side *side = &sides[(first + i) % count];
        if (side->run && !open && !whole) remnant->runs++;
        if (!side->run && (i == 0 || open)) remnant->mouths++;
        open = side->run;
        if (side->run) side->run = remnant->runs;
    }
}

static void remnant_reach(struct remnant *remnant)
{
    for (size_t i = 0; i < remnant->count; i++) {
        double nearest = INFINITY;
        if (!remnant->sides[i].run) continue;
        for (size_t k = 0; k < remnant->count; k++)
            if (!remnant->sides[k].run)
                nearest = fmin(nearest, segment_distance(remnant->sides[i].from, remnant->sides[k].from,
                                                         remnant->sides[k].to));
        remnant->reach = fmax(remnant->reach, nearest);
    }
}

/* Of one outer ring and its holes. `near`: of the region, what comes near it. */
static struct remnant remnant_of(const struct region *own, const struct region *near, struct arena *arena)
{
    struct remnant remnant = {arena_take_array(arena, region_points(own), sizeof *remnant.sides), 0, 0, 0, 0};
    for (size_t r = 0; r < own->count; r++) {
        struct remnant_side *sides = &remnant.sides[remnant.count];
        const struct polygon *ring = &own->rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            struct point p = ring->points[i], q = ring->points[(i + 1) % ring->count];
            bool edge = region_distance(near, flaw_middle(p, q)) < 5 * CONTOUR_GRID_MM;
            remnant.sides[remnant.count++] = (struct remnant_side){p, q, edge};
        }
        remnant_runs(&remnant, sides, ring->count);
    }
    remnant_reach(&remnant);
    return remnant;
}

/* ---- its width ---- */

struct flaw_width {
    double mm;
    struct point place;
};

/* Between a point of one run and a side of another. */
static void width_between_runs(const struct remnant *remnant, struct flaw_width *width)
{
    for (size_t i = 0; i < remnant->count; i++)
        for (size_t k = 0; k < remnant->count; k++) {
            const struct remnant_side *a = &remnant->sides[i], *b = &remnant->sides[k];
            if (!a->run || !b->run || a->run == b->run) continue;
            for (int end = 0; end < 2; end++) {
                struct point p = end ? a->to : a->from;
                double away = segment_distance(p, b->from, b->to);
                if (away < width->mm) *width = (struct flaw_width){away, p};
            }
        }
}

/* Straight across from the middle of a side to the nearest one that faces it. */
static void width_across(const struct remnant *remnant, const struct remnant_side *side,
                         struct flaw_width *width)
{
    double length = hypot(side->to.x - side->from.x, side->to.y - side->from.y);
    struct point from = flaw_middle(side->from, side->to);
    struct point along = {(side->to.x - side->from.x) / length, (side->to.y - side->from.y) / length};
    struct point in = {-along.y, along.x};
    for (size_t i = 0; i < remnant->count; i++) {
        struct point a = remnant->sides[i].from, b = remnant->sides[i].to, d = {b.x - a.x, b.y - a.y};
        double size = hypot(d.x, d.y), cross = in.x * d.y - in.y * d.x;
        if (!remnant->sides[i].run || flaw_dot(along, d) > -0.5 * size || cross == 0) continue;
        double t = ((a.x - from.x) * d.y - (a.y - from.y) * d.x) / cross;
        double share = ((a.x - from.x) * in.y - (a.y - from.y) * in.x) / cross;
        if (t > 1e-6 && share >= 0 && share <= 1 && t < width->mm)
            *width = (struct flaw_width){t, {from.x + t / 2 * in.x, from.y + t / 2 * in.y}};
    }
}

static struct flaw_width remnant_width(const struct remnant *remnant)
{
    struct flaw_width width = {INFINITY, remnant->sides[0].from};
    if (remnant->runs > 1) width_between_runs(remnant, &width);
    for (size_t i = 0; i < remnant->count && remnant->runs <= 1; i++)
        if (remnant->sides[i].run) width_across(remnant, &remnant->sides[i], &width);
    return width;
}

/* ---- discs ---- */

/* One that is more than a corner, and narrower than the limit. Specks are left over by rounding. */
static void remnant_judge(const struct region *own, const struct region *near, double limit,
                          enum contour_flaw_kind kind, struct contour_flaws *flaws, struct arena *arena)
{
    struct rect box = polygon_bounds(&own->rings[0]);
    if (fmax(rect_width(box), rect_height(box)) < 0.1 * limit) return;
    struct remnant remnant = remnant_of(own, near, arena);
    if (remnant.mouths == 1 && remnant.reach <= limit) return;
    struct flaw_width width = remnant_width(&remnant);
    if (!(width.mm < 0.995 * limit)) return;
    struct contour_flaw *flaw = flaw_add(flaws, arena, kind);
    flaw->place = width.place, flaw->box = box, flaw->figure = width.mm;
}

static bool remnants_judge(const struct region *remnants, const struct region *region, double limit,
                           enum contour_flaw_kind kind, const struct contour_means *means,
                           struct contour_flaws *flaws)
{
    struct rect *boxes = arena_take_array(means->arena, region->count, sizeof *boxes);
    struct region near = {arena_take_array(means->arena, region->count, sizeof *near.rings), 0};
    for (size_t i = 0; i < region->count; i++) boxes[i] = rect_grow(polygon_bounds(&region->rings[i]), 0.1);
    for (size_t i = 0, next; i < remnants->count; i = next) {
        for (next = i + 1; next < remnants->count && ring_area(&remnants->rings[next]) < 0;) next++;
        if (means->enough && means->enough(means->self)) return false;
        const struct region own = {&remnants->rings[i], next - i};
        struct rect box = polygon_bounds(own.rings);
        near.count = 0;
        for (size_t k = 0; k < region->count; k++)
            if (rect_overlaps(boxes[k], rect_grow(box, 0.1))) near.rings[near.count++] = region->rings[k];
        remnant_judge(&own, &near, limit, kind, flaws, means->arena);
    }
    return true;
}

/* Thin: what is lost when the region shrinks and grows again. Gaps: what is won when it grows and shrinks. */
static bool discs_find(const struct region *region, double limit, enum contour_flaw_kind kind,
                       const struct contour_means *means, struct contour_flaws *flaws, struct error *error)
{
    const bool thin = kind == CONTOUR_THIN;
    const double radius = 0.495 * limit;
    const struct contour_offset first = {.by_mm = thin ? -radius : radius};
    const struct contour_offset then = {.by_mm = thin ? radius + FLAW_SLACK_MM : -radius - FLAW_SLACK_MM};
    struct region once, twice, remnants;
    if (!contour_offset(region, &first, means, &once, error) ||
        !contour_offset(&once, &then, means, &twice, error) ||
        !contour_combine(thin ? region : &twice, thin ? &twice : region, CONTOUR_DIFFERENCE, means, &remnants,
                         error))
        return false;
    return remnants_judge(&remnants, region, limit, kind, means, flaws) ||
           error_set(error, FAILURE_INPUT, "contour-long", NULL);
}

/* ---- waists ---- */

/* Where two bends come near each other, discs from both ends may cover what is between: there a point of the one bend
 * is looked at with all sides of the other. */
struct waist_search {
    const struct region *region;
    double limit;
    enum contour_flaw_kind kind;
    struct rect *boxes; /* of the rings, and the limit around */
    double **at;        /* for each ring, the distance along it to each of its points, and its length */
    size_t first;       /* flaws of this kind */
    struct contour_flaws *flaws;
    struct arena *arena;
};

static double hollow_turn(const struct polygon *ring, size_t i)
{
    const size_t n = ring->count;
    struct point a = ring->points[(i + n - 1) % n], p = ring->points[i % n], b = ring->points[(i + 1) % n];
    double ux = p.x - a.x, uy = p.y - a.y, vx = b.x - p.x, vy = b.y - p.y;
    return -atan2(ux * vy - uy * vx, ux * vx + uy * vy);
}

static void waist_lengths(struct waist_search *search)
{
    search->at = arena_take_array(search->arena, search->region->count, sizeof *search->at);
    search->boxes = arena_take_array(search->arena, search->region->count, sizeof *search->boxes);
    for (size_t r = 0; r < search->region->count; r++) {
        const struct polygon *ring = &search->region->rings[r];
        search->boxes[r] = rect_grow(polygon_bounds(ring), search->limit);
        double *at = search->at[r] = arena_take_array(search->arena, ring->count + 1, sizeof *at);
        for (size_t i = 0; i < ring->count; i++) {
            struct point p = ring->points[i], q = ring->points[(i + 1) % ring->count];
            at[i + 1] = at[i] + hypot(q.x - p.x, q.y - p.y);
        }
    }
}

static struct point nearest_on(struct point p, struct point from, struct point to)
{
    double dx = to.x - from.x, dy = to.y - from.y, square = dx * dx + dy * dy;
    double share = square > 0 ? ((p.x - from.x) * dx + (p.y - from.y) * dy) / square : 0;
    share = fmin(1, fmax(0, share));
    return (struct point){from.x + share * dx, from.y + share * dy};
}

/* The shorter way along the ring, from a point to a place on the side that begins at point `side`. */
static double way_along(const double *at, size_t count, size_t point, size_t side, double into)
{
    double way = fabs(at[point] - at[side] - into);
    return fmin(way, at[count] - way);
}

/* Waists near each other are one, of the least width. */
static void waist_note(const struct waist_search *search, struct point p, struct point q)
{
    double width = hypot(q.x - p.x, q.y - p.y);
    struct point place = flaw_middle(p, q);
    for (size_t i = search->first; i < search->flaws->count; i++) {
        struct contour_flaw *flaw = &search->flaws->items[i];
        struct rect near = rect_grow(flaw->box, search->limit);
        if (place.x < near.x0 || place.x > near.x1 || place.y < near.y0 || place.y > near.y1) continue;
        if (width < flaw->figure) flaw->figure = width, flaw->place = place;
        return;
    }
    struct contour_flaw *flaw = flaw_add(search->flaws, search->arena, search->kind);
    flaw->place = place, flaw->box = rect_normal(p, q), flaw->figure = width;
}

/* Against the sides of one ring. What is near by way of the outline too is the bend itself, or a bump that reaches no
 * further than corners do. */
static void waist_look(const struct waist_search *search, size_t own, size_t point, size_t other)
{
    const struct polygon *ring = &search->region->rings[other];
    struct point p = search->region->rings[own].points[point];
    for (size_t i = 0; i < ring->count; i++) {
        struct point from = ring->points[i], to = ring->points[(i + 1) % ring->count];
        if (fmin(from.x, to.x) > p.x + search->limit || fmax(from.x, to.x) < p.x - search->limit) continue;
        struct point q = nearest_on(p, from, to);
        double away = hypot(q.x - p.x, q.y - p.y);
        if (away >= 0.98 * search->limit || away < 10 * CONTOUR_GRID_MM) continue;
        if (own == other && way_along(search->at[own], ring->count, point, i,
                                      hypot(q.x - from.x, q.y - from.y)) < 2.5 * search->limit)
            continue;
        if (region_contains(search->region, flaw_middle(p, q)) == (search->kind == CONTOUR_THIN))
            waist_note(search, p, q);
    }
}

static bool waists_find(struct waist_search *search, const struct contour_means *means)
{
    const struct region *region = search->region;
    waist_lengths(search);
    for (size_t r = 0; r < region->count; r++)
        for (size_t i = 0; i < region->rings[r].count; i++) {
            if ((hollow_turn(&region->rings[r], i) > 0) != (search->kind == CONTOUR_THIN)) continue;
            if (means->enough && means->enough(means->self)) return false;
            for (size_t k = 0; k < region->count; k++) {
                struct point p = region->rings[r].points[i];
                struct rect box = search->boxes[k];
                if (p.x > box.x0 && p.x < box.x1 && p.y > box.y0 && p.y < box.y1) waist_look(search, r, i, k);
            }
        }
    return true;
}

/* ---- islands ---- */

static void islands_find(const struct region *region, double least, struct arena *arena,
                         struct contour_flaws *flaws)
{
    for (size_t i = 0, next; i < region->count; i = next) {
        double area = ring_area(&region->rings[i]), hole;
        for (next = i + 1; next < region->count && (hole = ring_area(&region->rings[next])) < 0; next++)
            area += hole;
        if (area >= least) continue;
        struct contour_flaw *flaw = flaw_add(flaws, arena, CONTOUR_ISLAND);
        flaw->place = region->rings[i].points[0];
        flaw->box = polygon_bounds(&region->rings[i]), flaw->figure = area;
    }
}

/* ---- hollow corners ---- */

/* Longer sides are straight, not chords of an arc of that radius. */
static double longest_chord(double radius)
{
    return sqrt(8 * radius * 2 * CONTOUR_TOLERANCE_MM);
}

static double side_length(const struct polygon *ring, size_t i)
{
    struct point p = ring->points[i % ring->count], q = ring->points[(i + 1) % ring->count];
    return hypot(q.x - p.x, q.y - p.y);
}

/* Half a side belongs to the corner when it is a chord of it, nothing when it is straight. */
static double half_chord(double length, double chord)
{
    return length < chord ? length / 2 : 0;
}

/* The least radius of a bend that begins at point `first`; *last is its last point. INFINITY: none as sharp. */
static double bend_radius(const struct polygon *ring, size_t first, double chord, size_t *last)
{
    const double least_turn = M_PI / 6;
    double turn = 0, least = INFINITY;
    double length = half_chord(side_length(ring, first + ring->count - 1), chord);
    for (size_t i = first; i < first + ring->count; i++) {
        double here = hollow_turn(ring, i), side = side_length(ring, i);
        if (here < 0) break;
        turn += here;
        double radius = (length + half_chord(side, chord)) / turn;
        if (turn >= least_turn && radius < least) least = radius, *last = i;
        if (side >= chord) break;
        length += side;
    }
    return least;
}

static void corners_find(const struct polygon *ring, double limit, struct arena *arena,
                         struct contour_flaws *flaws)
{
    const double chord = longest_chord(limit);
    for (size_t i = 0; i < ring->count; i++) {
        size_t last = i, next = i + 1, end;
        double least = hollow_turn(ring, i) > 0 ? bend_radius(ring, i, chord, &last) : INFINITY;
        if (least >= 0.9 * limit) continue;
        end = last;
        for (; next <= end && next < ring->count;
             next++) { /* bends that begin within it are the same corner */
            double radius = bend_radius(ring, next, chord, &last);
            if (radius >= 0.9 * limit) continue;
            least = fmin(least, radius), end = last > end ? last : end;
        }
        struct contour_flaw *flaw = flaw_add(flaws, arena, CONTOUR_HOLLOW);
        struct point from = ring->points[i], to = ring->points[end % ring->count];
        flaw->place = ring->points[(i + end) / 2 % ring->count], flaw->figure = least;
        flaw->box = rect_normal(from, to);
        i = end;
    }
}

/* ---- the whole ---- */

static bool narrow_find(const struct region *region, double limit, enum contour_flaw_kind kind,
                        const struct contour_means *means, struct contour_flaws *flaws, struct error *error)
{
    struct waist_search waists = {region, limit, kind, NULL, NULL, flaws->count, flaws, means->arena};
    if (limit == 0) return true;
    return discs_find(region, limit, kind, means, flaws, error) &&
           (waists_find(&waists, means) || error_set(error, FAILURE_INPUT, "contour-long", NULL));
}

static bool limit_is_good(double mm)
{
    return mm == 0 || (mm >= 0.05 && mm <= 100);
}

bool contour_flaws_find(const struct region *region, const struct contour_limits *limits,
                        const struct contour_means *means, struct contour_flaws *flaws, struct error *error)
{
    *flaws = (struct contour_flaws){NULL, 0, 0};
    if (!limit_is_good(limits->width_mm) || !limit_is_good(limits->gap_mm) ||
        !limit_is_good(limits->radius_mm) || !(limits->area_mm2 >= 0 && limits->area_mm2 <= 1e6))
        return error_set(error, FAILURE_INPUT, "contour-limits", NULL);
    if (!region_check(region, error)) return false;
    if (!narrow_find(region, limits->width_mm, CONTOUR_THIN, means, flaws, error)) return false;
    islands_find(region, limits->area_mm2, means->arena, flaws);
    if (!narrow_find(region, limits->gap_mm, CONTOUR_GAP, means, flaws, error)) return false;
    for (size_t i = 0; i < region->count && limits->radius_mm > 0; i++)
        corners_find(&region->rings[i], limits->radius_mm, means->arena, flaws);
    return true;
}
