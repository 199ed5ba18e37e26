/* Answers whether an entry may be recorded now, and what comes next for a panel: order of steps, waiting,
 * stops, temperatures, length. Called by the floor before an entry is kept; pure. */
#include "plan/gate.h"
#include "base/sentence.h"
#include "base/text.h"
#include "model/practice.h"
#include <math.h>

enum { MINUTE_S = 60, HOUR_S = 3600, SLACK_S = 300 }; /* slack: clocks of two devices differ */

/* One question, and the answer as it grows: every rule that is broken adds its sentence. */
struct asked {
    const struct print_hold *hold;
    const struct panel_terms *terms;
    const struct panel_state *state;
    const struct fact *fact;
    int64_t now;
    const struct zone *zone;
    struct arena *arena;
    struct text why;
    bool shut, never; /* never: no reason helps */
    bool waits;       /* all that is shut opens by waiting */
    int64_t from;
    struct gate gate; /* what is asked for */
};

/* ---- words ---- */

/* "5 h 20 min", whole minutes up. */
static const char *span_words(struct arena *arena, int64_t seconds)
{
    int64_t minutes = (seconds + MINUTE_S - 1) / MINUTE_S, hours = minutes / 60;
    if (!hours) return arena_format(arena, "%lld min", (long long)minutes);
    if (minutes % 60 == 0) return arena_format(arena, "%lld h", (long long)hours);
    return arena_format(arena, "%lld h %lld min", (long long)hours, (long long)(minutes % 60));
}

static const char *hours_words(struct arena *arena, double seconds)
{
    return span_words(arena, (int64_t)ceil(seconds));
}

static void gate_say(struct asked *a, const char *sentence)
{
    if (a->shut) text_add_char(&a->why, ' ');
    text_add(&a->why, sentence);
    a->shut = true;
}

static void gate_refuse(struct asked *a, const char *sentence)
{
    gate_say(a, sentence);
    a->never = true, a->waits = false;
}

/* A reason opens it, waiting does not. */
static void object(struct asked *a, const char *sentence)
{
    gate_say(a, sentence);
    a->waits = false;
}

/* A reason or waiting opens it. */
static void hold_until(struct asked *a, const char *what, int64_t until, double whole_s,
                       const char *counts_from)
{
    int64_t at = a->fact->at;
    if (at >= until) return;
    const char *left = span_words(a->arena, until - at);
    const char *end = a->now - at > SLACK_S ? "were left then" : "are left";
    gate_say(a, arena_format(a->arena, "%s until %s: %s from %s. %s %s.", what,
                             zone_words(a->zone, until, a->arena), hours_words(a->arena, whole_s),
                             counts_from, left, end));
    if (until > a->from) a->from = until;
}

/* ---- the steps of a piece, in their order ---- */

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
static void judge_order(struct asked *a)
{
    struct step_of steps[STEPS];
    gate_steps_of(a->state, steps);
    int place = gate_place_of(steps, a->fact->kind);
    for (int i = 0; place >= 0 && i < STEPS; i++) {
        if (!steps[i].at) continue;
        const char *when = zone_words(a->zone, steps[i].at, a->arena), *what = fact_kind_words(steps[i].kind);
        if (i == place)
            gate_refuse(a, sentence_words(a->arena, "is-on-record-as-already-if",
                                          ARGUMENTS(arg_words("panel", a->terms->panel),
                                                    arg_words("what", what), arg_words("when", when))));
        else if (i < place && minute_before(a->fact->at, steps[i].at))
            gate_refuse(a, sentence_words(a->arena, "was-only-this-cannot-have-been",
                                          ARGUMENTS(arg_words("panel", a->terms->panel),
                                                    arg_words("what", what), arg_words("when", when))));
        else if (i > place && minute_before(steps[i].at, a->fact->at))
            gate_refuse(a, sentence_words(a->arena, "was-already-this-cannot-have-been",
                                          ARGUMENTS(arg_words("panel", a->terms->panel),
                                                    arg_words("what", what), arg_words("when", when))));
    }
}

/* What must be on record before. Nothing can be said of a piece that was never printed. */
static void judge_needs(struct asked *a)
{
    const struct panel_state *s = a->state;
    enum fact_kind kind = a->fact->kind;
    const char *panel = a->terms->panel;
    bool on_piece = kind <= FACT_REPRINT;
    if (s->damaged && on_piece && kind != FACT_REPRINT)
        gate_refuse(a, sentence_words(a->arena, "is-damaged-record-first-that-it",
                                      ARGUMENTS(arg_words("panel", panel))));
    if (on_piece && kind != FACT_PRINTED && !s->printed)
        gate_refuse(
            a, sentence_words(a->arena, "is-not-on-record-as-printed", ARGUMENTS(arg_words("panel", panel))));
    else if (kind == FACT_DRY_CHECKED && !s->hung)
        gate_refuse(
            a, sentence_words(a->arena, "is-not-on-record-as-cut", ARGUMENTS(arg_words("panel", panel))));
    else if (kind == FACT_LAMINATED && !a->terms->has_laminate)
        gate_refuse(a, sentence_words(a->arena, "plan-gives-no-laminate-change-job",
                                      ARGUMENTS(arg_words("panel", panel))));
    else if ((kind == FACT_TRIMMED || kind == FACT_INSTALLED) && a->terms->has_laminate && !s->laminated)
        gate_refuse(a, sentence_words(a->arena, "is-not-on-record-as-laminated",
                                      ARGUMENTS(arg_words("panel", panel))));
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
static void gate_judge_drying(struct asked *a)
{
    if (!a->state->hung)
        object(a, sentence_words(a->arena, "is-not-on-record-as-cut-and",
                                 ARGUMENTS(arg_words("panel", a->terms->panel))));
    else if (a->terms->dry_s < 0)
        object(a, sentence_plain("way-of-drying-that-plan-names"));
    else
        hold_until(a, "Dries", dry_end(a->terms, a->state), a->terms->dry_s, "hanging");
}

static void judge_bond(struct asked *a)
{
    if (!a->terms->has_laminate)
        gate_judge_drying(a);
    else if (a->state->laminated)
        hold_until(a, "The laminate bonds", bond_end(a->terms, a->state), a->terms->bond_s, "laminating");
}

/* ---- stops ---- */

static const char *stops_words(const struct print_hold *hold, struct arena *arena)
{
    return hold->stops == 1
               ? sentence_plain("job-has-stop")
               : sentence_words(arena, "job-has-stops", ARGUMENTS(arg_count("stops", (int64_t)hold->stops)));
}

static void judge_stops(struct asked *a)
{
    if (a->hold->stops)
        object(a, sentence_words(a->arena, "is-not-to-be-printed-clear",
                                 ARGUMENTS(arg_words("panel", a->terms->panel),
                                           arg_words("stops", stops_words(a->hold, a->arena)))));
}

/* ---- temperatures ---- */

struct figure_range {
    const char *name; /* of the field: "air_c" */
    const char *what, *wanted_by;
    double value, low, high;
    const char *source;
};

/* What nobody measured opens nothing. */
static void judge_range(struct asked *a, const struct figure_range *r)
{
    if (isnan(r->low) || isnan(r->high) || (r->value >= r->low && r->value <= r->high)) return;
    const char *source = r->source ? r->source : "source not said";
    if (!isnan(r->value)) {
        object(a, sentence_words(a->arena, "what-row-degrees-c-wanted-by",
                                 ARGUMENTS(arg_words("what", r->what), arg_number("row", r->value),
                                           arg_words("wanted_by", r->wanted_by), arg_number("low", r->low),
                                           arg_number("high", r->high), arg_words("source", source))));
        return;
    }
    object(a, sentence_words(a->arena, "say-how-many-degrees-c-wants",
                             ARGUMENTS(arg_words("what", r->what), arg_words("wanted_by", r->wanted_by),
                                       arg_number("low", r->low), arg_number("high", r->high),
                                       arg_words("source", source))));
    a->gate.asks[a->gate.asks_count++] = r->name;
}

static void gate_judge_temperatures(struct asked *a)
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

static void judge_step(struct asked *a)
{
    judge_needs(a);
    if (!a->never) judge_order(a);
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
    struct asked a = {hold, terms, state, fact, now, zone, arena, .why = text_new(arena), .waits = true};
    if (fact->at > now + SLACK_S)
        gate_refuse(&a, sentence_words(arena, "is-still-to-come-record-it",
                                       ARGUMENTS(arg_words("at", zone_words(zone, fact->at, arena)))));
    else if (terms && state)
        judge_step(&a);
    if (!a.shut) return (struct gate){.open = true};
    a.gate.may_override = !a.never, a.gate.from = a.waits ? a.from : 0, a.gate.why = text_string(&a.why);
    return a.gate;
}

/* ---- what comes next ---- */

/* A step that opens at its `from`. */
static struct next_step gate_wait_for(struct next_step step, const char *verb, const char *done, int64_t now,
                                      const struct zone *zone, struct arena *arena)
{
    const char *at = zone_words(zone, step.from, arena);
    step.open = now >= step.from;
    step.why =
        step.open ? arena_format(arena, "%s %s", done, at) : arena_format(arena, "%s until %s", verb, at);
    return step;
}

static struct next_step after_drying(enum fact_kind kind, int64_t needed, const struct panel_terms *t,
                                     const struct panel_state *s, int64_t now, const struct zone *zone,
                                     struct arena *arena)
{
    if (!s->hung) return (struct next_step){kind, 0, true, needed, sentence_plain("not-on-record-as-hung")};
    if (t->dry_s < 0)
        return (struct next_step){kind, 0, false, needed, sentence_plain("does-not-dry-way-plan-names")};
    return gate_wait_for((struct next_step){.kind = kind, .from = dry_end(t, s), .needed = needed}, "dries",
                         "dry since", now, zone, arena);
}

static struct next_step after_laminating(enum fact_kind kind, int64_t needed, const struct panel_terms *t,
                                         const struct panel_state *s, int64_t now, const struct zone *zone,
                                         struct arena *arena)
{
    if (!t->has_laminate) return after_drying(kind, needed, t, s, now, zone, arena);
    if (kind == FACT_TRIMMED && !t->trim_waits)
        return (struct next_step){kind, s->laminated, true, needed,
                                  sentence_plain("laminated-trimming-may-go-on-meanwhile")};
    return gate_wait_for((struct next_step){.kind = kind, .from = bond_end(t, s), .needed = needed},
                         "the laminate bonds", "bonded since", now, zone, arena);
}

/* A print that a stop or the job's `start` holds up is not to be done now. */
static struct next_step next_print(const struct print_hold *hold, const struct panel_terms *t,
                                   const struct panel_state *s, int64_t now, const struct zone *zone,
                                   struct arena *arena)
{
    struct next_step next = {FACT_PRINTED, 0, false, t->print_start, NULL};
    if (hold->stops) {
        next.why = stops_words(hold, arena);
    } else if (hold->start > now) {
        next.from = hold->start;
        next.why = sentence_words(arena, "job-starts-start",
                                  ARGUMENTS(arg_words("start", zone_words(zone, hold->start, arena))));
    } else {
        next.open = true;
        next.why = s->reprints ? sentence_plain("to-be-printed-again") : "to be printed";
    }
    return next;
}

struct next_step gate_next(const struct print_hold *hold, const struct panel_terms *t,
                           const struct panel_state *s, int64_t now, const struct zone *zone,
                           struct arena *arena)
{
    if (s->damaged) return (struct next_step){FACT_REPRINT, 0, true, t->print_start, "damaged"};
    if (s->installed) return (struct next_step){FACT_KIND_COUNT, 0, false, 0, "done"};
    if (!s->printed) return next_print(hold, t, s, now, zone, arena);
    if (!s->hung && !s->laminated && !s->trimmed)
        return (struct next_step){FACT_HUNG, 0, true, t->print_end,
                                  sentence_plain("printed-on-take-up-nothing-dries")};
    if (t->has_laminate && !s->laminated)
        return after_drying(FACT_LAMINATED, t->laminate_start, t, s, now, zone, arena);
    if (!s->trimmed) return after_laminating(FACT_TRIMMED, t->trim_start, t, s, now, zone, arena);
    return after_laminating(FACT_INSTALLED, t->install_start, t, s, now, zone, arena);
}

/* ---- length ---- */

struct length_check gate_length(double planned_mm, double measured_mm, double feed_percent)
{
    double miss = measured_mm - planned_mm;
    return (struct length_check){miss, fabs(miss) <= practice_value("meet-tolerance").value + 1e-9,
                                 feed_percent * planned_mm / measured_mm};
}
