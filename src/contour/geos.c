/* The door to GEOS: contexts, interrupt, and shapes in and out. */
#include "geos.h"
#include "inner.h"
#include "base/text.h"
#include <math.h>
#include <pthread.h>
#include <stdlib.h>

/* GEOS has one interrupt for the whole process (its callback takes no argument): who is in here is noted beside
 * the lock that lets one in at a time. */
static pthread_mutex_t geos_door = PTHREAD_MUTEX_INITIALIZER;
static struct geos *geos_inside;

void geos_ask(void)
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
    GEOS_interruptCancel();
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
        for (next = i + 1; next < region->count && ring_area(&region->rings[next]) < 0;) next++;
        faces[count] = geos_face(geos, &region->rings[i], next - i - 1);
        whole = whole && faces[count++];
    }
    if (whole) return GEOSGeom_createCollection_r(geos->context, GEOS_MULTIPOLYGON, faces, (unsigned)count);
    for (size_t i = 0; i < count; i++) geos_drop(geos, faces[i]);
    return NULL;
}

/* ---- out ---- */

static void ring_turn(struct polygon *ring)
{
    for (size_t i = 0, k = ring->count; i + 1 < k; i++) {
        struct point p = ring->points[i];
        ring->points[i] = ring->points[--k], ring->points[k] = p;
    }
}

/* False when there is no such ring. */
static bool ring_take(struct geos *geos, const GEOSGeometry *line, bool outer, struct polygon *ring)
{
    const GEOSCoordSequence *points = line ? GEOSGeom_getCoordSeq_r(geos->context, line) : NULL;
    unsigned size = 0;
    if (!points || !GEOSCoordSeq_getSize_r(geos->context, points, &size) || size < 4) return false;
    ring->points = arena_take_array(geos->means->arena, size, sizeof *ring->points);
    for (unsigned i = 0; i < size; i++)
        GEOSCoordSeq_getXY_r(geos->context, points, i, &ring->points[i].x, &ring->points[i].y);
    ring->count = size - 1;
    if ((ring_area(ring) > 0) != outer) ring_turn(ring);
    return true;
}

size_t geos_face_rings(struct geos *geos, const GEOSGeometry *face)
{
    if (GEOSGeomTypeId_r(geos->context, face) != GEOS_POLYGON) return 0;
    return 1 + (size_t)GEOSGetNumInteriorRings_r(geos->context, face);
}

size_t geos_face_take(struct geos *geos, const GEOSGeometry *face, struct polygon *rings)
{
    const size_t count = geos_face_rings(geos, face);
    if (!count || !ring_take(geos, GEOSGetExteriorRing_r(geos->context, face), true, &rings[0])) return 0;
    size_t taken = 1;
    for (size_t i = 1; i < count; i++)
        taken +=
            ring_take(geos, GEOSGetInteriorRingN_r(geos->context, face, (int)i - 1), false, &rings[taken]);
    return taken;
}

static void region_take(struct geos *geos, const GEOSGeometry *shape, struct region *region)
{
    const int faces = GEOSGetNumGeometries_r(geos->context, shape);
    size_t most = 0, taken = 0;
    for (int i = 0; i < faces; i++)
        most += geos_face_rings(geos, GEOSGetGeometryN_r(geos->context, shape, i));
    *region = (struct region){arena_take_array(geos->means->arena, most, sizeof *region->rings), 0};
    for (int i = 0; i < faces; i++)
        taken += geos_face_take(geos, GEOSGetGeometryN_r(geos->context, shape, i), region->rings + taken);
    for (size_t i = 0; i < taken; i++) {
        ring_straighten(&region->rings[i]);
        if (region->rings[i].count >= 3) region->rings[region->count++] = region->rings[i];
    }
}

bool geos_region(struct geos *geos, GEOSGeometry *shape, struct region *region, struct error *error)
{
    if (shape && !geos->stopped) {
        region_take(geos, shape, region);
        geos_drop(geos, shape);
        return true;
    }
    geos_drop(geos, shape);
    if (geos->stopped) return error_set(error, FAILURE_INPUT, "contour-long", NULL);
    return error_set(error, FAILURE_MACHINE, "contour-failed",
                     ARGUMENTS(arg_words("words", *geos->words ? geos->words : "GEOS")));
}
