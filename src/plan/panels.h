/* From chosen seams to panels: rectangles, order, ink, stretch, drying. */
#ifndef PLAN_PANELS_H
#define PLAN_PANELS_H

#include "seam_cost.h"

/* A seam that has been chosen or was given. */
struct cut {
    double at;
    bool gap, low_over, fixed;
    struct look look;
    int64_t before, after; /* cost 50 mm lower and higher, < 0: not allowed there */
};

struct cuts {
    struct cut *items;
    size_t count;
};

/* What the panel on the low or the high side of a seam prints beyond its line. */
double cut_beyond(const struct surface *surface, const struct cut *cut, bool low_side);
/* Length of film along the roll that the strip between two u takes, marks, stations and feed included. */
double strip_length(const struct frame *frame, double print_u0, double print_u1, const struct job *job);

/* Fills seams and panels of `plan`: geometry, order, names. */
void panels_make(const struct field *field, const struct cuts *cuts, const struct job *job,
                 struct surface_plan *plan);
/* Ink, stretch and drying of each panel; findings where a limit is passed. */
void panels_judge(const struct surface_input *input, const struct job *job, struct surface_plan *plan,
                  struct findings *findings);
/* Total ink over the heaviest hand-sized area of a panel, never below its mean. */
double panel_hand_percent(const struct panel *panel);

#endif
