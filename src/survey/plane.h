/* What the survey needs of plane figures beyond geom. Private. */
#ifndef SURVEY_PLANE_H
#define SURVEY_PLANE_H

#include "geom/geom.h"
#include "model/surface.h"
#include <stdbool.h>
#include <stddef.h>

struct arena;

/* True when two edges pass through each other (touching, or by less than 0.01 mm, does not count). */
bool polygon_crosses_itself(const struct polygon *polygon, struct arena *arena, struct point *where);

/* For each whole millimetre of x: lowest and highest y of the polygon there, edges included, as
 * polygon_span_y gives it, but in one pass over the edges. ceil(width) entries. */
struct span *spans_up(const struct polygon *polygon, double width, struct arena *arena, size_t *count);
struct span *spans_along(const struct polygon *polygon, double height, struct arena *arena, size_t *count);

/* The same of a region, upwards or along, from the whole millimetre below its lowest x or y; a millimetre that it only
 * touches has no span. `count` is 0 when nothing is in it. */
struct span_table spans_of_region(const struct region *region, bool upwards, struct arena *arena);

/* Area of the outline outside of all openings, mm2. Exact where openings keep apart and are boxes or lie
 * within the outline; otherwise by rows of 0.5 mm (or a 4000th of the height). */
double area_outside(const struct polygon *outline, const struct feature *features, size_t feature_count,
                    struct arena *arena);

#endif
