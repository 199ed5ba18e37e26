/* Answers from the ink and detail maps: coverage of a rectangle, largest hand-sized square, mean detail of
 * a band; and the sizes of pixel formats. Called by planning and by whoever moves pixels. */
#include "model/maps.h"
#include "model/practice.h"
#include "model/pixels.h"
#include <math.h>

size_t pixel_samples(enum pixel_format format)
{
    switch (format) {
    case PIXELS_GREY8:
    case PIXELS_GREY16:
        return 1;
    case PIXELS_CMYK8:
    case PIXELS_CMYK16:
        return 4;
    default:
        return 3;
    }
}

size_t pixel_bytes(enum pixel_format format)
{
    bool wide = format == PIXELS_GREY16 || format == PIXELS_RGB16 || format == PIXELS_CMYK16 ||
                format == PIXELS_LAB16;
    return pixel_samples(format) * (wide ? 2 : 1);
}

/* Which cells a stretch of the axis touches: from <= i < to. */
struct maps_cells {
    size_t from, to;
};

static struct maps_cells maps_cells_of(double from_mm, double to_mm, double cell_mm, size_t count)
{
    double first = floor(from_mm / cell_mm), last = ceil(to_mm / cell_mm);
    struct maps_cells cells = {first < 0 ? 0 : (size_t)first, last < 0 ? 0 : (size_t)last};
    if (cells.to > count) cells.to = count;
    if (cells.from > cells.to) cells.from = cells.to;
    return cells;
}

/* The share of cell i that lies inside from..to. */
static double maps_share(size_t i, double from_mm, double to_mm, double cell_mm)
{
    double low = fmax(from_mm, (double)i * cell_mm), high = fmin(to_mm, (double)(i + 1) * cell_mm);
    return high > low ? (high - low) / cell_mm : 0;
}

/* Sum of one channel over cells side by side. */
static uint64_t row_sum(const uint16_t *cells, size_t count)
{
    uint64_t sum = 0;
    for (size_t i = 0; i < count; i++) sum += cells[i];
    return sum;
}

/* Largest total of all channels in cells side by side, in 1/100 percent. */
static unsigned row_peak(const struct ink_map *map, size_t at, size_t count)
{
    unsigned peak = 0;
    for (size_t i = at; i < at + count; i++) {
        unsigned total = 0;
        for (int c = 0; c < INK_CHANNELS; c++) total += map->channel[c][i];
        if (total > peak) peak = total;
    }
    return peak;
}

/* What part of the first and of the last cell counts; those between count whole. */
struct stretch_of_cells {
    size_t from, count;
    double first, last;
};

static struct stretch_of_cells maps_stretch_of(struct maps_cells cells, double from_mm, double to_mm)
{
    struct stretch_of_cells s = {cells.from, cells.to - cells.from, 0, 0};
    if (s.count) s.first = maps_share(cells.from, from_mm, to_mm, INK_CELL_MM);
    if (s.count > 1) s.last = maps_share(cells.to - 1, from_mm, to_mm, INK_CELL_MM);
    return s;
}

static double stretch_sum(const uint16_t *row, struct stretch_of_cells s)
{
    if (!s.count) return 0;
    double sum = s.first * row[s.from];
    if (s.count > 1) sum += s.last * row[s.from + s.count - 1];
    if (s.count > 2) sum += (double)row_sum(row + s.from + 1, s.count - 2);
    return sum;
}

static unsigned stretch_peak(const struct ink_map *map, size_t row_at, struct stretch_of_cells s)
{
    size_t skip = s.count && s.first <= 0, end = s.count > 1 && s.last <= 0;
    return s.count > skip + end ? row_peak(map, row_at + s.from + skip, s.count - skip - end) : 0;
}

/* Half of the side of a hand-sized square, in cells. */
static size_t half_hand_cells(void)
{
    return (size_t)(practice_value("hand").value / (2 * INK_CELL_MM));
}

/* Of half a hand-sized square: its left or right side, cut at the map's edge. */
static uint64_t half_sum(const struct ink_map *map, size_t column, size_t row, size_t half, size_t *cells)
{
    size_t columns = column < map->columns ? map->columns - column : 0, rows = map->rows - row;
    if (columns > half) columns = half;
    if (rows > 2 * half) rows = 2 * half;
    uint64_t sum = 0;
    for (size_t r = row; r < row + rows; r++)
        for (int i = 0; i < INK_CHANNELS; i++)
            sum += row_sum(map->channel[i] + r * map->columns + column, columns);
    *cells = columns * rows;
    return sum;
}

/* Squares at every half of their side, over the columns of one row of them; in percent. */
static double hand_peak(const struct ink_map *map, struct maps_cells across, size_t row, size_t half)
{
    double peak = 0;
    size_t left_cells, right_cells;
    uint64_t left = half_sum(map, across.from, row, half, &left_cells), right;
    for (size_t c = across.from; c < across.to; c += half, left = right, left_cells = right_cells) {
        right = half_sum(map, c + half, row, half, &right_cells);
        double mean = (double)(left + right) / (double)(left_cells + right_cells) / 100;
        if (mean > peak) peak = mean;
    }
    return peak;
}

struct coverage ink_map_coverage(const struct ink_map *map, struct rect area)
{
    struct coverage coverage = {0};
    double x0 = area.x0 - map->box.x0, x1 = area.x1 - map->box.x0;
    double y0 = area.y0 - map->box.y0, y1 = area.y1 - map->box.y0;
    struct maps_cells across = maps_cells_of(x0, x1, INK_CELL_MM, map->columns);
    struct maps_cells up = maps_cells_of(y0, y1, INK_CELL_MM, map->rows);
    struct stretch_of_cells stretch = maps_stretch_of(across, x0, x1);
    double sums[INK_CHANNELS] = {0}, whole = rect_area(area) / (INK_CELL_MM * INK_CELL_MM);
    unsigned peak = 0;
    for (size_t r = up.from; r < up.to; r++) {
        double high = maps_share(r, y0, y1, INK_CELL_MM);
        size_t at = r * map->columns;
        if (high <= 0) continue;
        for (int i = 0; i < INK_CHANNELS; i++) sums[i] += high * stretch_sum(map->channel[i] + at, stretch);
        unsigned row = stretch_peak(map, at, stretch);
        if (row > peak) peak = row;
    }
    coverage.peak_percent = peak / 100.0;
    for (size_t r = up.from, half = half_hand_cells(); r < up.to; r += half)
        coverage.hand_peak_percent = fmax(coverage.hand_peak_percent, hand_peak(map, across, r, half));
    for (int i = 0; i < INK_CHANNELS && whole > 0; i++) {
        coverage.channel_percent[i] = sums[i] / whole / 100;
        coverage.mean_percent += coverage.channel_percent[i];
    }
    return coverage;
}

double detail_map_mean(const struct detail_map *map, struct rect band)
{
    if (!map->columns || !map->rows) return 0;
    double cell_x = rect_width(map->box) / (double)map->columns,
           cell_y = rect_height(map->box) / (double)map->rows;
    double x0 = band.x0 - map->box.x0, x1 = band.x1 - map->box.x0;
    double y0 = band.y0 - map->box.y0, y1 = band.y1 - map->box.y0;
    struct maps_cells across = maps_cells_of(x0, x1, cell_x, map->columns),
                      up = maps_cells_of(y0, y1, cell_y, map->rows);
    double sum = 0, weight = 0;
    for (size_t r = up.from; r < up.to; r++) {
        double high = maps_share(r, y0, y1, cell_y);
        for (size_t c = across.from; c < across.to; c++) {
            double part = high * maps_share(c, x0, x1, cell_x);
            size_t at = r * map->columns + c;
            sum += part * (2.0 * map->across[at] + map->along[at]) / 3;
            weight += part;
        }
    }
    return weight > 0 ? sum / weight / 100 : 0;
}
