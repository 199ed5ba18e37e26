/* Private to the raster room: one strip of a TIFF packed in memory, by the library that packs whole files. */
#ifndef RASTER_TIFF_ENCODE_H
#define RASTER_TIFF_ENCODE_H

#include "raster/tiff_out.h"

struct tiff_encoding {
    uint16_t compression; /* COMPRESSION_... */
    uint32_t width, rows, samples;
};

/* Room for the header that the library writes before the strip. */
enum { TIFF_ENCODE_SPARE = 1 << 12 };

/* Packs 8 bit rows with the horizontal predictor into packed->memory and sets packed->bytes and length. Any
 * number may run at once. False when memory or packed->capacity does not suffice. */
bool tiff_encode(const struct tiff_encoding *encoding, const uint8_t *rows, struct tiff_packed *packed);

#endif
