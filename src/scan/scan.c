#include "scan/scan.h"
#include "scan_maps.h"
#include <math.h>
#include <string.h>

/* Which pixels make one column of 1 mm: at most TAPS of them, with the millimetres each covers. */
enum { TAPS = 4, CHANNELS = INK_CHANNELS };

struct tap {
    uint32_t first;
    float weight[TAPS];
};

struct scan {
    struct arena *arena;
    struct rect box;
    double pixel_mm;
    struct scan_colours colours;
    size_t columns, rows; /* of 1 mm */
    int width;            /* of the rendering */
    struct tap *taps;     /* one a column */
    unsigned tap_count;
    float *across; /* one pixel row reduced to columns */
    float *sum;    /* of the current row of 1 mm */
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
        .pixel_mm = 25.4 / ppi,
        .colours = *colours,
        .columns = (size_t)ceil(rect_width(box) - 1e-9),
        .rows = (size_t)ceil(rect_height(box) - 1e-9),
    };
    scan->row = scan->rows ? scan->rows - 1 : 0;
    scan->done = !scan->rows || !scan->columns;
    scan->makers = map_maker_new(arena, box, scan->columns, scan->rows, colours, preview_most);
    return scan;
}

static bool begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct scan *scan = self;
    if (shape->format != PIXELS_CMYK8)
        return error_set(error, FAILURE_INPUT, "the coarse rendering must be CMYK with 8 bits");
    scan->width = shape->width;
    scan->tap_count = (unsigned)fmin(TAPS, ceil(1 / scan->pixel_mm) + 1);
    scan->taps = arena_take_array(scan->arena, scan->columns, sizeof *scan->taps);
    double end = rect_width(scan->box);
    for (size_t c = 0; c < scan->columns; c++)
        scan->taps[c] = tap_of((double)c, fmin((double)c + 1, end), scan->pixel_mm, scan->width);
    scan->across = arena_take_array(scan->arena, scan->columns * CHANNELS, sizeof *scan->across);
    scan->sum = arena_take_array(scan->arena, scan->columns * CHANNELS, sizeof *scan->sum);
    scan->cmyk = arena_take_array(scan->arena, scan->columns, CHANNELS);
    return true;
}

/* One pixel row to columns of 1 mm. */
static void reduce_across(const struct scan *scan, const uint8_t *pixels)
{
    uint32_t last = (uint32_t)scan->width - 1;
    for (size_t c = 0; c < scan->columns; c++) {
        const struct tap *tap = &scan->taps[c];
        float sum[CHANNELS] = {0};
        for (unsigned k = 0; k < scan->tap_count; k++) {
            uint32_t x = tap->first + k < last ? tap->first + k : last;
            const uint8_t *pixel = pixels + (size_t)x * CHANNELS;
            for (int i = 0; i < CHANNELS; i++) sum[i] += tap->weight[k] * (float)pixel[i];
        }
        memcpy(scan->across + c * CHANNELS, sum, sizeof sum);
    }
}

static void finish_row(struct scan *scan)
{
    size_t samples = scan->columns * CHANNELS;
    float share = scan->weight > 0 ? (float)(1 / scan->weight) : 0;
    for (size_t i = 0; i < samples; i++) scan->cmyk[i] = (uint8_t)(scan->sum[i] * share + 0.5f);
    map_maker_row(scan->makers, scan->row, scan->sum, share, scan->cmyk);
    memset(scan->sum, 0, samples * sizeof *scan->sum);
    scan->weight = 0;
    if (scan->row)
        scan->row--;
    else
        scan->done = true;
}

/* Pixel row j lies y1 - (j + 1) p to y1 - j p; it falls into one row of 1 mm or more. */
static void take_row(struct scan *scan, int j, const uint8_t *pixels)
{
    double top = rect_height(scan->box) - j * scan->pixel_mm, bottom = top - scan->pixel_mm;
    if (scan->done) return;
    reduce_across(scan, pixels);
    size_t samples = scan->columns * CHANNELS;
    while (!scan->done) {
        double low = (double)scan->row, part = fmin(top, low + 1) - fmax(bottom, low);
        if (part > 0) {
            float weight = (float)part;
            for (size_t i = 0; i < samples; i++) scan->sum[i] += weight * scan->across[i];
            scan->weight += part;
        }
        if (bottom > low) break;
        finish_row(scan);
    }
}

static bool strip(void *self, const struct strip *strip, struct error *error)
{
    (void)error;
    struct scan *scan = self;
    for (int r = 0; r < strip->rows; r++)
        take_row(scan, strip->y + r, strip->pixels + (size_t)r * strip->stride);
    return true;
}

static bool end(void *self, struct error *error)
{
    (void)error;
    struct scan *scan = self;
    while (!scan->done && scan->sum) finish_row(scan);
    return true;
}

struct strip_sink scan_sink(struct scan *scan)
{
    return (struct strip_sink){.self = scan, .begin = begin, .strip = strip, .end = end};
}

struct surface_scan *scan_result(struct scan *scan)
{
    struct surface_scan *result = arena_take(scan->arena, sizeof *result);
    *result = map_maker_result(scan->makers);
    return result;
}
