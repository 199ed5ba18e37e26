/* OUT holds what belongs to one plan: the files of another one go to OUT/old. */
#include "run/run.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/path.h"
#include "base/text.h"
#include "steps.h"
#include <string.h>

enum { KEY_MOST = 64 };

static uint64_t hash_string(uint64_t hash, const char *string)
{
    return string ? hash_bytes(hash, string, strlen(string) + 1) : hash;
}

/* `times`: files that were written again count as others. */
static uint64_t hash_surface(uint64_t hash, const struct run *run, size_t i, bool times)
{
    const struct run_surface *s = &run->surfaces[i];
    const struct surface_plan *plan = &run->plan->surfaces[i];
    struct str profile = step_profile(run, s->surface);
    hash = hash_bytes(hash, profile.bytes, profile.length);
    for (size_t k = 0; k < s->art.count; k++) {
        const struct placed_art *p = &s->art.placed[k];
        hash = hash_string(hash, p->spec->file);
        hash = hash_string(hash, p->spec->revision);
        hash = hash_bytes(hash, &p->spec->page, sizeof p->spec->page);
        hash = hash_bytes(hash, &p->to_surface, sizeof p->to_surface);
        hash = hash_bytes(hash, &p->clip, sizeof p->clip);
        hash = hash_bytes(hash, &p->seen.size, sizeof p->seen.size);
        if (times) hash = hash_bytes(hash, &p->seen.modified_ns, sizeof p->seen.modified_ns);
    }
    for (size_t k = 0; k < surface_print_count(plan); k++) {
        const struct panel *panel = &plan->panels[k];
        hash = hash_string(hash, panel->file_name);
        hash = hash_bytes(hash, &panel->visible, sizeof panel->visible);
        hash = hash_bytes(hash, &panel->print, sizeof panel->print);
        hash = hash_bytes(hash, &panel->file, sizeof panel->file);
    }
    return hash;
}

/* Of everything that panel files are made from. */
static uint64_t plan_hash(const struct run *run, bool times)
{
    const struct job *job = run->job;
    uint64_t hash = hash_string(HASH_START, job->number);
    hash = hash_bytes(hash, &job->format, sizeof job->format);
    hash = hash_bytes(hash, &job->resolution_ppi, sizeof job->resolution_ppi);
    for (size_t i = 0; i < run->surface_count; i++) {
        double feed = feed_percent_of(job, run->surfaces[i].surface->condition);
        hash = hash_bytes(hash, &feed, sizeof feed);
    }
    for (size_t i = 0; i < run->surface_count; i++) hash = hash_surface(hash, run, i, times);
    return hash;
}

static const char *plan_key(const struct run *run)
{
    return arena_format(run->arena, "%llu", (unsigned long long)plan_hash(run, true));
}

const char *step_plan_fingerprint(const struct run *run)
{
    return arena_format(run->arena, "%08x", (unsigned)(plan_hash(run, false) >> 32));
}

static const char *key_path(const struct run *run)
{
    return path_join(run->arena, run->out, "cache/plan-key");
}

/* Whether what lies in OUT is of this plan, as far as that is known. */
static bool is_of_this_plan(const struct run *run)
{
    struct str kept;
    const char *path = key_path(run);
    return run->machine->status(run->machine, path).exists &&
           machine_read(run->machine, path, KEY_MOST, run->arena, &kept, NULL) &&
           str_equal(kept, plan_key(run));
}

/* The files in a folder of OUT; none when it is not there. */
static const char **names_in(const struct run *run, const char *folder)
{
    static const char *none[] = {NULL};
    const char **names = none;
    struct machine *m = run->machine;
    if (!m->status(m, folder).exists || !m->list_folder(m, folder, run->arena, &names, NULL)) return none;
    return names;
}

/* What the folder of panels keeps from plan to plan is no panel. */
static bool is_panel_file(const char *name)
{
    return strcmp(name, "profiles.txt") != 0;
}

bool run_has_panel_files(const struct run *run)
{
    if (!run->out) return false;
    for (const char **name = names_in(run, path_join(run->arena, run->out, "panels")); *name; name++)
        if (is_panel_file(*name)) return true;
    return false;
}

static void empty_old(const struct run *run, const char *old)
{
    for (const char **name = names_in(run, old); *name; name++)
        run->machine->remove_file(run->machine, path_join(run->arena, old, *name), NULL);
}

/* Renamed, never copied. The first file that comes sends away what was there before. */
static bool move_to_old(struct run *run, const char *from, bool *emptied, struct error *error)
{
    struct machine *m = run->machine;
    if (!m->status(m, from).exists) return true;
    const char *old = path_join(run->arena, run->out, "old");
    if (!*emptied) empty_old(run, old);
    *emptied = true;
    return m->move_file(m, from, path_join(run->arena, old, path_name(from)), error);
}

static bool move_cut_files(struct run *run, bool *emptied, struct error *error)
{
    const char *folder = path_join(run->arena, run->out, "cut");
    for (const char **name = names_in(run, folder); *name; name++)
        if (!move_to_old(run, path_join(run->arena, folder, *name), emptied, error)) return false;
    return true;
}

static bool move_all(struct run *run, struct error *error)
{
    static const char *const papers[] = {"sheet.pdf", "order.pdf", "labels.pdf"};
    const char *panels = path_join(run->arena, run->out, "panels");
    bool emptied = false;
    for (const char **name = names_in(run, panels); *name; name++)
        if (is_panel_file(*name) && !move_to_old(run, path_join(run->arena, panels, *name), &emptied, error))
            return false;
    if (!move_cut_files(run, &emptied, error)) return false;
    for (size_t i = 0; i < sizeof papers / sizeof *papers; i++)
        if (!move_to_old(run, path_join(run->arena, run->out, papers[i]), &emptied, error)) return false;
    return true;
}

bool run_set_apart(struct run *run, bool *same, struct error *error)
{
    *same = is_of_this_plan(run);
    if (*same && (run_may_print(run) || run->options.anyway)) return true;
    const char *key = plan_key(run);
    return move_all(run, error) && machine_write(run->machine, key_path(run), str_from(key), false, error);
}

bool run_panels_are_old(const struct run *run)
{
    return run_has_panel_files(run) && (!run->plan || !is_of_this_plan(run));
}

void run_tell_old(struct run *run)
{
    if (run_panels_are_old(run))
        finding_add(&run->findings, "panels-old", "job", "panels-old", ARGUMENTS(arg_words("out", run->out)));
}
