#include "model/maps.h"
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
struct cells {
    size_t from, to;
};

static struct cells cells_of(double from_mm, double to_mm, double cell_mm, size_t count)
{
    double first = floor(from_mm / cell_mm), last = ceil(to_mm / cell_mm);
    struct cells cells = {first < 0 ? 0 : (size_t)first, last < 0 ? 0 : (size_t)last};
    if (cells.to > count) cells.to = count;
    if (cells.from > cells.to) cells.from = cells.to;
    return cells;
}

/* The share of cell i that lies inside from..to. */
static double share(size_t i, double from_mm, double to_mm, double cell_mm)
{
    double low = fmax(from_mm, (double)i * cell_mm), high = fmin(to_mm, (double)(i + 1) * cell_mm);
    return high > low ? (high - low) / cell_mm : 0;
}

static double cell_total(const struct ink_map *map, size_t at)
{
    double total = 0;
    for (int c = 0; c < INK_CHANNELS; c++) total += map->channel[c][at];
    return total / 100;
}

/* Mean total of the square of `side` cells whose lower left cell is (column, row), cut at the map's edge. */
static double square_mean(const struct ink_map *map, size_t column, size_t row, size_t side)
{
    double sum = 0;
    size_t count = 0;
    for (size_t r = row; r < row + side && r < map->rows; r++)
        for (size_t c = column; c < column + side && c < map->columns; c++, count++)
            sum += cell_total(map, r * map->columns + c);
    return count ? sum / (double)count : 0;
}

struct coverage ink_map_coverage(const struct ink_map *map, struct rect area)
{
    enum { HAND_CELLS = 20 }; /* 100 mm */
    struct coverage coverage = {0};
    double x0 = area.x0 - map->box.x0, x1 = area.x1 - map->box.x0;
    double y0 = area.y0 - map->box.y0, y1 = area.y1 - map->box.y0;
    struct cells across = cells_of(x0, x1, INK_CELL_MM, map->columns);
    struct cells up = cells_of(y0, y1, INK_CELL_MM, map->rows);
    double sums[INK_CHANNELS] = {0}, whole = rect_area(area) / (INK_CELL_MM * INK_CELL_MM);
    for (size_t r = up.from; r < up.to; r++) {
        double high = share(r, y0, y1, INK_CELL_MM);
        for (size_t c = across.from; c < across.to; c++) {
            size_t at = r * map->columns + c;
            double part = high * share(c, x0, x1, INK_CELL_MM);
            for (int i = 0; i < INK_CHANNELS; i++) sums[i] += part * map->channel[i][at];
            if (part > 0) coverage.peak_percent = fmax(coverage.peak_percent, cell_total(map, at));
        }
    }
    for (size_t r = up.from; r < up.to; r += HAND_CELLS / 2)
        for (size_t c = across.from; c < across.to; c += HAND_CELLS / 2)
            coverage.hand_peak_percent = fmax(coverage.hand_peak_percent, square_mean(map, c, r, HAND_CELLS));
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
    struct cells across = cells_of(x0, x1, cell_x, map->columns), up = cells_of(y0, y1, cell_y, map->rows);
    double sum = 0, weight = 0;
    for (size_t r = up.from; r < up.to; r++) {
        double high = share(r, y0, y1, cell_y);
        for (size_t c = across.from; c < across.to; c++) {
            double part = high * share(c, x0, x1, cell_x);
            size_t at = r * map->columns + c;
            sum += part * (2.0 * map->across[at] + map->along[at]) / 3;
            weight += part;
        }
    }
    return weight > 0 ? sum / weight / 100 : 0;
}
