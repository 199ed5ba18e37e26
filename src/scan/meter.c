/* Counts a print's ink from its pixels, row by row, and finds hand-sized places over the limit. Called by
 * make while TIFF panels are cut. */
#include "scan/meter.h"
#include "base/units.h"
#include "base/wide.h"
#include "places.h"
#include <assert.h>
#include <math.h>
#include <string.h>

#define WINDOW_MM 5.0
enum { BLOCK = 256, HISTOGRAMS = 4 }; /* a block's sums of bytes fit into 16 bits */

struct ink_meter {
    struct arena *arena;
    int width, height, y;
    int window_x, window_y;
    uint16_t *ring;    /* totals of the last window_y rows */
    uint32_t *columns; /* their sums */
    uint32_t *bounds;  /* for each block of windows, what none of its columns is above */
    uint64_t channels[4];
    uint32_t *counts; /* HISTOGRAMS side by side, so that a flat area need not wait for its own last count */
    uint32_t peak;    /* largest sum of a window so far */
    int peak_x, peak_y;
    uint32_t limit;   /* a window with a larger sum has too much */
    uint32_t *cells;  /* largest sum over the limit, of windows with their middle in the cell; 0: none */
    uint16_t *levels; /* mean total of each cell, 1/100 percent */
    int cell_columns, cell_rows;
};

static int window_of(double ppi, int most)
{
    double pixels = round(WINDOW_MM * ppi / MM_PER_INCH);
    return pixels < 1 ? 1 : pixels > most ? most : (int)pixels;
}

struct ink_meter *ink_meter_new(struct arena *arena, int width, int height, double ppi, double limit_percent)
{
    struct ink_meter *meter = arena_take(arena, sizeof *meter);
    *meter = (struct ink_meter){
        .arena = arena,
        .width = width,
        .height = height,
        .window_x = window_of(ppi, width),
        .window_y = window_of(ppi, height),
    };
    meter->ring = arena_take_array(arena, (size_t)width * (size_t)meter->window_y, sizeof *meter->ring);
    meter->columns = arena_take_array(arena, (size_t)width, sizeof *meter->columns);
    meter->bounds = arena_take_array(arena, (size_t)width / BLOCK + 1, sizeof *meter->bounds);
    meter->counts = arena_take_array(arena, INK_TOTALS * HISTOGRAMS, sizeof *meter->counts);
    double limit = limit_percent / 100 * 255 * meter->window_x * meter->window_y;
    meter->limit = limit_percent > 0 && limit < UINT32_MAX ? (uint32_t)limit : UINT32_MAX;
    meter->cell_columns = width / meter->window_x + 1;
    meter->cell_rows = height / meter->window_y + 1;
    meter->cells =
        arena_take_array(arena, (size_t)meter->cell_columns * (size_t)meter->cell_rows, sizeof *meter->cells);
    meter->levels = arena_take_array(arena, (size_t)meter->cell_columns * (size_t)meter->cell_rows,
                                     sizeof *meter->levels);
    return meter;
}

/* ---- a row ---- */

/* Bytes 0 and 2 of a pixel side by side in the halves of a word, so that one addition takes two inks. */
static inline uint32_t even_bytes(uint32_t pixel)
{
    return pixel & 0x00FF00FFu;
}

/* Sums and totals of up to BLOCK pixels; the totals take their place in the ring and the columns. */
WIDE static void add_block(struct ink_meter *meter, const uint8_t *cmyk, uint16_t *ring, uint32_t *columns,
                           int count)
{
    uint32_t even = 0, odd = 0;
    for (int x = 0; x < count; x++) {
        uint32_t pixel;
        memcpy(&pixel, cmyk + (size_t)x * 4, sizeof pixel);
        uint32_t e = even_bytes(pixel), o = even_bytes(pixel >> 8), both = e + o;
        uint32_t total = (both + (both >> 16)) & 0xFFFF;
        even += e, odd += o;
        columns[x] += total - ring[x];
        ring[x] = (uint16_t)total;
    }
#if __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__
    meter->channels[0] += even & 0xFFFF, meter->channels[2] += even >> 16;
    meter->channels[1] += odd & 0xFFFF, meter->channels[3] += odd >> 16;
#else
    meter->channels[3] += even & 0xFFFF, meter->channels[1] += even >> 16;
    meter->channels[2] += odd & 0xFFFF, meter->channels[0] += odd >> 16;
#endif
}

static void count_totals(struct ink_meter *meter, const uint16_t *totals)
{
    for (int x = 0; x < meter->width; x++) meter->counts[totals[x] * HISTOGRAMS + (x % HISTOGRAMS)]++;
}

/* A window whose right column is x and whose lowest row is the one that came last. */
static void judge_window(struct ink_meter *meter, int x, uint32_t sum)
{
    int left = x + 1 - meter->window_x, top = meter->y + 1 - meter->window_y;
    if (sum > meter->peak) meter->peak = sum, meter->peak_x = left, meter->peak_y = top;
    if (sum <= meter->limit) return;
    int column = (left + meter->window_x / 2) / meter->window_x,
        row = (top + meter->window_y / 2) / meter->window_y;
    assert(column < meter->cell_columns && row < meter->cell_rows);
    uint32_t *cell = &meter->cells[(size_t)row * (size_t)meter->cell_columns + (size_t)column];
    if (sum > *cell) *cell = sum;
}

WIDE static uint32_t meter_largest(const uint32_t *values, int count)
{
    uint32_t most = 0;
    for (int i = 0; i < count; i++) most = values[i] > most ? values[i] : most;
    return most;
}

/* Whether some window of the block may be new. None is where even the highest column times their width would
 * not be; and a row more raises a column by no more than a pixel's most. At first the peak is 0, and every
 * block is looked at. */
static bool worth_sliding(struct ink_meter *meter, int block, int left, int to)
{
    uint64_t least = meter->peak < meter->limit ? meter->peak : meter->limit;
    uint64_t width = (uint64_t)meter->window_x;
    uint32_t *bound = &meter->bounds[block];
    *bound += INK_TOTALS - 1;
    if (*bound * width <= least) return false;
    *bound = meter_largest(meter->columns + left, to - left);
    return *bound * width > least;
}

/* All windows whose right column is in from..to-1. */
static void meter_slide(struct ink_meter *meter, int from, int to)
{
    const uint32_t *columns = meter->columns;
    int left = from + 1 - meter->window_x;
    uint32_t sum = 0;
    for (int x = left; x < from; x++) sum += columns[x];
    for (int x = from; x < to; x++, left++) {
        sum += columns[x];
        if (sum > meter->peak || sum > meter->limit) judge_window(meter, x, sum);
        sum -= columns[left];
    }
}

static void slide_blocks(struct ink_meter *meter)
{
    int first = meter->window_x - 1;
    for (int block = 0; first + block * BLOCK < meter->width; block++) {
        int from = first + block * BLOCK, to = meter->width - from < BLOCK ? meter->width : from + BLOCK;
        if (worth_sliding(meter, block, from - first, to)) meter_slide(meter, from, to);
    }
}

/* ---- the level of every cell ---- */

/* A row of cells from the sums of its columns over `rows` rows of pixels. */
static void level_cells(struct ink_meter *meter, const uint32_t *sums, int row, int rows)
{
    uint16_t *levels = meter->levels + (size_t)row * (size_t)meter->cell_columns;
    for (int from = 0; from < meter->width; from += meter->window_x) {
        int to = meter->width - from < meter->window_x ? meter->width : from + meter->window_x;
        uint32_t sum = 0;
        for (int x = from; x < to; x++) sum += sums[x];
        *levels++ = (uint16_t)(sum * (10000.0 / 255) / ((to - from) * rows) + 0.5);
    }
}

void ink_meter_row(struct ink_meter *meter, const uint8_t *cmyk)
{
    assert(meter->y < meter->height);
    uint16_t *ring = meter->ring + (size_t)(meter->y % meter->window_y) * (size_t)meter->width;
    for (int x = 0; x < meter->width; x += BLOCK) {
        int count = meter->width - x < BLOCK ? meter->width - x : BLOCK;
        add_block(meter, cmyk + (size_t)x * 4, ring + x, meter->columns + x, count);
    }
    count_totals(meter, ring);
    if (meter->y + 1 >= meter->window_y) slide_blocks(meter);
    meter->y++;
    if (meter->y % meter->window_y == 0)
        level_cells(meter, meter->columns, meter->y / meter->window_y - 1, meter->window_y);
}

/* ---- places over the limit ---- */

static struct ink_place meter_place_of(const struct ink_meter *meter, const struct cell_place *cells)
{
    int x1 = cells->x1 * meter->window_x, y1 = cells->y1 * meter->window_y;
    return (struct ink_place){.x0 = cells->x0 * meter->window_x,
                              .y0 = cells->y0 * meter->window_y,
                              .x1 = x1 < meter->width ? x1 : meter->width,
                              .y1 = y1 < meter->height ? y1 : meter->height,
                              .peak_percent = cells->most / 2.55 / meter->window_x / meter->window_y};
}

/* Empties the cells. */
static void meter_find_places(struct ink_meter *meter, struct ink_reading *reading)
{
    struct cell_place places[INK_PLACES_MOST];
    reading->place_total = cell_places(meter->arena, meter->cells, meter->cell_columns, meter->cell_rows,
                                       places, INK_PLACES_MOST);
    reading->place_count = reading->place_total < INK_PLACES_MOST ? reading->place_total : INK_PLACES_MOST;
    for (size_t i = 0; i < reading->place_count; i++) reading->places[i] = meter_place_of(meter, &places[i]);
}

/* ---- the result ---- */

/* The lowest row of cells may have fewer rows of pixels; they are the first in the ring. */
static void level_rest(struct ink_meter *meter)
{
    int rows = meter->y % meter->window_y;
    if (!rows) return;
    uint32_t *sums = arena_take_array(meter->arena, (size_t)meter->width, sizeof *sums);
    for (int i = 0; i < rows; i++)
        for (int x = 0; x < meter->width; x++)
            sums[x] += meter->ring[(size_t)i * (size_t)meter->width + (size_t)x];
    level_cells(meter, sums, meter->y / meter->window_y, rows);
}

/* Over the limit is what has too much by any window, and nothing else. */
static void mark_over(struct ink_meter *meter)
{
    if (meter->limit == UINT32_MAX) return;
    double hundredths = 10000.0 / 255 / meter->window_x / meter->window_y;
    uint16_t limit = (uint16_t)fmin(meter->limit * hundredths + 0.5, UINT16_MAX - 1);
    for (int i = 0; i < meter->cell_columns * meter->cell_rows; i++) {
        uint16_t *level = &meter->levels[i];
        uint16_t peak = meter->cells[i] ? (uint16_t)(meter->cells[i] * hundredths + 0.5) : 0;
        if (peak)
            *level = peak > limit ? peak : limit + 1;
        else if (*level > limit)
            *level = limit;
    }
}

struct ink_reading *ink_meter_result(struct ink_meter *meter)
{
    struct ink_reading *reading = arena_take(meter->arena, sizeof *reading);
    double pixels = (double)meter->width * meter->height;
    for (int i = 0; i < 4; i++) {
        reading->channel_percent[i] = (double)meter->channels[i] / 2.55 / pixels;
        assert(reading->channel_percent[i] <= 100 + 1e-9); /* no pixel was counted twice */
        reading->mean_percent += reading->channel_percent[i];
    }
    uint64_t *histogram = arena_take_array(meter->arena, INK_TOTALS, sizeof *histogram);
    for (size_t i = 0; i < INK_TOTALS * HISTOGRAMS; i++) histogram[i / HISTOGRAMS] += meter->counts[i];
    reading->histogram = histogram;
    reading->window_x = meter->window_x, reading->window_y = meter->window_y;
    reading->peak_percent = meter->peak / 2.55 / meter->window_x / meter->window_y;
    reading->peak_x = meter->peak_x, reading->peak_y = meter->peak_y;
    level_rest(meter);
    mark_over(meter);
    reading->cell_columns = meter->cell_columns, reading->cell_rows = meter->cell_rows;
    reading->cell_levels = meter->levels;
    if (meter->limit < UINT32_MAX) meter_find_places(meter, reading);
    return reading;
}
