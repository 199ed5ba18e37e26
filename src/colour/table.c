#include "table.h"
#include "base/pool.h"
#include <string.h>

/* Nodes on a side: 64 steps for RGB, 40 for CMYK (41^4 nodes of 8 bytes, 23 MB), on which inks in steps
 * of 2.5 % lie. */
enum { SIDE_RGB = 65, SIDE_CMYK = 41, ONE = 1 << 15 };

/* Where a sample value lies between nodes: the node below, and the way to the next in 1/ONE. */
struct place {
    uint16_t node, way;
};

struct table {
    int axes;                 /* 1, 3 or 4 */
    bool wide;                /* 16 bit input */
    size_t side, out_samples; /* nodes of an axis; samples of an output pixel */
    struct place *places;     /* for each value of a sample */
    uint16_t *nodes;          /* 4 samples each, the last axis next to each other */
    uint8_t *grey;            /* one axis: the answers themselves */
    void (*run)(const struct table *, const void *, uint8_t *, size_t);
    struct exact exact;
    size_t in_samples;
};

/* ---- filling ---- */

static uint16_t node_value(size_t node, size_t side)
{
    return (uint16_t)((node * 65535 + (side - 1) / 2) / (side - 1));
}

/* One slab: all nodes whose first coordinate is `first`. */
static void fill_slab(void *context, size_t first)
{
    struct table *table = context;
    size_t side = table->side, lines = table->axes == 4 ? side * side : side;
    uint16_t in[SIDE_RGB * 4], out[SIDE_RGB * 4];
    for (size_t line = 0; line < lines; line++) {
        for (size_t i = 0; i < side; i++) {
            uint16_t *pixel = in + i * table->in_samples;
            size_t axis = 0;
            pixel[axis++] = node_value(first, side);
            if (table->axes == 4) pixel[axis++] = node_value(line / side, side);
            pixel[axis++] = node_value(line % side, side);
            pixel[axis] = node_value(i, side);
        }
        table->exact.run(table->exact.self, in, out, side);
        uint16_t *to = table->nodes + (first * lines + line) * side * 4;
        for (size_t i = 0; i < side; i++)
            memcpy(to + i * 4, out + i * table->out_samples, table->out_samples * sizeof *to);
    }
}

static void fill_places(struct table *table, size_t values)
{
    for (size_t v = 0; v < values; v++) {
        uint64_t at = ((uint64_t)v * (table->side - 1) * ONE + (values - 1) / 2) / (values - 1);
        size_t node = (size_t)(at / ONE);
        if (node == table->side - 1) node--; /* the last value lies a whole way beyond the last but one */
        table->places[v] = (struct place){(uint16_t)node, (uint16_t)(at - (uint64_t)node * ONE)};
    }
}

static uint8_t to_8bit(unsigned value)
{
    return (uint8_t)((value * 65281u + 8388608u) >> 24); /* round(value / 257), exact for 16 bits */
}

static void fill_grey(struct table *table, size_t values)
{
    for (size_t v = 0; v < values; v++) {
        uint16_t in = (uint16_t)(values == 256 ? v * 257 : v), out[4];
        table->exact.run(table->exact.self, &in, out, 1);
        for (size_t s = 0; s < table->out_samples; s++) table->grey[v * 4 + s] = to_8bit(out[s]);
    }
}

/* ---- interpolating ---- */

typedef uint32_t lanes __attribute__((vector_size(16)));
typedef uint16_t short_lanes __attribute__((vector_size(8)));

static inline __attribute__((always_inline)) lanes load(const uint16_t *node)
{
    short_lanes four;
    memcpy(&four, node, sizeof four);
    return __builtin_convertvector(four, lanes);
}

static inline __attribute__((always_inline)) struct place place_at(const struct table *table, const void *in,
                                                                   size_t at, bool wide)
{
    return table->places[wide ? ((const uint16_t *)in)[at] : ((const uint8_t *)in)[at]];
}

/* Tetrahedral: from the lowest corner along the axis with the longest way, then the next, then the last.
 * Values are 16 bits in 32; the weights sum to ONE, so nothing overflows. */
static inline __attribute__((always_inline)) lanes tetrahedron(const uint16_t *corner, size_t sx, size_t sy,
                                                               size_t sz, unsigned x, unsigned y, unsigned z)
{
    size_t s1 = sx, s2 = sy, s3 = sz;
    unsigned w1 = x, w2 = y, w3 = z;
    if (w1 < w2) {
        unsigned w = w1;
        size_t s = s1;
        w1 = w2, w2 = w, s1 = s2, s2 = s;
    }
    if (w2 < w3) {
        unsigned w = w2;
        size_t s = s2;
        w2 = w3, w3 = w, s2 = s3, s3 = s;
    }
    if (w1 < w2) {
        unsigned w = w1;
        size_t s = s1;
        w1 = w2, w2 = w, s1 = s2, s2 = s;
    }
    lanes sum = load(corner) * (ONE - w1) + load(corner + s1) * (w1 - w2) +
                load(corner + s1 + s2) * (w2 - w3) + load(corner + s1 + s2 + s3) * w3;
    return (sum + ONE / 2) >> 15;
}

static inline __attribute__((always_inline)) void put(lanes value, uint8_t *out, size_t samples)
{
    value = (value * 65281u + 8388608u) >> 24;
    for (size_t s = 0; s < samples; s++) out[s] = (uint8_t)value[s];
}

static inline __attribute__((always_inline)) void run_3(const struct table *table, const void *in,
                                                        uint8_t *out, size_t count, bool wide, size_t samples)
{
    size_t sz = 4, sy = sz * table->side, sx = sy * table->side;
    for (size_t i = 0; i < count; i++, out += samples) {
        struct place x = place_at(table, in, i * 3, wide), y = place_at(table, in, i * 3 + 1, wide),
                     z = place_at(table, in, i * 3 + 2, wide);
        const uint16_t *corner = table->nodes + x.node * sx + y.node * sy + z.node * sz;
        put(tetrahedron(corner, sx, sy, sz, x.way, y.way, z.way), out, samples);
    }
}

static inline __attribute__((always_inline)) void run_4(const struct table *table, const void *in,
                                                        uint8_t *out, size_t count, bool wide, size_t samples)
{
    size_t sk = 4, sy = sk * table->side, sm = sy * table->side, sc = sm * table->side;
    for (size_t i = 0; i < count; i++, out += samples) {
        struct place c = place_at(table, in, i * 4, wide), m = place_at(table, in, i * 4 + 1, wide),
                     y = place_at(table, in, i * 4 + 2, wide), k = place_at(table, in, i * 4 + 3, wide);
        const uint16_t *corner = table->nodes + c.node * sc + m.node * sm + y.node * sy + k.node * sk;
        lanes low = tetrahedron(corner, sm, sy, sk, m.way, y.way, k.way);
        lanes high = tetrahedron(corner + sc, sm, sy, sk, m.way, y.way, k.way);
        put((low * (ONE - (unsigned)c.way) + high * c.way + ONE / 2) >> 15, out, samples);
    }
}

/* Called with constants from run_any, so that each kind has its own loop. */
static inline __attribute__((always_inline)) void run_kind(const struct table *table, const void *in,
                                                           uint8_t *out, size_t count, size_t samples)
{
    if (table->axes == 4)
        run_4(table, in, out, count, table->wide, samples);
    else
        run_3(table, in, out, count, table->wide, samples);
}

static inline __attribute__((always_inline)) void run_any(const struct table *table, const void *in,
                                                          uint8_t *out, size_t count)
{
    switch (table->out_samples) {
    case 4:
        run_kind(table, in, out, count, 4);
        return;
    case 3:
        run_kind(table, in, out, count, 3);
        return;
    default:
        run_kind(table, in, out, count, 1);
    }
}

static void run_grey(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    for (size_t i = 0; i < count; i++, out += table->out_samples) {
        size_t value = table->wide ? ((const uint16_t *)in)[i] : ((const uint8_t *)in)[i];
        memcpy(out, table->grey + value * 4, table->out_samples);
    }
}

static void run_plain(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    run_any(table, in, out, count);
}

#ifdef __x86_64__
/* The same whole-number sums by wider instructions: identical bytes. */
__attribute__((target("avx2"))) static void run_avx2(const struct table *table, const void *in, uint8_t *out,
                                                     size_t count)
{
    run_any(table, in, out, count);
}
#endif

/* ---- the whole ---- */

static void *take(struct machine *machine, size_t count, size_t size)
{
    void *memory = machine->allocate(machine, count * size);
    if (!memory) machine->no_memory(machine);
    return memory;
}

struct table *table_new(struct machine *machine, enum pixel_format in, enum pixel_format out,
                        struct exact exact, unsigned threads)
{
    struct table *table = take(machine, 1, sizeof *table);
    table->in_samples = pixel_samples(in);
    table->axes = (int)table->in_samples;
    table->wide = pixel_bytes(in) != table->in_samples;
    table->out_samples = pixel_samples(out);
    table->exact = exact;
    table->run = run_plain;
    size_t values = table->wide ? 65536 : 256;
    if (table->axes == 1) {
        table->run = run_grey;
        table->grey = take(machine, values, 4);
        fill_grey(table, values);
        return table;
    }
#ifdef __x86_64__
    if (__builtin_cpu_supports("avx2")) table->run = run_avx2;
#endif
    table->side = table->axes == 4 ? SIDE_CMYK : SIDE_RGB;
    size_t nodes = table->side * table->side * table->side * (table->axes == 4 ? table->side : 1);
    table->places = take(machine, values, sizeof *table->places);
    table->nodes = take(machine, nodes, 4 * sizeof *table->nodes);
    fill_places(table, values);
    pool_run(threads, table->side, fill_slab, table);
    return table;
}

void table_free(struct machine *machine, struct table *table)
{
    if (!table) return;
    if (table->places) machine->release(machine, table->places);
    if (table->nodes) machine->release(machine, table->nodes);
    if (table->grey) machine->release(machine, table->grey);
    machine->release(machine, table);
}

void table_run(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    table->run(table, in, out, count);
}

void table_run_plain(const struct table *table, const void *in, uint8_t *out, size_t count)
{
    (table->axes == 1 ? run_grey : run_plain)(table, in, out, count);
}
