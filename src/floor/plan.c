/* Planning with what is on record, and keeping the version. */
#include "run/plan_json.h"
#include "run/run.h"
#include "base/text.h"
#include "inner.h"
#include "run/terms.h"

static bool keep_version(struct floor *floor, struct run *run, struct error *error)
{
    struct text json = text_new(run->arena);
    plan_json_write(run->plan, &run->findings, &json);
    struct str bytes = {text_string(&json), json.length};
    struct job_terms terms = terms_of_run(run, bytes);
    return record_plan(floor->record, &terms, bytes, NULL, error);
}

static bool plan_and_keep(struct floor *floor, const struct run_options *options, struct error *error)
{
    struct run run;
    bool ok = run_open(&run, floor->machine, options, true, error);
    if (ok && run.report.errors) {
        struct text words = text_new(run.arena);
        report_write(&run.report, &words);
        ok = error_words(error, FAILURE_INPUT, text_string(&words));
    }
    bool same;
    ok = ok && run_plan(&run, error) && run_set_apart(&run, &same, error) && run_write_plan(&run, error) &&
         keep_version(floor, &run, error);
    run_close(&run);
    return ok;
}

bool floor_plan(struct floor *floor, const char *number, const struct run_options *options,
                struct error *error)
{
    struct arena *arena = arena_new(floor->machine);
    struct run_options own = *options;
    own.job = floor_job_folder(floor, number, arena);
    own.recorded = true; /* what is on record is read when the job is opened */
    bool ok = own.job ? floor_record(floor, error) != NULL
                      : error_set(error, FAILURE_INPUT, "there-is-no-job-in",
                                  ARGUMENTS(arg_words("number", number), arg_words("folder", floor->folder)));
    ok = ok && plan_and_keep(floor, &own, error);
    arena_free(arena);
    return ok;
}
