/* The ink of the print files that a run made, counted pixel by pixel on its way to the disk. TIFF panels
 * only. */
#ifndef RUN_INK_H
#define RUN_INK_H

#include "run/run.h"

/* A bin of the histogram: `INK_BIN_PERCENT` of ink in sum, from 0 to 400 % and what is 400 % itself. */
enum { INK_BIN_PERCENT = 5, INK_BINS = 400 / INK_BIN_PERCENT + 1 };

/* A place with more ink than the condition's limit: mm on the surface, or on the print where that is longer
 * than the surface. */
struct print_ink_place {
    double peak_percent;
    struct rect box;
};

struct print_ink {
    const struct panel *panel;
    const struct ink *ink;                /* its printing condition's */
    double mean_percent, peak_percent;    /* over the print; of its heaviest 5 x 5 mm */
    struct point peak_at;                 /* the middle of those, mm as in print_ink_place */
    const double *channel_percent;        /* INK_CHANNELS means */
    double *ink_ml;                       /* ink->channel_count */
    double histogram_percent[INK_BINS];   /* share of the pixels */
    const struct print_ink_place *places; /* the heaviest first */
    size_t place_count;
};

/* In the run's arena, in the order in which the panels were made; NULL, and *count 0, without TIFF panels. */
struct print_ink *print_inks(const struct run *run, size_t *count);

#endif
