/* Private to layout: outlines in convex parts, and what such parts sweep together. */
#ifndef LAYOUT_OUTLINE_PARTS_H
#define LAYOUT_OUTLINE_PARTS_H

#include "outline_shape.h"

/* A convex polygon, going round from across towards along. */
struct convex {
    struct layout_point *points;
    size_t count;
};

struct convex_parts {
    struct convex *parts;
    size_t count;
};

/* Together they are the shape; none: it could not be cut up. */
struct convex_parts convex_parts_of(const struct shape *shape, struct arena *arena);
/* Every part's points mirrored at the origin. */
struct convex_parts convex_parts_mirror(const struct convex_parts *parts, struct arena *arena);
/* All sums of a point of one and a point of the other (Minkowski). */
struct convex convex_sum(const struct convex *a, const struct convex *b, struct arena *arena);
/* All within `gap` of the origin, and a little more, so that its corners are whole. */
struct convex convex_disc(int64_t gap, struct arena *arena);

#endif
