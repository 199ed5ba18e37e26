/* Shrinks rows to the means of n x n pixels. Runs in the reader child, for coarse views and photographs. */
#include "shrink.h"
#include "base/wide.h"
#include <assert.h>
#include <string.h>

/* Up to this many pixels a side, of 8 bits, sums and their products fit into 16 bits: see put_small. */
enum { SMALL_FACTOR = 4 };

struct shrink shrink_new(struct upright *from, int factor, struct arena *arena)
{
    struct shrink shrink = {
        .from = from,
        .factor = factor,
        .width = (from->width + factor - 1) / factor,
        .height = (from->height + factor - 1) / factor,
        .left = from->height,
    };
    if (factor == 1) return shrink;
    size_t samples = pixel_samples(from->decoder->header.format), count = (size_t)from->width * samples;
    shrink.line = arena_take_array(arena, (size_t)from->width, from->pixel);
    if (factor <= SMALL_FACTOR && from->pixel == samples)
        shrink.small = arena_take_array(arena, count, sizeof *shrink.small);
    else
        shrink.sums = arena_take_array(arena, count, sizeof *shrink.sums);
    return shrink;
}

/* ---- any factor and depth ---- */

/* Down first, sample by sample: the loops that see every sample are the plainest. 1024 x 65535 fits. */
static void shrink_add_row(const struct shrink *shrink, size_t count, bool wide)
{
    const uint8_t *narrow_line = shrink->line;
    const uint16_t *wide_line = (const uint16_t *)(const void *)shrink->line;
    uint32_t *sums = shrink->sums;
    if (wide)
        for (size_t i = 0; i < count; i++) sums[i] += wide_line[i];
    else
        for (size_t i = 0; i < count; i++) sums[i] += narrow_line[i];
}

/* The mean of one cell of `columns` x `rows`. */
static void put_mean(const uint32_t *sums, size_t columns, int rows, size_t samples, bool wide,
                     uint8_t *pixel)
{
    uint64_t count = columns * (uint64_t)rows;
    for (size_t s = 0; s < samples; s++) {
        uint64_t sum = count / 2;
        for (size_t x = 0; x < columns; x++) sum += sums[x * samples + s];
        if (wide)
            ((uint16_t *)(void *)pixel)[s] = (uint16_t)(sum / count);
        else
            pixel[s] = (uint8_t)(sum / count);
    }
}

static void put_means(const struct shrink *shrink, int rows, size_t samples, bool wide, uint8_t *pixels)
{
    size_t factor = (size_t)shrink->factor, width = (size_t)shrink->from->width;
    for (size_t x = 0; x < width; x += factor, pixels += shrink->from->pixel)
        put_mean(shrink->sums + x * samples, width - x < factor ? width - x : factor, rows, samples, wide,
                 pixels);
}

/* ---- small factors, 8 bits ---- */

WIDE static void add_small(uint16_t *restrict small, const uint8_t *restrict line, size_t count)
{
    for (size_t i = 0; i < count; i++) small[i] = (uint16_t)(small[i] + line[i]);
}

/* Where `share` is 65536 / count, rounded up: sum x share / 65536 is sum / count rounded down, for sums up to
 * 255.5 x count while 255.5 x count^2 is less than 65536, which holds up to 16 pixels. */
static inline uint16_t mean_of(unsigned sum, unsigned count, unsigned share)
{
    return (uint16_t)((uint32_t)(uint16_t)(sum + count / 2) * share >> 16);
}

/* Means of cells that begin at any sample, in place, of which each factor-th pixel is taken: up to
 * three in four are for nothing, but all are made sixteen at a time. Called with constants. */
static inline __attribute__((always_inline)) void shrink_put_small(uint16_t *small, size_t width, int rows,
                                                                   size_t factor, size_t samples,
                                                                   uint8_t *pixels)
{
    unsigned count = (unsigned)factor * (unsigned)rows, share = (65536 + count - 1) / count;
    size_t whole = width / factor, positions = whole ? ((whole - 1) * factor + 1) * samples : 0;
    for (size_t i = 0; i < positions; i++) {
        unsigned sum = small[i];
        for (size_t x = 1; x < factor; x++) sum += small[i + x * samples];
        small[i] = mean_of(sum, count, share);
    }
    for (size_t cell = 0; cell < whole; cell++)
        for (size_t s = 0; s < samples; s++)
            pixels[cell * samples + s] = (uint8_t)small[cell * factor * samples + s];
}

/* What is left of a cell at the right edge. */
static void put_rest(const uint16_t *small, size_t columns, int rows, size_t samples, uint8_t *pixel)
{
    for (size_t s = 0; s < samples; s++) {
        unsigned sum = 0, count = (unsigned)columns * (unsigned)rows;
        for (size_t x = 0; x < columns; x++) sum += small[x * samples + s];
        pixel[s] = (uint8_t)((sum + count / 2) / count);
    }
}

static inline __attribute__((always_inline)) void put_factor(uint16_t *small, size_t width, int rows,
                                                             size_t factor, size_t samples, uint8_t *pixels)
{
    switch (samples) {
    case 1:
        shrink_put_small(small, width, rows, factor, 1, pixels);
        return;
    case 3:
        shrink_put_small(small, width, rows, factor, 3, pixels);
        return;
    default:
        shrink_put_small(small, width, rows, factor, 4, pixels);
    }
}

WIDE static void put_smalls(const struct shrink *shrink, int rows, size_t samples, uint8_t *pixels)
{
    size_t factor = (size_t)shrink->factor, width = (size_t)shrink->from->width;
    size_t whole = width / factor, rest = width % factor;
    assert(factor <= SMALL_FACTOR && rows <= shrink->factor); /* what mean_of asks for */
    if (rest)
        put_rest(shrink->small + whole * factor * samples, rest, rows, samples, pixels + whole * samples);
    switch (factor) {
    case 2:
        put_factor(shrink->small, width, rows, 2, samples, pixels);
        return;
    case 3:
        put_factor(shrink->small, width, rows, 3, samples, pixels);
        return;
    default:
        put_factor(shrink->small, width, rows, 4, samples, pixels);
    }
}

/* ---- rows ---- */

bool shrink_row(struct shrink *shrink, uint8_t *pixels, struct error *error)
{
    if (shrink->factor == 1) return upright_row(shrink->from, pixels, error);
    assert(shrink->left >= 1); /* else the means would be of nothing */
    size_t samples = pixel_samples(shrink->from->decoder->header.format);
    size_t count = (size_t)shrink->from->width * samples;
    bool wide = shrink->from->pixel != samples;
    int rows = shrink->left < shrink->factor ? shrink->left : shrink->factor;
    if (shrink->small)
        memset(shrink->small, 0, count * sizeof *shrink->small);
    else
        memset(shrink->sums, 0, count * sizeof *shrink->sums);
    for (int y = 0; y < rows; y++) {
        if (!upright_row(shrink->from, shrink->line, error)) return false;
        if (shrink->small)
            add_small(shrink->small, shrink->line, count);
        else
            shrink_add_row(shrink, count, wide);
    }
    shrink->left -= rows;
    if (shrink->small)
        put_smalls(shrink, rows, samples, pixels);
    else
        put_means(shrink, rows, samples, wide, pixels);
    return true;
}
