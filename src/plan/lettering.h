/* Lettering that the artwork's own text shows: seams keep off it. */
#ifndef PLAN_LETTERING_H
#define PLAN_LETTERING_H

#include "base/arena.h"
#include "model/plan.h"

struct letterings {
    struct lettering *items;
    size_t count;
};

/* The lines of text in the placed PDFs, clipped to what is printed of them and to the surface. Text that was
 * made into outlines is none: what it shows is in the detail map. */
struct letterings letterings_of(const struct surface_input *input, struct arena *arena);
/* "lettering \"telephone 555\"" */
const char *lettering_name(const struct lettering *lettering, struct arena *arena);

#endif
