/* What a seam costs, in the shop's currency, so that trade-offs are plain: the shop's `seams`, and common
 * practice (model/practice.h) where it says nothing. doc/seams.md explains each. */
#ifndef PLAN_WEIGHTS_H
#define PLAN_WEIGHTS_H

#include "model/job.h"

struct weights {
    double panel_minutes;            /* of an installer, for each panel */
    double lap_minutes, gap_minutes; /* the same, for each metre */
    double detail;                   /* for each metre and CIELAB unit per mm in the overlap band */
    double lap;                      /* for each metre of lap, however plain */
    double shaped, shaped_reach_mm;  /* for each metre in a recess or dome, or so near its edge */
    double across_ribs;              /* for each metre across the ribs of a corrugation */
    double sliver;                   /* for each metre of sliver: film too narrow to hold */
    double sliver_mm;                /* a sliver is no wider, */
    double sliver_length_mm;         /* beside an edge only if it is so long */
    double gap_slant_mm;             /* a gap more aslant takes no seam */
    double gap_rest_mm;              /* what a gap leaves of a line, up to this, goes with it */
    double lettering;                /* for each metre through lettering that no panel holds */
    double out_of_line;              /* for each seam that does not go on round the corner */
};

struct weights weights_of(const struct shop *shop);

#endif
