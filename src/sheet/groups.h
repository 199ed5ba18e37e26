/* Private: surfaces that are shown together. */
#ifndef SHEET_GROUPS_H
#define SHEET_GROUPS_H

#include "model/plan.h"

/* Surfaces that are shown as one: those of one panel together, every other one alone. */
struct surface_group {
    const size_t *surfaces; /* indices */
    size_t count;
    const char *name; /* "left"; "panes and single panels" */
};
struct surface_groups {
    struct surface_group *items;
    size_t count;
};

/* The surfaces in the plan's order, those of one panel together at the end when there are several. */
struct surface_groups group_surfaces(const struct plan *plan, struct arena *arena);
/* Whether the step is work on a panel of the group. */
bool group_has_step(const struct surface_group *group, const struct plan *plan, const struct step *step);

#endif
