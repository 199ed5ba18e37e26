/* Finds what decides the date: shortens each step, closure and wait in turn and runs the schedule again.
 * Called by schedule.c once the dates stand. */
#include "decide.h"
#include "base/sentence.h"
#include "panels.h"
#include <assert.h>

enum { LITTLE_S = 60, CLOSURES_MOST = 64, NIGHT_S = 86400 / 2 };
#define STEP_KINDS ((int)STEP_TRIM + 1) /* of a surface, that may decide */

/* Something that may decide, and what becomes of the date without it. */
struct cause {
    enum decider kind;
    struct ease ease;   /* without all of it */
    int64_t gain_s;     /* the date is so much earlier without it */
    const char *single; /* shared things: of which there is one, the sentence's id */
};

struct decision {
    struct timetable *timetable;
    struct plan *plan;
    struct arena *arena;
    int64_t date;
    struct cause best;
    bool *moves; /* by workload and kind of step */
};

static int64_t gain_with(struct decision *d, struct ease ease)
{
    d->timetable->ease = ease;
    timetable_from(d->timetable, d->timetable->start);
    d->timetable->ease = (struct ease){0};
    return d->date - d->timetable->earliest;
}

/* Counts when a little less of it moves the date; false: it does not. */
static bool try_cause(struct decision *d, struct cause cause, struct ease little)
{
    if (gain_with(d, little) <= 0) return false;
    cause.gain_s = gain_with(d, cause.ease);
    if (cause.gain_s > d->best.gain_s) d->best = cause;
    return true;
}

static enum decider decider_of(enum step_kind kind)
{
    static const enum decider deciders[] = {
        [STEP_SUPPLY] = DECIDES_PRINT,      [STEP_PRINT] = DECIDES_PRINT, [STEP_DRY] = DECIDES_DRY,
        [STEP_LAMINATE] = DECIDES_LAMINATE, [STEP_BOND] = DECIDES_BOND,   [STEP_TRIM] = DECIDES_TRIM,
        [STEP_PREPARE] = DECIDES_INSTALL};
    return deciders[kind];
}

static bool try_step(struct decision *d, const struct workload *workload, enum step_kind kind)
{
    struct ease whole = {.workload = workload, .kind = kind, .by_s = EASE_WHOLE}, little = whole;
    little.by_s = LITTLE_S;
    return try_cause(d, (struct cause){.kind = decider_of(kind), .ease = whole}, little);
}

static void try_steps(struct decision *d)
{
    const struct workloads *workloads = d->timetable->workloads;
    for (enum step_kind kind = STEP_SUPPLY; kind <= STEP_TRIM; kind++) {
        bool any = false;
        for (size_t i = 0; i < workloads->count; i++)
            any |= d->moves[i * STEP_KINDS + kind] = try_step(d, &workloads->items[i], kind);
        if (!any) try_step(d, NULL, kind);
    }
    try_step(d, NULL, STEP_PREPARE);
}

static void try_closures(struct decision *d)
{
    int64_t at = d->timetable->start, open, close;
    struct calendar calendar = d->timetable->calendar;
    for (int i = 0; i < CLOSURES_MOST && at < d->date && calendar_span(&calendar, at, &open, &close); i++) {
        struct ease whole = {.open = at, .close = open}, little = {.open = open - LITTLE_S, .close = open};
        if (little.open < at) little.open = at;
        if (at < open) try_cause(d, (struct cause){.kind = DECIDES_CLOSED, .ease = whole}, little);
        at = close;
    }
}

static void try_waits(struct decision *d)
{
    static const struct {
        enum shared shared;
        const char *single;
    } waits[] = {{SHARED_PRINTER, "single-printer"},
                 {SHARED_LAMINATOR, "single-laminator"},
                 {SHARED_TABLE, "single-table"}};
    for (size_t i = 0; i < sizeof waits / sizeof *waits; i++) {
        struct ease ease = {.enough = waits[i].shared};
        try_cause(d, (struct cause){DECIDES_RESOURCE, ease, 0, waits[i].single}, ease);
    }
    struct ease here = {.vehicle_is_here = true};
    try_cause(d, (struct cause){.kind = DECIDES_ARRIVAL, .ease = here}, here);
}

static size_t last_ready(const struct timetable *timetable)
{
    size_t last = 0;
    for (size_t i = 1; i < timetable->workloads->count; i++)
        if (timetable->routings[i].ready > timetable->routings[last].ready) last = i;
    return last;
}

/* What no single thing moves. */
static void try_ties(struct decision *d)
{
    struct ease little = {.early_s = LITTLE_S}, whole = {.early_s = NIGHT_S};
    if (d->best.gain_s > 0 || try_cause(d, (struct cause){.kind = DECIDES_CLOSED, .ease = whole}, little))
        return;
    size_t last = last_ready(d->timetable);
    const struct workload *e = &d->timetable->workloads->items[last];
    int64_t print = workload_printing_s(e), longest = e->dry_s > print ? e->dry_s : print;
    enum step_kind kind = e->bond_s > longest ? STEP_BOND : e->dry_s > print ? STEP_DRY : STEP_PRINT;
    if (e->supply_s) kind = STEP_SUPPLY;
    d->best =
        (struct cause){.kind = decider_of(kind), .ease = {.workload = e, .kind = kind, .by_s = EASE_WHOLE}};
}

/* ---- in words ---- */

static struct reason step_reason(const struct decision *d, const struct workload *e)
{
    const char *name = e->surface->surface->name;
    const struct panel *slowest = &e->surface->panels[e->slowest];
    switch (d->best.ease.kind) {
    case STEP_SUPPLY:
        return reason_say(d->arena, "lead-time-decides-bought-in-prints",
                          ARGUMENTS(arg_rounded("supply_days", (double)e->supply_s / 86400, 4)));
    case STEP_PRINT:
        return reason_say(d->arena, "printing-decides-name-takes-print-h",
                          ARGUMENTS(arg_words("name", name),
                                    arg_fixed("print_h", (double)workload_printing_s(e) / 3600, 1)));
    case STEP_DRY:
        return reason_say(d->arena, "drying-decides-slowest-panel-has-of",
                          ARGUMENTS(arg_words("slowest", slowest->id),
                                    arg_fixed("panel_hand_percent", panel_hand_percent(slowest), 0),
                                    arg_fixed("dry_h", slowest->dry_s / 3600, 1)));
    case STEP_LAMINATE:
        return reason_say(
            d->arena, "laminating-decides-name-takes-laminate-h",
            ARGUMENTS(arg_words("name", name), arg_fixed("laminate_h", (double)e->laminate_s / 3600, 1)));
    case STEP_BOND:
        return reason_say(d->arena, "laminates-rest-decides-bonds-for-h",
                          ARGUMENTS(arg_words("name", name), arg_number("bond_h", (double)e->bond_s / 3600)));
    case STEP_TRIM:
        return reason_say(
            d->arena, "trimming-decides-name-takes-trim-h",
            ARGUMENTS(arg_words("name", name), arg_fixed("trim_h", (double)e->trim_s / 3600, 1)));
    default:
        return reason_say(d->arena, "decides-preparing", NULL);
    }
}

static struct reason cause_reason(const struct decision *d)
{
    const struct cause *c = &d->best;
    const struct zone *zone = d->timetable->input->zone;
    switch (c->kind) {
    case DECIDES_CLOSED:
        if (c->ease.early_s) return reason_say(d->arena, "decides-closed-hours", NULL);
        return reason_say(d->arena, "closed-hours-decide-shop-is-closed",
                          ARGUMENTS(arg_words("open", zone_words(zone, c->ease.open, d->arena)),
                                    arg_words("close", zone_words(zone, c->ease.close, d->arena))));
    case DECIDES_ARRIVAL:
        return reason_say(d->arena, "vehicle-decides-it-arrives",
                          ARGUMENTS(arg_words("arrives", zone_words(zone, d->timetable->arrives, d->arena))));
    case DECIDES_RESOURCE:
        return reason_say(d->arena, "waiting-decides-there-is-one-and",
                          ARGUMENTS(arg_words("letter", sentence_plain(c->single))));
    case DECIDES_NOTHING:
        return reason_say(d->arena, "decides-nothing", NULL);
    default:
        return step_reason(d, c->ease.workload ? c->ease.workload
                                               : &d->timetable->workloads->items[last_ready(d->timetable)]);
    }
}

/* ---- steps that decide ---- */

static bool step_on_surface(const struct step *step, const struct surface_plan *surface)
{
    for (size_t i = 0; i < surface->panel_count; i++)
        if (step->panels[0] == surface->panels[i].id) return true;
    return false;
}

static void flag_deciding(const struct decision *d)
{
    const struct workloads *workloads = d->timetable->workloads;
    for (size_t i = 0; i < d->plan->step_count; i++) {
        struct step *step = &d->plan->steps[i];
        for (size_t k = 0; k < workloads->count && (int)step->kind < STEP_KINDS; k++)
            step->decides |=
                d->moves[k * STEP_KINDS + step->kind] && step_on_surface(step, workloads->items[k].surface);
    }
}

void decide(struct plan *plan, struct timetable *timetable, struct arena *arena)
{
    struct decision d = {timetable, plan, arena, timetable->earliest, {.kind = DECIDES_NOTHING}, NULL};
    d.moves = arena_take_array(arena, timetable->workloads->count * STEP_KINDS, sizeof *d.moves);
    plan->decided_by = DECIDES_INSTALL;
    plan->decides = timetable_is_done(timetable) ? reason_say(arena, "decides-all-installed", NULL)
                                                 : reason_say(arena, "decides-installing", NULL);
    if (timetable_has(timetable, EVENT_INSTALLED)) return;
    try_steps(&d);
    try_closures(&d);
    try_waits(&d);
    try_ties(&d);
    timetable_from(timetable, timetable->start);
    assert(timetable->earliest == d.date); /* all is as it was */
    plan->decided_by = d.best.kind;
    plan->decides = cause_reason(&d);
    flag_deciding(&d);
}
