/* Which panels lie beside a panel. A plan version on record has them as text, hashed as it stands:
 * "over left-2;gap left-4"; here alone it is written and read. */
#ifndef MODEL_NEIGHBOUR_H
#define MODEL_NEIGHBOUR_H

#include <stddef.h>

struct arena;

enum neighbour_lies {
    LIES_OVER,  /* the panel lies over that neighbour */
    LIES_UNDER, /* under it */
    LIES_GAP,   /* a door gap parts them along the whole seam */
    LIES_COUNT
};

struct neighbour {
    enum neighbour_lies lies;
    const char *panel; /* its id: "left-2" */
};

/* NULL without any. */
const char *neighbours_write(const struct neighbour *neighbours, size_t count, struct arena *arena);
/* NULL reads as none; what is not in that form is left out. */
struct neighbour *neighbours_read(const char *text, struct arena *arena, size_t *count);

#endif
