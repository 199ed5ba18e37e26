/* From one pixel grid to another along the axes: Lanczos with three lobes, up and down, never nearest.
 *
 * Enlarging, the kernel spans 6 source pixels; reducing, it is widened by the scale so that it spans 6
 * destination pixels (as is usual; the same as vips resize does with kernel lanczos3). Weights are normalised
 * and those beyond the source's edge fall away. Memory is a few source rows at destination width; results are
 * the same on every machine, for any height of strips and any number of threads. When the grids agree (scale
 * 1, whole offsets) bytes pass untouched. */
#ifndef RASTER_RESAMPLE_H
#define RASTER_RESAMPLE_H

#include "base/arena.h"
#include "base/pool.h"
#include "model/pixels.h"

struct resample_order {
    int width, height; /* of the destination, px */
    /* Where a place of the destination lies in the source: source = scale x destination + offset, in pixels
     * from the upper left corner of either picture (the centre of the first pixel is at 0.5). Scales over 0.
     */
    double x_scale, x_offset, y_scale, y_offset;
    /* What lies outside of the source, in the source's colours (0..65535 each, whatever the depth). A pixel
     * that the source covers in part mixes both by area. raster_paper gives white. */
    uint16_t paper[4];
    bool to_8bit;      /* 16 bit samples arrive as 8 bit */
    struct pool *pool; /* for rows; NULL: the caller's thread alone */
};

/* White, or no ink, in the colours of the format. */
void raster_paper(enum pixel_format format, uint16_t paper[4]);

/* A filter before `next`; the arena owns it. Used for one picture. */
struct resample;
struct resample *resample_new(struct arena *arena, const struct resample_order *order,
                              struct strip_sink next);
/* Where the source's strips go. Its begin fails (FAILURE_INPUT) on scales that are not over 0 or over 4096,
 * and on a destination of no or more than RASTER_SIDE_MOST pixels a side. */
struct strip_sink resample_sink(struct resample *resample);

#endif
