/* Private to colour: flat areas are exact even where a table runs. A spot of plain colour is judged by eye
 * and by instrument, and a table is off by a level or two in steep places. */
#ifndef COLOUR_FLAT_H
#define COLOUR_FLAT_H

#include <lcms2.h>
#include <stddef.h>
#include <stdint.h>

enum { FLAT_PIXEL_MOST = 8 };

/* The flat colour met last. */
struct flat {
    cmsHTRANSFORM exact;
    size_t in_bytes, out_bytes; /* of a pixel */
    uint8_t in[FLAT_PIXEL_MOST], out[FLAT_PIXEL_MOST];
    int known;
};

/* A run of FLAT_RUN and more equal pixels in a row: `length` of them from number `first` on. */
struct flat_run {
    size_t first, length;
};

/* The first run among `count` pixels of `bytes` each; without one first is `count` and length 0. */
struct flat_run flat_find(const uint8_t *in, size_t count, size_t bytes);
/* `count` pixels of what the exact transform makes of the pixel at `in`. */
void flat_fill(struct flat *flat, const uint8_t *in, uint8_t *out, size_t count);

#endif
