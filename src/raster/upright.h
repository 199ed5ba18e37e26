/* Private to the raster room: rows as displayed, whatever way up they are stored. */
#ifndef RASTER_UPRIGHT_H
#define RASTER_UPRIGHT_H

#include "decoder.h"

struct upright {
    struct decoder *decoder;
    int stored_width, stored_height; /* of the rows that the decoder gives */
    int width, height;               /* as displayed */
    int next;
    size_t pixel;  /* bytes */
    uint8_t *line; /* one stored row */
    uint8_t *band; /* displayed rows band_start ... */
    int band_rows, band_start;
};

/* Orientation 1..8 as in TIFF 6.0. */
void upright_size(int orientation, int stored_width, int stored_height, int *width, int *height);
struct upright upright_new(struct decoder *decoder, struct arena *arena);
bool upright_row(struct upright *upright, uint8_t *pixels, struct error *error); /* the next one */

#endif
