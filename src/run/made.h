/* Private to run: keeping lines of run/made.h. */
#ifndef RUN_MADE_INNER_H
#define RUN_MADE_INNER_H

#include "run/made.h"

/* Panels of one surface that were just made. */
struct made_surface {
    struct run_surface *surface;
    const struct surface_plan *plan;
    const char *panel; /* that one alone, and it is in paths[0]; NULL: all, each in the file of its name */
    const char *const *paths; /* of the files */
    bool anyway;
};
bool made_keep(struct run *run, const struct made_surface *what, struct error *error);

#endif
