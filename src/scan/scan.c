/* Reduces a coarse rendering's strips to rows of 1 mm as they come. Called by run as the end of rendering;
 * the maps grow in scan_maps.c. */
#include "scan/scan.h"
#include "base/units.h"
#include "base/wide.h"
#include "scan_maps.h"
#include <assert.h>
#include <math.h>
#include <string.h>

/* Which pixels make one column of 1 mm: at most TAPS of them, with the millimetres each covers. */
enum { TAPS = 4, CHANNELS = INK_CHANNELS };

struct tap {
    uint32_t first;
    float weight[TAPS];
};

/* The four inks of a pixel or column at once. */
typedef float inks __attribute__((vector_size(CHANNELS * sizeof(float))));

struct scan {
    struct arena *arena;
    struct rect box;
    double pixel_mm;
    struct scan_colours colours;
    size_t columns, rows; /* of 1 mm */
    int width;            /* of the rendering */
    struct tap *taps;     /* one a column */
    unsigned tap_count;
    inks *pixels;  /* one row of the rendering, as numbers */
    inks *across;  /* the same reduced to columns */
    inks *sum;     /* of the current row of 1 mm */
    double weight; /* millimetres of it that came so far */
    size_t row;    /* current row of 1 mm, from below; rows counts down to 0 */
    bool done;     /* the lowest row is finished */
    uint8_t *cmyk; /* the finished row */
    struct map_maker *makers;
};

static struct tap tap_of(double from_mm, double to_mm, double pixel_mm, int width)
{
    struct tap tap = {.first = (uint32_t)fmin(floor(from_mm / pixel_mm), width - 1)};
    double whole = 0;
    for (int k = 0; k < TAPS; k++) {
        double low = fmax(from_mm, ((double)tap.first + k) * pixel_mm);
        double high = fmin(to_mm, ((double)tap.first + k + 1) * pixel_mm);
        bool inside = tap.first + (uint32_t)k < (uint32_t)width && high > low;
        tap.weight[k] = inside ? (float)(high - low) : 0;
        whole += tap.weight[k];
    }
    if (whole > 0)
        for (int k = 0; k < TAPS; k++) tap.weight[k] /= (float)whole;
    return tap;
}

struct scan *scan_new(struct arena *arena, struct rect box, double ppi, const struct scan_colours *colours,
                      int preview_most)
{
    struct scan *scan = arena_take(arena, sizeof *scan);
    *scan = (struct scan){
        .arena = arena,
        .box = box,
        .pixel_mm = MM_PER_INCH / ppi,
        .colours = *colours,
        .columns = (size_t)ceil(rect_width(box) - 1e-9),
        .rows = (size_t)ceil(rect_height(box) - 1e-9),
    };
    scan->row = scan->rows ? scan->rows - 1 : 0;
    scan->done = !scan->rows || !scan->columns;
    scan->makers = map_maker_new(arena, box, scan->columns, scan->rows, colours, preview_most);
    return scan;
}

static bool scan_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct scan *scan = self;
    if (shape->format != PIXELS_CMYK8)
        return error_set(error, FAILURE_INPUT, "coarse-rendering-must-be-cmyk-with", NULL);
    scan->width = shape->width;
    scan->tap_count = (unsigned)fmin(TAPS, ceil(1 / scan->pixel_mm) + 1);
    scan->taps = arena_take_array(scan->arena, scan->columns, sizeof *scan->taps);
    double end = rect_width(scan->box);
    for (size_t c = 0; c < scan->columns; c++)
        scan->taps[c] = tap_of((double)c, fmin((double)c + 1, end), scan->pixel_mm, scan->width);
    scan->pixels = arena_take_array(scan->arena, (size_t)scan->width + TAPS, sizeof *scan->pixels);
    scan->across = arena_take_array(scan->arena, scan->columns, sizeof *scan->across);
    scan->sum = arena_take_array(scan->arena, scan->columns, sizeof *scan->sum);
    scan->cmyk = arena_take_array(scan->arena, scan->columns, CHANNELS);
    return true;
}

/* One pixel row to columns of 1 mm. Taps beyond the last pixel have no weight. */
WIDE static void reduce_across(const struct scan *scan, const uint8_t *pixels)
{
    float *numbers = (float *)scan->pixels;
    for (size_t i = 0; i < (size_t)scan->width * CHANNELS; i++) numbers[i] = pixels[i];
    for (size_t c = 0; c < scan->columns; c++) {
        const struct tap *tap = &scan->taps[c];
        const inks *first = scan->pixels + tap->first;
        inks sum = {0};
        for (unsigned k = 0; k < scan->tap_count; k++) sum += tap->weight[k] * first[k];
        scan->across[c] = sum;
    }
}

WIDE static void round_row(const float *sum, float share, uint8_t *cmyk, size_t count)
{
    for (size_t i = 0; i < count; i++) cmyk[i] = (uint8_t)(sum[i] * share + 0.5f);
}

static void finish_row(struct scan *scan)
{
    const float *sum = (const float *)scan->sum;
    assert(scan->weight < 1 + 1e-6); /* millimetres of a row of 1 mm */
    float share = scan->weight > 0 ? (float)(1 / scan->weight) : 0;
    round_row(sum, share, scan->cmyk, scan->columns * CHANNELS);
    map_maker_row(scan->makers, scan->row, sum, share, scan->cmyk);
    memset(scan->sum, 0, scan->columns * sizeof *scan->sum);
    scan->weight = 0;
    if (scan->row)
        scan->row--;
    else
        scan->done = true;
}

/* Pixel row j lies y1 - (j + 1) p to y1 - j p; it falls into one row of 1 mm or more. */
static void scan_take_row(struct scan *scan, int j, const uint8_t *pixels)
{
    double top = rect_height(scan->box) - j * scan->pixel_mm, bottom = top - scan->pixel_mm;
    if (scan->done) return;
    reduce_across(scan, pixels);
    while (!scan->done) {
        double low = (double)scan->row, part = fmin(top, low + 1) - fmax(bottom, low);
        if (part > 0) {
            float weight = (float)part;
            for (size_t c = 0; c < scan->columns; c++) scan->sum[c] += weight * scan->across[c];
            scan->weight += part;
        }
        if (bottom > low) break;
        finish_row(scan);
    }
}

static bool scan_strip(void *self, const struct strip *strip, struct error *error)
{
    (void)error;
    struct scan *scan = self;
    for (int r = 0; r < strip->rows; r++)
        scan_take_row(scan, strip->y + r, strip->pixels + (size_t)r * strip->stride);
    return true;
}

static bool scan_scan_end(void *self, struct error *error)
{
    (void)error;
    struct scan *scan = self;
    while (!scan->done && scan->sum) finish_row(scan);
    return true;
}

struct strip_sink scan_sink(struct scan *scan)
{
    return (struct strip_sink){.self = scan, .begin = scan_begin, .strip = scan_strip, .end = scan_scan_end};
}

struct surface_scan *scan_result(struct scan *scan)
{
    struct surface_scan *result = arena_take(scan->arena, sizeof *result);
    *result = map_maker_result(scan->makers);
    return result;
}
