/* Turns a finished run into the terms that a plan version puts on record: each panel's length, neighbours,
 * waiting times and steps. Called when a plan is kept on record. */
#include "terms.h"
#include "base/hash.h"
#include "base/text.h"
#include "plan/clock.h"
#include "plan/suit.h"
#include <math.h>

/* Length of the print along the film when it is dry. A followed corrugation makes it longer than the view. */
static double print_length_mm(const struct surface_plan *surface, const struct panel *panel)
{
    bool upright = surface->direction == RUN_UPRIGHT;
    const struct rect *r = &panel->print;
    return surface_print_length(surface->surface, !upright, upright ? r->y0 : r->x0, upright ? r->y1 : r->x1);
}

static void take_neighbours(struct panel_terms *terms, const struct surface_plan *surface, size_t panel,
                            struct arena *arena)
{
    struct neighbour *all = arena_take_array(arena, surface->seam_count, sizeof *all);
    for (size_t i = 0; i < surface->seam_count; i++) {
        const struct seam *seam = &surface->seams[i];
        if (seam->over != panel && seam->under != panel) continue;
        const struct panel *other = &surface->panels[seam->over == panel ? seam->under : seam->over];
        all[terms->neighbour_count++] = (struct neighbour){!seam->laps           ? LIES_GAP
                                                           : seam->over == panel ? LIES_OVER
                                                                                 : LIES_UNDER,
                                                           other->id};
    }
    terms->neighbours = all;
    terms->neighbours_text = neighbours_write(all, terms->neighbour_count, arena);
}

/* An inlay goes on before the panel over it. */
static void take_over(struct panel_terms *terms, const struct panel *over, struct arena *arena)
{
    struct neighbour *one = arena_take(arena, sizeof *one);
    *one = (struct neighbour){LIES_UNDER, over->id};
    terms->install_sequence = over->install_sequence;
    terms->neighbours = one, terms->neighbour_count = 1;
    terms->neighbours_text = neighbours_write(one, 1, arena);
}

static void take_laminate(struct panel_terms *terms, const struct film *laminate)
{
    terms->laminate_low_c = terms->laminate_high_c = NAN;
    if (!laminate) return;
    struct suit_window window = suit_room_window(laminate);
    terms->has_laminate = true;
    terms->bond_s = laminate->bond_s.value;
    terms->laminate_low_c = window.low_c.value, terms->laminate_high_c = window.high_c.value;
    terms->laminate_source = window.low_c.source;
    terms->cast_laminate = laminate->kind == FILM_CAST;
    terms->trim_waits = !laminate->trim_while_bonding;
}

static void take_step(struct panel_terms *terms, const struct step *step)
{
    switch (step->kind) {
    case STEP_SUPPLY:
    case STEP_PRINT:
        terms->print_start = step->start, terms->print_end = step->end;
        break;
    case STEP_DRY:
        terms->dry_end = step->end;
        break;
    case STEP_LAMINATE:
        terms->laminate_start = step->start, terms->laminate_end = step->end;
        break;
    case STEP_BOND:
        terms->bond_end = step->end;
        break;
    case STEP_TRIM:
        terms->trim_start = step->start, terms->trim_end = step->end;
        break;
    case STEP_INSTALL:
        terms->install_start = step->start, terms->install_end = step->end;
        break;
    default: /* of the vehicle */
        break;
    }
}

static void take_steps(struct panel_terms *terms, const struct plan *plan, const char *panel)
{
    for (size_t i = 0; i < plan->step_count; i++)
        for (size_t k = 0; k < plan->steps[i].panel_count; k++)
            if (string_equal(plan->steps[i].panels[k], panel)) take_step(terms, &plan->steps[i]);
}

/* The panel that goes on first over an inlay: with it the inlay is printed, and before it laid. */
static const struct panel *panel_over(const struct surface_plan *surface, const struct panel *inlay)
{
    const struct panel *first = NULL;
    for (size_t i = 0; i < surface->panel_count; i++) {
        const struct panel *one = &surface->panels[i];
        if (rect_overlaps(one->visible, inlay->inlay->box) &&
            (!first || one->install_sequence < first->install_sequence))
            first = one;
    }
    return first ? first : &surface->panels[0];
}

static struct panel_terms panel_of(const struct plan *plan, size_t surface, size_t place, struct arena *arena)
{
    const struct surface_plan *s = &plan->surfaces[surface];
    const struct panel *panel = &s->panels[place];
    struct panel_terms terms = {.panel = panel->id,
                                .surface = s->surface->name,
                                .surface_index = surface,
                                .install_sequence = panel->install_sequence,
                                .visible = panel->visible,
                                .front = s->surface->front,
                                .dry_s = panel->dry_s,
                                .print_mm = print_length_mm(s, panel)};
    take_laminate(&terms, s->surface->condition ? s->surface->condition->laminate : NULL);
    if (panel->inlay) {
        const struct panel *over = panel_over(s, panel);
        take_over(&terms, over, arena);
        take_steps(&terms, plan, over->id);
    } else {
        take_neighbours(&terms, s, place, arena);
        take_steps(&terms, plan, panel->id);
    }
    return terms;
}

static void take_panels(struct job_terms *terms, const struct run *run)
{
    const struct plan *plan = run->plan;
    size_t count = 0;
    for (size_t i = 0; i < plan->surface_count; i++) count += surface_print_count(&plan->surfaces[i]);
    terms->panels = arena_take_array(run->arena, count, sizeof *terms->panels);
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&plan->surfaces[i]); k++)
            terms->panels[terms->panel_count++] = panel_of(plan, i, k, run->arena);
}

static void take_condition(struct job_terms *terms, const struct run *run)
{
    const struct condition *c = run->job->condition;
    if (!c) return;
    terms->condition = c->name, terms->film = c->film->name, terms->ink = c->ink->name;
    terms->laminate = c->laminate ? c->laminate->name : NULL;
    for (size_t i = 0; i < run->condition_count; i++)
        if (run->conditions[i].condition == c) {
            terms->profile_description = run->conditions[i].profile_description;
            terms->profile_fingerprint = run->conditions[i].profile_fingerprint;
        }
}

struct job_terms terms_of_run(const struct run *run, struct str json)
{
    const struct plan *plan = run->plan;
    const struct job *job = run->job;
    uint64_t hash = hash_bytes(HASH_START, json.bytes, json.length);
    struct job_terms terms = {
        .job = job->number,
        .title = job->title,
        .vehicle = job->vehicle,
        .fingerprint = arena_format(run->arena, "%08x%08x", (unsigned)(hash >> 32), (unsigned)hash),
        .made = run->options.now,
        .has_install = plan->has_install,
        .has_due = job->due.given,
        .earliest_install = plan->earliest_install,
        .finished = plan->finished,
        .due = job->due.given ? zone_utc(run->zone, &job->due) : 0,
        .decides = plan->decides.words,
        .stops = findings_of_severity(&run->findings, SEVERITY_STOP),
        .warnings = findings_of_severity(&run->findings, SEVERITY_WARN),
        .notes = findings_of_severity(&run->findings, SEVERITY_NOTE),
        .currency = job->shop->currency,
        .price = plan->asked,
        .feed_percent = feed_percent_of(job, job->condition),
    };
    take_condition(&terms, run);
    take_panels(&terms, run);
    return terms;
}
