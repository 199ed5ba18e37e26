/* Ink of one print from its pixels at full size, row by row: what the plan estimated from a coarse rendering,
 * now counted. Pure. A few rows are kept, as many as a window is high. */
#ifndef SCAN_METER_H
#define SCAN_METER_H

#include "base/arena.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A pixel's total of C, M, Y, K is 0..1020, 255 for 100 %. */
enum { INK_TOTALS = 4 * 255 + 1, INK_PLACES_MOST = 8 };

/* A place with more ink than the limit: windows over it that touch each other, by the cells of a window's
 * size in which their middles lie. Pixels, y down; x1 and y1 lie outside. */
struct ink_place {
    int x0, y0, x1, y1;
    double peak_percent;
};

struct ink_reading {
    double channel_percent[4], mean_percent;  /* means over all pixels; the second is their sum */
    int window_x, window_y;                   /* 5 x 5 mm in pixels, or the whole print where that is less */
    double peak_percent;                      /* largest mean total of any such window, at any pixel */
    int peak_x, peak_y;                       /* its upper left pixel: the first in reading order */
    const uint64_t *histogram;                /* INK_TOTALS: how many pixels have that total */
    struct ink_place places[INK_PLACES_MOST]; /* over the limit, the heaviest first */
    size_t place_count;                       /* kept here */
    size_t place_total;                       /* there are */
    /* Cells of a window's size from the upper left, row by row from the top; the last column and row may be
     * smaller, or empty. Each has its mean total in 1/100 percent; where a window with its middle in the cell
     * has more than the limit the largest of those, and nowhere else more than the limit. */
    int cell_columns, cell_rows;
    const uint16_t *cell_levels;
};

struct ink_meter;
/* Of a print of width x height pixels; over 0 both. `limit_percent` of all inks; 0: none. */
struct ink_meter *ink_meter_new(struct arena *arena, int width, int height, double ppi, double limit_percent);
/* The next row from the top: width CMYK pixels of 8 bits. */
void ink_meter_row(struct ink_meter *meter, const uint8_t *cmyk);
/* After the last row. In the arena. */
struct ink_reading *ink_meter_result(struct ink_meter *meter);

#endif
