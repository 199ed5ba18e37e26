/* Private to make: where cut files go. */
#ifndef MAKE_CUT_OUT_H
#define MAKE_CUT_OUT_H

#include "cut_sheet.h"

/* Writes OUT/cut/JOB_SURFACE.svg and .dxf (JOB_PANEL where the surface has several prints) of what the order asks for;
 * nothing where the surface is not cut to its shape. Adds what is cut to the result. */
bool cut_out_write(struct machine *machine, const struct make_order *order, struct arena *arena,
                   struct make_result *result, struct error *error);

#endif
