/* Prints that differ by vehicle. Private to run. */
#ifndef RUN_FLEET_H
#define RUN_FLEET_H

#include "make/make.h"
#include "texts.h"

/* Which prints differ; before the files are named. */
void fleet_mark(const struct run *run, struct plan *plan);
/* The vehicles of the plan, each with its own prints; after the files were named. */
void fleet_name(const struct run *run, struct plan *plan, struct arena *arena);
/* Whether a print of the surface differs. */
bool fleet_varies(const struct surface_plan *surface);

struct fleet_making {
    struct run_surface *surface;
    const struct make_order *order; /* of the surface, as for the prints that are alike */
};
/* The vehicles' own prints of a surface, by the words that they have there: of the next ones from *vehicle on that share
 * a file; leaves *vehicle behind them. */
bool fleet_make_lot(struct run *run, struct fleet_making *making, size_t *vehicle, struct make_result *result,
                    struct error *error);

#endif
