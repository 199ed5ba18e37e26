/* Opens a run: job folder, lock on OUT, profiles, surfaces, artwork, earlier record. Called by cli and by
 * the held-open jobs; the verbs that follow are in verbs.c. */
#include "run/run.h"
#include "art/art.h"
#include "art/render.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/pool.h"
#include "base/text.h"
#include "colour/profile.h"
#include "colour/transform.h"
#include "job/job.h"
#include "steps.h"
#include "survey/survey.h"
#include "texts.h"
#include "run/proof.h"
#include "run/reprint.h"
#include "run/zone_file.h"
#include <string.h>
#include <unistd.h>

static const char *const out_folders[] = {"",         "cache",      "panels",       "cut",
                                          "pictures", PROOF_FOLDER, REPRINT_FOLDER, REPRINT_PANELS};

/* ---- opening ---- */

static bool job_folder(struct run *run, struct error *error)
{
    const char *path = run->options.job;
    struct file_status status = run->machine->status(run->machine, path);
    if (!status.exists)
        return error_set(error, FAILURE_INPUT, "is-not-there-name-job-folder-or",
                         ARGUMENTS(arg_words("path", path)));
    const char *folder = status.is_folder ? path : path_folder(run->arena, path);
    run->out = run->options.out ? run->options.out : path_join(run->arena, folder, "out");
    return true;
}

/* Links in OUT are not followed out of the folder that is served. */
static bool out_stays_inside(const struct run *run, struct error *error)
{
    const char *within = run->machine->within;
    for (size_t i = 0; within && i < sizeof out_folders / sizeof *out_folders; i++)
        if (!path_is_below(run->arena, within, path_join(run->arena, run->out, out_folders[i])))
            return error_set(error, FAILURE_INPUT, "leads-out-of-folder-that-is",
                             ARGUMENTS(arg_words("path", path_join(run->arena, "out", out_folders[i]))));
    return true;
}

bool step_lock(struct run *run, struct error *error)
{
    struct machine *m = run->machine;
    if (!out_stays_inside(run, error) || !m->make_folder(m, run->out, error)) return false;
    run->lock = machine_lock(run->out, error);
    if (run->lock < 0) return false;
    for (size_t i = 0; i < sizeof out_folders / sizeof *out_folders; i++) {
        const char *folder = path_join(run->arena, run->out, out_folders[i]);
        if (m->status(m, folder).exists) machine_clear_stale(m, folder, run->arena);
    }
    return m->make_folder(m, path_join(run->arena, run->out, "cache"), error);
}

static const struct condition *condition_of(const struct run *run, const struct surface_spec *spec)
{
    return spec->condition ? spec->condition : run->job->condition;
}

static bool known_condition(const struct run *run, const struct condition *condition)
{
    for (size_t i = 0; i < run->condition_count; i++)
        if (run->conditions[i].condition == condition) return true;
    return !condition;
}

/* Tables that look whole in the profile's list of them may be no tables inside. */
static void check_tables(struct run *run, const struct condition *condition, struct str bytes)
{
    const char *trouble = colour_profile_trouble(bytes, condition->intent);
    if (trouble)
        finding_add(&run->findings, "profile-damaged", "shop", "profile-damaged",
                    ARGUMENTS(arg_words("condition", condition->name),
                              arg_words("profile", condition->profile), arg_words("trouble", trouble)));
}

/* The first stop among the findings from that one on, or NULL. */
static struct finding *stop_since(const struct findings *findings, size_t first)
{
    for (size_t i = first; i < findings->count; i++)
        if (findings->items[i].severity == SEVERITY_STOP) return &findings->items[i];
    return NULL;
}

/* The sentence of the first stop among a profile's findings, NULL when there is none. What cannot be made in
 * spite of it is said at once. */
static const char *judge_trouble(struct run *run, size_t first)
{
    struct finding *stop = stop_since(&run->findings, first);
    if (!stop) return NULL;
    const char *trouble = stop->text;
    if (panel_form_of_job(run->job)->pixels)
        stop->text = sentence_words(run->arena, "without-usable-profile-no-tiff-panels",
                                    ARGUMENTS(arg_words("trouble", trouble)));
    return trouble;
}

/* Why a condition may do without a profile here, a sentence; NULL: it may not, or it names one. */
static const char *no_profile_trouble(struct run *run, const struct condition *condition)
{
    if (condition->profile) return NULL;
    if (condition->in_printer) {
        finding_add(&run->findings, "profile-in-printer", "shop", "profile-in-printer",
                    ARGUMENTS(arg_words("condition", condition->name)));
        return sentence_plain("profile-is-kept-in-printers-own");
    }
    return job_buys_prints(run->job) ? sentence_plain("printing-is-bought-in-printers-own") : NULL;
}

/* A condition's profile: its facts, its findings, its bytes when it can drive a print. */
static bool open_condition(struct run *run, const struct condition *condition, struct error *error)
{
    struct profile_facts *facts = arena_take(run->arena, sizeof *facts);
    struct str bytes = {"", 0};
    bool named = condition->profile_path;
    if (named && !profile_read(run->machine, condition->profile_path, run->arena, facts, &bytes, error))
        return false;
    size_t before = run->findings.count;
    const char *trouble = no_profile_trouble(run, condition);
    if (!trouble) {
        profile_check(condition, named ? facts : NULL, &run->findings);
        if (!stop_since(&run->findings, before)) check_tables(run, condition, bytes);
        trouble = judge_trouble(run, before);
    }
    run->conditions[run->condition_count] = (struct condition_facts){
        .condition = condition,
        .profile_ok = !trouble,
        .profile_trouble = trouble,
        .profile_description = named && facts->state == PROFILE_FINE ? facts->description : NULL,
        .profile_fingerprint = named && facts->state == PROFILE_FINE ? facts->computed_id : NULL,
    };
    run->profiles[run->condition_count++] = trouble ? (struct str){"", 0} : bytes;
    return true;
}

static bool open_conditions(struct run *run, struct error *error)
{
    run->conditions = arena_take_array(run->arena, run->job->surface_count + 1, sizeof *run->conditions);
    run->profiles = arena_take_array(run->arena, run->job->surface_count + 1, sizeof *run->profiles);
    for (size_t i = 0; i < run->job->surface_count; i++) {
        const struct condition *condition = condition_of(run, &run->job->surfaces[i]);
        if (!known_condition(run, condition) && !open_condition(run, condition, error)) return false;
    }
    profiles_compare(run);
    return true;
}

static struct notes notes_of(struct run *run)
{
    return (struct notes){run->arena, &run->report, &run->findings};
}

static bool open_surfaces(struct run *run, struct error *error)
{
    struct notes notes = notes_of(run);
    run->surfaces = arena_take_array(run->arena, run->job->surface_count + step_piece_count(run->job),
                                     sizeof *run->surfaces);
    for (size_t i = 0; i < run->job->surface_count; i++) {
        struct surface *surface = NULL;
        if (!survey_surface(run->machine, run->job, &run->job->surfaces[i], &notes, &surface, error))
            return false;
        if (surface) run->surfaces[run->surface_count++].surface = surface;
    }
    return true;
}

static void judge_artwork(struct run *run, const struct run_surface *s)
{
    art_judge(s->surface, &s->art, step_profile(run, s->surface), panel_form_of_job(run->job)->keeps_spots,
              &run->findings);
}

static void mark_on_artwork(struct run *run, size_t first)
{
    for (size_t k = first; k < run->findings.count; k++) run->findings.items[k].on_artwork = true;
}

static bool read_all_artwork(struct run *run, struct error *error)
{
    struct notes notes = notes_of(run);
    for (size_t i = 0; i < run->surface_count; i++) {
        struct run_surface *s = &run->surfaces[i];
        progress_say(run->options.progress, arena_format(run->arena, "%s: reading artwork", s->surface->name),
                     (double)i, (double)run->surface_count);
        if (cancel_asked(run->options.cancel)) return error_set(error, FAILURE_CANCELLED, "stopped", NULL);
        if (!art_read(run->machine, s->surface, &notes, &s->art, error)) return false;
    }
    return true;
}

/* Pieces are surfaces of their own after the job's. They lie on all of their host, also on what it leaves bare: they
 * are opened before it loses what lies outside its cover. */
static bool open_artwork(struct run *run, struct error *error)
{
    size_t before = run->findings.count, ordinary = run->surface_count;
    if (!read_all_artwork(run, error) || !step_open_pieces(run, error)) return false;
    for (size_t i = 0; i < ordinary; i++)
        if (!step_cover(run, &run->surfaces[i], error)) return false;
    for (size_t i = 0; i < run->surface_count; i++) judge_artwork(run, &run->surfaces[i]);
    mark_on_artwork(run, before);
    return true;
}

bool run_open(struct run *run, struct machine *machine, const struct run_options *options, bool writes,
              struct error *error)
{
    *run = (struct run){.machine = machine, .arena = arena_new(machine), .options = *options, .lock = -1};
    run->report = report_new(run->arena);
    run->findings = findings_new(run->arena);
    run->colours = arena_take(run->arena, sizeof *run->colours);
    run->pool = pool_new(machine, options->threads ? options->threads : pool_processors());
    if (!run->options.now) run->options.now = machine->now(machine);
    if (!run->options.date) run->options.date = run->options.now;
    if (!job_folder(run, error)) return false;
    if (!job_load(machine, options->job, run->arena, &run->report, &run->job, error)) return false;
    if (run->job) step_report_missing(run);
    if (run->report.errors || !run->job) return true;
    if (!zone_load(machine, run->job->shop->zone, run->job->shop->file, run->arena, &run->zone, error))
        return false;
    run->zone->now = run->options.now;
    if (!step_take_record(run, error)) return false;
    if (writes && !step_lock(run, error)) return false;
    if (!open_conditions(run, error) || !open_surfaces(run, error)) return false;
    if (run->report.errors) return true;
    step_doubt_files(run);
    return open_artwork(run, error) && texts_set(run, error) && step_check_only(run, error);
}

static bool is_same_file(const struct file_status *a, const struct file_status *b)
{
    return a->exists == b->exists && a->device == b->device && a->number == b->number && a->size == b->size &&
           a->modified_ns == b->modified_ns && a->changed_ns == b->changed_ns;
}

static const struct artwork_spec *changed_artwork(const struct run *run)
{
    for (size_t i = 0; i < run->surface_count; i++)
        for (size_t k = 0; k < run->surfaces[i].art.count; k++) {
            const struct placed_art *placed = &run->surfaces[i].art.placed[k];
            struct file_status now = run->machine->status(run->machine, placed->spec->path);
            if (!is_same_file(&now, &placed->seen)) return placed->spec;
        }
    return NULL;
}

bool run_artwork_unchanged(struct run *run, struct error *error)
{
    const struct artwork_spec *changed = changed_artwork(run);
    if (!changed) return true;
    const char *panels = path_join(run->arena, run->out, "panels/");
    for (size_t i = 0; i < run->written_count; i++)
        if (str_starts(str_from(run->written[i]), panels))
            run->machine->remove_file(run->machine, run->written[i], NULL);
    return error_set(error, FAILURE_INPUT, "was-changed-while-it-was-being",
                     ARGUMENTS(arg_words("changed_file", changed->file)));
}

void step_unlock(struct run *run)
{
    if (run->lock >= 0) close(run->lock);
    run->lock = -1;
}

void run_close(struct run *run)
{
    step_unlock(run);
    if (run->colours) art_colours_drop(run->colours);
    maps_drop(run);
    texts_drop(run);
    pool_free(run->pool);
    arena_free(run->arena);
    *run = (struct run){.lock = -1};
}

bool run_init(struct machine *machine, const char *folder, struct error *error)
{
    struct arena *arena = arena_new(machine);
    bool ok = job_init(machine, folder, arena, error);
    arena_free(arena);
    return ok;
}
