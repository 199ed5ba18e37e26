/* Planning with what is on record, and keeping the version. Called by cli, which writes the files between the
 * two. */
#include "base/text.h"
#include "inner.h"
#include "run/run.h"
#include "terms.h"

static bool plan_opened(struct run *run, struct error *error)
{
    bool same;
    if (run->report.errors) {
        struct text words = text_new(run->arena);
        report_write(&run->report, &words);
        return error_words(error, FAILURE_INPUT, text_string(&words));
    }
    return run_plan(run, error) && run_set_apart(run, &same, error);
}

bool floor_plan(struct floor *floor, const char *number, const struct run_options *options,
                struct arena *arena, struct run *run, struct error *error)
{
    struct run_options own = *options;
    own.job = floor_job_folder(floor, number, arena);
    own.recorded = true; /* what is on record is read when the job is opened */
    if (!own.job)
        return error_set(error, FAILURE_INPUT, "there-is-no-job-in",
                         ARGUMENTS(arg_words("number", number), arg_words("folder", floor->folder)));
    if (!floor_record(floor, error)) return false;
    if (run_open(run, floor->machine, &own, true, error) && plan_opened(run, error)) return true;
    run_close(run);
    return false;
}

bool floor_keep_plan(struct floor *floor, const struct run *run, struct str json, struct error *error)
{
    struct job_terms terms = terms_of_run(run, json);
    return record_plan(floor->record, &terms, json, NULL, error);
}
