/* Private to scan: places in a grid of cells, cells over some limit that touch by a side. */
#ifndef SCAN_PLACES_H
#define SCAN_PLACES_H

#include "base/arena.h"
#include <stddef.h>
#include <stdint.h>

struct cell_place {
    int x0, y0, x1, y1; /* cells; x1 and y1 lie outside */
    uint32_t most;      /* largest value in it */
};

/* `over` holds columns x rows values, 0 where a cell is not over; it is emptied on the way. The heaviest
 * `keep` places go to `kept` in falling order, equal ones as they are found, row by row. Returns how many
 * there are in all. */
size_t cell_places(struct arena *arena, uint32_t *over, int columns, int rows, struct cell_place *kept,
                   size_t keep);

#endif
