/* Groups cells that touch into places and keeps the largest. Called by heat.c and meter.c. */
#include "places.h"
#include <assert.h>

struct flood {
    uint32_t *over;
    int columns, rows;
    int *waiting; /* cells; each waits once, since it is emptied as it comes */
    size_t count;
    struct cell_place place;
};

static int places_larger(int a, int b)
{
    return a > b ? a : b;
}

static int places_smaller(int a, int b)
{
    return a < b ? a : b;
}

static void take_cell(struct flood *flood, int column, int row)
{
    if (column < 0 || row < 0 || column >= flood->columns || row >= flood->rows) return;
    int at = row * flood->columns + column;
    uint32_t value = flood->over[at];
    if (!value) return;
    struct cell_place *place = &flood->place;
    place->x0 = places_smaller(place->x0, column), place->x1 = places_larger(place->x1, column + 1);
    place->y0 = places_smaller(place->y0, row), place->y1 = places_larger(place->y1, row + 1);
    place->most = value > place->most ? value : place->most;
    flood->over[at] = 0;
    flood->waiting[flood->count++] = at;
}

static struct cell_place take_place(struct flood *flood, int first)
{
    flood->place = (struct cell_place){flood->columns, flood->rows, 0, 0, 0};
    take_cell(flood, first % flood->columns, first / flood->columns);
    while (flood->count) {
        int at = flood->waiting[--flood->count], column = at % flood->columns, row = at / flood->columns;
        take_cell(flood, column - 1, row), take_cell(flood, column + 1, row);
        take_cell(flood, column, row - 1), take_cell(flood, column, row + 1);
    }
    assert(flood->place.x0 < flood->place.x1 && flood->place.y0 < flood->place.y1);
    return flood->place;
}

/* `count` are kept already. */
static void keep_place(struct cell_place *kept, size_t count, size_t keep, struct cell_place place)
{
    size_t at = count;
    while (at > 0 && kept[at - 1].most < place.most) at--;
    if (at == keep) return;
    for (size_t i = count < keep ? count : keep - 1; i > at; i--) kept[i] = kept[i - 1];
    kept[at] = place;
}

size_t cell_places(struct arena *arena, uint32_t *over, int columns, int rows, struct cell_place *kept,
                   size_t keep)
{
    size_t cells = (size_t)columns * (size_t)rows, total = 0;
    struct flood flood = {over, columns, rows, arena_take_array(arena, cells, sizeof(int)), 0, {0}};
    for (size_t i = 0; i < cells; i++) {
        if (!over[i]) continue;
        keep_place(kept, total < keep ? total : keep, keep, take_place(&flood, (int)i));
        total++;
    }
    return total;
}
