/* Private to layout: outlines as they lie, and whether two keep their distance. All in whole numbers. */
#ifndef LAYOUT_OUTLINE_SHAPE_H
#define LAYOUT_OUTLINE_SHAPE_H

#include "layout/outline.h"

struct shape_box {
    int64_t across0, along0, across1, along1;
};

/* An outline turned, its box's lowest corner at the origin. */
struct shape {
    struct layout_point *points;
    size_t count;
    int64_t width, length;      /* of the box */
    struct layout_point corner; /* where that corner was before it was moved to the origin */
};

unsigned outline_turns(const struct layout_outline *outline); /* with the usual ones in place of 0 */
struct shape shape_of(const struct layout_outline *outline, int quarters, struct arena *arena);
int64_t outline_area_twice(const struct layout_outline *outline);
/* Neither crosses nor touches itself, and has an area. */
bool outline_is_simple(const struct layout_outline *outline);
#endif
