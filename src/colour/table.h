/* Private to the colour room: tables that an exact transform filled, for 8 bit output. */
#ifndef COLOUR_TABLE_H
#define COLOUR_TABLE_H

#include "base/machine.h"
#include "base/pool.h"
#include "model/pixels.h"

/* What fills it: `count` pixels of 16 bit samples through, in any thread. */
struct exact {
    void (*compute)(const void *self, const uint16_t *in, uint16_t *out, size_t count);
    const void *self;
};

/* FINE: 65 nodes a side for RGB and Lab, 37 for CMYK. COARSE, for estimates and previews: 13 for CMYK. STEEP
 * is FINE, and cells that the table misses (by miss_most, table_run.h) are computed exactly, colour by
 * colour: the transform must live as long. */
enum table_fineness { TABLE_FINE, TABLE_COARSE, TABLE_STEEP };

/* What filling one costs, in pixels through the exact transform. */
uint64_t table_cost(enum pixel_format in, enum table_fineness fineness);

struct colour_table;
/* From `in` (grey, RGB, CMYK or Lab) to `out` (8 bit). The machine's memory, freed by table_free. */
struct colour_table *table_new(struct machine *machine, enum pixel_format in, enum pixel_format out,
                               enum table_fineness fineness, struct exact exact, struct pool *pool);
void table_free(struct machine *machine, struct colour_table *table);
void table_run(const struct colour_table *table, const void *in, uint8_t *out, size_t count);
/* The portable way even where the processor knows a quicker one; for tests. */
void table_run_plain(const struct colour_table *table, const void *in, uint8_t *out, size_t count);

#endif
