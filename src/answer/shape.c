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

static double surface_cut_mm(const struct surface_plan *plan)
{
    bool cut = plan->surface->contour_cut && plan->panel_count;
    return cut ? region_length(&plan->surface->cut) * surface_copies(plan->surface) : 0;
}

static void cut_length_json(struct json *json, double length_mm, double speed_mm_s)
{
    json_number(json, "length_mm", length_mm, 1);
    json_number(json, "seconds", length_mm / speed_mm_s, 1);
}

void cutting_json(struct json *json, const struct plan *plan)
{
    struct measure speed = cutter_speed(plan->input->job->cutter);
    double length_mm = 0;
    for (size_t i = 0; i < plan->surface_count; i++) length_mm += surface_cut_mm(&plan->surfaces[i]);
    if (!(length_mm > 0)) return;
    json_open_object(json, "cutting");
    cut_length_json(json, length_mm, speed.value);
    json_number(json, "speed_mm_s", speed.value, 2);
    json_string(json, "speed_source", speed.source);
    json_open_list(json, "surfaces");
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface_plan *surface = &plan->surfaces[i];
        if (!(surface_cut_mm(surface) > 0)) continue;
        json_open_object(json, NULL);
        json_string(json, "surface", surface->surface->id);
        json_whole(json, "copies", surface_copies(surface->surface));
        cut_length_json(json, surface_cut_mm(surface), speed.value);
        json_close(json);
    }
    json_close(json);
    json_close(json);
}
