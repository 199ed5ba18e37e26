/* Private to scan: the maps, grown row by row. */
#ifndef SCAN_MAPS_H
#define SCAN_MAPS_H

#include "scan/scan.h"

struct map_maker;
struct map_maker *map_maker_new(struct arena *arena, struct rect box, size_t columns, size_t rows,
                                const struct scan_colours *colours, int preview_most);
/* One row of 1 mm, `row` from below, given from the top row down: sums x share is CMYK 0..255 exactly, `cmyk`
 * the same rounded. */
void map_maker_row(struct map_maker *maker, size_t row, const float *sums, float share, const uint8_t *cmyk);
struct surface_scan map_maker_result(struct map_maker *maker);

#endif
