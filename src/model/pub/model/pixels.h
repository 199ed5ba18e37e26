/* One strip at a time from end to end: begin, strip ..., end. No whole picture is ever in memory.
 *
 * Rows run from the top of the picture down; a sink gets every row once, in order, in strips of any
 * height. Pixels belong to the giver and are good until the call returns. */
#ifndef MODEL_PIXELS_H
#define MODEL_PIXELS_H

#include "base/error.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A pixel format is one value: samples and bytes of a sample. Samples interleaved; 16 bit in machine order.
 * CMYK: 0 is no ink. Lab8: as in TIFF's CIELab turned to ICC (L 0..255, a and b offset by 128). */
enum pixel_format {
    PIXELS_GREY8,
    PIXELS_GREY16,
    PIXELS_RGB8,
    PIXELS_RGB16,
    PIXELS_CMYK8,
    PIXELS_CMYK16,
    PIXELS_LAB8,
    PIXELS_LAB16,
};

/* The whole picture, known before its first strip. */
struct strip_shape {
    int width, height; /* pixels, 1 and more */
    enum pixel_format format;
    double ppi; /* on the vehicle; 0 when it does not matter */
};

/* Some whole rows of it. */
struct strip {
    int y, rows, width; /* first row from the top, from 0; how many; pixels in each */
    enum pixel_format format;
    size_t stride;         /* bytes from row to row */
    const uint8_t *pixels; /* borrowed; upper left pixel */
};

/* Where strips go. Each function returns false with `error` filled to end the run; then no other is called,
 * `end` neither. */
struct strip_sink {
    void *self;
    bool (*begin)(void *self, const struct strip_shape *shape, struct error *error); /* once, first */
    bool (*strip)(void *self, const struct strip *strip, struct error *error);
    bool (*end)(void *self, struct error *error); /* once every row came */
};

size_t pixel_samples(enum pixel_format format); /* of one pixel: 1, 3 or 4 */
size_t pixel_bytes(enum pixel_format format);   /* of one pixel: 1 to 8 */

/* Rows in a strip of our own making: 32, or 7 in the build with tiny strips (-Dtiny_strips=true). */
#ifdef TINY_STRIPS
enum { STRIP_ROWS = 7 };
#else
enum { STRIP_ROWS = 32 };
#endif

#endif
