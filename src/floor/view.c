/* Every job at a glance: what can be done now, what comes next. From memory; nothing is planned here. */
#include "inner.h"
#include "base/sentence.h"
#include "plan/gate.h"
#include "plan/promise.h"
#include <stdlib.h>
#include <string.h>

const char *stage_words(enum stage stage)
{
    static const char *const words[] = {"stage-to-plan",    "stage-mend",       "stage-printing",
                                        "stage-drying",     "stage-laminating", "stage-bonding",
                                        "stage-installing", "stage-installed"};
    return sentence_plain(words[stage]);
}

static enum stage stage_of(const struct panel_terms *terms, const struct next_step *next)
{
    switch (next->kind) {
    case FACT_KIND_COUNT:
        return STAGE_DONE;
    case FACT_LAMINATED:
        return next->open ? STAGE_LAMINATE : STAGE_DRY;
    case FACT_TRIMMED:
    case FACT_INSTALLED:
        return next->open ? STAGE_INSTALL : terms->has_laminate ? STAGE_BOND : STAGE_DRY;
    default:
        return STAGE_PRINT;
    }
}

/* ---- one view as it grows ---- */

struct viewing {
    struct floor *floor;
    struct floor_view *view;
    struct arena *arena;
    size_t ready_capacity, next_capacity;
};

/* Pieces wait together when they wait for the same: until the same moment, or for nothing any more. */
static struct floor_step *step_for(struct viewing *v, const struct job_terms *job,
                                   const struct panel_terms *panel, const struct next_step *next,
                                   size_t first_ready, size_t first_next)
{
    struct floor_view *view = v->view;
    struct floor_step *steps = next->open ? view->ready : view->next;
    size_t count = next->open ? view->ready_count : view->next_count;
    for (size_t i = next->open ? first_ready : first_next; i < count; i++)
        if (steps[i].kind == next->kind && string_equal(steps[i].surface, panel->surface) &&
            (next->open || steps[i].from == next->from))
            return &steps[i];
    struct floor_step *step =
        next->open
            ? arena_append(v->arena, &view->ready, &view->ready_count, &v->ready_capacity, sizeof *step)
            : arena_append(v->arena, &view->next, &view->next_count, &v->next_capacity, sizeof *step);
    *step = (struct floor_step){.job = job->job,
                                .title = job->title,
                                .surface = panel->surface,
                                .kind = next->kind,
                                .from = next->from,
                                .needed = next->needed,
                                .why = next->why};
    step->panels = arena_take_array(v->arena, job->panel_count, sizeof *step->panels);
    return step;
}

static void add_piece(struct viewing *v, const struct job_terms *job, const struct panel_terms *panel,
                      const struct next_step *next, size_t first_ready, size_t first_next)
{
    struct floor_step *step = step_for(v, job, panel, next, first_ready, first_next);
    step->panels[step->panel_count++] = panel->panel;
    if (next->from > step->from) step->from = next->from, step->why = next->why;
    if (next->needed && (!step->needed || next->needed < step->needed)) step->needed = next->needed;
    step->late = step->late || promise_of_terms(job, next_step_delay_s(next, v->view->now)).late;
}

static void add_planned(struct viewing *v, struct floor_job *job, const struct job_entry *entry,
                        const struct job_terms *terms, const struct panel_state *states)
{
    struct print_hold hold = job_hold(v->floor, entry, terms);
    size_t first_ready = v->view->ready_count, first_next = v->view->next_count;
    int64_t worst = 0;
    /* A plan without a panel (a finding stops it) leaves everything to be done. */
    job->stage = terms->panel_count ? STAGE_DONE : STAGE_UNPLANNED, job->panels = terms->panel_count;
    for (size_t i = 0; i < terms->panel_count; i++) {
        const struct panel_terms *panel = &terms->panels[i];
        struct next_step next = gate_next(&hold, panel, &states[i], v->view->now, v->floor->zone, v->arena);
        enum stage stage = stage_of(panel, &next);
        if (stage < job->stage) job->stage = stage;
        if (stage == STAGE_DONE) {
            job->installed++;
            continue;
        }
        add_piece(v, terms, panel, &next, first_ready, first_next);
        int64_t delay_s = next_step_delay_s(&next, v->view->now);
        if (delay_s > worst) worst = delay_s;
    }
    job->has_install = terms->has_install, job->earliest_install = terms->earliest_install;
    job->has_due = terms->has_due, job->due = terms->due;
    job->stops = terms->stops, job->warnings = terms->warnings, job->notes = terms->notes;
    struct promise promise = promise_of_terms(terms, worst);
    job->expected = promise.expected;
    job->late = job->stage != STAGE_DONE && promise.late;
    job->late_s = job->late ? promise.late_s : 0;
}

/* What is shown outlives the list it was read from. */
static const char *own(struct viewing *v, const char *words)
{
    return words ? arena_copy_string(v->arena, words) : NULL;
}

static void add_job(struct viewing *v, const struct job_entry *entry, struct floor_job *job)
{
    *job = (struct floor_job){.number = own(v, entry->number),
                              .title = own(v, entry->title),
                              .vehicle = own(v, entry->vehicle),
                              .folder_name = own(v, entry->folder_name),
                              .stage = STAGE_UNPLANNED,
                              .has_due = entry->has_due,
                              .trouble = own(v, entry->trouble)};
    const struct panel_state *states;
    const struct job_terms *terms = snapshot_find(v->floor, entry->number, &states);
    if (entry->has_due) job->due = zone_utc(v->floor->zone, &entry->due);
    if (entry->twin)
        job->trouble =
            sentence_words(v->arena, "number-is-that-of-folder-too",
                           ARGUMENTS(arg_words("number", entry->number), arg_words("twin", entry->twin)));
    else if (terms)
        add_planned(v, job, entry, terms, states);
    if (job->trouble) job->stage = STAGE_BROKEN;
}

/* The snapshot may be replaced as soon as the floor is let go: words are copied once for each step. */
static void keep_steps(struct viewing *v, struct floor_step *steps, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        steps[i].job = own(v, steps[i].job), steps[i].title = own(v, steps[i].title);
        steps[i].surface = own(v, steps[i].surface);
        for (size_t k = 0; k < steps[i].panel_count; k++) steps[i].panels[k] = own(v, steps[i].panels[k]);
    }
}

/* ---- order ---- */

static int compare_times(int64_t a, int64_t b)
{
    if (a == b) return 0;
    if (!a || !b) return a ? -1 : 1; /* without a time: last */
    return a < b ? -1 : 1;
}

static int floor_view_by_name(const struct floor_step *a, const struct floor_step *b)
{
    int jobs = strcmp(a->job, b->job), surfaces = strcmp(a->surface, b->surface);
    return jobs ? jobs : surfaces ? surfaces : (int)a->kind - (int)b->kind;
}

static int by_need(const void *one, const void *other)
{
    const struct floor_step *a = one, *b = other;
    if (a->late != b->late) return a->late ? -1 : 1;
    int times = compare_times(a->needed, b->needed);
    return times ? times : floor_view_by_name(a, b);
}

static int by_from(const void *one, const void *other)
{
    const struct floor_step *a = one, *b = other;
    int times = compare_times(a->from, b->from);
    return times ? times : floor_view_by_name(a, b);
}

static void view_sort(struct floor_view *view)
{
    if (view->ready_count) qsort(view->ready, view->ready_count, sizeof *view->ready, by_need);
    if (view->next_count) qsort(view->next, view->next_count, sizeof *view->next, by_from);
}

bool floor_view(struct floor *floor, int64_t now, struct arena *arena, struct floor_view *view,
                struct error *error)
{
    *view = (struct floor_view){.now = now};
    struct viewing v = {.floor = floor, .view = view, .arena = arena};
    pthread_mutex_lock(&floor->mutex);
    bool ok = jobs_renew(floor, error) && snapshot_renew(floor, error);
    if (ok) {
        view->jobs = arena_take_array(arena, floor->list.count, sizeof *view->jobs);
        for (; view->job_count < floor->list.count; view->job_count++)
            add_job(&v, &floor->list.entries[view->job_count], &view->jobs[view->job_count]);
        keep_steps(&v, view->ready, view->ready_count);
        keep_steps(&v, view->next, view->next_count);
    }
    pthread_mutex_unlock(&floor->mutex);
    view_sort(view);
    return ok;
}
