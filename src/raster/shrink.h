/* Private to the raster room: a picture reduced to the means of n x n pixels. */
#ifndef RASTER_SHRINK_H
#define RASTER_SHRINK_H

#include "upright.h"

struct shrink {
    struct upright *from;
    int factor;
    int width, height; /* of what comes out */
    int left;          /* source rows not yet read */
    uint8_t *line;
    uint16_t *small; /* of the source's samples, over the rows of one that comes out: where sums are small */
    uint32_t *sums;  /* where they are not */
};

/* The mean of each factor x factor pixels, rounded; at the right and lower edge of what there is of them. A
 * factor of 1 passes rows on. */
struct shrink shrink_new(struct upright *from, int factor, struct arena *arena);
bool shrink_row(struct shrink *shrink, uint8_t *pixels, struct error *error);

#endif
