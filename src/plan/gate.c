/* Answers whether an entry may be recorded now, and what comes next for a panel: sequence of steps, waiting,
 * stops, temperatures, length. Called by the floor before an entry is kept; pure. */
#include "plan/gate.h"
#include "base/quantity.h"
#include "base/sentence.h"
#include "base/text.h"
#include "model/practice.h"
#include <math.h>

enum { MINUTE_S = 60, SLACK_S = 300 }; /* slack: clocks of two devices differ */

/* One question, and the answer as it grows: every rule that is broken adds its sentence. */
struct gate_asked {
    const struct print_hold *hold;
    const struct panel_terms *terms;
    const struct panel_state *state;
    const struct fact *fact;
    int64_t now;
    const struct zone *zone;
    struct arena *arena;
    struct text why;
    struct reason *reasons;
    size_t reason_count, reason_capacity;
    bool never; /* never: no reason helps */
    bool waits; /* all that is shut opens by waiting */
    int64_t from;
    struct gate gate; /* what is asked for */
};

/* ---- words ---- */

static struct reason gate_reason(struct arena *arena, const char *id, const struct argument *arguments)
{
    return (struct reason){sentence_id(id), arguments_copy(arena, arguments),
                           sentence_words(arena, id, arguments)};
}

static void gate_say(struct gate_asked *a, const char *id, const struct argument *arguments)
{
    struct reason *reason =
        arena_append(a->arena, &a->reasons, &a->reason_count, &a->reason_capacity, sizeof *reason);
    *reason = gate_reason(a->arena, id, arguments);
    text_addf(&a->why, "%s%s", a->why.length ? " " : "", reason->words);
}

static void gate_refuse(struct gate_asked *a, const char *id, const struct argument *arguments)
{
    gate_say(a, id, arguments);
    a->never = true, a->waits = false;
}

/* A reason opens it, waiting does not. */
static void gate_object(struct gate_asked *a, const char *id, const struct argument *arguments)
{
    gate_say(a, id, arguments);
    a->waits = false;
}

/* A reason or waiting opens it. */
static void hold_until(struct gate_asked *a, const char *id, int64_t until, double whole_s)
{
    int64_t at = a->fact->at;
    if (at >= until) return;
    gate_say(a, id,
             ARGUMENTS(arg_words("until", zone_words(a->zone, until, a->arena)),
                       arg_words("whole", quantity_span((int64_t)ceil(whole_s), a->arena)),
                       arg_words("left", quantity_span(until - at, a->arena)),
                       arg_flag("past", a->now - at > SLACK_S)));
    if (until > a->from) a->from = until;
}

/* ---- the steps of a piece, in their sequence ---- */

struct step_of {
    enum fact_kind kind;
    int64_t at;
};
enum { STEPS = 5 };

static void gate_steps_of(const struct panel_state *s, struct step_of steps[STEPS])
{
    steps[0] = (struct step_of){FACT_PRINTED, s->printed};
    steps[1] = (struct step_of){FACT_HUNG, s->hung};
    steps[2] = (struct step_of){FACT_LAMINATED, s->laminated};
    steps[3] = (struct step_of){FACT_TRIMMED, s->trimmed};
    steps[4] = (struct step_of){FACT_INSTALLED, s->installed};
}

static int gate_place_of(const struct step_of steps[STEPS], enum fact_kind kind)
{
    for (int i = 0; i < STEPS; i++)
        if (steps[i].kind == kind) return i;
    return -1;
}

/* People say times to the minute: within one minute either may have been first. */
static bool minute_before(int64_t at, int64_t other)
{
    return at / MINUTE_S < other / MINUTE_S;
}

/* A step is recorded once, and between the times of those before and behind it. */
static void judge_sequence(struct gate_asked *a)
{
    struct step_of steps[STEPS];
    gate_steps_of(a->state, steps);
    int place = gate_place_of(steps, a->fact->kind);
    for (int i = 0; place >= 0 && i < STEPS; i++) {
        if (!steps[i].at) continue;
        const char *when = zone_words(a->zone, steps[i].at, a->arena), *what = fact_kind_words(steps[i].kind);
        if (i == place)
            gate_refuse(a, "is-on-record-as-already-if",
                        ARGUMENTS(arg_words("panel", a->terms->panel), arg_words("what", what),
                                  arg_words("when", when)));
        else if (i < place && minute_before(a->fact->at, steps[i].at))
            gate_refuse(a, "was-only-this-cannot-have-been",
                        ARGUMENTS(arg_words("panel", a->terms->panel), arg_words("what", what),
                                  arg_words("when", when)));
        else if (i > place && minute_before(steps[i].at, a->fact->at))
            gate_refuse(a, "was-already-this-cannot-have-been",
                        ARGUMENTS(arg_words("panel", a->terms->panel), arg_words("what", what),
                                  arg_words("when", when)));
    }
}

/* What must be on record before. Nothing can be said of a piece that was never printed. */
static void judge_needs(struct gate_asked *a)
{
    const struct panel_state *s = a->state;
    enum fact_kind kind = a->fact->kind;
    const char *panel = a->terms->panel;
    bool on_piece = kind <= FACT_REPRINT;
    if (s->damaged && on_piece && kind != FACT_REPRINT)
        gate_refuse(a, "is-damaged-record-first-that-it", ARGUMENTS(arg_words("panel", panel)));
    if (on_piece && kind != FACT_PRINTED && !s->printed)
        gate_refuse(a, "is-not-on-record-as-printed", ARGUMENTS(arg_words("panel", panel)));
    else if (kind == FACT_DRY_CHECKED && !s->hung)
        gate_refuse(a, "is-not-on-record-as-cut", ARGUMENTS(arg_words("panel", panel)));
    else if (kind == FACT_LAMINATED && !a->terms->has_laminate)
        gate_refuse(a, "plan-gives-no-laminate-change-job", ARGUMENTS(arg_words("panel", panel)));
    else if ((kind == FACT_TRIMMED || kind == FACT_INSTALLED) && a->terms->has_laminate && !s->laminated)
        gate_refuse(a, "is-not-on-record-as-laminated", ARGUMENTS(arg_words("panel", panel)));
}

/* ---- waiting ---- */

static int64_t dry_end(const struct panel_terms *terms, const struct panel_state *state)
{
    return state->hung + (int64_t)ceil(terms->dry_s);
}

static int64_t bond_end(const struct panel_terms *terms, const struct panel_state *state)
{
    return state->laminated + (int64_t)ceil(terms->bond_s);
}

/* The clock starts when the print is cut and hung: on the take-up nothing dries. Common practice, no source.
 */
static void gate_judge_drying(struct gate_asked *a)
{
    if (!a->state->hung)
        gate_object(a, "is-not-on-record-as-cut-and", ARGUMENTS(arg_words("panel", a->terms->panel)));
    else if (a->terms->dry_s < 0)
        gate_object(a, "way-of-drying-that-plan-names", NULL);
    else
        hold_until(a, "gate-dries", dry_end(a->terms, a->state), a->terms->dry_s);
}

static void judge_bond(struct gate_asked *a)
{
    if (!a->terms->has_laminate)
        gate_judge_drying(a);
    else if (a->state->laminated)
        hold_until(a, "gate-bonds", bond_end(a->terms, a->state), a->terms->bond_s);
}

/* ---- stops ---- */

static struct reason stops_reason(const struct print_hold *hold, struct arena *arena)
{
    return hold->stops == 1
               ? gate_reason(arena, "job-has-stop", NULL)
               : gate_reason(arena, "job-has-stops", ARGUMENTS(arg_count("stops", (int64_t)hold->stops)));
}

static void judge_stops(struct gate_asked *a)
{
    if (a->hold->stops)
        gate_object(a, "is-not-to-be-printed-clear",
                    ARGUMENTS(arg_words("panel", a->terms->panel),
                              arg_words("stops", stops_reason(a->hold, a->arena).words)));
}

/* ---- temperatures ---- */

struct figure_range {
    const char *name; /* of the field: "air_c" */
    const char *what, *wanted_by;
    double value, low, high;
    const char *source;
};

/* What nobody measured opens nothing. */
static void judge_range(struct gate_asked *a, const struct figure_range *r)
{
    if (isnan(r->low) || isnan(r->high) || (r->value >= r->low && r->value <= r->high)) return;
    const char *source = r->source ? r->source : "source not said";
    if (!isnan(r->value)) {
        gate_object(a, "what-row-degrees-c-wanted-by",
                    ARGUMENTS(arg_words("what", r->what), arg_number("row", r->value),
                              arg_words("wanted_by", r->wanted_by), arg_number("low", r->low),
                              arg_number("high", r->high), arg_words("source", source)));
        return;
    }
    gate_object(a, "say-how-many-degrees-c-wants",
                ARGUMENTS(arg_words("what", r->what), arg_words("wanted_by", r->wanted_by),
                          arg_number("low", r->low), arg_number("high", r->high),
                          arg_words("source", source)));
    a->gate.asks[a->gate.asks_count++] = r->name;
}

static void gate_judge_temperatures(struct gate_asked *a)
{
    const struct panel_terms *t = a->terms;
    struct measure low = practice_value("apply-low"), high = practice_value("apply-high");
    const struct figure_range room = {"air_c",
                                      "The room",
                                      t->cast_laminate ? "a cast laminate" : "this laminate",
                                      a->fact->air_c,
                                      t->laminate_low_c,
                                      t->laminate_high_c,
                                      t->laminate_source},
                              air = {"air_c",   "The air",  "applying film", a->fact->air_c,
                                     low.value, high.value, low.source},
                              vehicle = {"surface_c",     "The vehicle's surface",
                                         "applying film", a->fact->surface_c,
                                         low.value,       high.value,
                                         low.source};
    if (a->fact->kind == FACT_LAMINATED) judge_range(a, &room);
    if (a->fact->kind == FACT_INSTALLED) judge_range(a, &air), judge_range(a, &vehicle);
}

/* ---- the questions ---- */

static void judge_step(struct gate_asked *a)
{
    judge_needs(a);
    if (!a->never) judge_sequence(a);
    if (a->never) return;
    if (a->fact->kind == FACT_PRINTED) judge_stops(a);
    if (a->fact->kind == FACT_LAMINATED) gate_judge_drying(a);
    if (a->fact->kind == FACT_INSTALLED || (a->fact->kind == FACT_TRIMMED && a->terms->trim_waits))
        judge_bond(a);
    gate_judge_temperatures(a);
}

struct gate gate_check(const struct print_hold *hold, const struct panel_terms *terms,
                       const struct panel_state *state, const struct fact *fact, int64_t now,
                       const struct zone *zone, struct arena *arena)
{
    struct gate_asked a = {hold, terms, state, fact, now, zone, arena, .why = text_new(arena), .waits = true};
    if (fact->at > now + SLACK_S)
        gate_refuse(&a, "is-still-to-come-record-it",
                    ARGUMENTS(arg_words("at", zone_words(zone, fact->at, arena))));
    else if (terms && state)
        judge_step(&a);
    if (!a.reason_count) return (struct gate){.open = true};
    a.gate.may_override = !a.never, a.gate.from = a.waits ? a.from : 0, a.gate.why = text_string(&a.why);
    a.gate.reasons = a.reasons, a.gate.reason_count = a.reason_count;
    return a.gate;
}

/* ---- what comes next ---- */

/* What is asked of one panel. */
struct next_asked {
    const struct print_hold *hold;
    const struct panel_terms *terms;
    const struct panel_state *state;
    int64_t now;
    const struct zone *zone;
    struct arena *arena;
};

/* A step that opens at its `from`. */
static struct next_step gate_wait_for(const struct next_asked *n, struct next_step step, const char *id)
{
    step.open = n->now >= step.from;
    step.why = gate_reason(
        n->arena, id,
        ARGUMENTS(arg_flag("open", step.open), arg_words("at", zone_words(n->zone, step.from, n->arena))));
    return step;
}

static struct next_step after_drying(const struct next_asked *n, enum fact_kind kind, int64_t needed)
{
    struct next_step step = {.kind = kind, .needed = needed};
    if (!n->state->hung) {
        step.open = true, step.why = gate_reason(n->arena, "not-on-record-as-hung", NULL);
        return step;
    }
    if (n->terms->dry_s < 0) {
        step.why = gate_reason(n->arena, "does-not-dry-way-plan-names", NULL);
        return step;
    }
    step.from = dry_end(n->terms, n->state);
    return gate_wait_for(n, step, "next-dries");
}

static struct next_step after_laminating(const struct next_asked *n, enum fact_kind kind, int64_t needed)
{
    struct next_step step = {.kind = kind, .needed = needed};
    if (!n->terms->has_laminate) return after_drying(n, kind, needed);
    if (kind == FACT_TRIMMED && !n->terms->trim_waits) {
        step.from = n->state->laminated, step.open = true;
        step.why = gate_reason(n->arena, "laminated-trimming-may-go-on-meanwhile", NULL);
        return step;
    }
    step.from = bond_end(n->terms, n->state);
    return gate_wait_for(n, step, "next-bonds");
}

/* A print that a stop or the job's `start` holds up is not to be done now. */
static struct next_step next_printing(const struct next_asked *n)
{
    const struct print_hold *hold = n->hold;
    struct next_step next = {.kind = FACT_PRINTED, .needed = n->terms->print_start};
    if (hold->stops) {
        next.why = stops_reason(hold, n->arena);
    } else if (hold->start > n->now) {
        next.from = hold->start;
        next.why = gate_reason(n->arena, "job-starts-start",
                               ARGUMENTS(arg_words("start", zone_words(n->zone, hold->start, n->arena))));
    } else {
        next.open = true;
        next.why = gate_reason(n->arena, n->state->reprints ? "to-be-printed-again" : "to-be-printed", NULL);
    }
    return next;
}

struct next_step gate_next(const struct print_hold *hold, const struct panel_terms *t,
                           const struct panel_state *s, int64_t now, const struct zone *zone,
                           struct arena *arena)
{
    const struct next_asked n = {hold, t, s, now, zone, arena};
    if (s->damaged)
        return (struct next_step){FACT_REPRINT, 0, true, t->print_start,
                                  gate_reason(arena, "next-damaged", NULL)};
    if (s->installed)
        return (struct next_step){FACT_KIND_COUNT, 0, false, 0, gate_reason(arena, "next-done", NULL)};
    if (!s->printed) return next_printing(&n);
    if (!s->hung && !s->laminated && !s->trimmed)
        return (struct next_step){FACT_HUNG, 0, true, t->print_end,
                                  gate_reason(arena, "printed-on-take-up-nothing-dries", NULL)};
    if (t->has_laminate && !s->laminated) return after_drying(&n, FACT_LAMINATED, t->laminate_start);
    if (!s->trimmed) return after_laminating(&n, FACT_TRIMMED, t->trim_start);
    return after_laminating(&n, FACT_INSTALLED, t->install_start);
}

/* ---- length ---- */

struct length_check gate_length(double planned_mm, double measured_mm, double feed_percent)
{
    double miss = measured_mm - planned_mm;
    return (struct length_check){miss, fabs(miss) <= practice_value("meet-tolerance").value + 1e-9,
                                 feed_percent * planned_mm / measured_mm};
}
