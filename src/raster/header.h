/* Private to the raster room, and used in the reader child only: the file that is read, and what it says of
 * its picture. */
#ifndef RASTER_HEADER_H
#define RASTER_HEADER_H

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
    bool opacity;   /* its rows are to be how opaque it is, in grey, where it has transparency */
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

#endif
