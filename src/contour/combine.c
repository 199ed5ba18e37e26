/* Two regions combined, and a region parted along a seam. */
#include "geos.h"
#include "inner.h"
#include <math.h>

static GEOSGeometry *shapes_combine(struct geos *geos, const GEOSGeometry *one, const GEOSGeometry *other,
                                    enum contour_operation operation)
{
    if (!one || !other) return NULL;
    if (operation == CONTOUR_UNION) return GEOSUnionPrec_r(geos->context, one, other, CONTOUR_GRID_MM);
    if (operation == CONTOUR_DIFFERENCE)
        return GEOSDifferencePrec_r(geos->context, one, other, CONTOUR_GRID_MM);
    return GEOSIntersectionPrec_r(geos->context, one, other, CONTOUR_GRID_MM);
}

static bool regions_combine(const struct region *one, const struct region *other,
                            enum contour_operation operation, const struct contour_means *means,
                            struct region *region, struct error *error)
{
    struct geos geos;
    if (!geos_open(&geos, means, error)) return false;
    GEOSGeometry *first = geos_shape(&geos, one), *second = geos_shape(&geos, other);
    geos_enter(&geos);
    GEOSGeometry *shape = shapes_combine(&geos, first, second, operation);
    geos_leave(&geos);
    geos_drop(&geos, first);
    geos_drop(&geos, second);
    bool ok = geos_region(&geos, shape, region, error);
    geos_close(&geos);
    return ok;
}

bool contour_combine(const struct region *one, const struct region *other, enum contour_operation operation,
                     const struct contour_means *means, struct region *region, struct error *error)
{
    return region_check(one, error) && region_check(other, error) &&
           regions_combine(one, other, operation, means, region, error);
}

/* ---- parting ---- */

/* What lies left of the line, moved `past` to its right: a rectangle that reaches around the box on that side. */
static struct polygon half_plane(const struct contour_seam *seam, struct rect box, double past,
                                 struct arena *arena)
{
    struct point from = seam->from, to = seam->to, middle = {(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2};
    double length = hypot(to.x - from.x, to.y - from.y);
    struct point along = {(to.x - from.x) / length, (to.y - from.y) / length};
    struct point across = {-along.y, along.x}; /* to the left */
    double reach = hypot(rect_width(box), rect_height(box)) + 1;
    double shift = (middle.x - from.x) * along.x + (middle.y - from.y) * along.y;
    double off = (middle.x - from.x) * across.x + (middle.y - from.y) * across.y;
    double top = fmax(off, -past) + reach; /* beyond the box, and beyond the line */
    const double corners[4][2] = {
        {shift - reach, -past}, {shift + reach, -past}, {shift + reach, top}, {shift - reach, top}};
    struct polygon half = {arena_take_array(arena, 4, sizeof *half.points), 4};
    for (int i = 0; i < 4; i++)
        half.points[i] = (struct point){from.x + corners[i][0] * along.x + corners[i][1] * across.x,
                                        from.y + corners[i][0] * along.y + corners[i][1] * across.y};
    return half;
}

static bool seam_is_good(const struct contour_seam *seam)
{
    const double numbers[] = {seam->from.x, seam->from.y,       seam->to.x,
                              seam->to.y,   seam->left_past_mm, seam->right_past_mm};
    for (int i = 0; i < 6; i++)
        if (!(fabs(numbers[i]) <= CONTOUR_REACH_MM)) return false;
    return hypot(seam->to.x - seam->from.x, seam->to.y - seam->from.y) >= CONTOUR_GRID_MM;
}

bool contour_part(const struct region *region, const struct contour_seam *seam,
                  const struct contour_means *means, struct region sides[2], struct error *error)
{
    const struct contour_seam turned = {seam->to, seam->from, 0, 0};
    if (!seam_is_good(seam)) return error_set(error, FAILURE_INPUT, "contour-seam", NULL);
    if (!region_check(region, error)) return false;
    struct rect box = region_bounds(region);
    for (int side = 0; side < 2; side++) {
        struct polygon half = half_plane(side ? &turned : seam, box,
                                         side ? seam->right_past_mm : seam->left_past_mm, means->arena);
        const struct region plane = {&half, 1};
        if (!regions_combine(region, &plane, CONTOUR_INTERSECTION, means, &sides[side], error)) return false;
    }
    return true;
}
