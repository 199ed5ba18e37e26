/* Private to the colour room: what the two ways of running a table share. Both do the same whole-number sums
 * and give the same bytes. */
#ifndef COLOUR_TABLE_RUN_H
#define COLOUR_TABLE_RUN_H

#include "table.h"
#include <stdatomic.h>

/* Nodes hold NODE_LEVEL for a level of 8 bits, so that 255 levels fit into 15 bits; the way from a node to
 * the next is WAY_ONE long. A sum of nodes by ways is then a level shifted by SUM_SHIFT, and fits into 31
 * bits. */
enum { TABLE_AXES = 4, NODE_LEVEL = 128, WAY_BITS = 14, WAY_ONE = 1 << WAY_BITS };
enum { SUM_SHIFT = WAY_BITS + 7, ROUND = 1 << (SUM_SHIFT - 1) };
enum { KEY_AXIS_BITS = 2, KEY_AXIS_MASK = 3 };

struct node {
    int16_t sample[4];
};

struct table {
    int axes;                     /* 1, 3 or 4 */
    bool wide;                    /* 16 bit input */
    uint32_t steps;               /* from node to node on each axis; a multiple of 4 */
    uint32_t strides[TABLE_AXES]; /* nodes from one to the next on each axis */
    uint32_t whole;               /* from the lowest corner of a cell to the highest: their sum */
    size_t out_samples;
    struct node *nodes; /* the last axis next to each other */
    uint8_t *steep;     /* for each lowest corner: not 0 where the cell is computed exactly; NULL: none is */
    int miss_most;      /* by more than this, in NODE_LEVEL, a cell is steep */
    _Atomic uint64_t *memo; /* answers in steep cells met before; 8 bit input only */
    uint8_t *grey;          /* one axis: the answers themselves */
    struct exact exact;     /* for steep cells */
};

/* Memory for the marks of steep cells (table_steep.c). */
void table_mark_steep(struct machine *machine, struct table *table, unsigned threads);
/* Pixel number `at` of `in` by the exact transform: remembered, or asked for. */
void table_run_exact(const struct table *table, const void *in, size_t at, uint8_t *out);

void table_ask(const struct table *table, const void *in, size_t at, uint8_t *out);

/* From 0..65535 to NODE_LEVEL for each level of 8 bits. */
static inline int16_t table_stored(uint16_t value)
{
    return (int16_t)(((uint32_t)value * (255 * NODE_LEVEL) + 32767) / 65535);
}

/* Where a value of 16 bits lies: the node below, and the way on from there. */
struct place {
    uint32_t node, way;
};

static inline struct place place_of(uint32_t value, uint32_t steps)
{
    uint32_t scaled = value * (steps / 4); /* value x steps x WAY_ONE / 65536; then / 65535 */
    uint32_t at = scaled + ((scaled + 32768) >> 16), node = at >> WAY_BITS;
    if (node == steps) node--; /* the last value lies a whole way beyond the last but one */
    return (struct place){node, at - (node << WAY_BITS)};
}

/* A sample as 16 bits. */
static inline uint32_t table_value(const void *in, size_t at, bool wide)
{
    return wide ? ((const uint16_t *)in)[at] : ((const uint8_t *)in)[at] * 257u;
}

/* As many pixels from the front as the processor's wide instructions take; how many: 0 when it has none. */
size_t table_run_quick(const struct table *table, const void *in, uint8_t *out, size_t count);

#endif
