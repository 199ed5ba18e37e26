/* Prints one panel again as it was: plans with the feed of then, and makes the panel's file. Called by the floor,
 * which knows the stock and puts it on record. */
#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include "digests.h"
#include "reprint_inner.h"
#include "steps.h"
#include <math.h>
#include <string.h>

static bool reprint_find_surface(const struct run *run, struct reprint *reprint, struct error *error)
{
    const char *panel = NULL;
    for (size_t i = 0; i < run->surface_count && !panel; i++)
        if (step_wanted(run, run->surfaces[i].surface, &panel)) reprint->surface = i;
    if (!panel)
        return error_set(error, FAILURE_INPUT, "reprint-name-one-panel",
                         ARGUMENTS(arg_words("written", run->options.only)));
    const char *id = run->surfaces[reprint->surface].surface->id;
    size_t length = strlen(id);
    if (strncmp(panel, id, length) || panel[length] != '-')
        panel = arena_format(run->arena, "%s-%s", id, panel);
    reprint->was.panel = panel;
    reprint->was.surface = run->surfaces[reprint->surface].surface->name;
    return true;
}

/* An unknown panel of a surface is a slip of the pen; one that was printed once is not. */
static bool reprint_find_panel(const struct run *run, struct reprint *reprint, struct error *error)
{
    const struct surface_plan *s = &run->plan->surfaces[reprint->surface];
    struct text names = text_new(run->arena);
    for (size_t i = 0; i < surface_print_count(s); i++) {
        if (string_equal(s->panels[i].id, reprint->was.panel)) reprint->panel = &s->panels[i];
        text_addf(&names, "%s%s", i ? ", " : "", s->panels[i].id);
    }
    if (reprint->panel || reprint->was.source != PRINT_UNKNOWN) return true;
    return error_set(error, FAILURE_INPUT, "reprint-no-such-panel",
                     ARGUMENTS(arg_words("surface", reprint->was.surface),
                               arg_words("panel", reprint->was.panel),
                               arg_words("names", names.length ? text_string(&names) : "none")));
}

bool reprint_plan(struct run *run, struct reprint *reprint, struct error *error)
{
    struct panel_print *was = &reprint->was;
    *reprint = (struct reprint){.was = {.feed_percent = NAN}, .film_mm = NAN, .across_mm = NAN};
    if (!reprint_find_surface(run, reprint, error) || !reprint_read(run, was, error)) return false;
    reprint->feed_now = feed_percent_of(run->job, run->surfaces[reprint->surface].surface->condition);
    if (was->feed_percent >= FEED_LEAST && was->feed_percent <= FEED_MOST)
        run->job->feed_percent = was->feed_percent;
    else
        was->feed_percent = reprint->feed_now;
    return run_plan(run, error) && reprint_find_panel(run, reprint, error) &&
           reprint_judge(run, reprint, error);
}

/* ---- making ---- */

static bool reprint_is_difference(const char *code)
{
    return str_starts(str_from(code), "reprint-") || string_equal(code, "never-made") ||
           string_equal(code, "artwork-changed");
}

bool reprint_is_same(const struct run *run, const struct reprint *reprint)
{
    bool in_spite = reprint->was.has_made && reprint->was.made.anyway;
    for (size_t i = 0; i < run->findings.count; i++) {
        const struct finding *f = &run->findings.items[i];
        if (f->severity == SEVERITY_STOP && (!in_spite || reprint_is_difference(f->code))) return false;
    }
    return true;
}

static const char *reprint_out(const struct run *run)
{
    return path_join(run->arena, run->out, REPRINT_FOLDER);
}

static void reprint_remove(struct run *run, enum panel_form form, const char *surface, const char *part)
{
    const char *name = panel_file_name(form, run->job->number, surface, part, run->arena);
    run->machine->remove_file(run->machine, path_join(run->arena, reprint_out(run), name), NULL);
}

/* Files of before, which may be sent to the printer for the one that was refused. */
static void reprint_clear(struct run *run, const struct reprint *reprint)
{
    const char *id = run->surfaces[reprint->surface].surface->id;
    const char *part = reprint->was.panel + strlen(id) + 1; /* "3" of left-3 */
    for (int form = 0; form < PANEL_FORMS; form++) {
        reprint_remove(run, (enum panel_form)form, id, part);
        reprint_remove(run, (enum panel_form)form, reprint_patches_id(run->arena, reprint), NULL);
    }
}

/* The digest that was kept is of a file with this panel alone when it has the same name. */
static bool reprint_compare(struct run *run, struct reprint *reprint, struct error *error)
{
    char hex[65];
    const struct panel_print *was = &reprint->was;
    if (!digest_of_file(run->machine, reprint->path, run->options.cancel, hex, error)) return false;
    reprint->sha256 = arena_copy_string(run->arena, hex);
    reprint->compared = was->has_made && !string_equal(was->made.sha256, "-") &&
                        string_equal(path_name(was->made.name), path_name(reprint->path));
    reprint->same_bytes = reprint->compared && string_equal(was->made.sha256, hex);
    return true;
}

struct make_order reprint_order(struct run *run, const struct reprint *reprint, struct art_work *work)
{
    const struct panel_print *was = &reprint->was;
    struct make_order order = step_make_order(run, reprint->surface, work);
    order.out = reprint_out(run);
    order.only_panel = was->panel;
    if (was->has_made && reprint_is_same(run, reprint)) {
        order.date = was->made.date, order.anyway = was->made.anyway;
        run->plan->fingerprint = was->made.plan;
    }
    return order;
}

bool reprint_make(struct run *run, struct reprint *reprint, struct error *error)
{
    struct art_work work;
    struct make_result result;
    bool something = reprint->panel && reprint->was.source != PRINT_UNKNOWN;
    reprint_clear(run, reprint);
    if (!something || (!reprint_is_same(run, reprint) && !run->options.anyway)) return true;
    maps_rest(run);
    if (!step_makes(run, &run->surfaces[reprint->surface])) return true;
    struct make_order order = reprint_order(run, reprint, &work);
    if (!make_panels(run->machine, &order, run->arena, &result, error)) return false;
    if (!result.path_count) return true;
    reprint->path = result.paths[0];
    step_written(run, reprint->path);
    if (run_artwork_unchanged(run, error) && reprint_compare(run, reprint, error)) return true;
    run->machine->remove_file(run->machine, reprint->path, NULL);
    return false;
}
