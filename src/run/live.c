/* Keeps a job open in memory and plans trial seams on it. Called by web for each dragged seam; opening is
 * run.c's work and planning the plan room's. */
#include "run/live.h"
#include "run/printed.h"
#include "base/arena.h"
#include "draw/draw.h"
#include "job/edit.h"
#include "plan/plan.h"
#include "steps.h"
#include "texts.h"
#include <string.h>

struct live {
    struct arena *arena;
    struct run run;
    size_t own_findings; /* of the run before planning */
    char fingerprint[17];
};

/* ---- opening ---- */

/* What the options point to need not live as long as the job is held open. What is on record the run reads
 * itself, so that it has it as long as it is there. */
static struct run_options own_options(struct live *live, const struct run_options *options, const char *job)
{
    struct run_options own = *options;
    own.job = arena_copy_string(live->arena, job);
    own.out = options->out ? arena_copy_string(live->arena, options->out) : NULL;
    own.only = NULL;
    own.events = NULL, own.event_count = 0;
    return own;
}

/* The lock is needed only where something must be rendered. */
static bool plan_as_written(struct run *run, struct error *error)
{
    bool found = true;
    for (size_t i = 0; found && i < run->surface_count; i++) found = maps_find(run, &run->surfaces[i]);
    if (found && texts_are_written(run) && printed_is_ready(run)) return run_plan(run, error);
    bool ok = step_lock(run, error) && run_plan(run, error);
    step_unlock(run);
    return ok;
}

static bool open_run(struct live *live, struct machine *machine, const struct run_options *options,
                     struct error *error)
{
    struct run *run = &live->run;
    if (!job_file_fingerprint(machine, options->job, live->arena, live->fingerprint, error)) return false;
    if (!run_open(run, machine, options, false, error)) return false;
    live->own_findings = run->findings.count;
    run->memory = plan_cache_new(live->arena);
    bool ok = run->report.errors || plan_as_written(run, error);
    run->options.progress = NULL, run->options.cancel = NULL;
    return ok;
}

bool live_open(struct machine *machine, const char *job, const struct run_options *options,
               struct live **live, struct error *error)
{
    struct arena *arena = arena_new(machine);
    struct live *l = *live = arena_take(arena, sizeof *l);
    *l = (struct live){.arena = arena, .run = {.lock = -1}};
    struct run_options own = own_options(l, options, job);
    if (open_run(l, machine, &own, error)) return true;
    live_close(l);
    *live = NULL;
    return false;
}

void live_close(struct live *live)
{
    if (!live) return;
    run_close(&live->run);
    arena_free(live->arena);
}

const struct report *live_report(const struct live *live)
{
    return &live->run.report;
}

const char *live_fingerprint(const struct live *live)
{
    return live->fingerprint;
}

const struct run *live_run(const struct live *live)
{
    return &live->run;
}

/* ---- trying ---- */

static size_t find_surface(const struct live *live, const char *name)
{
    size_t i = 0;
    while (i < live->run.surface_count && strcmp(live->run.surfaces[i].surface->name, name) != 0) i++;
    return i;
}

/* The surface with other seams; the job itself stays as people wrote it. */
static const struct surface *with_seams(const struct surface *surface, const struct live_trial *trial,
                                        struct arena *arena)
{
    struct surface *tried = arena_take(arena, sizeof *tried);
    struct surface_spec *spec = arena_take(arena, sizeof *spec);
    struct fixed_seam *seams = arena_take_array(arena, trial->seam_count, sizeof *seams);
    for (size_t i = 0; i < trial->seam_count; i++)
        seams[i] = (struct fixed_seam){.at_mm = trial->seams_mm[i], .place = surface->spec->place};
    *spec = *surface->spec;
    spec->seams = seams, spec->seam_count = trial->seam_count, spec->seams_fixed = true;
    *tried = *surface;
    tried->spec = spec;
    return tried;
}

static struct plan_input *trial_input(const struct live *live, const struct live_trial *trial, size_t at,
                                      struct arena *arena)
{
    const struct plan_input *written = &live->run.input;
    struct plan_input *input = arena_take(arena, sizeof *input);
    *input = *written;
    input->choose = trial->choose;
    input->no_remedies = trial->seams_given;
    input->surfaces = arena_take_array(arena, written->surface_count, sizeof *input->surfaces);
    for (size_t i = 0; i < written->surface_count; i++) input->surfaces[i] = written->surfaces[i];
    if (trial->seams_given)
        input->surfaces[at].surface = with_seams(written->surfaces[at].surface, trial, arena);
    return input;
}

const struct plan *live_try(struct live *live, const struct live_trial *trial, struct arena *arena,
                            const struct findings **findings)
{
    const struct run *run = &live->run;
    size_t at = trial->surface && run->plan ? find_surface(live, trial->surface) : 0;
    if (!run->plan || at >= run->surface_count) return NULL;
    struct findings *all = arena_take(arena, sizeof *all);
    *all = findings_new(arena);
    step_take_findings(all, run->findings.items, live->own_findings);
    *findings = all;
    return step_plan(run, trial_input(live, trial, at, arena), arena, all);
}

/* ---- preview ---- */

bool live_preview(struct live *live, const char *surface, struct arena *arena, struct str *png,
                  struct error *error)
{
    size_t at = find_surface(live, surface);
    const struct picture *preview = at < live->run.surface_count ? live->run.surfaces[at].preview : NULL;
    if (!preview)
        return error_set(error, FAILURE_INPUT, "surface-has-no-artwork-to-show",
                         ARGUMENTS(arg_words("surface", surface)));
    struct text bytes = text_new(arena);
    if (!picture_to_png(preview, &bytes))
        return error_set(error, FAILURE_MACHINE, "no-memory-for-picture-of",
                         ARGUMENTS(arg_words("surface", surface)));
    *png = (struct str){text_string(&bytes), bytes.length};
    return true;
}
