/* One picture of a surface's ink from what its prints are known to carry: counted on their pixels where that
 * was done, else estimated. Pure. */
#ifndef SCAN_HEAT_H
#define SCAN_HEAT_H

#include "model/maps.h"
#include "scan/meter.h"

struct heat_print {                    /* a print whose ink was counted */
    struct rect area;                  /* mm on the surface that it covers */
    struct rect box;                   /* mm that its counted pixels cover, as printed */
    const struct ink_reading *reading; /* with the same limit */
    double pixel_mm;
    void *self; /* a rectangle of the surface as printed; `printed` NULL: print and view agree */
    struct rect (*printed)(void *self, struct rect on_surface);
};

struct heat_maker;
/* `estimate` is borrowed until the result. */
struct heat_maker *heat_maker_new(struct arena *arena, const struct ink_map *estimate, double limit_percent);
/* What a print covers of the surface; there the estimate shows, unless it is counted. */
void heat_maker_estimate(struct heat_maker *maker, struct rect area);
/* Laid back by its cells: a cell of the surface has the most of those of the print whose middles lie in it,
 * and of that in its own middle. Where prints overlap, the more. */
void heat_maker_count(struct heat_maker *maker, const struct heat_print *print);
/* In the arena; estimate_ppi is the caller's to set. */
struct ink_heat *heat_maker_result(struct heat_maker *maker);

#endif
