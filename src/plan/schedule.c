#include "schedule.h"
#include "model/practice.h"
#include "panels.h"
#include "plan/clock.h"
#include "plan/suit.h"
#include "rolls.h"
#include "walk.h"
#include <math.h>

/* ---- steps in words ---- */

struct writer {
    struct plan *plan;
    struct arena *arena;
    size_t capacity;
};

static const char *written_or_practice(bool written)
{
    return written ? "the shop's figure" : "common practice, no source";
}

static struct step *add_step(struct writer *w, const struct effort *effort, enum step_kind kind,
                             int64_t start, int64_t end, const char *why)
{
    if (start == CALENDAR_NEVER || end == CALENDAR_NEVER) return NULL;
    struct step *step =
        arena_append(w->arena, &w->plan->steps, &w->plan->step_count, &w->capacity, sizeof *step);
    size_t count = effort->surface->panel_count;
    *step = (struct step){.kind = kind, .panel_count = count, .start = start, .end = end, .why = why};
    step->panels = arena_take_array(w->arena, count, sizeof *step->panels);
    for (size_t i = 0; i < count; i++)
        step->panels[i] = effort->surface->panels[panel_at_order(effort->surface, i + 1)].id;
    return step;
}

/* Narrows a step to the panels that have, or have not, an event behind them. */
static void keep_panels(struct step *step, const struct effort *effort, const struct passage *p,
                        enum event_kind kind, bool done)
{
    size_t count = 0;
    for (size_t order = 1; order <= effort->surface->panel_count; order++) {
        size_t i = panel_at_order(effort->surface, order);
        if (passage_has(p, i, kind) == done) step->panels[count++] = effort->surface->panels[i].id;
    }
    step->panel_count = count;
}

/* Narrows a step to one panel. */
static void only_panel(struct step *step, const struct panel *panel)
{
    if (!step) return;
    step->panels[0] = panel->id;
    step->panel_count = 1;
}

/* What was done, then what is left, each with its panels. */
static void add_leg(struct writer *w, const struct effort *effort, const struct passage *p,
                    const struct leg *leg, enum step_kind kind, enum event_kind event, const char *why)
{
    if (leg->done_count)
        keep_panels(add_step(w, effort, kind, leg->done.start, leg->done.end, "On record."), effort, p, event,
                    true);
    if (!leg->todo_count) return;
    struct step *step = add_step(w, effort, kind, leg->todo.start, leg->todo.end, why);
    if (step) keep_panels(step, effort, p, event, false);
}

static const char *print_why(const struct writer *w, const struct effort *effort)
{
    const struct printer *printer = effort->surface->surface->condition->printer;
    double area = 0;
    for (size_t i = 0; i < effort->surface->panel_count; i++) area += effort->surface->panels[i].area_m2;
    bool written = printer->speed_m2_per_h > 0;
    double speed = written ? printer->speed_m2_per_h : practice_value("print-speed").value;
    return arena_format(w->arena, "%.1f m2 at %g m2/h and %.0f min of setting up: %s.", area, speed,
                        (double)effort->setup_s / 60, written_or_practice(written));
}

static const char *dry_why(const struct writer *w, const struct effort *effort, const struct panel *panel)
{
    const struct condition *c = effort->surface->surface->condition;
    const struct job *job = w->plan->input->job;
    struct dry_case dry = {c->ink, panel_hand_percent(panel), c->ink_limit_percent, job->drying,
                           job->room_humidity_percent};
    return clock_dry(&dry, w->arena).why;
}

static void write_dry(struct writer *w, const struct effort *effort, const struct passage *p)
{
    const struct surface_plan *surface = effort->surface;
    int64_t start = INT64_MAX;
    if (!p->panel_print) {
        for (size_t i = 0; i < surface->panel_count; i++)
            if (p->hung[i] < start) start = p->hung[i];
        add_step(w, effort, STEP_DRY, start, p->dry_end,
                 dry_why(w, effort, &surface->panels[effort->slowest]));
        return;
    }
    for (size_t order = 1; order <= surface->panel_count; order++) {
        size_t i = panel_at_order(surface, order);
        only_panel(add_step(w, effort, STEP_DRY, p->hung[i], passage_dry_end(p, effort, i),
                            dry_why(w, effort, &surface->panels[i])),
                   &surface->panels[i]);
    }
}

static void write_print(struct writer *w, const struct effort *effort, const struct passage *p)
{
    const char *why = print_why(w, effort);
    struct leg leg = p->print;
    if (p->panel_print) leg.todo_count = 0;
    add_leg(w, effort, p, &leg, STEP_PRINT, EVENT_PRINTED, why);
    for (size_t order = 1; p->panel_print && order <= effort->surface->panel_count; order++) {
        size_t i = panel_at_order(effort->surface, order);
        const struct work *work = &p->panel_print[i];
        if (!passage_has(p, i, EVENT_PRINTED))
            only_panel(add_step(w, effort, STEP_PRINT, work->start, work->end, why),
                       &effort->surface->panels[i]);
    }
}

static void write_laminate(struct writer *w, const struct effort *effort, const struct passage *p)
{
    const struct shop *shop = w->plan->input->job->shop;
    const struct film *laminate = effort->surface->surface->condition->laminate;
    if (!laminate || p->ready == CALENDAR_NEVER) return;
    const struct leg *leg = &p->laminate;
    struct measure speed = measure_or(shop->laminate_m_per_min, practice_value("laminator-speed"));
    struct measure bond = clock_bond(laminate);
    add_leg(w, effort, p, leg, STEP_LAMINATE, EVENT_LAMINATED,
            arena_format(w->arena, "When dry: %.1f m and threading at %g m per min (%s), and setting up.",
                         surface_film_mm(effort->surface) / 1000, speed.value, speed.source));
    add_step(w, effort, STEP_BOND, leg->done_count ? leg->done.start : leg->todo.end, p->ready,
             arena_format(w->arena, "%g h of rest for the laminate's bond before applying: %s.",
                          bond.value / 3600, bond.source));
}

static void write_hands(struct writer *w, const struct effort *effort, const struct passage *p)
{
    const struct shop *shop = w->plan->input->job->shop;
    const struct film *laminate = effort->surface->surface->condition->laminate;
    struct measure trim = practice_value("trim-speed");
    struct measure install = measure_or(shop->install_m2_per_h, practice_value("install-speed"));
    const char *rest = !laminate ? ""
                       : laminate->trim_while_bonding
                           ? " While the laminate rests, as the shop allows."
                           : " After the laminate's rest: common practice, no source.";
    add_leg(
        w, effort, p, &p->trim, STEP_TRIM, EVENT_TRIMMED,
        arena_format(w->arena, "Trimming and labelling at %g m2/h (%s).%s", trim.value, trim.source, rest));
    add_leg(w, effort, p, &p->install, STEP_INSTALL, EVENT_INSTALLED,
            arena_format(w->arena, "%.1f m2 at %g m2/h (%s).", effort->surface->surface->area_m2,
                         install.value, install.source));
}

static void write_steps(struct writer *w, const struct walk *walk)
{
    for (size_t i = 0; i < walk->efforts->count; i++) {
        const struct effort *effort = &walk->efforts->items[i];
        write_print(w, effort, &walk->passages[i]);
        write_dry(w, effort, &walk->passages[i]);
        write_laminate(w, effort, &walk->passages[i]);
        write_hands(w, effort, &walk->passages[i]);
    }
}

/* ---- what decides ---- */

static bool is_of(const struct step *step, const struct surface_plan *surface)
{
    for (size_t i = 0; i < surface->panel_count; i++)
        if (step->panels[0] == surface->panels[i].id) return true;
    return false;
}

static void mark_path(struct plan *plan, const struct surface_plan *surface)
{
    for (size_t i = 0; i < plan->step_count; i++)
        plan->steps[i].decides = plan->steps[i].kind <= STEP_BOND && is_of(&plan->steps[i], surface);
}

static size_t last_ready(const struct walk *walk)
{
    size_t last = 0;
    for (size_t i = 1; i < walk->efforts->count; i++)
        if (walk->passages[i].ready > walk->passages[last].ready) last = i;
    return last;
}

/* The longest stretch on the way to the surface that is ready last. */
static const char *decides(const struct walk *walk, int64_t start, struct arena *arena)
{
    if (walk_is_done(walk)) return "All panels are installed.";
    size_t last = last_ready(walk);
    const struct effort *effort = &walk->efforts->items[last];
    const struct passage *p = &walk->passages[last];
    const struct panel *slowest = &effort->surface->panels[effort->slowest];
    int64_t printed = leg_end(&p->print), print = printed - start, dry = p->dry_end - printed;
    int64_t bond = effort->bond_s, laminate = p->ready - bond - p->dry_end;
    double hand = panel_hand_percent(slowest);
    if (dry >= print && dry >= bond && dry >= laminate)
        return arena_format(
            arena,
            "Drying decides: %s, the heaviest of the surface that is ready last, has %.0f %% of ink over a "
            "hand-sized area and dries %.1f h.",
            slowest->id, hand, slowest->dry_s / 3600);
    if (print >= bond && print >= laminate)
        return arena_format(arena, "Printing decides: %s is printed last, %.1f h after the start.",
                            effort->surface->surface->name, (double)print / 3600);
    if (bond >= laminate)
        return arena_format(arena, "The laminate's rest decides: %s bonds for %g h.",
                            effort->surface->surface->name, (double)bond / 3600);
    return arena_format(
        arena, "Waiting for the laminator decides: %s waits and is laminated for %.1f h after drying.",
        effort->surface->surface->name, (double)laminate / 3600);
}

/* ---- findings on time ---- */

static void judge_drying(struct plan *plan, const struct efforts *efforts, struct writer *w)
{
    const struct job *job = plan->input->job;
    for (size_t i = 0; i < efforts->count; i++) {
        const struct effort *effort = &efforts->items[i];
        if (effort->dry_s >= 0) continue;
        finding_add(&plan->findings, "drying-not-possible", effort->surface->surface->name,
                    "No date can be given, drying: %s. %s", drying_name(job->drying),
                    dry_why(w, effort, &effort->surface->panels[0]));
    }
    if (job->drying == DRYING_UNSAID && efforts->count)
        finding_add(&plan->findings, "drying-unsaid", "job",
                    "The job does not say how the prints dry; hung in a ventilated room is assumed.");
}

static void judge_temperature(struct plan *plan, const struct film *laminate, const char *what,
                              struct measure celsius)
{
    struct suit_window window = suit_laminate_window(laminate);
    if (!measure_known(celsius)) return;
    bool cold = celsius.value<window.low_c.value, warm = celsius.value> window.high_c.value;
    if (!cold && !warm) return;
    struct measure limit = cold ? window.low_c : window.high_c;
    struct finding *finding =
        finding_add(&plan->findings, cold ? "laminate-too-cold" : "laminate-too-warm", "job",
                    "The %s has %g degrees C; the laminate \"%s\" wants %s %g (%s).", what, celsius.value,
                    laminate->name, cold ? "at least" : "at most", limit.value, limit.source);
    finding->source = limit.source;
    finding->about = arena_format(plan->findings.arena, "%s, %s", what, laminate->name);
    finding->figure = celsius.value, finding->low_is_worse = cold;
}

static void judge_temperatures(struct plan *plan, const struct efforts *efforts)
{
    const struct job *job = plan->input->job;
    for (size_t i = 0; i < efforts->count; i++) {
        const struct film *laminate = efforts->items[i].surface->surface->condition->laminate;
        bool said = !laminate;
        for (size_t k = 0; k < i; k++)
            said |= efforts->items[k].surface->surface->condition->laminate == laminate;
        if (said) continue;
        judge_temperature(plan, laminate, "room", job->room_c);
        judge_temperature(plan, laminate, "roller of the laminator", job->roller_c);
    }
}

/* The last minute at which printing may start and the vehicle is still finished in time. Later starts never
 * finish earlier, so halving finds it. */
static void find_latest_start(struct plan *plan, struct walk *walk, int64_t due)
{
    const int64_t minute = 60, year = 366 * 86400;
    walk->floor = INT64_MIN; /* whether or not that moment is over */
    int64_t low = (due - year) / minute, high = due / minute + 1;
    walk_from(walk, low * minute);
    if (walk->finished > due) return;
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        walk_from(walk, middle * minute);
        if (walk->finished <= due)
            low = middle;
        else
            high = middle;
    }
    plan->has_latest_start = true;
    plan->latest_start = low * minute;
}

static void judge_due(struct plan *plan, struct walk *walk, struct arena *arena)
{
    const struct zone *zone = plan->input->zone;
    if (!plan->input->job->due.given) return;
    int64_t due = zone_utc(zone, &plan->input->job->due);
    bool begun = walk_has(walk, EVENT_PRINTED);
    if (!begun) find_latest_start(plan, walk, due);
    if (plan->finished <= due) return;
    const char *start = begun                    ? "Printing has begun."
                        : plan->has_latest_start ? arena_format(arena, "Printing would have to start by %s.",
                                                                zone_words(zone, plan->latest_start, arena))
                                                 : "Printing would have to start more than a year ago.";
    struct finding *finding =
        finding_add(&plan->findings, "due-missed", "job", "Finished %s, promised for %s: %.1f h late. %s",
                    zone_words(zone, plan->finished, arena), zone_words(zone, due, arena),
                    (double)(plan->finished - due) / 3600, start);
    finding->about = arena_format(arena, "due %s", zone_iso(zone, due, arena));
    finding->figure = (double)(plan->finished - due) / 3600;
}

void schedule_make(struct plan *plan, const struct efforts *efforts, struct arena *arena)
{
    const struct plan_input *input = plan->input;
    struct writer writer = {plan, arena, 0};
    judge_drying(plan, efforts, &writer);
    judge_temperatures(plan, efforts);
    plan->decides = "No date can be given.";
    if (!efforts->count) return;
    struct walk walk = walk_new(plan, efforts, arena);
    int64_t start = input->job->start.given ? zone_utc(input->zone, &input->job->start) : input->now;
    start = calendar_open(&walk.calendar, start > walk.floor ? start : walk.floor);
    walk_from(&walk, start);
    write_steps(&writer, &walk);
    if (walk.finished == CALENDAR_NEVER) return;
    plan->has_install = true;
    plan->earliest_install = walk.earliest;
    plan->finished = walk.finished;
    plan->decides = decides(&walk, start, arena);
    mark_path(plan, efforts->items[last_ready(&walk)].surface);
    judge_due(plan, &walk, arena);
}
