/* Answers about a surface from its size, outline and features: bleed box, bleed of each
 * edge, whether a road vehicle is that large. Called by survey, planning, art and sheet. */
#include "model/surface.h"
#include "model/practice.h"
#include <math.h>

struct rect surface_covered_box(const struct surface *s)
{
    return s->covered.count ? region_bounds(&s->covered) : (struct rect){0, 0, s->width_mm, s->height_mm};
}

struct rect surface_size_box(const struct surface *s)
{
    return s->piece ? surface_covered_box(s) : (struct rect){0, 0, s->width_mm, s->height_mm};
}

struct rect surface_view_box(const struct surface *s)
{
    struct rect whole = {-s->bleed_mm[EDGE_LEFT], -s->bleed_mm[EDGE_BOTTOM],
                         s->width_mm + s->bleed_mm[EDGE_RIGHT], s->height_mm + s->bleed_mm[EDGE_TOP]};
    return s->piece ? surface_bleed_box(s) : whole;
}

struct rect surface_bleed_box(const struct surface *s)
{
    if (s->printed.count) return region_bounds(&s->printed);
    return surface_view_box(s);
}

bool surface_is_on_the_road(double width_mm, double height_mm)
{
    double long_mm = practice_value("vehicle-length").value, high_mm = practice_value("vehicle-height").value;
    return fmax(width_mm, height_mm) <= long_mm && fmin(width_mm, height_mm) <= high_mm;
}

bool surface_without_slip(double width_mm, double height_mm, struct point *likely)
{
    const struct point tries[] = {
        {width_mm / 10, height_mm}, {width_mm, height_mm / 10}, {width_mm / 10, height_mm / 10}};
    double long_most = practice_value("side-slender").value;
    bool found = false;
    for (size_t i = 0; i < sizeof tries / sizeof *tries; i++) {
        double longer = fmax(tries[i].x, tries[i].y), shorter = fmin(tries[i].x, tries[i].y);
        bool fits = surface_is_on_the_road(longer, shorter) && longer <= long_most * shorter;
        bool better = !found || (likely->x < likely->y && tries[i].x >= tries[i].y); /* sides lie */
        if (!fits || !better) continue;
        *likely = tries[i];
        found = true;
    }
    return found;
}

double surface_cut_short_mm(const struct surface *surface)
{
    double least = 0;
    for (int i = 0; i < EDGE_COUNT; i++)
        if (!i || -surface->bleed_mm[i] < least) least = -surface->bleed_mm[i];
    return least > 0 ? least : 0;
}

const char *edge_name(enum edge edge)
{
    static const char *const names[EDGE_COUNT] = {"lower", "right", "upper", "left"};
    return names[edge];
}

static void surface_take(double *to, double said)
{
    if (said >= 0) *to = said;
}

static enum edge opposite(enum edge edge)
{
    return (enum edge)((edge + 2) % EDGE_COUNT);
}

static bool front_edge(enum front front, enum edge *edge)
{
    switch (front) {
    case FRONT_LEFT:
        *edge = EDGE_LEFT;
        return true;
    case FRONT_RIGHT:
        *edge = EDGE_RIGHT;
        return true;
    case FRONT_UP:
        *edge = EDGE_TOP;
        return true;
    case FRONT_DOWN:
        *edge = EDGE_BOTTOM;
        return true;
    default:
        return false;
    }
}

/* General before particular: all, then top and sill, left and right, then front and rear. */
static void surface_apply(const struct bleed_spec *spec, enum front front, double bleed_mm[EDGE_COUNT])
{
    for (int i = 0; spec->cut_short_mm > 0 && i < EDGE_COUNT; i++) bleed_mm[i] = -spec->cut_short_mm;
    for (int i = 0; i < EDGE_COUNT; i++) surface_take(&bleed_mm[i], spec->all_mm);
    surface_take(&bleed_mm[EDGE_TOP], spec->top_mm);
    surface_take(&bleed_mm[EDGE_BOTTOM], spec->sill_mm);
    surface_take(&bleed_mm[EDGE_LEFT], spec->left_mm);
    surface_take(&bleed_mm[EDGE_RIGHT], spec->right_mm);
    enum edge towards;
    if (!front_edge(front, &towards)) return;
    surface_take(&bleed_mm[towards], spec->front_mm);
    surface_take(&bleed_mm[opposite(towards)], spec->rear_mm);
}

void surface_resolve_bleed(const struct bleed_spec *of_surface, const struct bleed_spec *of_job,
                           enum front front, double bleed_mm[EDGE_COUNT])
{
    for (int i = 0; i < EDGE_COUNT; i++) bleed_mm[i] = 0;
    surface_apply(of_job, front, bleed_mm);
    surface_apply(of_surface, front, bleed_mm);
}

bool feature_has_piece(const struct feature *feature)
{
    return feature->kind == FEATURE_RECESS && (feature->inlay || feature->relief);
}

struct rect feature_inlay(const struct feature *feature)
{
    double wall = feature->wall_deg > 0 ? feature->wall_deg : 90;
    double longer = feature->depth_mm * tan(wall * (M_PI / 180) / 2); /* a wall's length over its run */
    return rect_grow(feature->box, longer + practice_value("inlay-overlap").value);
}
