/* Private to the raster room, and used in the reader child only: a picture being decoded. Each file format
 * has a function that opens it and fills the header; rows then come in stored order, already normalised. */
#ifndef RASTER_DECODER_H
#define RASTER_DECODER_H

#include "header.h"

struct decoder {
    struct header header;
    int scale; /* the rows that come out are ceil(width / scale) wide, ceil(height / scale) many */
    void *self;
    bool (*row)(void *self, uint8_t *pixels, struct error *error); /* the next one */
    bool (*rewind)(void *self, struct error *error);               /* back to the first */
    void (*close)(void *self);                                     /* frees what the library holds */
};

/* To be closed also when it failed. */
bool decoder_open(struct decoder *decoder, const struct foreign *file, struct error *error);
void decoder_close(struct decoder *decoder);
bool tiff_decoder(struct decoder *decoder, const struct foreign *file, struct error *error);
bool jpeg_decoder(struct decoder *decoder, const struct foreign *file, struct error *error);
bool png_decoder(struct decoder *decoder, const struct foreign *file, struct error *error);

/* ---- EXIF (exif.c) ---- */

struct exif {
    int orientation;     /* 1..8; 0: not said */
    double x_ppi, y_ppi; /* 0: not said */
    bool srgb;
};
/* `tiff` begins with the byte order mark, behind "Exif\0\0". Bad bytes end the reading. */
struct exif exif_read(struct str tiff);

/* ---- samples on their way to a pixel format (flatten.c) ---- */

/* How samples lie in a row that a decoder gives, 8 or 16 bits each, and what they become. */
struct layout {
    enum pixel_format format; /* what comes out */
    int samples;              /* of a pixel as it comes in */
    int alpha;                /* which of them is opacity, -1: none */
    bool premultiplied;
    bool inverted;   /* turn every colour sample over (min-is-white; Adobe CMYK) */
    bool lab_signed; /* a and b are signed (TIFF CIELab) */
    bool opacity;    /* nothing but the opacity comes out, in grey */
};
/* Has the opacity come out alone where the file was asked for it and has any. */
void layout_ask_opacity(struct layout *layout, const struct foreign *file, struct header *header);
/* Lays transparency on white, drops what is not colour. `in` may not be `out`. */
void flatten_row(const struct layout *layout, const void *in, void *out, int width);

#endif
