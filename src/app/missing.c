/* Files that the job names and that are not there: all of them in one run, whatever else is wrong. */
#include "steps.h"

static void report_gone(struct run *run, struct place place, const char *what, const char *file,
                        const char *path)
{
    if (path && !run->machine->status(run->machine, path).exists)
        report_add(&run->report, place, "%s %s is not there: %s", what, file, path);
}

/* A profile that is not there is a finding of its own; among other mistakes it is told with them. */
static void report_profile(struct run *run, const struct condition *condition)
{
    if (condition && run->report.errors)
        report_gone(run, condition->place, "the profile", condition->profile, condition->profile_path);
}

void step_report_missing(struct run *run)
{
    const struct job *job = run->job;
    for (size_t i = 0; i < job->surface_count; i++) {
        const struct surface_spec *s = &job->surfaces[i];
        report_gone(run, s->place, "the drawing", s->drawing, s->drawing_path);
        for (size_t k = 0; k < s->artwork_count; k++)
            report_gone(run, s->artworks[k].place, "the artwork", s->artworks[k].file, s->artworks[k].path);
    }
    for (size_t i = 0; job->shop && i < job->shop->condition_count; i++)
        report_profile(run, &job->shop->conditions[i]);
}
