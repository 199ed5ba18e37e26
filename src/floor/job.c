/* One job with each of its panels. */
#include "inner.h"
#include "model/entry.h"
#include "plan/gate.h"
#include "plan/promise.h"
#include <math.h>
#include <string.h>

/* The marks may span a part of the print; at the seam it is the whole print that misses. */
static struct length_check floor_job_length_of(const struct floor_panel *panel, double feed_percent)
{
    const struct panel_terms *terms = &panel->terms;
    const struct panel_state *state = &panel->state;
    if (isnan(state->measured_mm) || isnan(state->planned_mm)) return (struct length_check){NAN, false, NAN};
    double feed = facts_feed(panel->facts, panel->fact_count, feed_percent);
    double whole = terms->print_mm > 0 ? terms->print_mm : state->planned_mm;
    return gate_length(whole, state->measured_mm * whole / state->planned_mm, feed);
}

static void floor_job_take_facts(struct floor_panel *panel, const struct fact *facts, size_t count,
                                 struct arena *arena)
{
    size_t capacity = 0;
    for (size_t i = count; i-- > 0;)
        if (string_equal(facts[i].panel, panel->terms.panel))
            *(struct fact *)arena_append(arena, &panel->facts, &panel->fact_count, &capacity,
                                         sizeof *panel->facts) = facts[i];
}

bool floor_job(struct floor *floor, const char *number, int64_t now, struct arena *arena,
               struct planned_job *job, struct error *error)
{
    struct panel_state *states;
    struct fact *facts;
    size_t count;
    struct job_terms *terms = &job->terms;
    *job = (struct planned_job){0};
    const char *own = floor_number(floor, number, arena, error);
    if (!own) return false;
    if (!floor->record) return true;
    if (!record_terms(floor->record, own, arena, terms, &job->planned, error)) return false;
    if (!job->planned) return true;
    struct fact_query query = {.job = own};
    if (!record_states(floor->record, terms, arena, &states, error) ||
        !record_facts(floor->record, &query, arena, &facts, &count, error))
        return false;
    count = facts_without_undone(facts, count);
    pthread_mutex_lock(&floor->mutex);
    struct print_hold hold = job_hold(floor, jobs_find(floor, own), terms);
    pthread_mutex_unlock(&floor->mutex);
    job->panels = arena_take_array(arena, terms->panel_count, sizeof *job->panels);
    for (size_t i = 0; i < terms->panel_count; i++) {
        struct floor_panel *panel = &job->panels[i];
        *panel = (struct floor_panel){.terms = terms->panels[i], .state = states[i]};
        panel->next = gate_next(&hold, &panel->terms, &panel->state, now, floor->zone, arena);
        bool left = panel->next.kind != FACT_KIND_COUNT;
        panel->late = left && promise_of_terms(terms, next_step_delay_s(&panel->next, now)).late;
        floor_job_take_facts(panel, facts, count, arena);
        panel->length = floor_job_length_of(panel, terms->feed_percent);
    }
    return true;
}
