#include "table.h"
#include "base/pool.h"
#include "table_run.h"
#include <string.h>

/* Steps on a side. With 40 for CMYK (41^4 nodes of 8 bytes, 23 MB) inks in steps of 2.5 % lie on nodes. */
enum { STEPS_RGB = 64, STEPS_CMYK = 40, COARSE_RGB = 32, COARSE_CMYK = 12, SIDE_MOST = STEPS_RGB + 1 };

static void *take(struct machine *machine, size_t count, size_t size)
{
    void *memory = machine->allocate(machine, count * size);
    if (!memory) machine->no_memory(machine);
    return memory;
}

/* ---- filling ---- */

static uint16_t node_value(size_t node, size_t steps)
{
    return (uint16_t)((node * 65535 + steps / 2) / steps);
}

struct filling {
    struct table *table;
    size_t in_samples, out_samples;
};

/* One slab: all nodes whose first coordinate is `first`. */
static void fill_slab(void *context, size_t first)
{
    const struct filling *filling = context;
    const struct table *table = filling->table;
    size_t steps = table->steps, side = steps + 1, lines = table->axes == 4 ? side * side : side;
    uint16_t in[SIDE_MOST * 4], out[SIDE_MOST * 4];
    for (size_t line = 0; line < lines; line++) {
        for (size_t i = 0; i < side; i++) {
            uint16_t *pixel = in + i * filling->in_samples;
            size_t axis = 0;
            pixel[axis++] = node_value(first, steps);
            if (table->axes == 4) pixel[axis++] = node_value(line / side, steps);
            pixel[axis++] = node_value(line % side, steps);
            pixel[axis] = node_value(i, steps);
        }
        table->exact.run(table->exact.self, in, out, side);
        struct node *to = table->nodes + (first * lines + line) * side;
        for (size_t i = 0; i < side; i++)
            for (size_t s = 0; s < filling->out_samples; s++)
                to[i].sample[s] = table_stored(out[i * filling->out_samples + s]);
    }
}

static uint8_t to_8bit(unsigned value)
{
    return (uint8_t)((value + 128) / 257);
}

static void fill_grey(struct table *table)
{
    const struct exact exact = table->exact;
    size_t values = table->wide ? 65536 : 256;
    for (size_t v = 0; v < values; v++) {
        uint16_t in = (uint16_t)(table->wide ? v : v * 257), out[4];
        exact.run(exact.self, &in, out, 1);
        for (size_t s = 0; s < table->out_samples; s++) table->grey[v * 4 + s] = to_8bit(out[s]);
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

void table_ask(const struct table *table, const void *in, size_t at, uint8_t *out)
{
    uint16_t pixel[TABLE_AXES], answer[4];
    size_t axes = (size_t)table->axes;
    for (size_t a = 0; a < axes; a++) pixel[a] = (uint16_t)table_value(in, at * axes + a, table->wide);
    table->exact.run(table->exact.self, pixel, answer, 1);
    for (size_t s = 0; s < table->out_samples; s++) out[s] = to_8bit(answer[s]);
}

/* From the lowest corner of the cell along the axis with the longest way, then the next, to the highest
 * corner: the tetrahedron (with four axes the simplex) that holds the colour. The weights sum to WAY_ONE.
 * Returns the lowest corner. */
static size_t run_pixel(const struct table *table, const uint32_t *values, uint8_t *out)
{
    uint32_t keys[TABLE_AXES];
    size_t node = 0;
    for (int a = 0; a < table->axes; a++) {
        struct place place = place_of(values[a], table->steps);
        keys[a] = place.way << KEY_AXIS_BITS | (uint32_t)a;
        node += place.node * table->strides[a];
    }
    sort_keys(keys, table->axes);
    size_t corner = node;
    int32_t sum[4] = {ROUND, ROUND, ROUND, ROUND};
    uint32_t way = WAY_ONE;
    for (int i = 0; i <= table->axes; i++) {
        uint32_t next = i < table->axes ? keys[i] >> KEY_AXIS_BITS : 0;
        for (int s = 0; s < 4; s++) sum[s] += table->nodes[node].sample[s] * (int32_t)(way - next);
        way = next;
        if (i < table->axes) node += table->strides[keys[i] & KEY_AXIS_MASK];
    }
    for (size_t s = 0; s < table->out_samples; s++) out[s] = (uint8_t)(sum[s] >> SUM_SHIFT);
    return corner;
}

static void run_plain(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    size_t axes = (size_t)table->axes;
    for (size_t i = 0; i < count; i++, out += table->out_samples) {
        uint32_t values[TABLE_AXES];
        for (size_t a = 0; a < axes; a++) values[a] = table_value(in, i * axes + a, table->wide);
        size_t corner = run_pixel(table, values, out);
        if (table->steep && table->steep[corner]) table_run_exact(table, in, i, out);
    }
}

static void run_grey(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    for (size_t i = 0; i < count; i++, out += table->out_samples) {
        size_t value = table->wide ? ((const uint16_t *)in)[i] : ((const uint8_t *)in)[i];
        memcpy(out, table->grey + value * 4, table->out_samples);
    }
}

/* ---- the whole ---- */

static uint32_t steps_of(int axes, enum table_fineness fineness)
{
    bool fine = fineness != TABLE_COARSE;
    return axes == 4 ? (fine ? STEPS_CMYK : COARSE_CMYK) : (fine ? STEPS_RGB : COARSE_RGB);
}

uint64_t table_cost(enum pixel_format in, enum table_fineness fineness)
{
    size_t axes = pixel_samples(in);
    if (axes == 1) return 256;
    uint64_t nodes = 1;
    for (size_t a = 0; a < axes; a++) nodes *= steps_of((int)axes, fineness) + 1;
    return fineness == TABLE_STEEP ? 2 * nodes : nodes; /* corners and middles */
}

static void make_grid(struct machine *machine, struct table *table, const struct filling *filling,
                      enum table_fineness fineness, unsigned threads)
{
    table->steps = steps_of(table->axes, fineness);
    size_t side = table->steps + 1, nodes = 1;
    for (int a = table->axes - 1; a >= 0; a--) {
        table->strides[a] = (uint32_t)nodes;
        table->whole += table->strides[a];
        nodes *= side;
    }
    table->nodes = take(machine, nodes + 1, sizeof *table->nodes); /* the quick way reads two at once */
    pool_run(threads, side, fill_slab, (void *)filling);
    if (fineness == TABLE_STEEP) table_mark_steep(machine, table, threads);
}

struct table *table_new(struct machine *machine, enum pixel_format in, enum pixel_format out,
                        enum table_fineness fineness, struct exact exact, unsigned threads)
{
    struct table *table = take(machine, 1, sizeof *table);
    struct filling filling = {table, pixel_samples(in), pixel_samples(out)};
    table->axes = (int)filling.in_samples;
    table->wide = pixel_bytes(in) != filling.in_samples;
    table->out_samples = filling.out_samples;
    table->exact = exact;
    /* By measuring: with these at most 0.1 % of random RGB and CMYK and 0.2 % of random Lab, most of which no
     * ink reaches, are off by more than 1. */
    table->miss_most = in == PIXELS_LAB8 || in == PIXELS_LAB16 ? NODE_LEVEL / 2 : NODE_LEVEL;
    if (table->axes == 1) {
        table->grey = take(machine, table->wide ? 65536 : 256, 4);
        fill_grey(table);
    } else {
        make_grid(machine, table, &filling, fineness, threads);
    }
    return table;
}

void table_free(struct machine *machine, struct table *table)
{
    if (!table) return;
    if (table->nodes) machine->release(machine, table->nodes);
    if (table->steep) machine->release(machine, table->steep);
    if (table->memo) machine->release(machine, (void *)table->memo);
    if (table->grey) machine->release(machine, table->grey);
    machine->release(machine, table);
}

void table_run(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    size_t done = table->axes == 1 ? 0 : table_run_quick(table, in, out, count);
    size_t in_bytes = (size_t)table->axes * (table->wide ? 2 : 1);
    table_run_plain(table, (const uint8_t *)in + done * in_bytes, out + done * table->out_samples,
                    count - done);
}

void table_run_plain(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    (table->axes == 1 ? run_grey : run_plain)(table, in, out, count);
}
