/* Joins estimated and counted ink into one picture of a surface and finds the places over the limit. Called
 * by run after panels were made. */
#include "scan/heat.h"
#include "base/number.h"
#include "places.h"
#include <assert.h>
#include <math.h>

enum { BARE, ESTIMATED, COUNTED };

/* A surface's last cells may be slivers that no print's whole pixels reach. */
static const double REACH_MM = 1;

struct heat_maker {
    struct arena *arena;
    const struct ink_map *estimate;
    struct ink_heat *heat;
    uint8_t *state; /* of each cell */
};

struct heat_maker *heat_maker_new(struct arena *arena, const struct ink_map *estimate, double limit_percent)
{
    struct heat_maker *maker = arena_take(arena, sizeof *maker);
    size_t cells = estimate->columns * estimate->rows;
    *maker = (struct heat_maker){arena, estimate, arena_take(arena, sizeof *maker->heat),
                                 arena_take_array(arena, cells, sizeof *maker->state)};
    *maker->heat = (struct ink_heat){.box = estimate->box,
                                     .columns = estimate->columns,
                                     .rows = estimate->rows,
                                     .level = arena_take_array(arena, cells, sizeof(uint16_t)),
                                     .limit_percent = limit_percent};
    return maker;
}

/* The part of a cell that lies on the surface. */
static struct rect cell_rect(const struct ink_heat *heat, size_t column, size_t row)
{
    double x = heat->box.x0 + (double)column * INK_CELL_MM, y = heat->box.y0 + (double)row * INK_CELL_MM;
    return (struct rect){x, y, fmin(x + INK_CELL_MM, heat->box.x1), fmin(y + INK_CELL_MM, heat->box.y1)};
}

static bool covers(struct rect area, struct rect cell)
{
    double x = (cell.x0 + cell.x1) / 2, y = (cell.y0 + cell.y1) / 2;
    return x > area.x0 - REACH_MM && x < area.x1 + REACH_MM && y > area.y0 - REACH_MM &&
           y < area.y1 + REACH_MM;
}

/* The number of the cell that holds `mm`, from the first cell's lower end, kept within 0..count. */
static size_t heat_cell_at(double mm, size_t count)
{
    return (size_t)clamp_double(floor(mm / INK_CELL_MM), 0, (double)count);
}

/* Calls `take` for each cell that the area covers. */
static void each_cell(struct heat_maker *maker, struct rect area, void *self,
                      void (*take)(struct heat_maker *maker, void *self, struct rect cell, size_t at))
{
    const struct ink_heat *heat = maker->heat;
    double x = heat->box.x0, y = heat->box.y0, more = REACH_MM + INK_CELL_MM;
    size_t from = heat_cell_at(area.x0 - x - more, heat->columns),
           to = heat_cell_at(area.x1 - x + more, heat->columns);
    size_t low = heat_cell_at(area.y0 - y - more, heat->rows),
           high = heat_cell_at(area.y1 - y + more, heat->rows);
    for (size_t row = low; row < high; row++)
        for (size_t column = from; column < to; column++) {
            struct rect cell = cell_rect(heat, column, row);
            if (covers(area, cell)) take(maker, self, cell, row * heat->columns + column);
        }
}

static void take_estimate(struct heat_maker *maker, void *self, struct rect cell, size_t at)
{
    (void)self, (void)cell;
    if (maker->state[at] != BARE) return;
    unsigned total = 0;
    for (int i = 0; i < INK_CHANNELS; i++) total += maker->estimate->channel[i][at];
    maker->heat->level[at] = (uint16_t)total;
    maker->state[at] = ESTIMATED;
}

void heat_maker_estimate(struct heat_maker *maker, struct rect area)
{
    each_cell(maker, area, NULL, take_estimate);
}

/* ---- counted ---- */

struct heat_cells {
    int from, to;
};

/* Cells of a print along one axis, `count` of them each `step` long over `length`, that belong to the
 * stretch low..high of it. */
static struct heat_cells cells_in(double low, double high, double step, double length, int count)
{
    int most = (int)fmin(count, ceil(length / step - 1e-6)) - 1;
    int middle = (int)clamp_double(floor((low + high) / 2 / step), 0, most);
    int first = (int)ceil(low / step - 0.5), last = (int)ceil(high / step - 0.5) - 1;
    if (high > length - REACH_MM) last = most; /* which may be smaller, its middle elsewhere */
    first = (int)clamp_double(first, 0, middle);
    last = (int)clamp_double(last, middle, most);
    return (struct heat_cells){first, last + 1};
}

static uint16_t level_in(const struct heat_print *print, struct rect cell)
{
    const struct ink_reading *r = print->reading;
    struct rect p = print->printed ? print->printed(print->self, cell) : cell;
    struct heat_cells across =
        cells_in(p.x0 - print->box.x0, p.x1 - print->box.x0, r->window_x * print->pixel_mm,
                 rect_width(print->box), r->cell_columns);
    struct heat_cells down = cells_in(print->box.y1 - p.y1, print->box.y1 - p.y0,
                                      r->window_y * print->pixel_mm, rect_height(print->box), r->cell_rows);
    assert(across.to <= r->cell_columns && down.to <= r->cell_rows);
    uint16_t most = 0;
    for (int row = down.from; row < down.to; row++)
        for (int column = across.from; column < across.to; column++) {
            uint16_t level = r->cell_levels[row * r->cell_columns + column];
            most = level > most ? level : most;
        }
    return most;
}

static void heat_take_count(struct heat_maker *maker, void *self, struct rect cell, size_t at)
{
    uint16_t level = level_in(self, cell), *here = &maker->heat->level[at];
    if (maker->state[at] != COUNTED || level > *here) *here = level;
    maker->state[at] = COUNTED;
}

void heat_maker_count(struct heat_maker *maker, const struct heat_print *print)
{
    struct heat_print copy = *print;
    each_cell(maker, print->area, &copy, heat_take_count);
}

/* ---- the result ---- */

static struct heat_place heat_place_on(const struct ink_heat *heat, const struct cell_place *place)
{
    struct rect low = cell_rect(heat, (size_t)place->x0, (size_t)place->y0);
    struct rect high = cell_rect(heat, (size_t)place->x1 - 1, (size_t)place->y1 - 1);
    return (struct heat_place){{low.x0, low.y0, high.x1, high.y1}, place->most / 100.0};
}

static void heat_find_places(struct heat_maker *maker)
{
    struct ink_heat *heat = maker->heat;
    size_t cells = heat->columns * heat->rows;
    uint32_t *over = arena_take_array(maker->arena, cells, sizeof *over);
    for (size_t i = 0; i < cells; i++)
        over[i] = heat->level[i] > heat->limit_percent * 100 ? heat->level[i] : 0;
    struct cell_place places[HEAT_PLACES_MOST];
    heat->place_total =
        cell_places(maker->arena, over, (int)heat->columns, (int)heat->rows, places, HEAT_PLACES_MOST);
    heat->place_count = heat->place_total < HEAT_PLACES_MOST ? heat->place_total : HEAT_PLACES_MOST;
    for (size_t i = 0; i < heat->place_count; i++) heat->places[i] = heat_place_on(heat, &places[i]);
}

struct ink_heat *heat_maker_result(struct heat_maker *maker)
{
    struct ink_heat *heat = maker->heat;
    for (size_t i = 0; i < heat->columns * heat->rows; i++) {
        heat->counted += maker->state[i] == COUNTED;
        heat->estimated += maker->state[i] == ESTIMATED;
    }
    heat_find_places(maker);
    return heat;
}
