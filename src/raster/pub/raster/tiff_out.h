/* Panel files: CMYK TIFF of 8 bits, written strip by strip, and read back to be checked. */
#ifndef RASTER_TIFF_OUT_H
#define RASTER_TIFF_OUT_H

#include "base/machine.h"
#include "base/str.h"
#include "model/pixels.h"
#include <stdbool.h>
#include <stdint.h>

enum tiff_compression { TIFF_NONE, TIFF_LZW, TIFF_DEFLATE, TIFF_ZSTD };

/* "none", "lzw", "deflate", "zstd"; false for other names. */
bool tiff_compression_find(const char *name, enum tiff_compression *compression);
const char *tiff_compression_name(enum tiff_compression compression);

struct tiff_order {
    int width, height; /* px */
    double ppi;        /* 0: no resolution is stated */
    enum tiff_compression compression;
    struct str profile;      /* ICC bytes, length 0: none */
    const char *description; /* NULL: none; so the next two */
    const char *software;
    const char *date_time; /* as TIFF 6.0 wants it: "2027:03:01 08:00:00" */
};

/* Starts a file on `fd` (open for reading and writing, at its start, such as out_file.fd), which stays the
 * caller's, as do commit and abandon. `path` is for messages. Separated photometric, InkSet CMYK, strips of
 * STRIP_ROWS rows, horizontal predictor with every compression; BigTIFF when the file could pass 4 GiB. The
 * arena keeps the writer. Same order and pixels give the same bytes. */
struct tiff_out;
struct tiff_out *tiff_out_new(struct arena *arena, int fd, const char *path, const struct tiff_order *order,
                              struct error *error);
/* Where rows go, CMYK8 in strips of any height; begin checks the shape. After its end the file is whole (and
 * to be committed). */
struct strip_sink tiff_out_sink(struct tiff_out *out);
/* The same without the sink: rows from the top, each width x 4 bytes. */
bool tiff_out_rows(struct tiff_out *out, const uint8_t *rows, size_t stride, int count, struct error *error);
bool tiff_out_end(struct tiff_out *out, struct error *error);
/* Gives up: frees what the file's library holds. Safe after the end, and on NULL. */
void tiff_out_drop(struct tiff_out *out);

/* Reads a file of our own making back (8 bit CMYK in strips), in this process, from a descriptor that stays
 * the caller's. Not for foreign files. */
bool tiff_read_back(struct machine *machine, int fd, const char *path, struct strip_sink *sink,
                    struct error *error);

#endif
