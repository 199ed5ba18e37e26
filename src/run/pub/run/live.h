/* A job held open in memory, for the page: seams are tried by the planner itself, from the maps that the last
 * rendering left, in well under 100 ms. Nothing is written by trying.
 *
 * One live job is used by one thread at a time; the web room keeps a few and closes the longest unused. */
#ifndef RUN_LIVE_H
#define RUN_LIVE_H

#include "run/run.h"

struct live;

/* Reads job, record and maps (rendering what the cache lacks: that may take seconds, with progress). Nothing
 * of the caller's is kept but `machine`: the options are copied, their events left out. Mistakes in what
 * people wrote: *live is there, and live_report has them, but nothing can be tried. */
bool live_open(struct machine *machine, const char *job, const struct run_options *options,
               struct live **live, struct error *error);
void live_close(struct live *live);
const struct report *live_report(const struct live *live);
const char *live_fingerprint(const struct live *live); /* of the job.yaml that it was opened from */
const struct run *live_run(const struct live *live);   /* its plan is the job as written */

struct live_trial {
    const char *surface; /* NULL: only `choose` */
    bool seams_given;    /* else as the job says */
    const double *seams_mm;
    size_t seam_count;
    int choose; /* alternative, 0: the least cost */
};
/* Plans with other seams, as if they were written in the job file; those outside the surface are left out,
 * and a surface for which they leave no way is not told what would help (that takes seconds).
 * The plan lives in the arena and borrows from `live`. `findings` are all rooms'. NULL when the surface is
 * not there or the job has mistakes. */
const struct plan *live_try(struct live *live, const struct live_trial *trial, struct arena *arena,
                            const struct findings **findings);

/* A surface's artwork as a small PNG (the preview the plan was made with), whole file in the arena. */
bool live_preview(struct live *live, const char *surface, struct arena *arena, struct str *png,
                  struct error *error);

#endif
