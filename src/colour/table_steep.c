/* Cells of a table that do not follow the exact transform. In a cell where the transform is even, the middles
 * of all diagonals through it agree with each other and with what the transform makes of the cell's middle.
 * Where they differ by more than the table may miss there is a bend, and the cell is left to the transform
 * itself. */
#include "table_run.h"
#include "base/pool.h"
#include <stdlib.h>
#include <string.h>

enum { SIDE_MOST = 129 };

struct marking {
    struct colour_table *table;
    size_t lines;   /* of cells in a slab: steps^2 with four axes, steps with three */
    uint8_t *steep; /* for each lowest corner; the nodes themselves are read meanwhile */
};

/* How far apart the middles of a cell's diagonals are, at most, in one sample. */
static int spread_of(const struct colour_table *table, size_t corner, size_t sample)
{
    const struct table_node *lowest = table->nodes + corner, *highest = lowest + table->whole;
    int least = INT32_MAX, most = INT32_MIN;
    for (unsigned diagonal = 0; diagonal < 1u << (table->axes - 1); diagonal++) {
        size_t along = 0;
        for (int a = 0; a < table->axes - 1; a++)
            if (diagonal >> a & 1) along += table->strides[a];
        int twice = lowest[along].sample[sample] + (highest - along)->sample[sample];
        least = twice < least ? twice : least, most = twice > most ? twice : most;
    }
    return (most - least) / 2;
}

static int spread_of_cell(const struct colour_table *table, size_t corner)
{
    int most = 0;
    for (size_t s = 0; s < table->out_samples; s++) {
        int spread = spread_of(table, corner, s);
        most = spread > most ? spread : most;
    }
    return most;
}

/* How far the table's own answer in the middle of a cell is from the right one. That answer lies on the
 * diagonal from the lowest corner to the highest. */
static int miss_of(const struct colour_table *table, size_t corner, const uint16_t *middle)
{
    const struct table_node *lowest = table->nodes + corner, *highest = lowest + table->whole;
    int most = 0;
    for (size_t s = 0; s < table->out_samples; s++) {
        int miss = abs((lowest->sample[s] + highest->sample[s]) / 2 - table_stored(middle[s]));
        most = miss > most ? miss : most;
    }
    return most;
}

static uint16_t middle_value(const struct colour_table *table, size_t cell)
{
    return (uint16_t)((table_node_value(table, cell) + table_node_value(table, cell + 1) + 1) / 2);
}

/* One line of cells along the last axis, the first of which is at `place`. */
static void mark_line(const struct colour_table *table, size_t place[TABLE_AXES], uint8_t *steep)
{
    int most = table->miss_most;
    uint16_t in[SIDE_MOST * TABLE_AXES], out[SIDE_MOST * TABLE_AXES];
    size_t axes = (size_t)table->axes, asked[SIDE_MOST], count = 0, corner = 0;
    for (size_t a = 0; a < axes; a++) corner += place[a] * table->strides[a];
    for (size_t i = 0; i < table->steps; i++) {
        int spread = spread_of_cell(table, corner + i);
        steep[corner + i] = spread > 2 * most;
        if (spread > 2 * most || spread < most / 2) continue; /* bent for certain, or even */
        place[axes - 1] = i;
        for (size_t a = 0; a < axes; a++) in[count * axes + a] = middle_value(table, place[a]);
        asked[count++] = corner + i;
    }
    if (!count) return;
    table->exact.compute(table->exact.self, in, out, count);
    for (size_t i = 0; i < count; i++)
        steep[asked[i]] = miss_of(table, asked[i], out + i * table->out_samples) > most;
}

/* All cells whose first coordinate is `first`. */
static void mark_slab(void *context, size_t first)
{
    const struct marking *marking = context;
    size_t steps = marking->table->steps;
    for (size_t line = 0; line < marking->lines; line++) {
        size_t place[TABLE_AXES] = {first, line, 0, 0};
        if (marking->table->axes == 4) place[1] = line / steps, place[2] = line % steps;
        mark_line(marking->table, place, marking->steep);
    }
}

/* ---- answers met before ---- */

/* A table with simplices has a block for each steep cell, with room for each of its colours; where there are
 * more such cells than a block's number can tell, the last are always asked. With four axes a cell holds too
 * many colours, and those met lately stand in one list: the pixel above, what became of it below.
 *
 * Threads share both: a word is read and written whole, and whoever writes it writes the same. */
enum { LIST_BITS = 17, BLOCK = LEVELS * LEVELS * LEVELS, BLOCKS_MOST = 65535 };

struct steep {
    uint16_t *numbers;        /* by corner: of its block; BLOCKS_MOST: none */
    _Atomic uint32_t *blocks; /* inverted, so that 0 is free; an answer that is 0 then is asked again */
    _Atomic uint64_t *list;
};

static void *steep_take(struct machine *machine, size_t count, size_t size)
{
    void *memory = machine->allocate(machine, count * size);
    if (!memory) machine->no_memory(machine);
    return memory;
}

static void make_blocks(struct machine *machine, const struct colour_table *table, size_t nodes)
{
    size_t count = 0;
    table->steep->numbers = steep_take(machine, nodes, sizeof *table->steep->numbers);
    for (size_t i = 0; i < nodes; i++) {
        if (!table_is_steep(table, i)) continue;
        table->steep->numbers[i] = (uint16_t)(count < BLOCKS_MOST ? count++ : BLOCKS_MOST);
    }
    table->steep->blocks = steep_take(machine, (count + 1) * BLOCK, sizeof *table->steep->blocks);
}

static size_t slot_of(uint32_t pixel)
{
    return pixel * 0x9E3779B1u >> (32 - LIST_BITS);
}

static void make_list(struct machine *machine, const struct colour_table *table)
{
    table->steep->list = steep_take(machine, (size_t)1 << LIST_BITS, sizeof *table->steep->list);
    /* Pixel 0 belongs into slot 0 and pixel 1 does not: this one is empty too. */
    table->steep->list[0] = (uint64_t)1 << 32;
}

void table_free_steep(struct machine *machine, struct colour_table *table)
{
    struct steep *steep = table->steep;
    if (!steep) return;
    if (steep->numbers) machine->release(machine, steep->numbers);
    if (steep->blocks) machine->release(machine, (void *)steep->blocks);
    if (steep->list) machine->release(machine, (void *)steep->list);
    machine->release(machine, steep);
}

/* ---- pixels of steep cells ---- */

/* One pixel by the exact transform. */
static void table_ask(const struct colour_table *table, const void *in, size_t at, uint8_t *out)
{
    uint16_t pixel[TABLE_AXES], answer[4];
    size_t axes = (size_t)table->axes;
    for (size_t a = 0; a < axes; a++) pixel[a] = (uint16_t)table_value(in, at * axes + a, table->wide);
    table->exact.compute(table->exact.self, pixel, answer, 1);
    for (size_t s = 0; s < table->out_samples; s++) out[s] = table_8bit(answer[s]);
}

static void run_in_block(const struct colour_table *table, const uint8_t *in, size_t at, size_t number,
                         uint8_t *out)
{
    const uint8_t *pixel = in + at * 3;
    size_t red = pixel[0] % LEVELS, green = pixel[1] % LEVELS, blue = pixel[2] % LEVELS;
    _Atomic uint32_t *slot = &table->steep->blocks[number * BLOCK + (red * LEVELS + green) * LEVELS + blue];
    uint32_t answer = ~atomic_load_explicit(slot, memory_order_relaxed);
    if (!~answer) {
        table_ask(table, in, at, out);
        memcpy(&answer, out, table->out_samples);
        atomic_store_explicit(slot, ~answer, memory_order_relaxed);
    }
    memcpy(out, &answer, table->out_samples);
}

static void run_in_list(const struct colour_table *table, const uint8_t *in, size_t at, uint8_t *out)
{
    uint32_t pixel = 0, answer = 0;
    memcpy(&pixel, in + at * (size_t)table->axes, (size_t)table->axes);
    _Atomic uint64_t *slot = &table->steep->list[slot_of(pixel)];
    uint64_t known = atomic_load_explicit(slot, memory_order_relaxed);
    if (known >> 32 == pixel) {
        answer = (uint32_t)known;
        memcpy(out, &answer, table->out_samples);
        return;
    }
    table_ask(table, in, at, out);
    memcpy(&answer, out, table->out_samples);
    atomic_store_explicit(slot, (uint64_t)pixel << 32 | answer, memory_order_relaxed);
}

void table_run_exact(const struct colour_table *table, const void *in, size_t at, size_t corner, uint8_t *out)
{
    size_t number = table->steep && table->steep->numbers ? table->steep->numbers[corner] : BLOCKS_MOST;
    if (table->steep && table->steep->list)
        run_in_list(table, in, at, out);
    else if (number < BLOCKS_MOST)
        run_in_block(table, in, at, number, out);
    else
        table_ask(table, in, at, out);
}

/* ---- the whole ---- */

void table_mark_steep(struct machine *machine, struct colour_table *table, struct pool *pool)
{
    size_t side = table->steps + 1, nodes = table->strides[0] * side;
    struct marking marking = {table, table->axes == 4 ? (size_t)table->steps * table->steps : table->steps,
                              steep_take(machine, nodes, 1)};
    pool_run(pool, table->steps, mark_slab, &marking);
    for (size_t i = 0; i < nodes; i++)
        if (marking.steep[i]) table->nodes[i].sample[3] |= STEEP_BIT;
    machine->release(machine, marking.steep);
    table->has_steep = true;
    if (table->wide) return;
    table->steep = steep_take(machine, 1, sizeof *table->steep);
    if (table->simplices)
        make_blocks(machine, table, nodes);
    else
        make_list(machine, table);
}
