/* A surface seen along its film: u runs across the film, v along it. Upright panels: u is x, v is y; lying
 * ones the other way round. Everything about seams is said once, in u and v. */
#ifndef PLAN_FRAME_H
#define PLAN_FRAME_H

#include "base/arena.h"
#include "model/plan.h"

struct frame {
    const struct surface *surface;
    bool upright;
    double across_mm, along_mm; /* of the outline's box */
    int positions;              /* whole millimetres of u, the last one maybe cut short */
    const struct span *spans;   /* of v, for each millimetre of u */
    double bleed_low, bleed_high, bleed_start, bleed_end; /* at low_mm, at high_mm; at v = 0, at v's end */
    /* Where there is anything to cover: 0 and across_mm, but for a covered region. Seams stand between. */
    double low_mm, high_mm;
    int first, last; /* the positions at or outside of them */
    const struct span_table
        *prints; /* of a covered region: v that is printed; NULL: the outline and its bleed */
};

/* A stretch of v through which a surface is seen: one strip of it. */
struct window {
    double low, high;
};

struct frame frame_of(const struct surface *surface, bool upright);
/* The same with an outline that ends at the window. */
struct frame frame_through(const struct frame *frame, struct window window, struct arena *arena);
/* Between u, v and x, y; its own inverse. */
struct rect frame_turn(const struct frame *frame, struct rect rect);
/* Lowest and highest v of the outline between u0 and u1; false when it is not there. */
bool frame_reach(const struct frame *frame, double u0, double u1, double *low, double *high);
/* Lowest and highest v that is printed between u0 and u1: of a covered region, else the outline's and the bleed. */
bool frame_print_reach(const struct frame *frame, double u0, double u1, double *low, double *high);
/* The line at `u` along which panels of both sides meet; false when they do not. */
bool frame_line(const struct frame *frame, double u, double *low, double *high);
/* Where u lies on the print, which a followed corrugation makes longer than the view. */
double frame_place(const struct frame *frame, double u);
/* Print length of the stretch of v. */
double frame_length(const struct frame *frame, double v0, double v1);
/* Whether at a seam at `u` the panel on the low side (left, lower) lies over. Edges face away from the wind
 * and shed water: nearer the front over, upper over lower, and where neither says, nearer the middle. */
bool frame_low_over(const struct frame *frame, double u);

#endif
