/* Where the vehicle's front is in a view of a surface, by the surface's name. */
#ifndef MODEL_FRONT_H
#define MODEL_FRONT_H

#include "model/job.h"

struct named_front {
    enum front front; /* FRONT_LEFT when the name says nothing */
    bool known;       /* the name has a word that says so */
    bool by_road;     /* ... and it depends on the side of the road that the country drives on */
};

/* Standing in front of a vehicle's left side, its front is to the left; driver's and kerb side are left or right by
 * the road: that of the right when `road` is unsaid. In either case of letters. */
struct named_front front_of_name(const char *name, enum road_side road);

#endif
