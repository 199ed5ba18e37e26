/* Private to run: what the files of this room share. */
#ifndef RUN_STEPS_H
#define RUN_STEPS_H

#include "run/run.h"
#include "art/render.h"
#include "make/make.h"

/* Index of the surface's condition in run->conditions, or SIZE_MAX. */
size_t step_condition(const struct run *run, const struct surface *surface);
/* Bytes of its profile; length 0 when it cannot be used. */
struct str step_profile(const struct run *run, const struct surface *surface);
/* What rendering this surface works with; temporaries go to OUT/cache. */
struct art_work step_work(const struct run *run, const struct run_surface *surface);
/* `--only` names a surface, or a surface and a panel, of this job: FAILURE_INPUT when it does not. */
bool step_check_only(const struct run *run, struct error *error);
/* The surface is wanted; *panel is the panel id asked for, or NULL. */
bool step_wanted(const struct run *run, const struct surface *surface, const char **panel);
void step_written(struct run *run, const char *path);
/* What making all panels of surface `i` into OUT is told; fills `work`, which it borrows. */
struct make_order step_make_order(const struct run *run, size_t i, struct art_work *work);
/* Whether panels of it can be made; says so when artwork is there and its profile cannot be used. */
bool step_makes(struct run *run, const struct run_surface *surface);

/* Ink while artwork follows, for a quote. */
const struct ink_map *step_even_ink(struct run *run, const struct surface *surface);

/* OUT/pictures/NAME.svg and .png. */
struct drawing;
bool step_write_picture(struct run *run, const struct drawing *drawing, const char *name,
                        struct error *error);

/* What the surface covers, when its artwork is known; and the job's pieces as further surfaces of the run, of which
 * there are at most step_piece_count (pieces.c). */
bool step_cover(struct run *run, struct run_surface *surface, struct error *error);
bool step_open_pieces(struct run *run, struct error *error);
size_t step_piece_count(const struct job *job);

/* Findings on artwork that by its name is another surface's, or an older version of a file beside it. */
void step_doubt_files(struct run *run);
/* Each file that the job names and that is not there, into the report. */
void step_report_missing(struct run *run);

/* The maps of one surface: from the cache, or rendered, scanned and kept there. */
bool maps_get(struct run *run, struct run_surface *surface, struct error *error);
/* False when the cache does not have them; writes nothing and needs no lock. */
bool maps_find(struct run *run, struct run_surface *surface);
void maps_rest(const struct run *run); /* what is planned need not be in memory while panels are made */
void maps_drop(struct run *run);       /* what is mapped of kept maps; nothing may look at them any more */

/* Takes the lock of the output folder, clears what an interrupted run left, makes the cache's folder. */
bool step_lock(struct run *run, struct error *error);
void step_unlock(struct run *run);

/* What the run's plan is known by on labels and in files: model/plan.h. The same where the job is copied. */
const char *step_plan_fingerprint(const struct run *run);
/* The plan of that input with its files named. All findings about the plan are added to `findings`, which has
 * those of the run before planning. */
void step_take_findings(struct findings *findings, const struct finding *more, size_t count);
struct plan *step_plan(const struct run *run, const struct plan_input *input, struct arena *arena,
                       struct findings *findings);

/* The profiles that the panels in OUT were made with (profiles_kept.c): a finding where another has taken the
 * place of one; and kept anew after all panels were made. */
void profiles_compare(struct run *run);
bool profiles_keep(struct run *run, struct error *error);

/* Ink counted on print files (ink.c): findings at once; for programs see run/ink.h. */
struct counted_ink {
    const struct surface *surface;
    const struct panel_ink *ink;
};
void ink_take(struct run *run, const struct surface *surface, const struct make_result *result);
/* For each surface with a finding ink-over-limit where its ink lies, NULL for the others: as counted on the
 * print files of this run, else as estimated. */
const struct ink_heat *const *ink_heats(const struct run *run);

/* What the record beside the job folder says was done to this job, into the options, unless the caller gave
 * it. */
bool step_take_record(struct run *run, struct error *error);
/* Feeds that come from the record. */
void step_judge_feeds(const struct run *run, struct findings *findings);
/* Pieces that were printed for other seams than this plan has. */
void step_judge_pieces(const struct run *run, const struct plan *plan, struct findings *findings);

#define RUN_SOFTWARE "lapstrake " LAPSTRAKE_VERSION

#endif
