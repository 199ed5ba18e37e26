/* From a covered region to what is printed of it, its spans, its area and what lies in it. Called by cover.c. */
#include "base/arena.h"
#include "contour/offset.h"
#include "make.h"
#include "plane.h"
#include <math.h>

/* A side of the region that comes no nearer than this to the outline is its own. */
static const double ON_OUTLINE_MM = 0.002;

struct printed_work {
    struct surface *surface;
    struct contour_means means;
    struct error *error;
    struct region outline;
};

static struct polygon counter_clockwise(const struct polygon *polygon, struct arena *arena)
{
    struct polygon turned = {arena_take_array(arena, polygon->count, sizeof *turned.points), polygon->count};
    bool back = polygon_area(polygon) < 0;
    for (size_t i = 0; i < polygon->count; i++)
        turned.points[i] = polygon->points[back ? polygon->count - 1 - i : i];
    return turned;
}

bool cover_outline_of(const struct surface *surface, const struct notes *notes, struct region *outline,
                      struct error *error)
{
    struct contour_means means = {.arena = notes->arena};
    return contour_clean(&surface->outline, 1, CONTOUR_NON_ZERO, &means, outline, error);
}

/* ---- the surface's edge along a region ---- */

struct edge_rings {
    struct polygon *items;
    size_t count, capacity;
};

static void rings_add(struct edge_rings *rings, const struct polygon *ring, struct arena *arena)
{
    *(struct polygon *)arena_append(arena, &rings->items, &rings->count, &rings->capacity, sizeof *ring) =
        counter_clockwise(ring, arena);
}

static void rings_add_quad(struct edge_rings *rings, struct point p, struct point q, struct point by,
                           struct arena *arena)
{
    struct point points[4] = {p, q, {q.x + by.x, q.y + by.y}, {p.x + by.x, p.y + by.y}};
    rings_add(rings, &(struct polygon){points, 4}, arena);
}

/* Which edge of its box a side faces that has the surface on its left. */
static enum edge side_faces(struct point p, struct point q)
{
    double x = q.y - p.y, y = p.x - q.x;
    if (fabs(x) > fabs(y)) return x > 0 ? EDGE_RIGHT : EDGE_LEFT;
    return y > 0 ? EDGE_TOP : EDGE_BOTTOM;
}

static struct point edge_vector(enum edge edge, double by)
{
    switch (edge) {
    case EDGE_BOTTOM:
        return (struct point){0, -by};
    case EDGE_RIGHT:
        return (struct point){by, 0};
    case EDGE_TOP:
        return (struct point){0, by};
    default:
        return (struct point){-by, 0};
    }
}

/* What the surface's bleeds add along its edge to a region, or with bleeds below 0 take off. */
struct edge_bands {
    struct edge_rings more, less;
};

static void bands_add_side(struct edge_bands *bands, const struct surface *s, struct point p, struct point q,
                           struct arena *arena)
{
    enum edge edge = side_faces(p, q);
    double bleed = s->bleed_mm[edge];
    if (bleed != 0)
        rings_add_quad(bleed > 0 ? &bands->more : &bands->less, p, q, edge_vector(edge, bleed), arena);
}

/* Where the edge turns a corner at `p`, both bleeds meet. */
static void bands_add_corner(struct edge_bands *bands, const struct surface *s, const struct point at[3],
                             struct arena *arena)
{
    enum edge before = side_faces(at[0], at[1]), after = side_faces(at[1], at[2]);
    double one = s->bleed_mm[before], other = s->bleed_mm[after];
    struct point a = edge_vector(before, one), b = edge_vector(after, other), p = at[1];
    if ((before + after) % 2 == 0 || !(one > 0 && other > 0)) return;
    rings_add_quad(&bands->more, p, (struct point){p.x + a.x, p.y + a.y}, b, arena);
}

static bool side_is_on_edge(const struct region *outline, struct point p, struct point q)
{
    struct point middle = {(p.x + q.x) / 2, (p.y + q.y) / 2};
    return region_distance(outline, middle) < ON_OUTLINE_MM && region_distance(outline, p) < ON_OUTLINE_MM &&
           region_distance(outline, q) < ON_OUTLINE_MM;
}

static void bands_add_ring(struct edge_bands *bands, const struct printed_work *work,
                           const struct polygon *ring)
{
    const struct surface *s = work->surface;
    struct arena *arena = work->means.arena;
    const size_t n = ring->count;
    bool *on = arena_take_array(arena, n, sizeof *on);
    for (size_t i = 0; i < n; i++)
        on[i] = side_is_on_edge(&work->outline, ring->points[i], ring->points[(i + 1) % n]);
    for (size_t i = 0; i < n; i++) {
        const struct point at[3] = {ring->points[i], ring->points[(i + 1) % n], ring->points[(i + 2) % n]};
        if (on[i]) bands_add_side(bands, s, at[0], at[1], arena);
        if (on[i] && on[(i + 1) % n]) bands_add_corner(bands, s, at, arena);
    }
}

/* The region with the bleed of the surface's edges where it reaches them; no more of what lies in the outline. */
static bool region_to_edges(const struct printed_work *work, const struct region *region,
                            struct region *result)
{
    struct edge_bands bands = {.more = {NULL, 0, 0}};
    struct region plus, rest, minus;
    const struct contour_means *means = &work->means;
    for (size_t i = 0; i < region->count; i++) bands_add_ring(&bands, work, &region->rings[i]);
    if (!contour_clean(bands.more.items, bands.more.count, CONTOUR_NON_ZERO, means, &plus, work->error) ||
        !contour_clean(bands.less.items, bands.less.count, CONTOUR_NON_ZERO, means, &minus, work->error) ||
        !contour_combine(&plus, &work->outline, CONTOUR_DIFFERENCE, means, &rest, work->error) ||
        !contour_combine(region, &rest, CONTOUR_UNION, means, &plus, work->error))
        return false;
    return contour_combine(&plus, &minus, CONTOUR_DIFFERENCE, means, result, work->error);
}

/* ---- what is printed, and cut ---- */

static bool region_grown(const struct region *region, double by, const struct contour_means *means,
                         struct region *result, struct error *error)
{
    const struct contour_offset offset = {.by_mm = by, .join = CONTOUR_ROUND, .tolerance_mm = 0.02};
    *result = *region;
    return by <= 0 || contour_offset(region, &offset, means, result, error);
}

/* A piece is cut out before it is applied: the surface's edge is none to it. */
static bool printed_of(const struct printed_work *work)
{
    struct surface *s = work->surface;
    struct region wider, inside;
    if (!region_grown(&s->covered, s->covered_bleed_mm, &work->means, &wider, work->error)) return false;
    if (s->piece) {
        s->printed = wider, s->cut = s->covered;
        return true;
    }
    if (!contour_combine(&wider, &work->outline, CONTOUR_INTERSECTION, &work->means, &inside, work->error) ||
        !region_to_edges(work, &inside, &s->printed))
        return false;
    return !s->contour_cut || region_to_edges(work, &s->covered, &s->cut);
}

static void printed_spans(struct surface *s, struct arena *arena)
{
    s->printed_up = spans_of_region(&s->printed, true, arena);
    s->printed_along = spans_of_region(&s->printed, false, arena);
}

/* Of the whole surface's millimetres. */
static struct span *covered_spans(const struct surface *s, bool upwards, size_t count, struct arena *arena)
{
    struct span_table table = spans_of_region(&s->covered, upwards, arena);
    struct span *spans = arena_take_array(arena, count, sizeof *spans);
    for (size_t i = 0; i < count; i++) {
        long k = (long)i - table.first;
        bool there = k >= 0 && k < (long)table.count;
        spans[i] = there ? table.spans[k] : (struct span){INFINITY, -INFINITY};
    }
    return spans;
}

/* ---- what lies in it ---- */

/* A line has no area: it is taken half a millimetre wide. */
static bool feature_lies_in(const struct region *region, const struct feature *feature)
{
    struct rect box = rect_grow(feature->box, 0.5);
    double area = 0;
    for (size_t i = 0; i < region->count; i++) area += polygon_area_in(&region->rings[i], box);
    return area > 1e-6;
}

/* Stations stay where a corrugation does that the print follows. */
static void features_keep(struct surface *s, struct arena *arena)
{
    struct feature *kept = arena_take_array(arena, s->feature_count, sizeof *kept);
    size_t *now = arena_take_array(arena, s->feature_count, sizeof *now), count = 0, stretches = 0;
    struct stretch *stretch = arena_take_array(arena, s->stretch_count, sizeof *stretch);
    bool followed = false;
    for (size_t i = 0; i < s->feature_count; i++) {
        now[i] = s->feature_count;
        if (!feature_lies_in(&s->covered, &s->features[i])) continue;
        followed |= s->features[i].kind == FEATURE_CORRUGATION && s->features[i].laid == LAID_FOLLOWED;
        now[i] = count, kept[count++] = s->features[i];
    }
    for (size_t i = 0; i < s->stretch_count; i++) {
        if (now[s->stretches[i].feature] == s->feature_count) continue;
        stretch[stretches] = s->stretches[i];
        stretch[stretches].feature = now[stretch[stretches].feature], stretches++;
    }
    s->features = kept, s->feature_count = count;
    s->stretches = stretch, s->stretch_count = stretches;
    if (!followed) s->station_count = 0, s->lengthened_mm = 0;
}

/* ---- area ---- */

/* Openings, what is cut out of the film and the seals of panes. */
static bool bare_region(const struct printed_work *work, struct region *bare)
{
    const struct surface *s = work->surface;
    const struct contour_means *means = &work->means;
    struct edge_rings shapes = {NULL, 0, 0}, glass = {NULL, 0, 0};
    struct region open, film;
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        if (!feature_is_bare(f->kind) && !(feature_cut_short_mm(f) > 0)) continue;
        const struct polygon *shape = feature_bare_shape(f);
        struct polygon box = polygon_of_rect(f->box, means->arena);
        rings_add(&shapes, shape->count ? shape : &box, means->arena);
        if (f->on_glass.count) rings_add(&glass, &f->on_glass, means->arena);
    }
    return contour_clean(shapes.items, shapes.count, CONTOUR_NON_ZERO, means, &open, work->error) &&
           contour_clean(glass.items, glass.count, CONTOUR_NON_ZERO, means, &film, work->error) &&
           contour_combine(&open, &film, CONTOUR_DIFFERENCE, means, bare, work->error);
}

static bool covered_area(const struct printed_work *work)
{
    struct surface *s = work->surface;
    struct region bare, held, film;
    if (!bare_region(work, &bare) ||
        !contour_combine(&s->covered, &bare, CONTOUR_DIFFERENCE, &work->means, &held, work->error) ||
        !contour_combine(&held, &s->printed, CONTOUR_INTERSECTION, &work->means, &film, work->error))
        return false;
    s->area_m2 = region_area(&film) / 1e6;
    return true;
}

bool cover_settle(struct surface *surface, const struct region *covered, const struct notes *notes,
                  struct error *error)
{
    struct printed_work work = {.surface = surface, .means = {.arena = notes->arena}, .error = error};
    if (!cover_outline_of(surface, notes, &work.outline, error)) return false;
    surface->covered = *covered;
    features_keep(surface, notes->arena);
    if (!printed_of(&work) || !covered_area(&work)) return false;
    surface->up = covered_spans(surface, true, surface->up_count, notes->arena);
    surface->along = covered_spans(surface, false, surface->along_count, notes->arena);
    printed_spans(surface, notes->arena);
    return true;
}
