/* Fills a colour table from an exact transform and interpolates in it, the portable way. Called by
 * transform.c; table_quick.c has the faster run and table_steep.c the cells that need the exact transform.
 */
#include "table.h"
#include "base/pool.h"
#include "table_run.h"
#include <string.h>

/* Steps on a side. For CMYK 37^4 nodes of 8 bytes are 15 MB; with 33 the limits of colour/transform.h are
 * only just kept. */
enum { STEPS_RGB = LEVELS_STEPS, STEPS_CMYK = 36, COARSE_CMYK = 12, SIDE_MOST = STEPS_RGB + 1 };

static void *table_take(struct machine *machine, size_t count, size_t size)
{
    void *memory = machine->allocate(machine, count * size);
    if (!memory) machine->no_memory(machine);
    return memory;
}

/* ---- filling ---- */

struct table_filling {
    struct colour_table *table;
    size_t in_samples, out_samples;
};

/* One slab: all nodes whose first coordinate is `first`. */
static void fill_slab(void *context, size_t first)
{
    const struct table_filling *filling = context;
    const struct colour_table *table = filling->table;
    size_t steps = table->steps, side = steps + 1, lines = table->axes == 4 ? side * side : side;
    uint16_t in[SIDE_MOST * 4], out[SIDE_MOST * 4];
    for (size_t line = 0; line < lines; line++) {
        for (size_t i = 0; i < side; i++) {
            uint16_t *pixel = in + i * filling->in_samples;
            size_t axis = 0;
            pixel[axis++] = table_node_value(table, first);
            if (table->axes == 4) pixel[axis++] = table_node_value(table, line / side);
            pixel[axis++] = table_node_value(table, line % side);
            pixel[axis] = table_node_value(table, i);
        }
        table->exact.compute(table->exact.self, in, out, side);
        struct table_node *to = table->nodes + (first * lines + line) * side;
        for (size_t i = 0; i < side; i++)
            for (size_t s = 0; s < filling->out_samples; s++)
                to[i].sample[s] = table_stored(out[i * filling->out_samples + s]);
        for (size_t i = 0; i < side; i++) to[i].sample[3] &= ~STEEP_BIT;
    }
}

static void fill_grey(struct colour_table *table)
{
    const struct exact exact = table->exact;
    size_t values = table->wide ? 65536 : 256;
    for (size_t v = 0; v < values; v++) {
        uint16_t in = (uint16_t)(table->wide ? v : v * 257), out[4];
        exact.compute(exact.self, &in, out, 1);
        for (size_t s = 0; s < table->out_samples; s++) table->grey[v * 4 + s] = table_8bit(out[s]);
    }
}

/* ---- interpolating, the portable way ---- */

/* Keys in falling order: way and axis in one number, so that sorting ways sorts axes. */
static inline void sort_keys(uint32_t *keys, int axes)
{
    for (int i = 1; i < axes; i++)
        for (int k = i; k > 0 && keys[k] > keys[k - 1]; k--) {
            uint32_t key = keys[k];
            keys[k] = keys[k - 1], keys[k - 1] = key;
        }
}

/* From the lowest corner of the cell along the axis with the longest way, then the next, to the highest
 * corner: the tetrahedron (with four axes the simplex) that holds the colour. The weights sum to WAY_ONE. */
static void run_cell(const struct colour_table *table, size_t node, uint32_t *keys, uint8_t *out)
{
    sort_keys(keys, table->axes);
    int32_t sum[4] = {ROUND, ROUND, ROUND, ROUND};
    uint32_t way = WAY_ONE;
    for (int i = 0; i <= table->axes; i++) {
        uint32_t next = i < table->axes ? keys[i] >> KEY_AXIS_BITS : 0;
        for (int s = 0; s < 4; s++) sum[s] += table->nodes[node].sample[s] * (int32_t)(way - next);
        way = next;
        if (i < table->axes) node += table->strides[keys[i] & KEY_AXIS_MASK];
    }
    for (size_t s = 0; s < table->out_samples; s++) out[s] = (uint8_t)(sum[s] >> SUM_SHIFT);
}

static struct table_place place_at(const struct colour_table *table, const void *in, size_t at)
{
    if (!table->simplices) return table_place_of(table_value(in, at, table->wide), table->steps);
    unsigned level = ((const uint8_t *)in)[at];
    return (struct table_place){level / LEVELS, way_of_code(code_of(level))};
}

static void run_plain(const struct colour_table *table, const void *in, uint8_t *out, size_t count)
{
    for (size_t i = 0; i < count; i++, out += table->out_samples) {
        uint32_t keys[TABLE_AXES];
        size_t corner = 0;
        for (int a = 0; a < table->axes; a++) {
            struct table_place place = place_at(table, in, i * (size_t)table->axes + (size_t)a);
            keys[a] = place.way << KEY_AXIS_BITS | (uint32_t)a;
            corner += place.node * table->strides[a];
        }
        if (table->has_steep && table_is_steep(table, corner))
            table_run_exact(table, in, i, corner, out);
        else
            run_cell(table, corner, keys, out);
    }
}

static void run_grey(const struct colour_table *table, const void *in, uint8_t *out, size_t count)
{
    for (size_t i = 0; i < count; i++, out += table->out_samples) {
        size_t value = table->wide ? ((const uint16_t *)in)[i] : ((const uint8_t *)in)[i];
        memcpy(out, table->grey + value * 4, table->out_samples);
    }
}

/* ---- the whole ---- */

static uint32_t table_steps_of(int axes, enum table_fineness fineness)
{
    return axes == 3 ? STEPS_RGB : fineness == TABLE_COARSE ? COARSE_CMYK : STEPS_CMYK;
}

uint64_t table_cost(enum pixel_format in, enum table_fineness fineness)
{
    size_t axes = pixel_samples(in);
    if (axes == 1) return 256;
    uint64_t nodes = 1;
    for (size_t a = 0; a < axes; a++) nodes *= table_steps_of((int)axes, fineness) + 1;
    return fineness == TABLE_STEEP ? 2 * nodes : nodes; /* corners and middles */
}

/* The two corners between the lowest and the highest, and the weights of all four. */
static struct simplex simplex_of(const struct colour_table *table, const unsigned codes[3])
{
    uint32_t keys[3];
    for (unsigned a = 0; a < 3; a++) keys[a] = way_of_code(codes[a]) << KEY_AXIS_BITS | a;
    sort_keys(keys, 3);
    uint32_t one = keys[0] >> KEY_AXIS_BITS, two = keys[1] >> KEY_AXIS_BITS, three = keys[2] >> KEY_AXIS_BITS;
    uint32_t second = table->strides[keys[0] & KEY_AXIS_MASK] * (uint32_t)sizeof *table->nodes;
    uint32_t on = table->strides[keys[1] & KEY_AXIS_MASK] * (uint32_t)sizeof *table->nodes;
    return (struct simplex){.weights = {(WAY_ONE - one) | (one - two) << 16, (two - three) | three << 16},
                            .second = second,
                            .third = second + on};
}

static void make_simplices(struct machine *machine, struct colour_table *table)
{
    table->simplices = table_take(machine, SIMPLICES, sizeof *table->simplices);
    for (unsigned i = 0; i < SIMPLICES; i++) {
        unsigned codes[3] = {i / CODES / CODES, i / CODES % CODES, i % CODES};
        bool met = codes[0] < CODES - 1 && codes[1] < CODES - 1 && codes[2] < CODES - 1;
        if (met) table->simplices[i] = simplex_of(table, codes);
    }
}

static void make_grid(struct machine *machine, struct colour_table *table,
                      const struct table_filling *filling, enum table_fineness fineness, struct pool *pool)
{
    table->steps = table_steps_of(table->axes, fineness);
    size_t side = table->steps + 1, nodes = 1;
    for (int a = table->axes - 1; a >= 0; a--) {
        table->strides[a] = (uint32_t)nodes;
        table->whole += table->strides[a];
        nodes *= side;
    }
    table->nodes = table_take(machine, nodes, sizeof *table->nodes);
    if (table->axes == 3 && !table->wide) make_simplices(machine, table);
    pool_run(pool, side, fill_slab, (void *)filling);
    if (fineness == TABLE_STEEP) table_mark_steep(machine, table, pool);
}

/* By measuring: so at most 0.13 % of random samples, and a third of that of photographs, are off by more than
 * a level. Of random Lab no ink reaches most, and the profile's gamut makes many bends; nodes for CMYK stand
 * further apart. */
static int miss_most(enum pixel_format in)
{
    if (in == PIXELS_LAB8 || in == PIXELS_LAB16) return NODE_LEVEL * 2 / 5;
    return pixel_samples(in) == 4 ? NODE_LEVEL * 3 / 4 : NODE_LEVEL;
}

struct colour_table *table_new(struct machine *machine, enum pixel_format in, enum pixel_format out,
                               enum table_fineness fineness, struct exact exact, struct pool *pool)
{
    struct colour_table *table = table_take(machine, 1, sizeof *table);
    struct table_filling filling = {table, pixel_samples(in), pixel_samples(out)};
    table->axes = (int)filling.in_samples;
    table->wide = pixel_bytes(in) != filling.in_samples;
    table->out_samples = filling.out_samples;
    table->exact = exact;
    table->miss_most = miss_most(in);
    if (table->axes == 1) {
        table->grey = table_take(machine, table->wide ? 65536 : 256, 4);
        fill_grey(table);
    } else {
        make_grid(machine, table, &filling, fineness, pool);
    }
    return table;
}

void table_free(struct machine *machine, struct colour_table *table)
{
    if (!table) return;
    if (table->nodes) machine->release(machine, table->nodes);
    if (table->simplices) machine->release(machine, table->simplices);
    table_free_steep(machine, table);
    if (table->grey) machine->release(machine, table->grey);
    machine->release(machine, table);
}

void table_run(const struct colour_table *table, const void *in, uint8_t *out, size_t count)
{
    size_t done = table->axes == 1 ? 0 : table_run_quick(table, in, out, count);
    size_t in_bytes = (size_t)table->axes * (table->wide ? 2 : 1);
    table_run_plain(table, (const uint8_t *)in + done * in_bytes, out + done * table->out_samples,
                    count - done);
}

void table_run_plain(const struct colour_table *table, const void *in, uint8_t *out, size_t count)
{
    (table->axes == 1 ? run_grey : run_plain)(table, in, out, count);
}
