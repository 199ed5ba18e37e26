/* Cells of a table that do not follow the exact transform. In a cell where the transform is even, the middles
 * of all diagonals through it agree with each other and with what the transform makes of the cell's middle.
 * Where they differ by a level there is a bend, and the cell is left to the transform itself. */
#include "table_run.h"
#include "base/pool.h"
#include <stdlib.h>

enum { SIDE_MOST = 129 };

struct marking {
    struct table *table;
    size_t lines; /* of cells in a slab: steps^2 with four axes, steps with three */
};

static int larger(int a, int b)
{
    return a > b ? a : b;
}

/* How far one sample is off in the cell at `corner`, whose middle should be `middle`. */
static int miss_of(const struct table *table, size_t corner, size_t sample, int middle)
{
    const struct node *lowest = table->nodes + corner, *highest = lowest + table->whole;
    int least = INT32_MAX, most = INT32_MIN;
    for (unsigned diagonal = 0; diagonal < 1u << (table->axes - 1); diagonal++) {
        size_t along = 0;
        for (int a = 0; a < table->axes - 1; a++)
            if (diagonal >> a & 1) along += table->strides[a];
        int twice = lowest[along].sample[sample] + (highest - along)->sample[sample];
        least = twice < least ? twice : least, most = larger(twice, most);
    }
    /* The table's own answer in the middle lies on the diagonal from the lowest corner to the highest. */
    int own = (lowest->sample[sample] + highest->sample[sample]) / 2;
    return larger(abs(own - middle), (most - least) / 4);
}

static bool is_steep(const struct table *table, size_t corner, const uint16_t *middle)
{
    /* By measuring: with these at most 0.05 % of random CMYK and 0.2 % of random Lab are off by more than 1.
     */
    int most = table->axes == 4 ? NODE_LEVEL : NODE_LEVEL / 2;
    for (size_t s = 0; s < table->out_samples; s++)
        if (miss_of(table, corner, s, table_stored(middle[s])) > most) return true;
    return false;
}

static uint16_t middle_value(size_t cell, size_t steps)
{
    return (uint16_t)(((2 * cell + 1) * 65535 + steps) / (2 * steps));
}

/* All cells whose first coordinate is `first`, in lines along the last axis. */
static void mark_slab(void *context, size_t first)
{
    const struct marking *marking = context;
    const struct table *table = marking->table;
    size_t steps = table->steps, axes = (size_t)table->axes;
    uint16_t in[SIDE_MOST * TABLE_AXES], out[SIDE_MOST * TABLE_AXES];
    for (size_t line = 0; line < marking->lines; line++) {
        size_t place[TABLE_AXES] = {first, line / steps, line % steps};
        if (axes == 3) place[1] = line;
        for (size_t i = 0; i < steps; i++) {
            place[axes - 1] = i;
            for (size_t a = 0; a < axes; a++) in[i * axes + a] = middle_value(place[a], steps);
        }
        table->exact.run(table->exact.self, in, out, steps);
        place[axes - 1] = 0;
        size_t corner = 0;
        for (size_t a = 0; a < axes; a++) corner += place[a] * table->strides[a];
        for (size_t i = 0; i < steps; i++)
            table->steep[corner + i] = is_steep(table, corner + i, out + i * table->out_samples);
    }
}

void table_mark_steep(struct machine *machine, struct table *table, unsigned threads)
{
    size_t side = table->steps + 1, nodes = table->strides[0] * side;
    table->steep = machine->allocate(machine, nodes);
    if (!table->steep) machine->no_memory(machine);
    struct marking marking = {table, table->axes == 4 ? (size_t)table->steps * table->steps : table->steps};
    pool_run(threads, table->steps, mark_slab, &marking);
}
