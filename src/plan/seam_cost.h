/* What a seam would cost at each millimetre, and where none may stand. */
#ifndef PLAN_SEAM_COST_H
#define PLAN_SEAM_COST_H

#include "cells.h"
#include "lettering.h"
#include "plan/seams.h"
#include "seam_context.h"
#include "weights.h"

/* Detail summed over the visible part of each millimetre of u, so that a band's mean comes at once. */
struct sums {
    double *detail, *weight; /* positions + 1 running sums */
};

struct framed_features {
    struct framed_feature *items;
    size_t count;
};

struct field {
    struct frame frame;
    struct framed_features features;
    size_t parting; /* of the features: openings and gaps, each of which parts a line once more */
    struct cell_grid cells;
    const struct condition *condition;
    money_micro install_per_h;
    struct weights weights;
    struct sums sums;
    struct letterings letterings;
    struct strokes *strokes; /* of each */
    double letters_margin_mm,
        letters_between;      /* seams keep so far off; a share of the cost between letters */
    double letters_forbid_mm; /* lettering shorter than this across the seams is not cut */
    bool slivers_may_be;
    size_t slivers; /* places that nothing but a sliver forbids */
    struct seam_class classes[CLASS_COUNT];
    int64_t *cost, *shown; /* positions + 1 */
    uint8_t *class_of;
    int64_t *place_um;
    struct arena *arena;
};

/* What a field is made of. */
struct field_wish {
    const struct surface_input *input;
    bool upright;
    const struct shop *shop;
    const struct window *window; /* NULL: the whole surface */
    double panel_mm;             /* what a panel holds between seams, to tell small lettering */
    bool slivers_may_be;         /* slivers are dear, never forbidden: no candidate without */
    bool letters_may_be_cut;     /* the same of lettering */
};

struct field field_new(const struct field_wish *wish, struct arena *arena);
/* `at` need not be whole. Stretches live in the field's arena. */
struct seam_context field_context(const struct field *field, double at);
/* With this panel over; a lap even where a gap covers the whole line. */
struct seam_context field_context_over(const struct field *field, double at, bool low_over);
/* Whether a seam at `at` cuts letters of the line; else it passes between them. */
bool field_cuts_letters(const struct field *field, size_t line, double at, bool low_over);
/* As the optimiser counts a usable width. */
int64_t usable_um(double usable_mm);
/* The problem for the optimiser: its position 0 is the frame's first, on film of this usable width. */
struct seam_problem field_problem(const struct field *field, double usable_mm);

#endif
