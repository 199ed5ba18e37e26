/* The prints of one or several jobs on the shop's rolls: plans the jobs, asks the record for the stock, and lays.
 * Called by cli. */
#include "base/path.h"
#include "inner.h"
#include "rolls/rolls.h"
#include "run/run.h"

/* ---- the jobs ---- */

static bool same_file(struct machine *machine, const char *one, const char *other)
{
    struct file_status a = machine->status(machine, one), b = machine->status(machine, other);
    return a.device == b.device && a.number == b.number;
}

static bool refuse_twice(struct floor_rolls *rolls, const struct floor_rolls_options *options, size_t i,
                         struct error *error)
{
    for (size_t k = 0; k < i; k++)
        if (same_file(rolls->machine, options->jobs[k], options->jobs[i]))
            return error_set(error, FAILURE_INPUT, "rolls-job-twice",
                             ARGUMENTS(arg_words("job", options->jobs[i])));
    return true;
}

/* Results of several jobs go beside none of them: each job keeps its own OUT. */
static bool open_job(struct floor_rolls *rolls, const struct floor_rolls_options *options, size_t i,
                     struct error *error)
{
    struct run_options own = *options->run;
    struct run *run = &rolls->runs[i];
    own.job = options->jobs[i];
    if (options->job_count > 1) own.out = NULL;
    rolls->run_count = i + 1;
    if (!refuse_twice(rolls, options, i, error)) return rolls->run_count = i, false;
    if (!run_open(run, rolls->machine, &own, true, error)) return false;
    if (run->report.errors) {
        struct text words = text_new(rolls->arena);
        report_write(&run->report, &words);
        return error_words(error, FAILURE_INPUT, text_string(&words));
    }
    return run_plan(run, error);
}

/* ---- laying ---- */

static bool take_stock(struct floor_rolls *rolls, const char *job, struct stock_roll **stock, size_t *count,
                       struct error *error)
{
    struct floor *floor;
    const char *number;
    if (!floor_open_at(rolls->machine, job, false, rolls->arena, &floor, &number, error)) return false;
    bool ok = floor_stock(floor, rolls->arena, stock, count, error);
    floor_close(floor);
    return ok;
}

struct rolls_clock {
    struct machine *machine;
    const struct cancel *cancel;
    int64_t until_ms;
};

static bool clock_is_over(void *self)
{
    const struct rolls_clock *clock = self;
    return cancel_asked(clock->cancel) || clock->machine->ticks_ms(clock->machine) >= clock->until_ms;
}

static bool lay_jobs(struct floor_rolls *rolls, const struct floor_rolls_options *options,
                     struct error *error)
{
    struct roll_job *jobs = arena_take_array(rolls->arena, rolls->run_count, sizeof *jobs);
    for (size_t i = 0; i < rolls->run_count; i++)
        jobs[i] =
            (struct roll_job){rolls->runs[i].plan,
                              options->vehicles ? options->vehicles : (size_t)rolls->runs[i].job->vehicles};
    struct stock_roll *stock;
    size_t stock_count;
    if (!take_stock(rolls, options->jobs[0], &stock, &stock_count, error)) return false;
    struct rolls_clock clock = {rolls->machine, options->run->cancel,
                                rolls->machine->ticks_ms(rolls->machine) + 1000 * (int64_t)options->seconds};
    struct roll_order order = {.jobs = jobs,
                               .job_count = rolls->run_count,
                               .stock = stock,
                               .stock_count = stock_count,
                               .seed = options->seed,
                               .enough = clock_is_over,
                               .self = &clock};
    if (!rolls_lay(&order, rolls->arena, &rolls->layout, error)) return false;
    return !cancel_asked(options->run->cancel) || error_set(error, FAILURE_CANCELLED, "stopped", NULL);
}

bool floor_lay_rolls(struct machine *machine, const struct floor_rolls_options *options,
                     struct floor_rolls *rolls, struct error *error)
{
    *rolls = (struct floor_rolls){.machine = machine, .arena = arena_new(machine)};
    rolls->runs = arena_take_array(rolls->arena, options->job_count, sizeof *rolls->runs);
    for (size_t i = 0; i < options->job_count; i++)
        if (!open_job(rolls, options, i, error)) return false;
    rolls->out = options->run->out ? options->run->out : rolls->runs[0].out;
    return lay_jobs(rolls, options, error);
}

void floor_close_rolls(struct floor_rolls *rolls)
{
    for (size_t i = rolls->run_count; i-- > 0;) run_close(&rolls->runs[i]);
    arena_free(rolls->arena);
}

bool floor_write_rolls(struct floor_rolls *rolls, struct str json, struct error *error)
{
    const char *path = path_join(rolls->arena, rolls->out, "rolls.json");
    return machine_write(rolls->machine, path, json, false, error) &&
           run_write_roll_pictures(&rolls->runs[0], rolls->out, &rolls->layout, error);
}

bool floor_rolls_may_print(const struct floor_rolls *rolls)
{
    bool may = !findings_of_severity(&rolls->layout.findings, SEVERITY_STOP);
    for (size_t i = 0; i < rolls->run_count; i++) may = may && run_may_print(&rolls->runs[i]);
    return may;
}
