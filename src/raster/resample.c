/* Resamples strips from one grid to another (Lanczos, or a copy where the grids agree), in threads. Called
 * by art between picture and colour. */
#include "raster/resample.h"
#include "base/pool.h"
#include "base/wide.h"
#include "raster/facts.h"
#include <assert.h>
#include <limits.h>
#include <math.h>
#include <string.h>

#define LOBES      3.0
#define SCALE_MOST 4096.0
#define SAME_GRID  1e-3 /* of a pixel, over the whole picture */
enum { BATCH = 16 };    /* source rows that are reduced side by side */

/* ---- weights ---- */

/* For each destination pixel of an axis: which source pixels, how much of each, and how much of its area the
 * source covers. */
struct resample_axis {
    int count, most; /* destination pixels; taps of the one with the most */
    int *first, *taps;
    float *weights; /* most for each */
    float *cover;
    size_t whole_from, whole_to; /* between these it is 1 */
};

static double lanczos(double x)
{
    x = fabs(x);
    if (x < 1e-9) return 1;
    if (x >= LOBES) return 0;
    double t = M_PI * x;
    return LOBES * sin(t) * sin(t / LOBES) / (t * t);
}

static void fill_pixel(struct resample_axis *axis, int i, int source, double scale, double offset)
{
    double low = fmax(scale * i + offset, 0), high = fmin(scale * (i + 1) + offset, source);
    axis->cover[i] = (float)fmax(0, fmin(1, (high - low) / scale));
    if (high <= low) return;
    double stretch = fmax(scale, 1);
    double centre = fmin(fmax(scale * (i + 0.5) + offset, 0), source);
    double from = fmax(ceil(centre - LOBES * stretch - 0.5), 0);
    double to = fmin(floor(centre + LOBES * stretch - 0.5), source - 1);
    axis->first[i] = (int)from;
    axis->taps[i] = (int)(to - from) + 1;
    assert(axis->taps[i] >= 1 && axis->taps[i] <= axis->most);
    double sum = 0;
    for (double k = from; k <= to; k++) sum += lanczos((k + 0.5 - centre) / stretch);
    assert(sum > 0); /* the filter's middle is always among them */
    float *weights = axis->weights + (size_t)i * (size_t)axis->most;
    for (double k = from; k <= to; k++)
        weights[(int)(k - from)] = (float)(lanczos((k + 0.5 - centre) / stretch) / sum);
}

static struct resample_axis axis_new(struct arena *arena, int count, int source, double scale, double offset)
{
    struct resample_axis axis = {.count = count, .most = (int)fmin(2 * LOBES * fmax(scale, 1) + 2, source)};
    size_t pixels = (size_t)count;
    axis.first = arena_take_array(arena, pixels, sizeof *axis.first);
    axis.taps = arena_take_array(arena, pixels, sizeof *axis.taps);
    axis.cover = arena_take_array(arena, pixels, sizeof *axis.cover);
    axis.weights = arena_take_array(arena, pixels * (size_t)axis.most, sizeof *axis.weights);
    for (int i = 0; i < count; i++) fill_pixel(&axis, i, source, scale, offset);
    while (axis.whole_from < pixels && axis.cover[axis.whole_from] < 1) axis.whole_from++;
    axis.whole_to = axis.whole_from;
    while (axis.whole_to < pixels && axis.cover[axis.whole_to] >= 1) axis.whole_to++;
    return axis;
}

static bool same_grid(int count, double scale, double offset)
{
    return fabs(scale - 1) * count < SAME_GRID && fabs(offset - round(offset)) < SAME_GRID;
}

/* ---- the filter ---- */

struct resample {
    struct arena *arena;
    struct resample_order order;
    struct strip_sink next;
    struct strip_shape in, out;
    size_t samples;
    bool wide_in, wide_out;
    bool same; /* the grids agree: bytes pass */
    int x_shift, y_shift;
    struct resample_axis across, down;
    float *ring; /* ring_rows source rows at destination width */
    int ring_rows;
    const float **sources; /* for each row in the making, the rows of the ring it is made of */
    uint8_t *rows;
    int held, y; /* destination rows in `rows`; the next one to be made */
    int seen;    /* source rows that came */
};

void raster_paper(enum pixel_format format, uint16_t paper[4])
{
    static const uint16_t white[4] = {65535, 65535, 65535, 65535};
    static const uint16_t no_ink[4] = {0};
    static const uint16_t lab_white[4] = {65535, 128 * 257, 128 * 257, 0};
    bool ink = format == PIXELS_CMYK8 || format == PIXELS_CMYK16;
    bool lab = format == PIXELS_LAB8 || format == PIXELS_LAB16;
    memcpy(paper, ink ? no_ink : lab ? lab_white : white, sizeof white);
}

struct resample *resample_new(struct arena *arena, const struct resample_order *order, struct strip_sink next)
{
    struct resample *resample = arena_take(arena, sizeof *resample);
    resample->arena = arena;
    resample->order = *order;
    resample->next = next;
    return resample;
}

static enum pixel_format narrow(enum pixel_format format)
{
    switch (format) {
    case PIXELS_GREY16:
        return PIXELS_GREY8;
    case PIXELS_RGB16:
        return PIXELS_RGB8;
    case PIXELS_CMYK16:
        return PIXELS_CMYK8;
    case PIXELS_LAB16:
        return PIXELS_LAB8;
    default:
        return format;
    }
}

static bool order_is_good(const struct resample_order *order, struct error *error)
{
    bool sized = order->width >= 1 && order->height >= 1 && order->width <= RASTER_SIDE_MOST &&
                 order->height <= RASTER_SIDE_MOST;
    if (!sized)
        return error_set(error, FAILURE_INPUT, "picture-of-pixels-cannot-be-made",
                         ARGUMENTS(arg_count("width", order->width), arg_count("height", order->height),
                                   arg_count("most", RASTER_SIDE_MOST)));
    bool scaled = order->x_scale > 0 && order->y_scale > 0 && order->x_scale <= SCALE_MOST &&
                  order->y_scale <= SCALE_MOST && isfinite(order->x_offset) && isfinite(order->y_offset) &&
                  fabs(order->x_offset) < 1e9 && fabs(order->y_offset) < 1e9;
    if (!scaled)
        return error_set(error, FAILURE_INPUT, "picture-cannot-be-reduced-to-less",
                         ARGUMENTS(arg_fixed("most", SCALE_MOST, 0)));
    return true;
}

static void prepare(struct resample *resample)
{
    const struct resample_order *order = &resample->order;
    struct arena *arena = resample->arena;
    resample->x_shift = (int)lround(order->x_offset);
    resample->y_shift = (int)lround(order->y_offset);
    size_t line = (size_t)order->width * resample->samples;
    resample->rows = arena_take_array(arena, line * STRIP_ROWS, resample->wide_out ? 2 : 1);
    if (resample->same) return;
    resample->across = axis_new(arena, order->width, resample->in.width, order->x_scale, order->x_offset);
    resample->down = axis_new(arena, order->height, resample->in.height, order->y_scale, order->y_offset);
    resample->ring_rows = resample->down.most + BATCH;
    resample->ring = arena_take_array(arena, line * (size_t)resample->ring_rows, sizeof *resample->ring);
    resample->sources =
        arena_take_array(arena, (size_t)resample->down.most * STRIP_ROWS, sizeof *resample->sources);
}

static bool resample_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct resample *resample = self;
    const struct resample_order *order = &resample->order;
    if (!order_is_good(order, error)) return false;
    resample->in = *shape;
    resample->samples = pixel_samples(shape->format);
    resample->wide_in = pixel_bytes(shape->format) != resample->samples;
    resample->wide_out = resample->wide_in && !order->to_8bit;
    resample->out = (struct strip_shape){
        order->width, order->height, resample->wide_out ? shape->format : narrow(shape->format), shape->ppi};
    resample->same = same_grid(order->width, order->x_scale, order->x_offset) &&
                     same_grid(order->height, order->y_scale, order->y_offset);
    prepare(resample);
    return resample->next.begin(resample->next.self, &resample->out, error);
}

/* ---- rows out ---- */

static bool resample_flush(struct resample *resample, struct error *error)
{
    if (!resample->held) return true;
    assert(resample->y <= resample->out.height);
    struct strip strip = {
        .y = resample->y - resample->held,
        .rows = resample->held,
        .width = resample->out.width,
        .format = resample->out.format,
        .stride = (size_t)resample->out.width * pixel_bytes(resample->out.format),
        .pixels = resample->rows,
    };
    resample->held = 0;
    return resample->next.strip(resample->next.self, &strip, error);
}

/* Where the next row goes. */
static uint8_t *row_place(struct resample *resample)
{
    return resample->rows +
           (size_t)resample->held * (size_t)resample->out.width * pixel_bytes(resample->out.format);
}

static bool row_done(struct resample *resample, struct error *error)
{
    resample->held++;
    resample->y++;
    return resample->held < STRIP_ROWS || resample_flush(resample, error);
}

static void put_paper(struct resample *resample, uint8_t *row, int from, int to)
{
    size_t samples = resample->samples;
    for (size_t x = (size_t)from; x < (size_t)to; x++)
        for (size_t s = 0; s < samples; s++) {
            if (resample->wide_out)
                ((uint16_t *)(void *)row)[x * samples + s] = resample->order.paper[s];
            else
                row[x * samples + s] = (uint8_t)((resample->order.paper[s] + 128u) / 257);
        }
}

/* ---- the same grid ---- */

static int clamp(int value, int least, int most)
{
    return value < least ? least : value > most ? most : value;
}

static void copy_row(struct resample *resample, const uint8_t *source, uint8_t *row)
{
    int from = clamp(-resample->x_shift, 0, resample->out.width);
    int to = clamp(resample->in.width - resample->x_shift, from, resample->out.width);
    size_t samples = resample->samples, count = (size_t)(to - from) * samples;
    size_t out_at = (size_t)from * samples, in_at = (size_t)(from + resample->x_shift) * samples;
    assert(!count || in_at + count <= (size_t)resample->in.width * samples);
    put_paper(resample, row, 0, from);
    put_paper(resample, row, to, resample->out.width);
    if (resample->wide_in && !resample->wide_out) {
        const uint16_t *wide = (const uint16_t *)(const void *)source + in_at;
        for (size_t i = 0; i < count; i++) row[out_at + i] = (uint8_t)((wide[i] + 128u) / 257);
        return;
    }
    size_t sample = resample->wide_in ? 2 : 1;
    if (count) memcpy(row + out_at * sample, source + in_at * sample, count * sample);
}

/* Paper rows until the one that shows source row `source_y`. */
static bool paper_until(struct resample *resample, int64_t y, struct error *error)
{
    while (resample->y < resample->out.height && resample->y < y) {
        put_paper(resample, row_place(resample), 0, resample->out.width);
        if (!row_done(resample, error)) return false;
    }
    return true;
}

static bool resample_same_row(struct resample *resample, const uint8_t *source, struct error *error)
{
    int64_t y = (int64_t)resample->seen++ - resample->y_shift;
    if (y < 0 || y >= resample->out.height) return true;
    if (!paper_until(resample, y, error)) return false;
    copy_row(resample, source, row_place(resample));
    return row_done(resample, error);
}

/* Whether a strip's rows can be passed on where they lie. */
static bool passes(const struct resample *resample)
{
    return resample->same && resample->wide_in == resample->wide_out && resample->x_shift >= 0 &&
           resample->in.width - resample->x_shift >= resample->out.width;
}

static bool pass_rows(struct resample *resample, const struct strip *source, struct error *error)
{
    int64_t first = (int64_t)resample->seen - resample->y_shift, end = first + source->rows;
    int64_t from = first < 0 ? 0 : first, to = end < resample->out.height ? end : resample->out.height;
    resample->seen += source->rows;
    if (from >= to) return true;
    if (!paper_until(resample, from, error) || !resample_flush(resample, error)) return false;
    assert(resample->y == from); /* rows go on where the last ones ended */
    struct strip strip = *source;
    strip.y = (int)from;
    strip.rows = (int)(to - from);
    strip.width = resample->out.width;
    strip.pixels += (size_t)(from - first) * source->stride +
                    (size_t)resample->x_shift * pixel_bytes(resample->in.format);
    resample->y = (int)to;
    return resample->next.strip(resample->next.self, &strip, error);
}

/* ---- another grid: across ---- */

/* Four samples of a pixel at once; of three the fourth is let go. */
typedef float lanes __attribute__((vector_size(16)));

/* A few pixels are made at a time from a window of the source, as numbers. Where they are reduced so far that
 * no window holds what they are made of, samples are taken one by one. */
enum { CHUNK = 32, WINDOW = 512 };

struct resample_view {
    int from, to;
};

/* What of the source pixels x0 to x1 are made of. */
static struct resample_view resample_view_of(const struct resample_axis *axis, int x0, int x1)
{
    struct resample_view view = {INT_MAX, 0};
    for (int x = x0; x < x1; x++) {
        if (!axis->taps[x]) continue;
        if (axis->first[x] < view.from) view.from = axis->first[x];
        if (axis->first[x] + axis->taps[x] > view.to) view.to = axis->first[x] + axis->taps[x];
    }
    if (view.to <= view.from) view = (struct resample_view){0, 0};
    return view;
}

static inline float resample_sample_at(const void *source, size_t at, bool wide)
{
    return wide ? ((const uint16_t *)source)[at] : ((const uint8_t *)source)[at];
}

static inline __attribute__((always_inline)) void take_window(const void *source, size_t at, size_t count,
                                                              bool wide, float *window)
{
    for (size_t i = 0; i < count; i++) window[i] = resample_sample_at(source, at + i, wide);
    memset(window + count, 0, sizeof(lanes));
}

static inline __attribute__((always_inline)) void across_by_pixel(const struct resample_axis *axis, int x,
                                                                  const float *pixels, float *out,
                                                                  size_t samples)
{
    const float *weights = axis->weights + (size_t)x * (size_t)axis->most;
    lanes sum = {0};
    for (int k = 0; k < axis->taps[x]; k++, pixels += samples) {
        lanes pixel;
        memcpy(&pixel, pixels, sizeof pixel);
        sum += weights[k] * pixel;
    }
    for (size_t s = 0; s < samples; s++) out[s] = sum[s];
}

static inline __attribute__((always_inline)) void across_by_sample(const struct resample_axis *axis, int x,
                                                                   const void *source, float *out,
                                                                   size_t samples, bool wide)
{
    const float *weights = axis->weights + (size_t)x * (size_t)axis->most;
    size_t at = (size_t)axis->first[x] * samples;
    float sum[4] = {0};
    for (int k = 0; k < axis->taps[x]; k++)
        for (size_t s = 0; s < samples; s++, at++)
            sum[s] += weights[k] * resample_sample_at(source, at, wide);
    for (size_t s = 0; s < samples; s++) out[s] = sum[s];
}

/* Called with constants only, so that the inner loops are made for each number of samples and depth. */
static inline __attribute__((always_inline)) void across(const struct resample_axis *axis, const void *source,
                                                         float *out, size_t samples, bool wide)
{
    float window[WINDOW * 4 + 4];
    for (int x0 = 0; x0 < axis->count; x0 += CHUNK) {
        int x1 = axis->count - x0 < CHUNK ? axis->count : x0 + CHUNK;
        struct resample_view view = resample_view_of(axis, x0, x1);
        bool fits = view.to - view.from <= WINDOW;
        if (fits)
            take_window(source, (size_t)view.from * samples, (size_t)(view.to - view.from) * samples, wide,
                        window);
        for (int x = x0; x < x1; x++, out += samples)
            if (fits && axis->taps[x])
                across_by_pixel(axis, x, window + (size_t)(axis->first[x] - view.from) * samples, out,
                                samples);
            else
                across_by_sample(axis, x, source, out, samples, wide);
    }
}

WIDE static void reduce_across(const struct resample_axis *axis, const void *source, float *out,
                               size_t samples, bool wide)
{
    switch (samples * 2 + wide) {
    case 2:
        across(axis, source, out, 1, false);
        return;
    case 3:
        across(axis, source, out, 1, true);
        return;
    case 6:
        across(axis, source, out, 3, false);
        return;
    case 7:
        across(axis, source, out, 3, true);
        return;
    case 8:
        across(axis, source, out, 4, false);
        return;
    default:
        across(axis, source, out, 4, true);
    }
}

static float *ring_row(const struct resample *resample, int source_y)
{
    size_t line = (size_t)resample->out.width * resample->samples;
    return resample->ring + (size_t)(source_y % resample->ring_rows) * line;
}

/* ---- another grid: down, a piece of a row after the other ---- */

enum { PIECE = 1020 }; /* floats: whole pixels of 1, 3 and 4 samples */

/* Of a stretch of the row the sums stay in registers while the source's rows go by. */
typedef float eight __attribute__((vector_size(32), aligned(4), may_alias));
enum { STRETCH = 4 * sizeof(eight) / sizeof(float) };

static inline __attribute__((always_inline)) void resample_add_stretch(const float *const *rows,
                                                                       const float *weights, int taps,
                                                                       size_t from, float *sum)
{
    eight a = {0}, b = {0}, c = {0}, d = {0};
    for (int k = 0; k < taps; k++) {
        const eight *row = (const eight *)(const void *)(rows[k] + from);
        a += weights[k] * row[0];
        b += weights[k] * row[1];
        c += weights[k] * row[2];
        d += weights[k] * row[3];
    }
    eight *to = (eight *)(void *)sum;
    to[0] = a, to[1] = b, to[2] = c, to[3] = d;
}

WIDE static void add_down(const float *const *rows, const float *weights, int taps, size_t from, size_t count,
                          float *sum)
{
    size_t i = 0;
    for (; i + STRETCH <= count; i += STRETCH) resample_add_stretch(rows, weights, taps, from + i, sum + i);
    for (; i < count; i++) {
        sum[i] = 0;
        for (int k = 0; k < taps; k++) sum[i] += weights[k] * rows[k][from + i];
    }
}

static void mix_pixel(const struct resample *resample, float cover, float *pixel)
{
    float most = resample->wide_in ? 65535.0f : 255.0f;
    /* add_down has filled each, which the analyzer does not see. */
    for (size_t s = 0; s < resample->samples; s++)
        /* NOLINTNEXTLINE(clang-analyzer-core.UndefinedBinaryOperatorResult) */
        pixel[s] = pixel[s] * cover + (1 - cover) * (float)resample->order.paper[s] * (most / 65535.0f);
}

/* Mixes with paper where the source covers a pixel in part. */
static void mix_paper(const struct resample *resample, int y, size_t from, size_t count, float *sum)
{
    const struct resample_axis *across = &resample->across;
    float down = resample->down.cover[y];
    size_t samples = resample->samples, first = from / samples, end = (from + count) / samples;
    if (down >= 1 && first >= across->whole_from && end <= across->whole_to) return;
    for (size_t x = first; x < end; x++) {
        float cover = across->cover[x] * down;
        if (cover < 1) mix_pixel(resample, cover, sum + (x - first) * samples);
    }
}

/* Rounded first and then kept within the range, in whole numbers, which the processor does side by side. */
static inline int32_t resample_rounded(float value, int32_t most)
{
    int32_t whole = (int32_t)(value + 0.5f);
    whole = whole < 0 ? 0 : whole;
    return whole > most ? most : whole;
}

WIDE static void round_narrow(const float *sum, float scale, size_t count, uint8_t *row)
{
    for (size_t i = 0; i < count; i++) row[i] = (uint8_t)resample_rounded(sum[i] * scale, 255);
}

WIDE static void round_wide(const float *sum, size_t count, uint16_t *row)
{
    for (size_t i = 0; i < count; i++) row[i] = (uint16_t)resample_rounded(sum[i], 65535);
}

static void round_piece(const struct resample *resample, const float *sum, size_t from, size_t count,
                        uint8_t *row)
{
    if (resample->wide_out)
        round_wide(sum, count, (uint16_t *)(void *)row + from);
    else
        round_narrow(sum, resample->wide_in ? 1.0f / 257.0f : 1.0f, count, row + from);
}

/* ---- another grid: rows shared out among threads ---- */

struct resample_rows {
    struct resample *resample;
    const struct strip *source; /* rows going in: from number `first` of the strip */
    int first;
};

static void resample_take_row(void *context, size_t i)
{
    const struct resample_rows *rows = context;
    const struct resample *resample = rows->resample;
    int source_y = resample->seen + (int)i;
    if (resample->y >= resample->out.height || source_y < resample->down.first[resample->y]) return;
    reduce_across(&resample->across,
                  rows->source->pixels + (size_t)(rows->first + (int)i) * rows->source->stride,
                  ring_row(resample, source_y), resample->samples, resample->wide_in);
}

static void make_row(void *context, size_t i)
{
    const struct resample_rows *rows = context;
    const struct resample *resample = rows->resample;
    const struct resample_axis *down = &resample->down;
    size_t line = (size_t)resample->out.width * resample->samples;
    int y = resample->y + (int)i, taps = down->taps[y];
    assert(!taps || resample->seen - down->first[y] <= resample->ring_rows); /* its first is still there */
    uint8_t *row = resample->rows + ((size_t)resample->held + i) * (size_t)resample->out.width *
                                        pixel_bytes(resample->out.format);
    const float **sources = resample->sources + i * (size_t)down->most;
    for (int k = 0; k < taps; k++) sources[k] = ring_row(resample, down->first[y] + k);
    for (size_t from = 0; from < line; from += PIECE) {
        float sum[PIECE];
        size_t count = line - from < PIECE ? line - from : PIECE;
        add_down(sources, down->weights + (size_t)y * (size_t)down->most, taps, from, count, sum);
        mix_paper(resample, y, from, count, sum);
        round_piece(resample, sum, from, count, row);
    }
}

/* How many rows can be made now, up to what the strip in the making has room for. Rows above or below the
 * source need nothing of it. */
static int ready_rows(const struct resample *resample)
{
    const struct resample_axis *down = &resample->down;
    int count = 0;
    while (count < STRIP_ROWS - resample->held && resample->y + count < resample->out.height) {
        int y = resample->y + count;
        if (down->taps[y] && down->first[y] + down->taps[y] > resample->seen) break;
        count++;
    }
    return count;
}

static bool resample_make_ready(struct resample *resample, struct error *error)
{
    for (int count; (count = ready_rows(resample)) > 0;) {
        struct resample_rows rows = {.resample = resample};
        pool_run(resample->order.pool, (size_t)count, make_row, &rows);
        resample->held += count;
        resample->y += count;
        if (resample->held == STRIP_ROWS && !resample_flush(resample, error)) return false;
    }
    return true;
}

static bool other_rows(struct resample *resample, const struct strip *source, struct error *error)
{
    for (int first = 0; first < source->rows; first += BATCH) {
        int count = source->rows - first < BATCH ? source->rows - first : BATCH;
        struct resample_rows rows = {resample, source, first};
        if (!resample_make_ready(resample, error)) return false; /* rows above the source */
        pool_run(resample->order.pool, (size_t)count, resample_take_row, &rows);
        resample->seen += count;
        if (!resample_make_ready(resample, error)) return false;
    }
    return true;
}

/* ---- the sink ---- */

static bool resample_strip(void *self, const struct strip *strip, struct error *error)
{
    struct resample *resample = self;
    if (passes(resample)) return pass_rows(resample, strip, error);
    if (!resample->same) return other_rows(resample, strip, error);
    for (int i = 0; i < strip->rows; i++)
        if (!resample_same_row(resample, strip->pixels + (size_t)i * strip->stride, error)) return false;
    return true;
}

static bool resample_end(void *self, struct error *error)
{
    struct resample *resample = self;
    return paper_until(resample, resample->out.height, error) && resample_flush(resample, error) &&
           resample->next.end(resample->next.self, error);
}

struct strip_sink resample_sink(struct resample *resample)
{
    return (struct strip_sink){resample, resample_begin, resample_strip, resample_end};
}
