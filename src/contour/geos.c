/* The door to GEOS: contexts, interrupt, and shapes in and out. */
#include "geos.h"
#include "base/text.h"
#include <math.h>
#include <pthread.h>
#include <stdlib.h>

/* GEOS has one interrupt for the whole process (its callback takes no argument): who is in here is noted beside
 * the lock that lets one in at a time. */
static pthread_mutex_t geos_door = PTHREAD_MUTEX_INITIALIZER;
static struct geos *geos_inside;

static void geos_ask(void)
{
    struct geos *geos = geos_inside;
    if (!geos || !geos->means->enough || !geos->means->enough(geos->means->self)) return;
    geos->stopped = true;
    GEOS_interruptRequest();
}

static void geos_note(const char *words, void *self)
{
    struct geos *geos = self;
    format_into(geos->words, sizeof geos->words, "%s", words);
}

bool geos_open(struct geos *geos, const struct contour_means *means, struct error *error)
{
    *geos = (struct geos){.context = GEOS_init_r(), .means = means};
    if (!geos->context) return error_set(error, FAILURE_MACHINE, "contour-memory", NULL);
    GEOSContext_setErrorMessageHandler_r(geos->context, geos_note, geos);
    return true;
}

void geos_close(struct geos *geos)
{
    GEOS_finish_r(geos->context);
}

void geos_drop(struct geos *geos, GEOSGeometry *shape)
{
    if (shape) GEOSGeom_destroy_r(geos->context, shape);
}

void geos_enter(struct geos *geos)
{
    pthread_mutex_lock(&geos_door);
    GEOS_interruptCancel();
    GEOS_interruptRegisterCallback(geos_ask);
    geos_inside = geos;
}

void geos_leave(struct geos *geos)
{
    (void)geos;
    geos_inside = NULL;
    pthread_mutex_unlock(&geos_door);
}

/* ---- in ---- */

static GEOSCoordSequence *geos_points(struct geos *geos, const struct polygon *ring)
{
    double *buffer = arena_take_array(geos->means->arena, 2 * (ring->count + 1), sizeof *buffer);
    for (size_t i = 0; i <= ring->count; i++) {
        struct point p = ring->points[i % ring->count];
        buffer[2 * i] = p.x, buffer[2 * i + 1] = p.y;
    }
    return GEOSCoordSeq_copyFromBuffer_r(geos->context, buffer, (unsigned)ring->count + 1, 0, 0);
}

GEOSGeometry *geos_line(struct geos *geos, const struct polygon *ring)
{
    GEOSCoordSequence *points = geos_points(geos, ring);
    return points ? GEOSGeom_createLineString_r(geos->context, points) : NULL;
}

static GEOSGeometry *geos_ring(struct geos *geos, const struct polygon *ring)
{
    GEOSCoordSequence *points = geos_points(geos, ring);
    return points ? GEOSGeom_createLinearRing_r(geos->context, points) : NULL;
}

/* An outer ring with the `holes` rings behind it. */
static GEOSGeometry *geos_face(struct geos *geos, const struct polygon *rings, size_t holes)
{
    GEOSGeometry **inner = arena_take_array(geos->means->arena, holes, sizeof *inner);
    GEOSGeometry *outer = geos_ring(geos, &rings[0]);
    bool whole = outer != NULL;
    for (size_t i = 0; i < holes; i++) {
        inner[i] = geos_ring(geos, &rings[i + 1]);
        whole = whole && inner[i];
    }
    if (whole) return GEOSGeom_createPolygon_r(geos->context, outer, inner, (unsigned)holes);
    geos_drop(geos, outer);
    for (size_t i = 0; i < holes; i++) geos_drop(geos, inner[i]);
    return NULL;
}

GEOSGeometry *geos_shape(struct geos *geos, const struct region *region)
{
    GEOSGeometry **faces = arena_take_array(geos->means->arena, region->count, sizeof *faces);
    size_t count = 0;
    bool whole = true;
    for (size_t i = 0, next; i < region->count; i = next) {
        for (next = i + 1; next < region->count && polygon_area(&region->rings[next]) < 0;) next++;
        faces[count] = geos_face(geos, &region->rings[i], next - i - 1);
        whole = whole && faces[count++];
    }
    if (whole) return GEOSGeom_createCollection_r(geos->context, GEOS_MULTIPOLYGON, faces, (unsigned)count);
    for (size_t i = 0; i < count; i++) geos_drop(geos, faces[i]);
    return NULL;
}

/* ---- out ---- */

static int64_t grid_steps(double mm)
{
    return llround(mm / CONTOUR_GRID_MM);
}

/* On the way straight from a to b: all three lie on the grid, so that this is exact. */
static bool point_is_between(struct point a, struct point p, struct point b)
{
    int64_t ux = grid_steps(p.x) - grid_steps(a.x), uy = grid_steps(p.y) - grid_steps(a.y);
    int64_t vx = grid_steps(b.x) - grid_steps(p.x), vy = grid_steps(b.y) - grid_steps(p.y);
    return ux * vy == uy * vx && (double)ux * (double)vx + (double)uy * (double)vy > 0;
}

static void ring_straighten(struct polygon *ring)
{
    size_t kept = 0;
    for (size_t i = 0; i < ring->count; i++) {
        struct point before = ring->points[kept ? kept - 1 : ring->count - 1], p = ring->points[i];
        if (!point_is_between(before, p, ring->points[(i + 1) % ring->count])) ring->points[kept++] = p;
    }
    ring->count = kept;
}

static void ring_turn(struct polygon *ring)
{
    for (size_t i = 0, k = ring->count; i + 1 < k; i++) {
        struct point p = ring->points[i];
        ring->points[i] = ring->points[--k], ring->points[k] = p;
    }
}

/* False when there is no such ring or nothing in it. */
static bool ring_take(struct geos *geos, const GEOSGeometry *line, bool outer, struct polygon *ring)
{
    const GEOSCoordSequence *points = line ? GEOSGeom_getCoordSeq_r(geos->context, line) : NULL;
    unsigned size = 0;
    if (!points || !GEOSCoordSeq_getSize_r(geos->context, points, &size) || size < 4) return false;
    ring->points = arena_take_array(geos->means->arena, size, sizeof *ring->points);
    for (unsigned i = 0; i < size; i++)
        GEOSCoordSeq_getXY_r(geos->context, points, i, &ring->points[i].x, &ring->points[i].y);
    ring->count = size - 1;
    if ((polygon_area(ring) > 0) != outer) ring_turn(ring);
    ring_straighten(ring);
    return ring->count >= 3;
}

static void region_take(struct geos *geos, const GEOSGeometry *shape, struct region *region)
{
    const int faces = GEOSGetNumGeometries_r(geos->context, shape);
    size_t most = 0;
    for (int i = 0; i < faces; i++) {
        const GEOSGeometry *face = GEOSGetGeometryN_r(geos->context, shape, i);
        if (GEOSGeomTypeId_r(geos->context, face) == GEOS_POLYGON)
            most += 1 + (size_t)GEOSGetNumInteriorRings_r(geos->context, face);
    }
    *region = (struct region){arena_take_array(geos->means->arena, most, sizeof *region->rings), 0};
    for (int i = 0; i < faces; i++) {
        const GEOSGeometry *face = GEOSGetGeometryN_r(geos->context, shape, i);
        if (GEOSGeomTypeId_r(geos->context, face) != GEOS_POLYGON) continue;
        const GEOSGeometry *outer = GEOSGetExteriorRing_r(geos->context, face);
        if (!ring_take(geos, outer, true, &region->rings[region->count])) continue;
        region->count++;
        for (int k = 0; k < GEOSGetNumInteriorRings_r(geos->context, face); k++)
            region->count += ring_take(geos, GEOSGetInteriorRingN_r(geos->context, face, k), false,
                                       &region->rings[region->count]);
    }
}

bool geos_region(struct geos *geos, GEOSGeometry *shape, struct region *region, struct error *error)
{
    if (geos->stopped) {
        geos_drop(geos, shape);
        return error_set(error, FAILURE_INPUT, "contour-long", NULL);
    }
    if (!shape)
        return error_set(error, FAILURE_MACHINE, "contour-failed",
                         ARGUMENTS(arg_words("words", *geos->words ? geos->words : "GEOS")));
    region_take(geos, shape, region);
    geos_drop(geos, shape);
    return true;
}
