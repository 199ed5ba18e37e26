/* Panel files: CMYK TIFF of 8 bits, written strip by strip, and read back to be checked. */
#ifndef RASTER_TIFF_OUT_H
#define RASTER_TIFF_OUT_H

#include "base/machine.h"
#include "base/str.h"
#include "model/pixels.h"
#include <stdbool.h>
#include <stdint.h>

enum tiff_compression { TIFF_NONE, TIFF_LZW, TIFF_DEFLATE, TIFF_ZSTD };

/* "none", "lzw", "deflate", "zstd" */
const char *tiff_compression_name(enum tiff_compression compression);

/* What packs strips, for every panel that is made at the same time: the codecs' memory, about a megabyte for
 * each thread that really packs. The arena keeps the list; free what the codecs hold before it goes, and
 * after the files. NULL is allowed. */
struct tiff_packers;
struct tiff_packers *tiff_packers_new(struct arena *arena, unsigned threads);
void tiff_packers_free(struct tiff_packers *packers);

struct tiff_order {
    int width, height; /* px */
    double ppi;        /* 0: no resolution is stated */
    enum tiff_compression compression;
    struct tiff_packers *packers; /* NULL: one of its own */
    struct str profile;           /* ICC bytes, length 0: none */
    const char *description;      /* NULL: none; so the next three */
    const char *xmp;              /* a packet (ISO 16684-1), tag 700 */
    const char *software;
    const char *date_time; /* as TIFF 6.0 wants it: "2027:03:01 08:00:00" */
};

/* Rows of a strip in the file: a few hundred kilobytes, so that even one panel keeps many threads packing. */
#ifdef TINY_STRIPS
enum { TIFF_ROWS = 3 };
#else
enum { TIFF_ROWS = 16 };
#endif

/* Starts a file on `fd` (open for reading and writing, at its start, such as out_file.fd), which stays the
 * caller's, as do commit and abandon. `path` is for messages. Separated photometric, InkSet CMYK, strips of
 * TIFF_ROWS rows, horizontal predictor with every compression; BigTIFF when the file could pass 4 GiB. The
 * arena keeps the writer. Same order and pixels give the same bytes. */
struct tiff_out;
struct tiff_out *tiff_out_new(struct arena *arena, int fd, const char *path, const struct tiff_order *order,
                              struct error *error);

/* One strip as it will stand in the file. */
struct tiff_packed {
    uint8_t *memory; /* for packing; NULL where nothing is compressed */
    size_t capacity;
    const uint8_t *bytes; /* in memory, or the rows themselves */
    size_t length;
};
struct tiff_packed tiff_packed_new(struct arena *arena, const struct tiff_out *out);
/* Packs `count` rows (at most TIFF_ROWS), each width x 4 bytes, one behind the other. Several strips of a
 * file may be packed at once, in as many threads as there are packers. Without compression only the place of
 * the rows is kept. Where memory does not suffice the length is 0, which tiff_out_packed tells. */
void tiff_pack(const struct tiff_out *out, const uint8_t *rows, int count, struct tiff_packed *packed);
/* Writes the next strip of `count` rows: TIFF_ROWS, or what is left. */
bool tiff_out_packed(struct tiff_out *out, const struct tiff_packed *packed, int count, struct error *error);

/* Where rows go when one thread does it all: CMYK8 in strips of any height; begin checks the shape. After its
 * end the file is whole (and to be committed). */
struct strip_sink tiff_out_sink(struct tiff_out *out);
/* The same without the sink: rows from the top, each width x 4 bytes. */
bool tiff_out_rows(struct tiff_out *out, const uint8_t *rows, size_t stride, int count, struct error *error);
bool tiff_out_end(struct tiff_out *out, struct error *error);
/* Gives up: frees what the file's library holds. Safe after the end, and on NULL. */
void tiff_out_drop(struct tiff_out *out);

/* Reads a file of our own making back (8 bit CMYK in strips), in this process, from a descriptor that stays
 * the caller's: every strip of TIFF_ROWS rows whose number `every` divides (1: all). Not for foreign files.
 */
bool tiff_read_back(struct machine *machine, int fd, const char *path, int every, struct strip_sink *sink,
                    struct error *error);

#endif
