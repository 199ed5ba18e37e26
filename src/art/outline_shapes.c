/* What the shapes of a page cover together, each within its clips. Called by outline.c.
 *
 * Shapes under one clip are united first and clipped once. The union of clean regions is one more cleaning of all
 * their rings, since outer rings wind around a place once more and holes take that off. Boxes are not put through GEOS:
 * most clips are boxes around all that is in them, and much artwork lies on a background. */
#include "outline.h"
#include "base/arena.h"
#include "contour/shape.h"
#include <math.h>

enum { BATCH_POINTS = CONTOUR_POINTS_MOST * 3 / 4 };

struct regions { /* to be united */
    struct region *items;
    size_t count, capacity;
};

struct shapes_work {
    struct outline_work *outline;
    const struct pdf_paths *paths;
    struct region *clips;    /* of clip k, at k - 1 */
    struct regions *by_clip; /* shapes under clip k, at k; 0: under none */
};

/* ---- boxes ---- */

static double on_grid(double value)
{
    return round(value / CONTOUR_GRID_MM) * CONTOUR_GRID_MM;
}

/* Whether the ring is a box, its sides along the axes. */
static bool ring_is_box(const struct polygon *ring, struct rect *box)
{
    if (ring->count != 4) return false;
    const struct point *p = ring->points;
    *box = polygon_bounds(ring);
    bool upright = p[0].x == p[1].x && p[1].y == p[2].y && p[2].x == p[3].x && p[3].y == p[0].y;
    bool lying = p[0].y == p[1].y && p[1].x == p[2].x && p[2].y == p[3].y && p[3].x == p[0].x;
    return (upright || lying) && !rect_is_empty(*box);
}

static bool region_is_box(const struct region *region, struct rect *box)
{
    return region->count == 1 && ring_is_box(&region->rings[0], box);
}

static struct region region_of_box(struct rect box, struct arena *arena)
{
    if (rect_is_empty(box)) return (struct region){0};
    struct polygon *ring = arena_take(arena, sizeof *ring);
    *ring = polygon_of_rect(box, arena);
    return (struct region){ring, 1};
}

/* ---- unions ---- */

static void regions_add(struct arena *arena, struct regions *regions, struct region region)
{
    if (region.count)
        *(struct region *)arena_append(arena, &regions->items, &regions->count, &regions->capacity,
                                       sizeof region) = region;
}

/* The largest box among them; what lies in it is left out. */
static void regions_thin(struct regions *regions)
{
    struct rect largest = {0}, box;
    size_t kept = 0, of = 0;
    for (size_t i = 0; i < regions->count; i++)
        if (region_is_box(&regions->items[i], &box) && rect_area(box) > rect_area(largest))
            largest = box, of = i;
    if (rect_is_empty(largest)) return;
    for (size_t i = 0; i < regions->count; i++)
        if (i == of || !rect_contains(largest, region_bounds(&regions->items[i]), 0))
            regions->items[kept++] = regions->items[i];
    regions->count = kept;
}

/* As many from `from` on as go into one cleaning; a single large one as it is. */
static bool regions_batch(struct shapes_work *work, const struct regions *regions, size_t *from,
                          struct region *together, struct error *error)
{
    struct arena *arena = work->outline->notes->arena;
    size_t points = 0, rings = 0, first = *from, end = first;
    for (; end < regions->count; end++) {
        size_t more = region_points(&regions->items[end]);
        if (end > first && points + more > BATCH_POINTS) break;
        points += more, rings += regions->items[end].count;
    }
    *from = end;
    *together = regions->items[first];
    if (end == first + 1) return true;
    struct polygon *all = arena_take_array(arena, rings, sizeof *all);
    for (size_t i = first, at = 0; i < end; i++)
        for (size_t k = 0; k < regions->items[i].count; k++) all[at++] = regions->items[i].rings[k];
    return contour_clean(all, rings, CONTOUR_POSITIVE, &work->outline->means, together, error);
}

/* Two and two, so that large ones are gone through seldom. */
static bool paint_combine(struct shapes_work *work, struct regions *regions, struct region *together,
                          struct error *error)
{
    while (regions->count > 1) {
        size_t kept = 0;
        for (size_t i = 0; i < regions->count; i += 2) {
            struct region both = regions->items[i];
            if (i + 1 < regions->count &&
                !contour_combine(&regions->items[i], &regions->items[i + 1], CONTOUR_UNION,
                                 &work->outline->means, &both, error))
                return false;
            regions->items[kept++] = both;
        }
        regions->count = kept;
    }
    *together = regions->count ? regions->items[0] : (struct region){0};
    return true;
}

static bool regions_unite(struct shapes_work *work, struct regions *regions, struct region *together,
                          struct error *error)
{
    struct regions batches = {0};
    regions_thin(regions);
    for (size_t at = 0; at < regions->count;) {
        struct region batch;
        if (!regions_batch(work, regions, &at, &batch, error)) return false;
        regions_add(work->outline->notes->arena, &batches, batch);
    }
    return paint_combine(work, &batches, together, error);
}

static bool region_within(struct shapes_work *work, const struct region *region, const struct region *clip,
                          struct region *inside, struct error *error)
{
    struct rect box, other, bounds = region_bounds(region);
    *inside = (struct region){0};
    if (!region->count || !clip->count || !rect_overlaps(bounds, region_bounds(clip))) return true;
    if (region_is_box(clip, &box)) {
        *inside = *region;
        if (rect_contains(box, bounds, 0)) return true;
        if (region_is_box(region, &other)) {
            *inside = region_of_box(rect_intersect(box, other), work->outline->notes->arena);
            return true;
        }
    }
    return contour_combine(region, clip, CONTOUR_INTERSECTION, &work->outline->means, inside, error);
}

/* ---- shapes ---- */

static struct polygon ring_on_surface(const struct polygon *line, struct affine m, struct arena *arena)
{
    struct polygon ring = {arena_take_array(arena, line->count, sizeof *ring.points), line->count};
    for (size_t i = 0; i < ring.count; i++) {
        struct point p = affine_apply(m, line->points[i]);
        ring.points[i] = (struct point){on_grid(p.x), on_grid(p.y)};
    }
    if (ring.count > 3 && ring.points[0].x == ring.points[ring.count - 1].x &&
        ring.points[0].y == ring.points[ring.count - 1].y)
        ring.count--;
    return ring;
}

static bool shape_region(struct shapes_work *work, const struct pdf_shape *shape, struct region *region,
                         struct error *error)
{
    struct arena *arena = work->outline->notes->arena;
    struct affine m = work->outline->placed->to_surface;
    struct rect box;
    if (shape->mask) {
        struct pdf_mask mask = *shape->mask;
        mask.place = affine_then(mask.place, m);
        return outline_of_mask(work->outline, &mask, region, error);
    }
    struct polygon *rings = arena_take_array(arena, shape->count, sizeof *rings);
    for (size_t i = 0; i < shape->count; i++) rings[i] = ring_on_surface(&shape->lines[i].points, m, arena);
    if (shape->count == 1 && ring_is_box(&rings[0], &box)) {
        *region = region_of_box(box, arena);
        return true;
    }
    return contour_clean(rings, shape->count, shape->even_odd ? CONTOUR_EVEN_ODD : CONTOUR_NON_ZERO,
                         &work->outline->means, region, error);
}

/* All shapes of one kind of paint together: `into` a clip, or 0 for what is painted. */
static bool shapes_sort(struct shapes_work *work, size_t into, struct regions *clipped, struct error *error)
{
    const struct pdf_paths *paths = work->paths;
    struct arena *arena = work->outline->notes->arena;
    for (size_t i = 0; i < paths->count; i++) {
        const struct pdf_shape *shape = &paths->shapes[i];
        struct region region;
        if (shape->into != into) continue;
        if (!shape_region(work, shape, &region, error)) return false;
        regions_add(arena, &work->by_clip[shape->under], region);
    }
    for (size_t k = 0; k <= paths->clip_count; k++) {
        struct regions *under = &work->by_clip[k];
        struct region together, inside;
        if (!under->count) continue;
        if (!regions_unite(work, under, &together, error)) return false;
        under->count = 0;
        inside = together;
        if (k && !region_within(work, &together, &work->clips[k - 1], &inside, error)) return false;
        regions_add(arena, clipped, inside);
    }
    return true;
}

/* What clip k leaves, which lower clips go into. */
static bool clip_region(struct shapes_work *work, size_t k, struct error *error)
{
    struct regions parts = {0};
    struct region together;
    size_t around = work->paths->clips[k - 1];
    if (!shapes_sort(work, k, &parts, error) || !regions_unite(work, &parts, &together, error)) return false;
    work->clips[k - 1] = together;
    return !around || region_within(work, &together, &work->clips[around - 1], &work->clips[k - 1], error);
}

bool outline_of_shapes(struct outline_work *outline, const struct pdf_paths *paths, struct region *region,
                       struct error *error)
{
    struct arena *arena = outline->notes->arena;
    const struct placed_art *placed = outline->placed;
    struct shapes_work work = {outline, paths,
                               arena_take_array(arena, paths->clip_count, sizeof(struct region)),
                               arena_take_array(arena, paths->clip_count + 1, sizeof(struct regions))};
    for (size_t k = 1; k <= paths->clip_count; k++)
        if (!clip_region(&work, k, error)) return false;
    struct regions parts = {0};
    struct region together,
        page = region_of_box(placed->facts->marks_in_bleed ? placed->trim : placed->clip, arena);
    return shapes_sort(&work, 0, &parts, error) && regions_unite(&work, &parts, &together, error) &&
           region_within(&work, &together, &page, region, error);
}
