/* Folds facts into each panel's state, and picks out events, spoilt pieces and the feed correction. Called
 * by the record room and by the floor. */
#include "model/record.h"
#include "base/arena.h"
#include "base/str.h"
#include <math.h>

/* ---- folding ---- */

static struct panel_state fresh(const char *panel, int reprints)
{
    return (struct panel_state){.panel = panel, .reprints = reprints, .measured_mm = NAN, .planned_mm = NAN};
}

static void fold_one(struct panel_state *state, const struct fact *fact)
{
    if (fact->override) state->overrides++;
    switch (fact->kind) {
    case FACT_PRINTED:
        state->printed = fact->at;
        break;
    case FACT_HUNG:
        state->hung = fact->at;
        break;
    case FACT_DRY_CHECKED:
        state->dry_checked = fact->at;
        break;
    case FACT_MEASURED:
        state->measured_mm = fact->measured_mm, state->planned_mm = fact->planned_mm;
        break;
    case FACT_LAMINATED:
        state->laminated = fact->at;
        break;
    case FACT_TRIMMED:
        state->trimmed = fact->at;
        break;
    case FACT_INSTALLED:
        state->installed = fact->at;
        break;
    case FACT_DAMAGED:
        state->damaged = true;
        break;
    case FACT_REPRINT:
        *state = fresh(state->panel, state->reprints + 1);
        break;
    default:
        break;
    }
}

static struct panel_state *state_of(struct panel_state *states, size_t count, const char *panel)
{
    for (size_t i = 0; i < count; i++)
        if (string_equal(states[i].panel, panel)) return &states[i];
    return NULL;
}

void panel_states_fold(const struct fact *facts, size_t count, const struct job_terms *terms,
                       struct panel_state *states)
{
    for (size_t i = 0; i < terms->panel_count; i++) states[i] = fresh(terms->panels[i].panel, 0);
    for (size_t i = 0; i < count; i++) {
        struct panel_state *state = facts[i].panel && !facts[i].withdrawn
                                        ? state_of(states, terms->panel_count, facts[i].panel)
                                        : NULL;
        if (state) fold_one(state, &facts[i]);
    }
}

/* The panels that facts speak of, each once, as terms without anything else. */
static struct job_terms panels_in(const struct fact *facts, size_t count, struct arena *arena)
{
    struct job_terms terms = {.panels = arena_take_array(arena, count, sizeof *terms.panels)};
    for (size_t i = 0; i < count; i++) {
        bool known = !facts[i].panel;
        for (size_t k = 0; k < terms.panel_count; k++)
            known |= string_equal(terms.panels[k].panel, facts[i].panel);
        if (!known) terms.panels[terms.panel_count++].panel = facts[i].panel;
    }
    return terms;
}

struct event_fact *panel_events(const struct fact *facts, size_t count, struct arena *arena,
                                size_t *event_count)
{
    enum { STEPS = 5 };
    struct job_terms terms = panels_in(facts, count, arena);
    struct panel_state *states = arena_take_array(arena, terms.panel_count, sizeof *states);
    struct event_fact *events = arena_take_array(arena, terms.panel_count * STEPS, sizeof *events);
    panel_states_fold(facts, count, &terms, states);
    *event_count = 0;
    for (size_t i = 0; i < terms.panel_count; i++) {
        const struct panel_state *s = &states[i];
        const struct event_fact steps[STEPS] = {{s->panel, EVENT_PRINTED, s->printed},
                                                {s->panel, EVENT_HUNG, s->hung},
                                                {s->panel, EVENT_LAMINATED, s->laminated},
                                                {s->panel, EVENT_TRIMMED, s->trimmed},
                                                {s->panel, EVENT_INSTALLED, s->installed}};
        for (size_t k = 0; k < STEPS && !s->damaged; k++)
            if (steps[k].at) events[(*event_count)++] = steps[k];
    }
    return events;
}

/* The last fact on that panel before this one, of the piece that this one ends. */
static bool had(const struct fact *facts, size_t before, const char *panel, enum fact_kind kind)
{
    for (size_t i = before; i-- > 0;) {
        if (facts[i].withdrawn || !string_equal(facts[i].panel, panel)) continue;
        if (facts[i].kind == kind) return true;
        if (facts[i].kind == FACT_REPRINT) return false;
    }
    return false;
}

struct spoilt_piece *spoilt_pieces(const struct fact *facts, size_t count, struct arena *arena,
                                   size_t *spoilt_count)
{
    struct spoilt_piece *spoilt = NULL;
    size_t capacity = 0;
    *spoilt_count = 0;
    for (size_t i = 0; i < count; i++) {
        const struct fact *f = &facts[i];
        if (f->kind != FACT_REPRINT || f->withdrawn || !had(facts, i, f->panel, FACT_PRINTED)) continue;
        *(struct spoilt_piece *)arena_append(arena, &spoilt, spoilt_count, &capacity, sizeof *spoilt) =
            (struct spoilt_piece){f->panel, had(facts, i, f->panel, FACT_LAMINATED)};
    }
    return spoilt;
}

double facts_feed(const struct fact *facts, size_t count, double otherwise)
{
    int64_t newest = 0;
    for (size_t i = 0; i < count; i++) {
        const struct fact *f = &facts[i];
        if (f->kind != FACT_PRINTED || f->withdrawn || isnan(f->feed_percent) || f->number < newest) continue;
        newest = f->number, otherwise = f->feed_percent;
    }
    return otherwise;
}
