/* Writes what a surface covers, and a piece's outline, as JSON. Called by plan.c for each surface of a plan. */
#include "shape.h"
#include <math.h>

/* Ten thousandths: the grid that outlines lie on (contour/means.h). */
enum { PLACES = 4 };

static void ring_json(struct json *json, const char *key, const struct polygon *ring)
{
    json_open_list_inline(json, key);
    for (size_t i = 0; i < ring->count; i++)
        json_numbers(json, NULL, (const double[]){ring->points[i].x, ring->points[i].y}, 2, PLACES);
    json_close(json);
}

static void rings_json(struct json *json, const char *key, const struct region *region, bool holes)
{
    json_open_list(json, key);
    for (size_t i = 0; i < region->count; i++)
        if ((polygon_area(&region->rings[i]) < 0) == holes) ring_json(json, NULL, &region->rings[i]);
    json_close(json);
}

/* The outer ring that encloses most. */
static const struct polygon *largest_ring(const struct region *region)
{
    const struct polygon *largest = region->rings;
    for (size_t i = 1; i < region->count; i++)
        if (polygon_area(&region->rings[i]) > polygon_area(largest)) largest = &region->rings[i];
    return largest;
}

static void box_json(struct json *json, const char *key, struct rect box)
{
    json_numbers(json, key, (const double[]){box.x0, box.y0, box.x1, box.y1}, 4, 3);
}

static void piece_json(struct json *json, const struct surface *surface)
{
    const struct region *region = &surface->covered;
    json_string(json, "id", surface->id);
    json_string(json, "surface", surface->host->name);
    json_whole(json, "count", surface->copies);
    ring_json(json, "outline_mm", largest_ring(region));
    rings_json(json, "outlines_mm", region, false);
    rings_json(json, "holes_mm", region, true);
    box_json(json, "print_mm", region_bounds(&surface->printed));
    json_number(json, "cut_length_mm", region_length(&surface->cut), 1);
    json_string(json, "cut_depth", surface->piece->cut.depth == CUT_THROUGH ? "through" : "kiss");
    json_bool(json, "inside", surface->piece->inside);
}

void shape_json(struct json *json, const struct surface *surface)
{
    if (!surface->covered.count) return;
    if (surface->piece) {
        piece_json(json, surface);
        return;
    }
    rings_json(json, "covered_mm", &surface->covered, false);
    rings_json(json, "uncovered_mm", &surface->covered, true);
    json_string(json, "covered_edge", surface->contour_cut ? "contour" : "vehicle");
    json_number(json, "covered_bleed_mm", surface->covered_bleed_mm, 3);
    if (surface->contour_cut) json_number(json, "cut_length_mm", region_length(&surface->cut), 1);
}
