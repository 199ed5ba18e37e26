/* Cells of a table that do not follow the exact transform. In a cell where the transform is even, the middles
 * of all diagonals through it agree with each other and with what the transform makes of the cell's middle.
 * Where they differ by a level there is a bend, and the cell is left to the transform itself. */
#include "table_run.h"
#include "base/pool.h"
#include <stdlib.h>
#include <string.h>

enum { SIDE_MOST = 129 };

struct marking {
    struct table *table;
    size_t lines; /* of cells in a slab: steps^2 with four axes, steps with three */
};

/* How far apart the middles of a cell's diagonals are, at most, in one sample. */
static int spread_of(const struct table *table, size_t corner, size_t sample)
{
    const struct node *lowest = table->nodes + corner, *highest = lowest + table->whole;
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

static int spread_of_cell(const struct table *table, size_t corner)
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
static int miss_of(const struct table *table, size_t corner, const uint16_t *middle)
{
    const struct node *lowest = table->nodes + corner, *highest = lowest + table->whole;
    int most = 0;
    for (size_t s = 0; s < table->out_samples; s++) {
        int miss = abs((lowest->sample[s] + highest->sample[s]) / 2 - table_stored(middle[s]));
        most = miss > most ? miss : most;
    }
    return most;
}

static uint16_t middle_value(size_t cell, size_t steps)
{
    return (uint16_t)(((2 * cell + 1) * 65535 + steps) / (2 * steps));
}

/* One line of cells along the last axis, the first of which is at `place`. */
static void mark_line(const struct table *table, size_t place[TABLE_AXES])
{
    int most = table->miss_most;
    uint16_t in[SIDE_MOST * TABLE_AXES], out[SIDE_MOST * TABLE_AXES];
    size_t axes = (size_t)table->axes, asked[SIDE_MOST], count = 0, corner = 0;
    for (size_t a = 0; a < axes; a++) corner += place[a] * table->strides[a];
    for (size_t i = 0; i < table->steps; i++) {
        int spread = spread_of_cell(table, corner + i);
        table->steep[corner + i] = spread > 2 * most;
        if (spread > 2 * most || spread < most / 2) continue; /* bent for certain, or even */
        place[axes - 1] = i;
        for (size_t a = 0; a < axes; a++) in[count * axes + a] = middle_value(place[a], table->steps);
        asked[count++] = corner + i;
    }
    if (!count) return;
    table->exact.run(table->exact.self, in, out, count);
    for (size_t i = 0; i < count; i++)
        table->steep[asked[i]] = miss_of(table, asked[i], out + i * table->out_samples) > most;
}

/* All cells whose first coordinate is `first`. */
static void mark_slab(void *context, size_t first)
{
    const struct marking *marking = context;
    size_t steps = marking->table->steps;
    for (size_t line = 0; line < marking->lines; line++) {
        size_t place[TABLE_AXES] = {first, line, 0, 0};
        if (marking->table->axes == 4) place[1] = line / steps, place[2] = line % steps;
        mark_line(marking->table, place);
    }
}

/* ---- pixels of steep cells ---- */

/* Answers met before, each one word: the pixel above, what became of it below. Threads share it: a word is
 * read and written whole, and whoever writes it writes the same. */
enum { MEMO_BITS = 17 };

static size_t slot_of(uint32_t pixel)
{
    return pixel * 0x9E3779B1u >> (32 - MEMO_BITS);
}

static void memo_new(struct machine *machine, struct table *table)
{
    table->memo = machine->allocate(machine, ((size_t)1 << MEMO_BITS) * sizeof *table->memo);
    if (!table->memo) machine->no_memory(machine);
    table->memo[0] =
        (uint64_t)1 << 32; /* pixel 0 belongs into slot 0 and pixel 1 does not: this one is empty too */
}

void table_run_exact(const struct table *table, const void *in, size_t at, uint8_t *out)
{
    size_t axes = (size_t)table->axes, samples = table->out_samples;
    if (table->wide) {
        table_ask(table, in, at, out);
        return;
    }
    uint32_t pixel = 0, answer = 0;
    memcpy(&pixel, (const uint8_t *)in + at * axes, axes);
    _Atomic uint64_t *slot = &table->memo[slot_of(pixel)];
    uint64_t known = atomic_load_explicit(slot, memory_order_relaxed);
    if (known >> 32 == pixel) {
        answer = (uint32_t)known;
        memcpy(out, &answer, samples);
        return;
    }
    table_ask(table, in, at, out);
    memcpy(&answer, out, samples);
    atomic_store_explicit(slot, (uint64_t)pixel << 32 | answer, memory_order_relaxed);
}

/* ---- the whole ---- */

void table_mark_steep(struct machine *machine, struct table *table, unsigned threads)
{
    size_t side = table->steps + 1, nodes = table->strides[0] * side;
    table->steep = machine->allocate(machine, nodes);
    if (!table->steep) machine->no_memory(machine);
    if (!table->wide) memo_new(machine, table);
    struct marking marking = {table, table->axes == 4 ? (size_t)table->steps * table->steps : table->steps};
    pool_run(threads, table->steps, mark_slab, &marking);
}
