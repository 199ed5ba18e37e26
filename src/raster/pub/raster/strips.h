/* The pixels of a TIFF, JPEG or PNG as strips, from the top as displayed.
 *
 * Whatever the file holds arrives as GREY, RGB, CMYK or LAB of 8 or 16 bits:
 *   - all eight orientations are turned upright. Mirrored ones (2) stream; upside-down (3, 4) and lying ones
 *     (5..8) are read in bands of at most 128 MB, and the file again for each band: a picture of up to 128 MB
 *     is read once, one of 2.2 GB eighteen times;
 *   - palettes, 1, 2, 4 bits and min-is-white become 8 bits grey or RGB; other odd depths up to 16 become 16;
 *   - YCbCr becomes RGB; YCCK and the inverted CMYK that an Adobe marker announces become CMYK, 0 = no ink;
 *   - transparency is laid on white (no ink); other extra channels are dropped;
 *   - planes become interleaved pixels.
 * A TIFF is not mapped into memory. One giant uncompressed strip is read row by row; a compressed one keeps
 * its compressed bytes in memory. Interlaced PNG and progressive JPEG are held whole by their formats'
 * nature: an interlaced PNG over 512 MB of pixels is refused, a progressive JPEG by the memory limit of the
 * reader. */
#ifndef RASTER_STRIPS_H
#define RASTER_STRIPS_H

#include "base/machine.h"
#include "base/progress.h"
#include "model/pixels.h"
#include <stdbool.h>

struct raster_view {
    /* 1 (or 0): every pixel. n: the mean of each n x n pixels (what there is of them at the right and lower
     * edge) in the child, for coarse uses: the picture arrives ceil(width / n) x ceil(height / n). At most
     * 1024. */
    int shrink;
    bool opacity; /* in place of its colours how opaque it is, as grey (255: all), of a picture that has
                     transparency (artwork_facts.alpha); another comes as it is */
    unsigned cpu_seconds;            /* of the reader, as in base/reader.h; 0: the usual */
    const struct cancel *cancel;     /* NULL: nobody stops it */
    const struct progress *progress; /* NULL: nobody looks */
};

/* Streams the picture at `path` into `sink`; its shape's ppi is 0.
 * FAILURE_INPUT when the file is damaged or refused (a sentence that names `subject`), whatever the sink
 * reports, FAILURE_CANCELLED. The sink's end is called only after a whole picture. */
bool raster_strips(struct machine *machine, const char *path, const char *subject,
                   const struct raster_view *view, struct strip_sink *sink, struct error *error);

#endif
