/* Raw rings to a region: checked, put on the grid, noded, polygonized, and faces kept by their winding. */
#include "geos.h"
#include "inner.h"
#include <math.h>

/* ---- checks ---- */

static bool point_check(struct point p, size_t ring, size_t number, struct error *error)
{
    if (isfinite(p.x) && isfinite(p.y) && fabs(p.x) <= CONTOUR_REACH_MM && fabs(p.y) <= CONTOUR_REACH_MM)
        return true;
    return error_set(
        error, FAILURE_INPUT, "contour-number",
        ARGUMENTS(arg_count("ring", (int64_t)ring + 1), arg_count("point", (int64_t)number + 1)));
}

static bool rings_check(const struct polygon *rings, size_t count, size_t most, struct error *error)
{
    size_t total = 0;
    for (size_t r = 0; r < count && total <= most; r++) total += rings[r].count;
    if (total > most)
        return error_set(error, FAILURE_INPUT, "contour-points", ARGUMENTS(arg_count("most", (int64_t)most)));
    for (size_t r = 0; r < count; r++)
        for (size_t i = 0; i < rings[r].count; i++)
            if (!point_check(rings[r].points[i], r, i, error)) return false;
    return true;
}

bool region_check(const struct region *region, struct error *error)
{
    return rings_check(region->rings, region->count, CONTOUR_REGION_POINTS_MOST, error);
}

/* ---- on the grid ---- */

static double grid_nearest(double mm)
{
    return round(mm / CONTOUR_GRID_MM) * CONTOUR_GRID_MM;
}

static bool points_equal(struct point a, struct point b)
{
    return a.x == b.x && a.y == b.y;
}

static struct polygon ring_on_grid(const struct polygon *ring, struct arena *arena)
{
    struct polygon out = {arena_take_array(arena, ring->count, sizeof *out.points), 0};
    for (size_t i = 0; i < ring->count; i++) {
        struct point p = {grid_nearest(ring->points[i].x), grid_nearest(ring->points[i].y)};
        if (!out.count || !points_equal(out.points[out.count - 1], p)) out.points[out.count++] = p;
    }
    while (out.count > 1 && points_equal(out.points[out.count - 1], out.points[0])) out.count--;
    return out;
}

size_t rings_on_grid(const struct polygon *rings, size_t count, struct arena *arena, struct polygon *out)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        out[kept] = ring_on_grid(&rings[i], arena);
        kept += out[kept].count >= 3;
    }
    return kept;
}

/* ---- lines to faces to a region ---- */

static bool fill_keeps(enum contour_fill fill, int winding)
{
    if (fill == CONTOUR_EVEN_ODD) return winding % 2 != 0;
    return fill == CONTOUR_POSITIVE ? winding > 0 : winding != 0;
}

/* The faces between the lines: a collection of polygons without a common inside. */
static GEOSGeometry *rings_faces(struct geos *geos, const struct polygon *rings, size_t count)
{
    GEOSGeometry **lines = arena_take_array(geos->means->arena, count, sizeof *lines);
    bool whole = true;
    for (size_t i = 0; i < count; i++) {
        lines[i] = geos_line(geos, &rings[i]);
        whole = whole && lines[i];
    }
    for (size_t i = 0; !whole && i < count; i++) geos_drop(geos, lines[i]);
    if (!whole) return NULL;
    GEOSGeometry *all =
        GEOSGeom_createCollection_r(geos->context, GEOS_MULTILINESTRING, lines, (unsigned)count);
    geos_enter(geos);
    GEOSGeometry *noded = all ? GEOSUnaryUnionPrec_r(geos->context, all, CONTOUR_GRID_MM) : NULL;
    const GEOSGeometry *const input[] = {noded};
    GEOSGeometry *faces = noded ? GEOSPolygonize_r(geos->context, input, 1) : NULL;
    geos_leave(geos);
    geos_drop(geos, all);
    geos_drop(geos, noded);
    return faces;
}

static bool face_is_kept(struct geos *geos, const GEOSGeometry *face, const struct winding *winding,
                         enum contour_fill fill)
{
    struct point place = {0, 0};
    GEOSGeometry *inside = GEOSPointOnSurface_r(geos->context, face);
    bool found = inside && GEOSGeomGetX_r(geos->context, inside, &place.x) == 1 &&
                 GEOSGeomGetY_r(geos->context, inside, &place.y) == 1;
    geos_drop(geos, inside);
    return found && fill_keeps(fill, winding_at(winding, place));
}

/* The faces that are inside, of `faces`, which is dropped. */
static bool faces_keep(struct geos *geos, GEOSGeometry *faces, const struct winding *winding,
                       enum contour_fill fill, struct region *kept, struct error *error)
{
    const size_t count = faces ? (size_t)GEOSGetNumGeometries_r(geos->context, faces) : 0;
    bool *inside = arena_take_array(geos->means->arena, count, sizeof *inside);
    size_t rings = 0;
    geos_enter(geos);
    for (size_t i = 0; i < count; i++) {
        if (i % 64 == 0) geos_ask();
        inside[i] = !geos->stopped &&
                    face_is_kept(geos, GEOSGetGeometryN_r(geos->context, faces, (int)i), winding, fill);
    }
    geos_leave(geos);
    if (!faces || geos->stopped) return geos_region(geos, faces, kept, error);
    for (size_t i = 0; i < count; i++)
        if (inside[i]) rings += geos_face_rings(geos, GEOSGetGeometryN_r(geos->context, faces, (int)i));
    *kept = (struct region){arena_take_array(geos->means->arena, rings, sizeof *kept->rings), 0};
    for (size_t i = 0; i < count; i++)
        if (inside[i])
            kept->count += geos_face_take(geos, GEOSGetGeometryN_r(geos->context, faces, (int)i),
                                          kept->rings + kept->count);
    geos_drop(geos, faces);
    return true;
}

static bool rings_region(const struct polygon *rings, size_t count, enum contour_fill fill,
                         const struct contour_means *means, struct region *region, struct error *error)
{
    struct geos geos;
    struct region kept;
    const struct winding *winding = winding_new(rings, count, means->arena);
    if (!geos_open(&geos, means, error)) return false;
    bool ok = faces_keep(&geos, rings_faces(&geos, rings, count), winding, fill, &kept, error);
    geos_close(&geos);
    if (ok) *region = faces_border(&kept, means->arena);
    return ok;
}

bool rings_clean(const struct polygon *rings, size_t count, enum contour_fill fill,
                 const struct contour_means *means, struct region *region, struct error *error)
{
    struct polygon *lines = arena_take_array(means->arena, count, sizeof *lines);
    count = rings_on_grid(rings, count, means->arena, lines);
    *region = (struct region){NULL, 0};
    if (!count) return true;
    if (rings_crossings(lines, count, CONTOUR_CROSSINGS_MOST, means->arena) > CONTOUR_CROSSINGS_MOST)
        return error_set(error, FAILURE_INPUT, "contour-crossings",
                         ARGUMENTS(arg_count("most", CONTOUR_CROSSINGS_MOST)));
    return rings_region(lines, count, fill, means, region, error);
}

bool contour_clean(const struct polygon *rings, size_t count, enum contour_fill fill,
                   const struct contour_means *means, struct region *region, struct error *error)
{
    return rings_check(rings, count, CONTOUR_POINTS_MOST, error) &&
           rings_clean(rings, count, fill, means, region, error);
}
