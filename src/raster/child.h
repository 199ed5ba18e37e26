/* Private to the raster room: what the two ends of the reader agree on. */
#ifndef RASTER_CHILD_H
#define RASTER_CHILD_H

#include "model/pixels.h"
#include <stdbool.h>
#include <stdint.h>

#define VERB_FACTS  "raster-facts" /* SUBJECT; file at 3 -> the header */
#define OPACITY     "opacity"
#define VERB_STRIPS "raster-strips" /* SUBJECT SHRINK [OPACITY]; file at 3, slots at 4, 5, 6 -> nothing */

/* A slot holds whole rows; the widest row allowed (300,000 x 8 bytes) fits. */
enum { SLOT_BYTES = 5 << 19 };

/* The first slot, before any rows. */
struct slot_header {
    int32_t width, height, format;
};

static inline int rows_in_slot(int width, enum pixel_format format)
{
    int fit = (int)(SLOT_BYTES / ((size_t)width * pixel_bytes(format)));
    return fit < STRIP_ROWS ? fit : STRIP_ROWS;
}

#endif
