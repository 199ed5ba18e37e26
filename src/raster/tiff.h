/* Private to the raster room: a TIFF being decoded. tiff.c reads what it says, tiff_rows.c its pixels. */
#ifndef RASTER_TIFF_H
#define RASTER_TIFF_H

#include "decoder.h"
#include "tiff_library.h"

struct tiff_picture {
    const struct foreign *file;
    TIFF *tiff;
    struct tiff_words words;
    int width, height;
    unsigned bits, samples; /* as the rows come from the library */
    bool planes;            /* each channel by itself */
    bool tiled;
    bool as_rgba;   /* the library makes RGBA of it (YCbCr that is not JPEG) */
    bool from_file; /* uncompressed and in giant strips: rows are read at their places */
    bool by_line;   /* compressed and in giant strips: one line after the other */
    unsigned compression;
    uint32_t band_rows; /* rows of a strip or tile */
    const uint16_t *palette[3];
    unsigned palette_unit; /* of its values, a level of 8 bits */
    struct layout layout;

    /* Rows */
    int next;           /* the row that comes next */
    size_t line_bytes;  /* of one row of one plane, packed as in the file */
    size_t plane_count; /* 1, or samples */
    uint8_t *band;      /* plane_count x band_rows x line_bytes */
    int64_t band_start; /* first row in it, -1: none */
    uint8_t *tile;
    uint32_t tile_width;
    size_t tile_line_bytes;
    uint16_t *wide; /* one row unpacked */
    void *unpacked;
    TIFFRGBAImage rgba;
};

/* Sets up the reading of rows; false when a strip is too large for it. */
bool tiff_rows_prepare(struct tiff_picture *picture, struct error *error);
bool tiff_row(void *self, uint8_t *pixels, struct error *error);
bool tiff_rewind(void *self, struct error *error);

#endif
