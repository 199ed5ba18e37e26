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

/* The lowest corner of a cell carries the cell's mark in the lowest bit of its last sample, 1/128 of a level.
 */
struct table_node {
    int16_t sample[4];
};
enum { STEEP_BIT = 1 };

/* A table of three samples of 8 bits has a node at every fourth level and at 255. Its cells then hold four
 * levels a side, and there are only so many ways through one: each is worked out beforehand. */
enum { LEVELS = 4, LEVELS_STEPS = 256 / LEVELS };
enum { CODES = 8, SIMPLICES = CODES * CODES * CODES }; /* 7 codes an axis, and one that is none */
struct simplex {
    uint32_t weights[2];    /* of the corners two by two: the lower in the low half */
    uint32_t second, third; /* corners, in bytes from the lowest */
};

struct colour_table {
    int axes;                     /* 1, 3 or 4 */
    bool wide;                    /* 16 bit input */
    uint32_t steps;               /* from node to node on each axis; a multiple of 4 */
    uint32_t strides[TABLE_AXES]; /* nodes from one to the next on each axis */
    uint32_t whole;               /* from the lowest corner of a cell to the highest: their sum */
    size_t out_samples;
    struct table_node *nodes;  /* the last axis next to each other */
    struct simplex *simplices; /* three samples of 8 bits: by code of each axis; else NULL */
    bool has_steep;            /* some cells are computed exactly: those with the mark */
    int miss_most;             /* by more than this, in NODE_LEVEL, a cell is steep */
    struct steep *steep;       /* answers in steep cells met before; 8 bit input only */
    uint8_t *grey;             /* one axis: the answers themselves */
    struct exact exact;        /* for steep cells */
};

/* Marks the steep cells, and makes room for what will be asked of them (table_steep.c). */
void table_mark_steep(struct machine *machine, struct colour_table *table, struct pool *pool);
void table_free_steep(struct machine *machine, struct colour_table *table);
static inline bool table_is_steep(const struct colour_table *table, size_t corner)
{
    return table->nodes[corner].sample[3] & STEEP_BIT;
}
/* Pixel number `at` of `in`, which lies in the steep cell at `corner`, by the exact transform: remembered, or
 * asked for. */
void table_run_exact(const struct colour_table *table, const void *in, size_t at, size_t corner,
                     uint8_t *out);

/* From 0..65535 to a level of 8 bits. */
static inline uint8_t table_8bit(unsigned value)
{
    return (uint8_t)((value + 128) / 257);
}

/* From 0..65535 to NODE_LEVEL for each level of 8 bits. */
static inline int16_t table_stored(uint16_t value)
{
    return (int16_t)(((uint32_t)value * (255 * NODE_LEVEL) + 32767) / 65535);
}

/* Where a value of 16 bits lies: the node below, and the way on from there. */
struct table_place {
    uint32_t node, way;
};

static inline struct table_place table_place_of(uint32_t value, uint32_t steps)
{
    uint32_t scaled = value * (steps / 4); /* value x steps x WAY_ONE / 65536; then / 65535 */
    uint32_t at = scaled + ((scaled + 32768) >> 16), node = at >> WAY_BITS;
    if (node == steps) node--; /* the last value lies a whole way beyond the last but one */
    return (struct table_place){node, at - (node << WAY_BITS)};
}

/* Of a level on a table with simplices: its way on from the node below, as a code: 0 to 3 quarters, then a
 * third, two thirds and the whole of the last cell, which is a level short. */
static inline unsigned code_of(unsigned level)
{
    return level % LEVELS + (level > 256 - LEVELS ? LEVELS - 1 : 0);
}

static inline uint32_t way_of_code(unsigned code)
{
    return code < LEVELS ? code * (WAY_ONE / LEVELS) : (code - LEVELS + 1) * WAY_ONE / (LEVELS - 1);
}

/* A sample as 16 bits. */
static inline uint32_t table_value(const void *in, size_t at, bool wide)
{
    return wide ? ((const uint16_t *)in)[at] : ((const uint8_t *)in)[at] * 257u;
}

/* The value that node number `node` of an axis stands for. */
static inline uint16_t table_node_value(const struct colour_table *table, size_t node)
{
    size_t steps = table->steps;
    if (table->simplices) return (uint16_t)((node < steps ? node * LEVELS : 255) * 257);
    return (uint16_t)((node * 65535 + steps / 2) / steps);
}

/* As many pixels from the front as the processor's wide instructions take; how many: 0 when it has none. */
size_t table_run_quick(const struct colour_table *table, const void *in, uint8_t *out, size_t count);

#endif
