/* What a seam would cost at each millimetre, and where none may stand. */
#ifndef PLAN_SEAM_COST_H
#define PLAN_SEAM_COST_H

#include "cells.h"
#include "lettering.h"
#include "plan/seams.h"
#include "stretches.h"
#include "weights.h"

/* Who lies over; wholly in a door gap; partly in one, and who lies over on the rest. */
enum { CLASS_LOW_OVER, CLASS_HIGH_OVER, CLASS_GAP, CLASS_GAP_LOW_OVER, CLASS_GAP_HIGH_OVER, CLASS_COUNT };

/* A seam on whole millimetres is in a gap no further than this from the gap's line, mm. */
#define GAP_REACH_MM 0.5

/* A seam at one place. */
struct seam_look {
    double low, high;       /* v of its line; equal when panels do not meet there */
    double lap_mm, gap_mm;  /* of it where film is seen: a lap; in a door gap */
    struct stretches gaps;  /* in door gaps, short rests beside them included; none: a lap */
    struct stretches laps;  /* where there are gaps: the stretches of lap; none: wholly in gaps */
    double shaped_mm;       /* of the lap, in or near a recess or dome */
    double across_ribs_mm;  /* of the lap, across the ribs of a corrugation */
    double sliver_mm;       /* of the lap, along a strip of film that is too narrow to hold */
    double sliver_width_mm; /* of the narrowest */
    const struct feature *sliver_beside; /* between which and the lap it lies; NULL: the outline */
    double detail;                       /* mean in the overlap band, CIELAB units per mm */
    const struct feature *forbids;       /* a feature that no seam may come near, or NULL */
    const struct lettering *letters;     /* that the line meets or comes too near, or NULL */
    bool letters_forbid;                 /* ... and no seam may */
    double lettered_mm;                  /* of the lap, through letters; between them a share */
    bool off_crest; /* along ribs, but the line, or the overlap where a crest is wide enough, lies in a valley
                       or on a wall */
    bool band_off_crest; /* of that, the overlap */
    bool low_over;
    double minutes; /* of an installer */
    int64_t cost;   /* millionths of the currency */
    int64_t shown;  /* of that, what shows or lifts: no time, no film */
};

/* Detail summed over the visible part of each millimetre of u, so that a band's mean comes at once. */
struct sums {
    double *detail, *weight; /* positions + 1 running sums */
};

/* A feature as seams meet it. */
struct marked {
    const struct feature *feature;
    struct rect box; /* in u and v */
    double margin;   /* that seams keep, or within which the shape matters */
    double from, to; /* no seam outside of this u has to do with it */
    double crest_mm; /* of a corrugation: so wide that a seam may stand on it */
    bool takes_seam; /* a gap that a straight seam can follow */
};

struct seam_marks {
    struct marked *items;
    size_t count;
};

struct field {
    struct frame frame;
    struct seam_marks marks;
    size_t parting; /* of the marks: openings and gaps, each of which parts a line once more */
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
    bool slivers_may_be;         /* slivers are dear, never forbidden: there is no other way */
    bool letters_may_be_cut;     /* the same of lettering */
};

struct field field_new(const struct field_wish *wish, struct arena *arena);
/* `at` need not be whole. Stretches live in the field's arena. */
struct seam_look field_look(const struct field *field, double at);
/* With this panel over; a lap even where a gap covers the whole line. */
struct seam_look field_look_over(const struct field *field, double at, bool low_over);
bool look_is_gap(const struct seam_look *look);       /* some of it lies in door gaps */
bool look_is_whole_gap(const struct seam_look *look); /* all of it does */
unsigned look_class(const struct seam_look *look);
/* The u of a gap that a straight seam can follow; false for one that runs across or aslant. */
bool mark_gap_at(const struct marked *mark, double *u);
/* Whether a seam at `at` cuts letters of the line; else it passes between them. */
bool field_cuts_letters(const struct field *field, size_t line, double at, bool low_over);
/* As the optimiser counts a usable width. */
int64_t usable_um(double usable_mm);
/* The problem for the optimiser, on film of this usable width. */
struct seam_problem field_problem(const struct field *field, double usable_mm);

#endif
