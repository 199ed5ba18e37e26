/* From chosen seams to panels: rectangles, install sequence, ink, stretch, drying. */
#ifndef PLAN_PANELS_H
#define PLAN_PANELS_H

#include "cuts.h"

/* Fills seams and panels of `plan`: geometry, install sequence, names. `crossings`: for each strip, or NULL. */
void panels_make(const struct field *field, const struct cuts *cuts, const struct cut_crossing *crossings,
                 const struct job *job, struct surface_plan *plan);
/* Adds the prints of the surface's inlays after its panels, which have room for them. */
void inlays_make(const struct field *field, const struct job *job, struct surface_plan *plan);
/* inlay-wide: an inlay that the film does not hold. */
void inlays_judge(const struct surface_plan *plan, struct findings *findings);
/* Ink, stretch and drying of each panel; findings where a limit is passed. */
void panels_judge(const struct surface_input *input, const struct job *job, struct surface_plan *plan,
                  struct findings *findings);
/* panel-blank: panels that print nothing, or a large part of which has no artwork. */
void panels_judge_blank(const struct surface_input *input, const struct surface_plan *plan,
                        struct findings *findings);
/* Says what is cut out of the film, and in which panels; and where a lap has no overlap. */
void bare_judge(const struct surface_plan *plan, struct findings *findings);
/* Total ink over the heaviest hand-sized area of a panel, never below its mean. */
double panel_hand_percent(const struct panel *panel);

#endif
