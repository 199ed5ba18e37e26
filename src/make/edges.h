/* Private to make: what a panel's edges do, in words for the label. */
#ifndef MAKE_EDGES_H
#define MAKE_EDGES_H

#include "model/plan.h"

/* One word for the tick at that edge: "cut" (lies over, cut back to here), "seam" (lies under), "gap",
 * "edge". */
const char *edge_word(const struct surface_plan *surface, const struct panel *panel, enum edge edge);
/* "left edge over left-1, cut back 3 mm; right edge under left-3". */
const char *edges_sentence(const struct surface_plan *surface, const struct panel *panel,
                           struct arena *arena);

/* A place or distance as the panel's marks say it: whole millimetres, or hundredths of an inch. */
const char *mark_figure(const struct job *job, double mm, struct arena *arena);

/* How far film wraps round the corner at that edge of the panel; 0: it does not. */
double wrap_beyond(const struct surface_plan *surface, const struct panel *panel, enum edge edge);

#endif
