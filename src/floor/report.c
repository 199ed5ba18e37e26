/* The final report of a job. */
#include "base/path.h"
#include "inner.h"
#include "model/entry.h"
#include "plan/promise.h"
#include "sheet/report.h"

/* When the last panel was applied; false: some are not yet. */
static bool all_installed(const struct panel_state *states, size_t count, int64_t *finished)
{
    *finished = 0;
    for (size_t i = 0; i < count; i++) {
        if (!states[i].installed) return false;
        if (states[i].installed > *finished) *finished = states[i].installed;
    }
    return count > 0;
}

/* As the page and its lists have it: what is furthest behind moves the date. */
static int64_t worst_delay_s(const struct floor_panel *panels, const struct job_terms *terms, int64_t now)
{
    int64_t worst = 0;
    for (size_t i = 0; i < terms->panel_count; i++) {
        int64_t delay = panels[i].next.kind == FACT_KIND_COUNT ? 0 : next_step_delay_s(&panels[i].next, now);
        if (delay > worst) worst = delay;
    }
    return worst;
}

bool floor_report(struct floor *floor, const char *number, int64_t date, struct arena *arena,
                  const char **path, struct error *error)
{
    struct planned_job job;
    struct fact *facts;
    size_t count;
    const char *folder = floor_job_folder(floor, number, arena);
    if (!floor_job(floor, number, date, arena, &job, error)) return false;
    if (!job.planned || !folder)
        return error_set(error, FAILURE_INPUT, "job-has-no-plan-on-record-so",
                         ARGUMENTS(arg_words("number", number)));
    if (!floor_facts(floor, number, NULL, arena, &facts, &count, error)) return false;
    count = facts_without_undone(facts, count);
    struct panel_state *states = arena_take_array(arena, job.terms.panel_count, sizeof *states);
    struct length_check *lengths = arena_take_array(arena, job.terms.panel_count, sizeof *lengths);
    for (size_t i = 0; i < job.terms.panel_count; i++)
        states[i] = job.panels[i].state, lengths[i] = job.panels[i].length;
    int64_t finished;
    bool done = all_installed(states, job.terms.panel_count, &finished);
    struct final_report report = {
        .promise = done ? promise_of(job.terms.has_due ? job.terms.due : 0, finished, 0)
                        : promise_of_terms(&job.terms, worst_delay_s(job.panels, &job.terms, date)),
        .done = done,
        .terms = &job.terms,
        .states = states,
        .facts = facts,
        .fact_count = count,
        .lengths = lengths,
        .zone = floor->zone,
        .date = date,
        .inches = floor_inches(floor, number),
        .version = LAPSTRAKE_VERSION};
    *path = path_join(arena, folder, "out/report.pdf");
    return final_report_write(&report, floor->machine, *path, arena, error);
}
