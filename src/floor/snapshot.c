/* What the record says of every job, kept in memory: plans are read again when there is a new version, states
 * when facts were added. */
#include "inner.h"
#include <stdlib.h>
#include <string.h>

static int by_job(const void *key, const void *item)
{
    return strcmp(key, ((const struct job_terms *)item)->job);
}

static struct job_terms *find_terms(const struct snapshot *s, const char *job)
{
    return s->count ? bsearch(job, s->terms, s->count, sizeof *s->terms, by_job) : NULL;
}

static void take_state(struct snapshot *s, const struct recorded_state *recorded)
{
    if (recorded->fact > s->last_fact) s->last_fact = recorded->fact;
    const struct job_terms *terms = find_terms(s, recorded->job);
    if (!terms) return;
    for (size_t i = 0; i < terms->panel_count; i++)
        if (string_equal(terms->panels[i].panel, recorded->state.panel)) {
            struct panel_state *state = &s->states[terms - s->terms][i];
            *state = recorded->state;
            state->panel = terms->panels[i].panel;
        }
}

static bool read_states(struct floor *floor, struct error *error)
{
    struct arena *arena = arena_new(floor->machine);
    struct recorded_state *states;
    size_t count;
    bool ok = record_states_since(floor->record, floor->snapshot.last_fact, arena, &states, &count, error);
    for (size_t i = 0; ok && i < count; i++) take_state(&floor->snapshot, &states[i]);
    arena_free(arena);
    return ok;
}

static bool read_plans(struct floor *floor, int64_t last_plan, struct error *error)
{
    struct snapshot next = {.arena = arena_new(floor->machine), .last_plan = last_plan};
    if (!record_all_terms(floor->record, next.arena, &next.terms, &next.count, error)) {
        arena_free(next.arena);
        return false;
    }
    next.states = arena_take_array(next.arena, next.count, sizeof *next.states);
    for (size_t i = 0; i < next.count; i++) {
        next.states[i] = arena_take_array(next.arena, next.terms[i].panel_count, sizeof *next.states[i]);
        panel_states_fold(NULL, 0, &next.terms[i], next.states[i]);
    }
    arena_free(floor->snapshot.arena);
    floor->snapshot = next;
    return true;
}

bool snapshot_renew(struct floor *floor, struct error *error)
{
    int64_t last_plan;
    if (!floor->record) return true;
    if (!record_last_plan(floor->record, &last_plan, error)) return false;
    if (last_plan != floor->snapshot.last_plan && !read_plans(floor, last_plan, error)) return false;
    return read_states(floor, error);
}

const struct job_terms *snapshot_find(const struct floor *floor, const char *number,
                                      const struct panel_state **states)
{
    const struct snapshot *s = &floor->snapshot;
    const struct job_terms *terms = find_terms(s, number);
    if (terms) *states = s->states[terms - s->terms];
    return terms;
}

void snapshot_free(struct floor *floor)
{
    arena_free(floor->snapshot.arena);
}
