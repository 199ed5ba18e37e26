/* The final report of a job. */
#include "base/path.h"
#include "floor_inner.h"
#include "model/entry.h"
#include "sheet/report.h"

bool floor_report(struct floor *floor, const char *number, int64_t date, struct arena *arena,
                  const char **path, struct error *error)
{
    struct job_terms terms;
    struct floor_panel *panels;
    struct fact *facts;
    size_t count;
    bool found;
    const char *folder = floor_job_folder(floor, number, arena);
    if (!floor_job(floor, number, date, arena, &terms, &panels, &found, error)) return false;
    if (!found || !folder)
        return error_set(error, FAILURE_INPUT,
                         "job %s has no plan on record, so there is nothing to report; plan it first",
                         number);
    if (!floor_facts(floor, number, NULL, arena, &facts, &count, error)) return false;
    count = facts_without_undone(facts, count);
    struct panel_state *states = arena_take_array(arena, terms.panel_count, sizeof *states);
    struct length_check *lengths = arena_take_array(arena, terms.panel_count, sizeof *lengths);
    for (size_t i = 0; i < terms.panel_count; i++) states[i] = panels[i].state, lengths[i] = panels[i].length;
    struct final_report report = {.terms = &terms,
                                  .states = states,
                                  .facts = facts,
                                  .fact_count = count,
                                  .lengths = lengths,
                                  .zone = floor->zone,
                                  .date = date,
                                  .version = LAPSTRAKE_VERSION};
    *path = path_join(arena, folder, "out/report.pdf");
    return final_report_write(&report, floor->machine, *path, arena, error);
}
