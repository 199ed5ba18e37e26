/* Private to make: the full proof of TIFF panels. */
#ifndef MAKE_PROVE_H
#define MAKE_PROVE_H

#include "cutter.h"

/* Renders the artwork whole again into a temporary file and compares every pixel of every panel's print with
 * it, but for the fields of the marks. A difference is FAILURE_MACHINE. */
bool prove_tiff(struct machine *machine, const struct make_order *order, const struct pixel_grid *grid,
                const struct panels_cutter *cutter, struct arena *arena, struct error *error);

#endif
