/* Private to the raster room, and used in the reader child only: a picture being decoded. Each file format
 * has a function that opens it and fills the header; rows then come in stored order, already normalised. */
#ifndef RASTER_DECODER_H
#define RASTER_DECODER_H

#include "base/arena.h"
#include "base/machine.h"
#include "model/artwork.h"
#include "model/pixels.h"

/* What every decoder is given. */
struct foreign {
    struct machine *machine;
    struct arena *arena;
    const char *subject;
    int fd;
    uint64_t size;  /* bytes of the file */
    int scale_most; /* the decoder may shrink by 2, 4, 8 up to this, where its format does so while decoding
                     */
};

/* What the file says; sizes and resolutions as stored, before orientation. */
struct header {
    enum artwork_kind kind;
    int width, height;
    double x_ppi, y_ppi;
    int bits, samples, orientation, page_count;
    enum colour_kind colour;
    enum pixel_format format; /* of the rows that come out */
    bool alpha, premultiplied, tagged;
    struct str profile; /* length 0: none that fits */
    const char **remarks;
    size_t remark_count, remark_capacity;
};

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

void header_remark(struct header *header, struct arena *arena, const char *id,
                   const struct argument *arguments);
/* Keeps the profile when it is one for the header's colour, otherwise says in a remark why not. */
void header_take_profile(struct header *header, struct arena *arena, struct str bytes);
/* The limits of raster/facts.h, and a size that `bytes_most` decoded bytes could not fill (0: unknown). */
bool header_check_size(const struct header *header, const char *subject, int64_t width, int64_t height,
                       struct error *error);
bool header_check_bytes(const struct header *header, const char *subject, double bytes_needed,
                        double bytes_possible, struct error *error);
double usable_ppi(double ppi); /* 0 when it is absurd or not a number */

/* Reads at an offset, whole or false. */
bool foreign_read(const struct foreign *file, uint64_t offset, void *bytes, size_t length);

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
};
/* Lays transparency on white, drops what is not colour. `in` may not be `out`. */
void flatten_row(const struct layout *layout, const void *in, void *out, int width);

#endif
