/* Grows ink map, detail maps and preview from rows of 1 mm. Called by scan.c. */
#include "scan_maps.h"
#include "base/wide.h"
#include <assert.h>
#include <math.h>
#include <string.h>

enum { CELL = 5, ALONG = 10, CHANNELS = INK_CHANNELS };

/* The four inks of a pixel at once. */
typedef uint32_t ink_sums __attribute__((vector_size(CHANNELS * sizeof(uint32_t))));
typedef uint8_t ink_bytes __attribute__((vector_size(CHANNELS)));

static inline ink_sums inks_at(const uint8_t *cmyk, size_t pixel)
{
    ink_bytes bytes;
    memcpy(&bytes, cmyk + pixel * CHANNELS, sizeof bytes);
    return __builtin_convertvector(bytes, ink_sums);
}

struct map_maker {
    struct arena *arena;
    struct rect box;
    size_t columns, rows;
    struct scan_colours colours;
    struct surface_scan maps;
    float *ink_sum;       /* of the current row of cells */
    size_t ink_rows;      /* rows of 1 mm in it so far */
    uint8_t *lab, *above; /* this row and the one above it */
    bool has_above;
    float *upright_across, *upright_along; /* sums over the current ten rows */
    size_t upright_rows;
    float *difference;   /* scratch: one row of differences */
    size_t preview_step; /* mm in a preview pixel */
    ink_sums *preview_sum;
    size_t preview_rows;
    uint8_t *preview_cmyk;
};

static size_t divided_up(size_t value, size_t by)
{
    return (value + by - 1) / by;
}

static struct detail_map detail_new(struct arena *arena, struct rect box, size_t columns, size_t rows,
                                    double cell_x, double cell_y)
{
    struct detail_map map = {
        .box = {box.x0, box.y0, box.x0 + (double)columns * cell_x, box.y0 + (double)rows * cell_y},
        .columns = columns,
        .rows = rows};
    map.across = arena_take_array(arena, columns * rows, sizeof *map.across);
    map.along = arena_take_array(arena, columns * rows, sizeof *map.along);
    return map;
}

static void ink_new(struct map_maker *m)
{
    struct ink_map *ink = &m->maps.ink;
    *ink = (struct ink_map){
        .box = m->box, .columns = divided_up(m->columns, CELL), .rows = divided_up(m->rows, CELL)};
    for (int i = 0; i < CHANNELS; i++)
        ink->channel[i] = arena_take_array(m->arena, ink->columns * ink->rows, sizeof *ink->channel[i]);
    m->ink_sum = arena_take_array(m->arena, ink->columns * CHANNELS, sizeof *m->ink_sum);
}

static void preview_new(struct map_maker *m, int most)
{
    size_t larger = m->columns > m->rows ? m->columns : m->rows;
    m->preview_step = divided_up(larger ? larger : 1, (size_t)most);
    struct picture *preview = &m->maps.preview;
    size_t width = divided_up(m->columns, m->preview_step), height = divided_up(m->rows, m->preview_step);
    *preview = (struct picture){.box = {m->box.x0, m->box.y0, m->box.x0 + (double)(width * m->preview_step),
                                        m->box.y0 + (double)(height * m->preview_step)},
                                .width = (int)width,
                                .height = (int)height,
                                .rgb = arena_take_array(m->arena, width * height, 3)};
    m->preview_sum = arena_take_array(m->arena, width, sizeof *m->preview_sum);
    m->preview_cmyk = arena_take_array(m->arena, width, CHANNELS);
}

struct map_maker *map_maker_new(struct arena *arena, struct rect box, size_t columns, size_t rows,
                                const struct scan_colours *colours, int preview_most)
{
    struct map_maker *m = arena_take(arena, sizeof *m);
    *m =
        (struct map_maker){.arena = arena, .box = box, .columns = columns, .rows = rows, .colours = *colours};
    ink_new(m);
    preview_new(m, preview_most);
    m->maps.detail.upright = detail_new(arena, box, columns, divided_up(rows, ALONG), 1, ALONG);
    m->maps.detail.lying = detail_new(arena, box, divided_up(columns, ALONG), rows, ALONG, 1);
    m->lab = arena_take_array(arena, columns, 3);
    m->above = arena_take_array(arena, columns, 3);
    m->upright_across = arena_take_array(arena, columns, sizeof *m->upright_across);
    m->upright_along = arena_take_array(arena, columns, sizeof *m->upright_along);
    m->difference = arena_take_array(arena, columns * 2, sizeof *m->difference);
    return m;
}

static void ink_flush(struct map_maker *m, size_t row)
{
    struct ink_map *ink = &m->maps.ink;
    assert(m->ink_rows >= 1 && m->ink_rows <= CELL);
    for (size_t c = 0; c < ink->columns; c++) {
        size_t wide = c + 1 < ink->columns ? CELL : m->columns - c * CELL;
        float scale = 10000.0f / 255 / (float)(wide * m->ink_rows);
        for (int i = 0; i < CHANNELS; i++)
            ink->channel[i][row * ink->columns + c] =
                (uint16_t)(m->ink_sum[c * CHANNELS + (size_t)i] * scale + 0.5f);
    }
    memset(m->ink_sum, 0, ink->columns * CHANNELS * sizeof *m->ink_sum);
    m->ink_rows = 0;
}

static void ink_row(struct map_maker *m, size_t row, const float *sums, float share)
{
    for (size_t cell = 0; cell < m->maps.ink.columns; cell++) {
        float *sum = m->ink_sum + cell * CHANNELS;
        for (size_t c = cell * CELL; c < (cell + 1) * CELL && c < m->columns; c++)
            for (size_t i = 0; i < CHANNELS; i++) sum[i] += sums[c * CHANNELS + i] * share;
    }
    m->ink_rows++;
    if (row % CELL == 0) ink_flush(m, row / CELL);
}

/* CIE76 difference of two Lab8 pixels: L in steps of 100/255, a and b in steps of 1. */
static float lab_difference(const uint8_t *p, const uint8_t *q)
{
    float l = (float)(p[0] - q[0]) * (100.0f / 255), a = (float)(p[1] - q[1]), b = (float)(p[2] - q[2]);
    return sqrtf(l * l + a * a + b * b);
}

WIDE static void lab_differences(const uint8_t *p, const uint8_t *q, size_t count, float *differences)
{
    for (size_t i = 0; i < count; i++) differences[i] = lab_difference(p + i * 3, q + i * 3);
}

static uint16_t hundredths(float value)
{
    return value < 655.0f ? (uint16_t)(value * 100 + 0.5f) : 65500;
}

static void upright_flush(struct map_maker *m, size_t row)
{
    struct detail_map *map = &m->maps.detail.upright;
    float share = 1 / (float)m->upright_rows;
    for (size_t c = 0; c < m->columns; c++) {
        map->across[row * m->columns + c] = hundredths(m->upright_across[c] * share);
        map->along[row * m->columns + c] = hundredths(m->upright_along[c] * share);
    }
    memset(m->upright_across, 0, m->columns * sizeof *m->upright_across);
    memset(m->upright_along, 0, m->columns * sizeof *m->upright_along);
    m->upright_rows = 0;
}

static void lying_row(struct map_maker *m, size_t row, const float *beside, const float *up)
{
    struct detail_map *map = &m->maps.detail.lying;
    for (size_t cell = 0; cell < map->columns; cell++) {
        size_t from = cell * ALONG, to = from + ALONG < m->columns ? from + ALONG : m->columns;
        float across = 0, along = 0;
        for (size_t c = from; c < to; c++) across += up[c], along += beside[c];
        map->across[row * map->columns + cell] = hundredths(across / (float)(to - from));
        map->along[row * map->columns + cell] = hundredths(along / (float)(to - from));
    }
}

static void detail_row(struct map_maker *m, size_t row, const uint8_t *cmyk)
{
    uint8_t *above = m->lab;
    m->lab = m->above, m->above = above;
    m->colours.to_lab(m->colours.self, cmyk, m->lab, m->columns);
    float *beside = m->difference, *up = m->difference + m->columns;
    lab_differences(m->lab, m->lab + 3, m->columns - 1, beside);
    beside[m->columns - 1] = 0;
    lab_differences(m->lab, m->has_above ? m->above : m->lab, m->columns, up);
    m->has_above = true;
    for (size_t c = 0; c < m->columns; c++) m->upright_across[c] += beside[c], m->upright_along[c] += up[c];
    m->upright_rows++;
    if (row % ALONG == 0) upright_flush(m, row / ALONG);
    lying_row(m, row, beside, up);
}

static void preview_flush(struct map_maker *m, size_t line)
{
    struct picture *preview = &m->maps.preview;
    for (size_t c = 0; c < (size_t)preview->width; c++) {
        size_t from = c * m->preview_step;
        size_t wide = from + m->preview_step < m->columns ? m->preview_step : m->columns - from;
        uint32_t count = (uint32_t)(wide * m->preview_rows);
        for (size_t i = 0; i < CHANNELS; i++)
            m->preview_cmyk[c * CHANNELS + i] = (uint8_t)((m->preview_sum[c][i] + count / 2) / count);
    }
    assert(line < (size_t)preview->height);
    size_t at = (size_t)preview->height - 1 - line;
    m->colours.to_rgb(m->colours.self, m->preview_cmyk, preview->rgb + at * (size_t)preview->width * 3,
                      (size_t)preview->width);
    memset(m->preview_sum, 0, (size_t)preview->width * sizeof *m->preview_sum);
    m->preview_rows = 0;
}

static void preview_row(struct map_maker *m, size_t row, const uint8_t *cmyk)
{
    size_t step = m->preview_step, width = (size_t)m->maps.preview.width;
    assert(step > 0);
    for (size_t pixel = 0; pixel < width; pixel++) {
        size_t from = pixel * step, to = from + step < m->columns ? from + step : m->columns;
        for (size_t c = from; c < to; c++) m->preview_sum[pixel] += inks_at(cmyk, c);
    }
    m->preview_rows++;
    if (row % m->preview_step == 0) preview_flush(m, row / m->preview_step);
}

void map_maker_row(struct map_maker *m, size_t row, const float *sums, float share, const uint8_t *cmyk)
{
    ink_row(m, row, sums, share);
    detail_row(m, row, cmyk);
    preview_row(m, row, cmyk);
}

struct surface_scan map_maker_result(struct map_maker *m)
{
    return m->maps;
}
