/* Lettering that the artwork shows: seams keep off it. */
#ifndef PLAN_LETTERING_H
#define PLAN_LETTERING_H

#include "base/arena.h"
#include "model/plan.h"

struct letterings {
    struct lettering *items;
    size_t count;
};

/* The lines of lettering in the placed PDFs, text or outlined, clipped to what is printed of them and to the
 * surface. */
struct letterings letterings_of(const struct surface_input *input, struct arena *arena);
/* Lettering that runs over a handle, a recess, a gap, an opening or off the outline: one finding. */
void lettering_judge(const struct surface *surface, const struct letterings *letterings,
                     struct findings *findings);
/* "lettering \"telephone 555\"" */
const char *lettering_name(const struct lettering *lettering, struct arena *arena);

#endif
