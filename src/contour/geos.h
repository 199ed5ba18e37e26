/* Private to contour: GEOS as its files use it. Geometries belong to who got them, geos_drop frees them. NULL goes
 * in as it comes out, so that a chain of calls is looked at once, by geos_region. */
#ifndef CONTOUR_GEOS_H
#define CONTOUR_GEOS_H

#include "base/error.h"
#include "contour/means.h"
#include "geom/region.h"
#include <geos_c.h>

struct geos {
    GEOSContextHandle_t context;
    const struct contour_means *means;
    bool stopped;    /* it was enough */
    char words[200]; /* GEOS's own, of what went wrong */
};

/* False with `error` when there is no context to be had. Ended by geos_close. */
bool geos_open(struct geos *geos, const struct contour_means *means, struct error *error);
void geos_close(struct geos *geos);
void geos_drop(struct geos *geos, GEOSGeometry *shape);

/* Between these GEOS hears `enough`, and no other thread is in here. Nothing from the arena meanwhile: an
 * allocation that fails would leave the door locked. */
void geos_enter(struct geos *geos);
void geos_leave(struct geos *geos);
/* Between both: whether it is enough, noted in `stopped`. */
void geos_ask(void);

/* A closed line, or a line of the polygon's points as they are. */
GEOSGeometry *geos_line(struct geos *geos, const struct polygon *ring);
GEOSGeometry *geos_shape(struct geos *geos, const struct region *region);
/* Rings of a polygon, with all their points: the outer one, and its holes behind it. How many there are, and how many
 * were taken. */
size_t geos_face_rings(struct geos *geos, const GEOSGeometry *face);
size_t geos_face_take(struct geos *geos, const GEOSGeometry *face, struct polygon *rings);
/* The polygons in `shape`, which is dropped, directions and sequence as geom/region.h says, points in the middle of
 * a straight line left out. False when it is NULL or it was enough, with `error`. */
bool geos_region(struct geos *geos, GEOSGeometry *shape, struct region *region, struct error *error);

#endif
