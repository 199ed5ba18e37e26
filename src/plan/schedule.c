#include "schedule.h"
#include "model/practice.h"
#include "panels.h"
#include "plan/calendar.h"
#include "plan/clock.h"
#include "plan/suit.h"
#include "rolls.h"
#include <math.h>

/* When one surface goes through the shop. */
struct passage {
    struct work print;        /* of all its panels */
    struct work *panel_print; /* cut as they come: of each panel, by index; else NULL */
    int64_t dry_end;
    struct work laminate, trim, install;
    int64_t ready; /* dry, laminated and bonded */
};

struct walk {
    const struct plan *plan;
    const struct efforts *efforts;
    struct calendar calendar;
    struct passage *passages;   /* one for each effort */
    int64_t earliest, finished; /* CALENDAR_NEVER when it cannot be said */
};

static int64_t later(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

static int64_t after(int64_t at, int64_t seconds)
{
    return at == CALENDAR_NEVER ? CALENDAR_NEVER : at + seconds;
}

/* When this surface's printer is free: surfaces are printed in the job's order. */
static int64_t printer_free(const struct walk *walk, size_t i, int64_t start)
{
    const struct efforts *e = walk->efforts;
    for (size_t k = 0; k < i; k++)
        if (e->items[k].surface->surface->condition->printer ==
            e->items[i].surface->surface->condition->printer)
            start = later(start, walk->passages[k].print.end);
    return start;
}

/* The run is printed, then cut and hung: drying starts for all at once. */
static void print_run(struct walk *walk, size_t i, int64_t from)
{
    const struct effort *effort = &walk->efforts->items[i];
    struct passage *p = &walk->passages[i];
    p->print = calendar_work(&walk->calendar, from, effort_print_s(effort));
    p->dry_end = effort->dry_s < 0 ? CALENDAR_NEVER : after(p->print.end, effort->dry_s);
}

/* Each panel is cut and hung as it comes off the printer. */
static void print_cut(struct walk *walk, size_t i, int64_t from)
{
    const struct effort *effort = &walk->efforts->items[i];
    struct passage *p = &walk->passages[i];
    int64_t setup = effort->setup_s;
    for (size_t order = 1; order <= effort->surface->panel_count; order++, setup = 0) {
        size_t panel = panel_at_order(effort->surface, order);
        struct work *work = &p->panel_print[panel];
        *work = calendar_work(&walk->calendar, from, setup + effort->print_s[panel]);
        from = work->end;
        if (order == 1) p->print.start = work->start;
        double dry = effort->surface->panels[panel].dry_s;
        p->dry_end = dry < 0 ? CALENDAR_NEVER : later(p->dry_end, after(work->end, (int64_t)ceil(dry)));
    }
    p->print.end = from;
}

static void finish_passage(struct walk *walk, size_t i)
{
    const struct effort *effort = &walk->efforts->items[i];
    const struct film *laminate = effort->surface->surface->condition->laminate;
    struct passage *p = &walk->passages[i];
    int64_t trim_from = p->ready = p->dry_end;
    if (laminate) {
        int64_t free = p->dry_end;
        for (size_t k = 0; k < i; k++)
            if (walk->efforts->items[k].laminate_s) free = later(free, walk->passages[k].laminate.end);
        p->laminate = calendar_work(&walk->calendar, free, effort->laminate_s);
        p->ready = after(p->laminate.end, effort->bond_s);
        trim_from = laminate->trim_while_bonding ? p->laminate.end : p->ready;
    }
    if (i) trim_from = later(trim_from, walk->passages[i - 1].trim.end);
    p->trim = calendar_work(&walk->calendar, trim_from, effort->trim_s);
}

/* All surfaces through the shop, one printer, laminator, table and crew each; in the job's order, so that a
 * later start or a longer step never makes anything earlier. */
static void walk_from(struct walk *walk, int64_t start)
{
    int64_t ready = INT64_MIN;
    for (size_t i = 0; i < walk->efforts->count; i++) {
        walk->passages[i].dry_end = INT64_MIN;
        int64_t from = printer_free(walk, i, start);
        if (walk->passages[i].panel_print)
            print_cut(walk, i, from);
        else
            print_run(walk, i, from);
        finish_passage(walk, i);
        ready = later(ready, walk->passages[i].ready);
    }
    walk->earliest = walk->finished = calendar_open(&walk->calendar, ready);
    for (size_t i = 0; i < walk->efforts->count; i++) {
        struct passage *p = &walk->passages[i];
        p->install = calendar_work(&walk->calendar, later(walk->finished, p->trim.end),
                                   walk->efforts->items[i].install_s);
        walk->finished = p->install.end;
    }
}

static struct walk walk_new(const struct plan *plan, const struct efforts *efforts, struct arena *arena)
{
    const struct job *job = plan->input->job;
    struct walk walk = {plan, efforts, calendar_of(job->shop, plan->input->zone), NULL, 0, 0};
    walk.passages = arena_take_array(arena, efforts->count, sizeof *walk.passages);
    for (size_t i = 0; job->output == OUTPUT_CUT && i < efforts->count; i++)
        walk.passages[i].panel_print = arena_take_array(arena, efforts->items[i].surface->panel_count,
                                                        sizeof *walk.passages[i].panel_print);
    return walk;
}

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

/* Narrows a step to one panel. */
static void only_panel(struct step *step, const struct panel *panel)
{
    if (!step) return;
    step->panels[0] = panel->id;
    step->panel_count = 1;
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

static void write_print_and_dry(struct writer *w, const struct effort *effort, const struct passage *p)
{
    const char *why = print_why(w, effort);
    if (!p->panel_print) {
        add_step(w, effort, STEP_PRINT, p->print.start, p->print.end, why);
        add_step(w, effort, STEP_DRY, p->print.end, p->dry_end,
                 dry_why(w, effort, &effort->surface->panels[effort->slowest]));
        return;
    }
    for (size_t order = 1; order <= effort->surface->panel_count; order++) {
        size_t i = panel_at_order(effort->surface, order);
        const struct panel *panel = &effort->surface->panels[i];
        const struct work *work = &p->panel_print[i];
        only_panel(add_step(w, effort, STEP_PRINT, work->start, work->end, why), panel);
        if (panel->dry_s >= 0)
            only_panel(add_step(w, effort, STEP_DRY, work->end, after(work->end, (int64_t)ceil(panel->dry_s)),
                                dry_why(w, effort, panel)),
                       panel);
    }
}

static void write_laminate(struct writer *w, const struct effort *effort, const struct passage *p)
{
    const struct shop *shop = w->plan->input->job->shop;
    const struct film *laminate = effort->surface->surface->condition->laminate;
    if (!laminate || p->ready == CALENDAR_NEVER) return;
    struct measure speed = measure_or(shop->laminate_m_per_min, practice_value("laminator-speed"));
    struct measure bond = clock_bond(laminate);
    add_step(w, effort, STEP_LAMINATE, p->laminate.start, p->laminate.end,
             arena_format(w->arena, "When dry: %.1f m and threading at %g m per min (%s), and setting up.",
                          surface_film_mm(effort->surface) / 1000, speed.value, speed.source));
    add_step(w, effort, STEP_BOND, p->laminate.end, p->ready,
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
    add_step(
        w, effort, STEP_TRIM, p->trim.start, p->trim.end,
        arena_format(w->arena, "Trimming and labelling at %g m2/h (%s).%s", trim.value, trim.source, rest));
    add_step(w, effort, STEP_INSTALL, p->install.start, p->install.end,
             arena_format(w->arena, "%.1f m2 at %g m2/h (%s).", effort->surface->surface->area_m2,
                          install.value, install.source));
}

static void write_steps(struct writer *w, const struct walk *walk)
{
    for (size_t i = 0; i < walk->efforts->count; i++) {
        const struct effort *effort = &walk->efforts->items[i];
        write_print_and_dry(w, effort, &walk->passages[i]);
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
    size_t last = last_ready(walk);
    const struct effort *effort = &walk->efforts->items[last];
    const struct passage *p = &walk->passages[last];
    const struct panel *slowest = &effort->surface->panels[effort->slowest];
    int64_t print = p->print.end - start, dry = p->dry_end - p->print.end;
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
    finding_add(&plan->findings, cold ? "laminate-too-cold" : "laminate-too-warm", "job",
                "The %s has %g degrees C; the laminate \"%s\" wants %s %g (%s).", what, celsius.value,
                laminate->name, cold ? "at least" : "at most", limit.value, limit.source)
        ->source = limit.source;
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
    find_latest_start(plan, walk, due);
    if (plan->finished <= due) return;
    const char *start =
        plan->has_latest_start ? zone_words(zone, plan->latest_start, arena) : "more than a year ago";
    finding_add(&plan->findings, "due-missed", "job",
                "Finished %s, promised for %s: %.1f h late. Printing would have to start by %s.",
                zone_words(zone, plan->finished, arena), zone_words(zone, due, arena),
                (double)(plan->finished - due) / 3600, start);
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
    start = calendar_open(&walk.calendar, start);
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
