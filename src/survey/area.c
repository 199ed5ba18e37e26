/* The area that is covered: the outline less its openings, what is cut out of the film and the seals of panes. */
#include "plane.h"
#include "base/arena.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

struct area_openings {
    const struct feature **items;
    size_t count;
};

static struct area_openings openings_of(const struct feature *features, size_t count, struct arena *arena)
{
    struct area_openings openings = {arena_take_array(arena, count, sizeof *openings.items), 0};
    for (size_t i = 0; i < count; i++)
        if (feature_is_bare(features[i].kind) || feature_cut_short_mm(&features[i]) > 0)
            openings.items[openings.count++] = &features[i];
    return openings;
}

static bool keep_apart(struct area_openings openings)
{
    for (size_t i = 0; i < openings.count; i++)
        for (size_t j = i + 1; j < openings.count; j++)
            if (rect_overlaps(feature_bare_box(openings.items[i]), feature_bare_box(openings.items[j])))
                return false;
    return true;
}

static bool is_box(const struct polygon *polygon)
{
    return fabs(fabs(polygon_area(polygon)) - rect_area(polygon_bounds(polygon))) <= 1e-6;
}

/* No point of either shape's edge need be near the other's: the box around the opening holds no point of the
 * outline and its corners are inside. */
static bool lies_inside(const struct polygon *outline, struct rect box)
{
    struct point corners[4] = {{box.x0, box.y0}, {box.x1, box.y0}, {box.x1, box.y1}, {box.x0, box.y1}};
    for (int i = 0; i < 4; i++)
        if (!polygon_contains(outline, corners[i])) return false;
    return fabs(polygon_area_in(outline, box) - rect_area(box)) <= 1e-6;
}

/* Of the opening, less the film on a pane. False when it must be scanned. */
static bool exact_area(const struct polygon *outline, const struct feature *opening, double *area)
{
    const struct polygon *shape = feature_bare_shape(opening);
    struct rect box = feature_bare_box(opening);
    const struct polygon *film = &opening->on_glass;
    bool boxed = !shape->count || is_box(shape), inside = lies_inside(outline, box);
    if (film->count && !inside) return false;
    if (boxed)
        *area = polygon_area_in(outline, box);
    else if (is_box(outline))
        *area = polygon_area_in(shape, polygon_bounds(outline));
    else
        *area = fabs(polygon_area(shape));
    if (film->count) *area -= fabs(polygon_area(film));
    return boxed || is_box(outline) || inside;
}

/* ---- by rows ---- */

struct area_crossing {
    double x;
    int surface, opening; /* what begins (+1) or ends (-1) here */
};

struct area_row {
    struct arena *arena;
    struct area_crossing *crossings;
    size_t count, capacity;
};

enum kind_of_line { LINE_OUTLINE, LINE_OPENING, LINE_FILM /* on a pane */ };

static int by_x(const void *one, const void *other)
{
    const struct area_crossing *a = one, *b = other;
    return (a->x > b->x) - (a->x < b->x);
}

/* Where the polygon begins and ends on the row, by the even-odd rule. */
static void row_add(struct area_row *row, const struct polygon *polygon, double y, enum kind_of_line kind)
{
    size_t first = row->count;
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = polygon->points[i], q = polygon->points[(i + 1) % polygon->count];
        if ((p.y > y) == (q.y > y)) continue;
        struct area_crossing *crossing =
            arena_append(row->arena, &row->crossings, &row->count, &row->capacity, sizeof *crossing);
        crossing->x = p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x);
    }
    assert((row->count - first) % 2 == 0); /* a closed line comes back */
    if (row->count > first) qsort(row->crossings + first, row->count - first, sizeof *row->crossings, by_x);
    for (size_t i = first; i < row->count; i++) {
        int begins = (i - first) % 2 ? -1 : 1;
        row->crossings[i].surface = kind == LINE_OUTLINE ? begins : 0;
        row->crossings[i].opening = kind == LINE_OPENING ? begins : kind == LINE_FILM ? -begins : 0;
    }
}

static double row_length(struct area_row *row)
{
    int surface = 0, opening = 0;
    double length = 0;
    if (row->count) qsort(row->crossings, row->count, sizeof *row->crossings, by_x);
    for (size_t i = 0; i + 1 < row->count; i++) {
        surface += row->crossings[i].surface, opening += row->crossings[i].opening;
        if (surface > 0 && opening == 0) length += row->crossings[i + 1].x - row->crossings[i].x;
    }
    return length;
}

static double scanned_area(const struct polygon *outline, struct area_openings openings, struct arena *arena)
{
    struct rect box = polygon_bounds(outline);
    double rows = ceil(fmin(4000, rect_height(box) / 0.5)), height = rect_height(box) / rows, area = 0;
    struct area_row row = {.arena = arena};
    assert(height > 0);
    struct polygon *shapes = arena_take_array(arena, openings.count, sizeof *shapes);
    for (size_t k = 0; k < openings.count; k++) {
        const struct polygon *drawn = feature_bare_shape(openings.items[k]);
        shapes[k] = drawn->count ? *drawn : polygon_of_rect(openings.items[k]->box, arena);
    }
    for (double i = 0; i < rows; i++) {
        double y = box.y0 + (i + 0.5) * height;
        row.count = 0;
        row_add(&row, outline, y, LINE_OUTLINE);
        for (size_t k = 0; k < openings.count; k++) {
            struct rect at = feature_bare_box(openings.items[k]);
            if (y < at.y0 || y > at.y1) continue;
            row_add(&row, &shapes[k], y, LINE_OPENING);
            row_add(&row, &openings.items[k]->on_glass, y, LINE_FILM);
        }
        area += row_length(&row) * height;
    }
    return area;
}

double area_outside(const struct polygon *outline, const struct feature *features, size_t feature_count,
                    struct arena *arena)
{
    struct area_openings openings = openings_of(features, feature_count, arena);
    double area = fabs(polygon_area(outline)), part;
    if (!keep_apart(openings)) return scanned_area(outline, openings, arena);
    for (size_t i = 0; i < openings.count; i++) {
        if (!exact_area(outline, openings.items[i], &part)) return scanned_area(outline, openings, arena);
        area -= part;
    }
    return fmax(0, area);
}
