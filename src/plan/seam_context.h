/* What a seam meets and costs at one place (its context), and a feature as seams meet it. Private to plan. */
#ifndef PLAN_SEAM_CONTEXT_H
#define PLAN_SEAM_CONTEXT_H

#include "lettering.h"
#include "stretches.h"

/* Who lies over; wholly in a door gap; partly in one, and who lies over on the rest. */
enum { CLASS_LOW_OVER, CLASS_HIGH_OVER, CLASS_GAP, CLASS_GAP_LOW_OVER, CLASS_GAP_HIGH_OVER, CLASS_COUNT };

/* A seam on whole millimetres is in a gap no further than this from the gap's line, mm. */
#define GAP_REACH_MM 0.5

/* What a seam at one place would meet, and what it would cost there. */
struct seam_context {
    double low, high;       /* v of its line; equal when panels do not meet there */
    double lap_mm, gap_mm;  /* of it where film is seen: a lap; in a door gap */
    struct stretches gaps;  /* in door gaps, short rests beside them included; none: a lap */
    struct stretches laps;  /* where there are gaps: the stretches of lap; none: wholly in gaps */
    double shaped_mm;       /* of the lap, in or near a recess or dome */
    double across_ribs_mm;  /* of the lap, across the ribs of a corrugation */
    double sliver_mm;       /* of the lap, along slivers: film that is too narrow to hold */
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

/* A feature as seams meet it. */
struct framed_feature {
    const struct feature *feature;
    struct rect box; /* in u and v */
    double margin;   /* that seams keep, or within which the shape matters */
    double from, to; /* no seam outside of this u has to do with it */
    double crest_mm; /* of a corrugation: so wide that a seam may stand on it */
    bool takes_seam; /* a gap that a straight seam can follow */
};

bool context_is_gap(const struct seam_context *context);       /* some of it lies in door gaps */
bool context_is_whole_gap(const struct seam_context *context); /* all of it does */
unsigned context_class(const struct seam_context *context);
/* The u of a gap that a straight seam can follow; false for one that runs across or aslant. */
bool framed_gap_at(const struct framed_feature *framed, double *u);

#endif
