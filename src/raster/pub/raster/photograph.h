/* Photographs from phones: checked as pictures, turned upright, made smaller, and rid of everything but the
 * picture and its colour profile (no place, no time, no camera, no small picture inside). */
#ifndef RASTER_PHOTOGRAPH_H
#define RASTER_PHOTOGRAPH_H

#include "base/arena.h"
#include "base/machine.h"
#include "base/str.h"
#include <stdbool.h>

enum {
    PHOTOGRAPH_SIDE = 2048, /* px at most: a scratch of a millimetre still shows on a picture of a metre */
    PHOTOGRAPH_SMALL = 320, /* for lists */
};
/* A phone's largest has some 200 million. */
#define PHOTOGRAPH_PIXELS_MOST INT64_C(250000000)

/* Makes a JPEG (quality 85, baseline, grey or RGB) of at most `side` px each way from the bytes of a JPEG or
 * PNG: the mean of each n x n pixels, n whole; one that is small enough keeps its pixels. Read in a child.
 * FAILURE_INPUT with a sentence that names `subject` when it is not a whole picture of such a kind. The
 * result is in the arena. */
bool raster_photograph(struct machine *machine, struct str bytes, const char *subject, int side,
                       struct arena *arena, struct str *jpeg, struct error *error);

#endif
