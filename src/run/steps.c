/* Small questions that the verbs share: which condition and profile a surface uses, whether it was asked
 * for by --only, which files were written. */
#include "steps.h"
#include "base/arena.h"
#include "base/path.h"
#include <string.h>

size_t step_condition(const struct run *run, const struct surface *surface)
{
    for (size_t i = 0; i < run->condition_count; i++)
        if (run->conditions[i].condition == surface->condition) return i;
    return SIZE_MAX;
}

struct str step_profile(const struct run *run, const struct surface *surface)
{
    size_t i = step_condition(run, surface);
    return i == SIZE_MAX ? (struct str){"", 0} : run->profiles[i];
}

struct art_work step_work(const struct run *run, const struct run_surface *surface)
{
    const struct condition *condition = surface->surface->condition;
    return (struct art_work){
        .surface = surface->surface,
        .art = &surface->art,
        .profile = step_profile(run, surface->surface),
        .profile_path = condition ? condition->profile_path : NULL,
        .folder = path_join(run->arena, run->out, "cache"),
        .exact = run->options.exact,
        .pool = run->pool,
        .colours = run->colours,
        .cancel = run->options.cancel,
        .progress = run->options.progress,
    };
}

/* "left/left-2" or "left/2": the surface part, and what stands behind the slash. */
static struct str only_surface(const char *only, const char **panel)
{
    const char *slash = strrchr(only, '/');
    *panel = slash ? slash + 1 : NULL;
    return slash ? (struct str){only, (size_t)(slash - only)} : str_from(only);
}

bool step_wanted(const struct run *run, const struct surface *surface, const char **panel)
{
    *panel = NULL;
    if (!run->options.only) return true;
    const char *part;
    struct str name = only_surface(run->options.only, &part);
    if (!str_equal(name, surface->name) && !str_equal(name, surface->id)) return false;
    bool number = part && !part[strspn(part, "0123456789")];
    *panel = number ? arena_format(run->arena, "%s-%s", surface->id, part) : part;
    return true;
}

bool step_check_only(const struct run *run, struct error *error)
{
    const char *panel;
    for (size_t i = 0; i < run->surface_count; i++)
        if (step_wanted(run, run->surfaces[i].surface, &panel)) return true;
    if (!run->options.only) return true;
    return error_set(
        error, FAILURE_INPUT, "only-job-has-no-such-surface",
        ARGUMENTS(arg_words("only", run->options.only),
                  arg_words("surface", run->surface_count ? run->surfaces[0].surface->name : "not there")));
}

void step_written(struct run *run, const char *path)
{
    *(const char **)arena_append(run->arena, &run->written, &run->written_count, &run->written_capacity,
                                 sizeof *run->written) = path;
}

bool run_may_print(const struct run *run)
{
    return !findings_of_severity(&run->findings, SEVERITY_STOP);
}
