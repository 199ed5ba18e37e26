/* Private to colour: flat areas are exact even where a table runs. */
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

/* Overwrites runs of FLAT_RUN and more equal pixels of a row with what the exact transform makes of them: a
 * spot of plain colour is judged by eye and by instrument, and a table is off by a level or two in steep
 * places. Depends on the row alone. */
void flat_runs(struct flat *flat, const uint8_t *in, uint8_t *out, size_t count);

#endif
