/* Which edges of two surfaces meet at a corner of the vehicle, and which of both lies over there. */
#include "model/surface.h"
#include <string.h>

enum face { FACE_NONE, FACE_REAR, FACE_SIDE_LEFT, FACE_SIDE_RIGHT, FACE_FRONT, FACE_TOP };

/* By the view: the face that is seen, and those beyond its edges, counter-clockwise from below. */
static const struct {
    enum face seen, beyond[EDGE_COUNT];
} views[] = {
    [FRONT_LEFT] = {FACE_SIDE_LEFT, {FACE_NONE, FACE_REAR, FACE_TOP, FACE_FRONT}},
    [FRONT_RIGHT] = {FACE_SIDE_RIGHT, {FACE_NONE, FACE_FRONT, FACE_TOP, FACE_REAR}},
    [FRONT_UP] = {FACE_TOP, {FACE_REAR, FACE_SIDE_RIGHT, FACE_FRONT, FACE_SIDE_LEFT}},
    [FRONT_DOWN] = {FACE_TOP, {FACE_FRONT, FACE_SIDE_LEFT, FACE_REAR, FACE_SIDE_RIGHT}},
    [FRONT_AWAY] = {FACE_REAR, {FACE_NONE, FACE_SIDE_RIGHT, FACE_TOP, FACE_SIDE_LEFT}},
    [FRONT_TOWARDS] = {FACE_FRONT, {FACE_NONE, FACE_SIDE_LEFT, FACE_TOP, FACE_SIDE_RIGHT}},
};

bool corner_edge(enum front here, enum front there, enum edge *edge)
{
    for (int e = 0; e < EDGE_COUNT; e++)
        if (views[here].beyond[e] == views[there].seen) {
            *edge = (enum edge)e;
            return true;
        }
    return false;
}

/* The order of the faces is that of lying over: roof over side, side over rear (common practice, no source);
 * the front face over the side, as edges face away from the wind. */
bool corner_lies_over(enum front here, enum front there)
{
    return views[here].seen > views[there].seen;
}
