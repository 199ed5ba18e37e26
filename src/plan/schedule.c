/* Writes the steps with their dates, and the findings on time, room and crew. Called by plan.c; the moments
 * come from timetable.c and drying from clock.c. */
#include "schedule.h"
#include "decide.h"
#include "model/difficulty.h"
#include "model/practice.h"
#include "base/sentence.h"
#include "base/text.h"
#include "panels.h"
#include "plan/clock.h"
#include "plan/suit.h"
#include "rolls.h"
#include "tasks.h"
#include "timetable.h"
#include <assert.h>
#include <math.h>

/* ---- steps in words ---- */

struct schedule_writer {
    struct plan *plan;
    struct arena *arena;
    size_t capacity;
};

static const char *written_or_practice(bool written)
{
    return written ? "the shop's figure" : sentence_plain("common-practice-no-source");
}

static struct step *add_step(struct schedule_writer *w, const struct workload *workload, enum step_kind kind,
                             int64_t start, int64_t end, struct reason why)
{
    if (start == CALENDAR_NEVER || end == CALENDAR_NEVER) return NULL;
    struct step *step =
        arena_append(w->arena, &w->plan->steps, &w->plan->step_count, &w->capacity, sizeof *step);
    size_t count = workload->surface->panel_count;
    *step = (struct step){.kind = kind, .panel_count = count, .start = start, .end = end, .why = why};
    step->panels = arena_take_array(w->arena, count, sizeof *step->panels);
    for (size_t i = 0; i < count; i++)
        step->panels[i] = workload->surface->panels[panel_in_sequence(workload->surface, i + 1)].id;
    return step;
}

/* Narrows a step to the panels that have, or have not, an event behind them. */
static void keep_panels(struct step *step, const struct workload *workload, const struct routing *p,
                        enum event_kind kind, bool done)
{
    size_t count = 0;
    for (size_t turn = 1; turn <= workload->surface->panel_count; turn++) {
        size_t i = panel_in_sequence(workload->surface, turn);
        if (routing_has(p, i, kind) == done) step->panels[count++] = workload->surface->panels[i].id;
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
static void add_leg(struct schedule_writer *w, const struct workload *workload, const struct routing *p,
                    const struct operation *operation, enum step_kind kind, enum event_kind event,
                    struct reason why)
{
    if (operation->done_count)
        keep_panels(add_step(w, workload, kind, operation->done.start, operation->done.end,
                             reason_say(w->arena, "step-on-record", NULL)),
                    workload, p, event, true);
    if (!operation->todo_count) return;
    assert(operation->todo.start <= operation->todo.end);
    struct step *step = add_step(w, workload, kind, operation->todo.start, operation->todo.end, why);
    if (step) keep_panels(step, workload, p, event, false);
}

static struct reason printing_why(const struct schedule_writer *w, const struct workload *workload)
{
    const struct printer *printer = workload->surface->surface->condition->printer;
    double area = 0;
    for (size_t i = 0; i < workload->surface->panel_count; i++) area += workload->surface->panels[i].area_m2;
    bool written = measure_is_written(printer->speed_m2_per_h);
    return reason_say(w->arena, "m2-at-m2-h-and-min",
                      ARGUMENTS(arg_fixed("area", area, 1),
                                arg_number("speed", printer->speed_m2_per_h.value),
                                arg_fixed("setup_min", (double)workload->setup_s / 60, 0),
                                arg_words("written_or_practice", written_or_practice(written))));
}

static struct reason supply_why(const struct schedule_writer *w, const struct workload *workload)
{
    struct supply supply = w->plan->input->job->supply;
    return reason_say(w->arena, "bought-in-d-from-order-to",
                      ARGUMENTS(arg_words("supplier", supply.supplier ? supply.supplier : ""),
                                arg_rounded("supply_days", (double)workload->supply_s / 86400, 4),
                                arg_words("lead_s_source", supply.lead_s.source),
                                arg_flag("supplier_2", supply.supplier),
                                arg_flag("comes_laminated", workload->comes_laminated)));
}

static struct reason dry_why(const struct schedule_writer *w, const struct workload *workload,
                             const struct panel *panel)
{
    const struct condition *c = workload->surface->surface->condition;
    const struct job *job = w->plan->input->job;
    struct dry_case dry = {c->ink,      panel_hand_percent(panel),  c->dry_most_at_percent,
                           job->drying, job->room_humidity_percent, job->room_c};
    return clock_dry(&dry, w->arena).why;
}

static void write_dry(struct schedule_writer *w, const struct timetable *timetable, size_t place)
{
    const struct workload *workload = &timetable->workloads->items[place];
    const struct routing *p = &timetable->routings[place];
    const struct surface_plan *surface = workload->surface;
    int64_t start = INT64_MAX;
    if (workload->comes_laminated) return;
    if (!p->panel_printing) {
        for (size_t i = 0; i < surface->panel_count; i++)
            if (p->hung[i] < start) start = p->hung[i];
        add_step(w, workload, STEP_DRY, start, p->dry_end,
                 dry_why(w, workload, &surface->panels[workload->slowest]));
        return;
    }
    for (size_t turn = 1; turn <= surface->panel_count; turn++) {
        size_t i = panel_in_sequence(surface, turn);
        only_panel(add_step(w, workload, STEP_DRY, p->hung[i], routing_dry_end(timetable, place, i),
                            dry_why(w, workload, &surface->panels[i])),
                   &surface->panels[i]);
    }
}

static void write_printing(struct schedule_writer *w, const struct workload *workload,
                           const struct routing *p)
{
    bool bought = workload->supply_s > 0;
    struct reason why = bought ? supply_why(w, workload) : printing_why(w, workload);
    struct operation operation = p->printing;
    if (p->panel_printing) operation.todo_count = 0;
    add_leg(w, workload, p, &operation, bought ? STEP_SUPPLY : STEP_PRINT, EVENT_PRINTED, why);
    for (size_t turn = 1; p->panel_printing && turn <= workload->surface->panel_count; turn++) {
        size_t i = panel_in_sequence(workload->surface, turn);
        const struct work *work = &p->panel_printing[i];
        if (!routing_has(p, i, EVENT_PRINTED))
            only_panel(add_step(w, workload, STEP_PRINT, work->start, work->end, why),
                       &workload->surface->panels[i]);
    }
}

static void write_laminate(struct schedule_writer *w, const struct workload *workload,
                           const struct routing *p)
{
    const struct shop *shop = w->plan->input->job->shop;
    const struct film *laminate = workload->surface->surface->condition->laminate;
    if (!laminate || workload->comes_laminated || p->ready == CALENDAR_NEVER) return;
    const struct operation *operation = &p->laminate;
    struct measure speed = shop->laminate_m_per_min;
    struct measure bond = laminate->bond_s;
    add_leg(w, workload, p, operation, STEP_LAMINATE, EVENT_LAMINATED,
            reason_say(w->arena, "when-dry-m-and-threading-at",
                       ARGUMENTS(arg_fixed("surface_m", surface_film_mm(workload->surface) / 1000, 1),
                                 arg_number("speed", speed.value), arg_words("speed_source", speed.source))));
    add_step(w, workload, STEP_BOND, operation->done_count ? operation->done.start : operation->todo.end,
             p->ready,
             reason_say(
                 w->arena, "h-of-rest-for-laminates-bond",
                 ARGUMENTS(arg_number("bond_h", bond.value / 3600), arg_words("bond_source", bond.source))));
}

static void write_hands(struct schedule_writer *w, const struct workload *workload, const struct routing *p)
{
    const struct shop *shop = w->plan->input->job->shop;
    const struct film *laminate = workload->surface->surface->condition->laminate;
    struct measure trim = practice_value("trim-speed");
    struct measure install = shop->install_m2_per_h;
    const char *rest = !laminate ? ""
                       : laminate->trim_while_bonding
                           ? sentence_plain("while-laminate-rests-as-shop-allows")
                           : sentence_plain("after-laminates-rest-common-practice-no");
    add_leg(w, workload, p, &p->trim, STEP_TRIM, EVENT_TRIMMED,
            reason_say(w->arena, "trimming-and-labelling-at-m2-h",
                       ARGUMENTS(arg_number("trim", trim.value), arg_words("trim_source", trim.source),
                                 arg_words("rest", rest))));
    add_leg(w, workload, p, &p->install, STEP_INSTALL, EVENT_INSTALLED,
            reason_say(w->arena, "m2-at-m2-h-panels-and",
                       ARGUMENTS(arg_fixed("area_m2", workload->surface->surface->area_m2, 1),
                                 arg_number("percent", difficulty_of(workload->surface->surface).percent),
                                 arg_number("install", install.value),
                                 arg_words("install_source", install.source),
                                 arg_fixed("install_person_h", (double)workload->install_person_s / 3600, 1),
                                 arg_words("crew_words", workload->crew_words))));
}

/* The vehicle is prepared surface by surface, in one go. */
static void write_prepare(struct schedule_writer *w, const struct timetable *timetable)
{
    int64_t from = timetable->prepare.start;
    if (timetable->prepare.start == timetable->prepare.end) return;
    for (size_t i = 0; i < timetable->workloads->count; i++) {
        const struct workload *workload = &timetable->workloads->items[i];
        struct work work = calendar_work(&timetable->calendar, from, workload->prepare_s);
        if (!workload->prepare_s) continue;
        add_step(w, workload, STEP_PREPARE, work.start, work.end, workload->prepare_why);
        from = work.end;
    }
}

/* All panels of the vehicle, with the first surface's step. */
static void widen(struct schedule_writer *w, struct step *step)
{
    size_t count = 0;
    for (size_t i = 0; i < w->plan->surface_count; i++) count += w->plan->surfaces[i].panel_count;
    step->panels = arena_take_array(w->arena, count, sizeof *step->panels);
    step->panel_count = 0;
    for (size_t i = 0; i < w->plan->surface_count; i++)
        for (size_t k = 0; k < w->plan->surfaces[i].panel_count; k++)
            step->panels[step->panel_count++] = w->plan->surfaces[i].panels[k].id;
}

/* On the first opening after the rest that film takes to hold. */
static void write_check(struct schedule_writer *w, const struct timetable *timetable)
{
    struct measure rest = practice_value("install-rest");
    int64_t seconds = tasks_seconds(w->plan, NULL, TASK_CHECK);
    if (timetable->finished == CALENDAR_NEVER || !seconds) return;
    int64_t rested = timetable->finished + (int64_t)(rest.value * 3600);
    struct work work =
        calendar_work(&timetable->calendar, rested > timetable->floor ? rested : timetable->floor, seconds);
    struct step *step = add_step(
        w, &timetable->workloads->items[0], STEP_CHECK, work.start, work.end,
        reason_say(w->arena, "edges-seams-and-recesses-h-after",
                   ARGUMENTS(arg_number("rest", rest.value), arg_words("rest_source", rest.source))));
    if (step) widen(w, step);
}

static void write_steps(struct schedule_writer *w, const struct timetable *timetable)
{
    for (size_t i = 0; i < timetable->workloads->count; i++) {
        const struct workload *workload = &timetable->workloads->items[i];
        const struct work *finish = &timetable->routings[i].finish;
        write_printing(w, workload, &timetable->routings[i]);
        write_dry(w, timetable, i);
        write_laminate(w, workload, &timetable->routings[i]);
        write_hands(w, workload, &timetable->routings[i]);
        if (finish->end > finish->start)
            add_step(w, workload, STEP_FINISH, finish->start, finish->end, workload->finish_why);
    }
    write_prepare(w, timetable);
    write_check(w, timetable);
}

/* ---- findings on time ---- */

/* The room that the hours were worked out for, where the job does not say it. */
static void judge_assumed(struct plan *plan)
{
    const struct job *job = plan->input->job;
    struct measure celsius = job->room_c, humidity = job->room_humidity_percent;
    const char *both = sentence_words(
        plan->findings.arena, "degrees-c-and-of-humidity",
        ARGUMENTS(arg_number("celsius", celsius.value), arg_number("humidity", humidity.value)));
    const char *one = !measure_is_written(job->room_c)
                          ? arena_format(plan->findings.arena, "%g degrees C", celsius.value)
                          : arena_format(plan->findings.arena, "%g %% of humidity", humidity.value);
    bool known_c = measure_is_written(job->room_c), known_h = measure_is_written(job->room_humidity_percent);
    if (known_c && known_h) return;
    finding_add(&plan->findings, "room-assumed", "job", "room-assumed",
                ARGUMENTS(arg_words("known_c", known_c   ? sentence_plain("how-humid-room-is")
                                               : known_h ? sentence_plain("how-warm-room-is")
                                                         : sentence_plain("how-warm-and-humid-room-is")),
                          arg_words("assumed", known_c || known_h ? one : both),
                          arg_words("celsius_source", celsius.source)))
        ->source = celsius.source;
}

/* What comes sooner than it can be fit to apply, or when nobody said. Drying and rest as here: what the printer does
 * besides takes longer. */
static void judge_supply(struct plan *plan, const struct workloads *workloads)
{
    const struct job *job = plan->input->job;
    int64_t least = 0;
    if (!job_buys_prints(job) || !workloads->count) return;
    struct supply supply = job->supply;
    for (size_t i = 0; i < workloads->count; i++) {
        const struct workload *e = &workloads->items[i];
        int64_t needs = e->comes_laminated && e->dry_s > 0 ? e->dry_s + e->bond_s : 0;
        if (needs > least) least = needs;
    }
    if (!measure_is_written(supply.lead_s))
        finding_add(&plan->findings, "lead-time-assumed", "job", "lead-time-assumed",
                    ARGUMENTS(arg_rounded("lead_days", supply.lead_s.value / 86400, 4),
                              arg_words("lead_s_source", supply.lead_s.source)))
            ->source = supply.lead_s.source;
    if (supply.lead_s.value < (double)least)
        finding_add(&plan->findings, "lead-time-short", "job", "lead-time-short",
                    ARGUMENTS(arg_rounded("lead_h", supply.lead_s.value / 3600, 4),
                              arg_rounded("least_h", (double)least / 3600, 4)));
}

static void judge_slow(struct plan *plan, const struct workloads *workloads)
{
    const struct job *job = plan->input->job;
    struct dry_room room = clock_room(job->room_c, job->room_humidity_percent);
    if (room.factor <= 1 || !room.dries || !workloads->count) return;
    finding_add(&plan->findings, "drying-slow", "job", "drying-slow",
                ARGUMENTS(arg_number("celsius", room.celsius),
                          arg_number("humidity_percent", room.humidity_percent),
                          arg_number("limit", practice_value("dry-low").value),
                          arg_number("limit_2", practice_value("dry-humid").value),
                          arg_fixed("factor", room.factor, 2)))
        ->source = practice_value("dry-low").source;
}

static const struct panel *longest_panel(const struct workloads *workloads)
{
    const struct panel *longest = NULL;
    for (size_t i = 0; i < workloads->count; i++)
        for (size_t k = 0; k < workloads->items[i].surface->panel_count; k++) {
            const struct panel *panel = &workloads->items[i].surface->panels[k];
            if (!longest || panel->print_length_mm > longest->print_length_mm) longest = panel;
        }
    return longest;
}

/* Hung lengths need height: more than any room has that was not built for it. */
static void judge_height(struct plan *plan, const struct workloads *workloads)
{
    const struct job *job = plan->input->job;
    const struct panel *longest = longest_panel(workloads);
    if (workloads->count && workloads->items[0].comes_laminated) return;
    if (!longest || (job->drying != DRYING_HUNG && job->drying != DRYING_UNSAID)) return;
    struct measure clear = practice_value("hang-clear"), height = job->shop->hanging_height_mm;
    double needed = longest->print_length_mm + 2 * clear.value;
    if (needed <= height.value) return;
    struct finding *finding =
        finding_add(&plan->findings, "hanging-height", "job", "hanging-height",
                    ARGUMENTS(arg_words("longest", longest->id),
                              arg_fixed("print_length_m", longest->print_length_mm / 1000, 2),
                              arg_fixed("needed_m", needed / 1000, 2), arg_number("clear_mm", clear.value),
                              arg_number("height_m", height.value / 1000),
                              arg_flag("known", measure_is_written(height))));
    finding->source = height.source;
    if (measure_is_written(height)) finding->severity = SEVERITY_WARN;
}

static void judge_room(struct plan *plan, const struct workloads *workloads)
{
    if (!workloads->count) return;
    judge_assumed(plan);
    judge_supply(plan, workloads);
    judge_slow(plan, workloads);
    judge_height(plan, workloads);
}

static void schedule_judge_drying(struct plan *plan, const struct workloads *workloads,
                                  struct schedule_writer *w)
{
    const struct job *job = plan->input->job;
    for (size_t i = 0; i < workloads->count; i++) {
        const struct workload *workload = &workloads->items[i];
        if (workload->dry_s >= 0) continue;
        finding_add(
            &plan->findings, "drying-not-possible", workload->surface->surface->name, "drying-not-possible",
            ARGUMENTS(arg_words("drying", drying_name(job->drying)),
                      arg_words("dry_why", dry_why(w, workload, &workload->surface->panels[0]).words)));
    }
    judge_room(plan, workloads);
    if (job->drying == DRYING_UNSAID && workloads->count)
        finding_add(&plan->findings, "drying-unsaid", "job", "drying-unsaid", NULL);
}

static void judge_temperature(struct plan *plan, const struct film *laminate, const char *what,
                              struct measure celsius, struct suit_window window)
{
    if (!measure_known(celsius)) return;
    bool cold = celsius.value<window.low_c.value, warm = celsius.value> window.high_c.value;
    if (!cold && !warm) return;
    struct measure limit = cold ? window.low_c : window.high_c;
    struct finding *finding =
        finding_add(&plan->findings, cold ? "laminate-too-cold" : "laminate-too-warm", "job", "has-degrees-c",
                    ARGUMENTS(arg_words("what", what), arg_number("celsius", celsius.value),
                              arg_words("laminate", laminate->name), arg_number("limit", limit.value),
                              arg_words("limit_source", limit.source), arg_flag("cold", cold)));
    finding->source = limit.source;
    finding->about = arena_format(plan->findings.arena, "%s, %s", what, laminate->name);
    finding->figure = celsius.value, finding->low_is_worse = cold;
}

/* Where the prints are laminated the vehicle is usually fitted, too. */
static void judge_applying(struct plan *plan, struct measure celsius)
{
    struct measure least = practice_value("apply-low");
    if (!measure_is_written(celsius) || celsius.value >= least.value) return;
    struct finding *finding =
        finding_add(&plan->findings, "apply-too-cold", "job", "apply-too-cold",
                    ARGUMENTS(arg_number("celsius", celsius.value), arg_number("least", least.value),
                              arg_words("least_source", least.source)));
    finding->source = least.source;
    finding->figure = celsius.value, finding->low_is_worse = true;
}

static void schedule_judge_temperatures(struct plan *plan, const struct workloads *workloads)
{
    const struct job *job = plan->input->job;
    for (size_t i = 0; i < workloads->count; i++) {
        const struct film *laminate = workloads->items[i].surface->surface->condition->laminate;
        bool said = !laminate;
        for (size_t k = 0; k < i; k++)
            said |= workloads->items[k].surface->surface->condition->laminate == laminate;
        if (said) continue;
        judge_temperature(plan, laminate, "room", job->room_c, suit_room_window(laminate));
        judge_temperature(plan, laminate, sentence_plain("roller-of-laminator"), job->roller_c,
                          suit_roller_window(laminate));
    }
    if (workloads->count) judge_applying(plan, job->room_c);
}

/* The last minute at which printing may start and the vehicle is still finished in time. Later starts never
 * finish earlier, so halving finds it. */
static void find_latest_start(struct plan *plan, struct timetable *timetable, int64_t due)
{
    const int64_t minute = 60, year = 366 * 86400;
    timetable->floor = INT64_MIN; /* whether or not that moment is over */
    int64_t low = (due - year) / minute, high = due / minute + 1;
    timetable_from(timetable, low * minute);
    if (timetable->finished > due) return;
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        timetable_from(timetable, middle * minute);
        if (timetable->finished <= due)
            low = middle;
        else
            high = middle;
    }
    plan->has_latest_start = true;
    plan->latest_start = low * minute;
    assert(plan->latest_start <= due); /* printing takes no time back */
}

static const char *late_words(int64_t seconds, struct arena *arena)
{
    int64_t hours = (seconds + 1800) / 3600;
    if (seconds < 86400) return arena_format(arena, "%.1f h", (double)seconds / 3600);
    return arena_format(arena, "%lld d %lld h", (long long)(hours / 24), (long long)(hours % 24));
}

/* Remedies, as far as printing goes. */
static const char *start_words(const struct plan *plan, const struct timetable *timetable,
                               struct arena *arena)
{
    const struct zone *zone = plan->input->zone;
    if (timetable_has(timetable, EVENT_PRINTED)) return "Printing has begun.";
    if (plan->has_latest_start)
        return sentence_words(
            arena, "printing-would-have-to-start-by",
            ARGUMENTS(arg_words("latest_start", zone_words(zone, plan->latest_start, arena))));
    if (plan->input->job->arrives.given)
        return sentence_words(arena, "vehicle-arrives-too-late-for-that",
                              ARGUMENTS(arg_words("arrives", zone_words(zone, timetable->arrives, arena))));
    return sentence_plain("printing-would-have-to-start-more");
}

static void judge_due(struct plan *plan, struct timetable *timetable, struct arena *arena)
{
    const struct zone *zone = plan->input->zone;
    if (!plan->input->job->due.given) return;
    int64_t due = zone_utc(zone, &plan->input->job->due);
    bool begun = timetable_has(timetable, EVENT_PRINTED);
    if (!begun) find_latest_start(plan, timetable, due);
    if (plan->finished <= due) return;
    struct finding *finding =
        finding_add(&plan->findings, "due-missed", "job", "due-missed",
                    ARGUMENTS(arg_words("finished", zone_words(zone, plan->finished, arena)),
                              arg_words("due", zone_words(zone, due, arena)),
                              arg_words("late", late_words(plan->finished - due, arena)),
                              arg_words("remark", start_words(plan, timetable, arena))));
    finding->about = arena_format(arena, "due %s", zone_iso(zone, due, arena));
    finding->figure = (double)(plan->finished - due) / 3600;
}

/* A date of the job that is over, with nothing on record of what should have been done by then. */
static void judge_past(struct plan *plan, const struct timetable *timetable, struct arena *arena)
{
    const struct plan_input *input = plan->input;
    const struct zone *zone = input->zone;
    int64_t due = input->job->due.given ? zone_utc(zone, &input->job->due) : 0;
    bool due_past = due && due < input->now, all_past = plan->finished < input->now;
    if (timetable_has(timetable, EVENT_PRINTED) || (!due_past && !all_past)) return;
    const char *today = zone_words(zone, input->now, arena);
    if (due_past)
        finding_add(&plan->findings, "date-past", "job", "date-past-vehicle-is-due-it",
                    ARGUMENTS(arg_words("due", zone_words(zone, due, arena)), arg_words("today", today)));
    else
        finding_add(&plan->findings, "date-past", "job", "date-past-dates-count-from-start",
                    ARGUMENTS(arg_words("finished", zone_words(zone, plan->finished, arena)),
                              arg_words("today", today)));
}

/* The vehicle goes before it is finished, or before it can be checked. */
static void judge_leaving(struct plan *plan)
{
    const struct zone *zone = plan->input->zone;
    const struct civil_time *leaves = &plan->input->job->leaves;
    struct arena *arena = plan->findings.arena;
    if (!leaves->given) return;
    int64_t at = zone_utc(zone, leaves);
    if (plan->finished > at)
        finding_add(&plan->findings, "vehicle-leaves", "job", "vehicle-leaves-vehicle-leaves-and-is",
                    ARGUMENTS(arg_words("at", zone_words(zone, at, arena)),
                              arg_words("finished", zone_words(zone, plan->finished, arena))));
    for (size_t i = 0; i < plan->step_count && plan->finished <= at; i++)
        if (plan->steps[i].kind == STEP_CHECK && plan->steps[i].start > at)
            finding_add(&plan->findings, "vehicle-leaves", "job", "vehicle-leaves-vehicle-leaves-before-next",
                        ARGUMENTS(arg_words("at", zone_words(zone, at, arena)),
                                  arg_words("start", zone_words(zone, plan->steps[i].start, arena))))
                ->remedy = sentence_plain("agree-with-customer-when-it-comes");
}

/* Panels that take two people, and a crew of one. */
static void judge_crew(struct plan *plan, const struct workloads *workloads)
{
    struct arena *arena = plan->findings.arena;
    struct text names = text_new(arena);
    for (size_t i = 0; i < workloads->count; i++)
        for (size_t k = 0; k < workloads->items[i].surface->panel_count; k++)
            if (workload_takes_two(plan->input->job, &workloads->items[i].surface->panels[k]))
                text_addf(&names, "%s%s", names.length ? ", " : "",
                          workloads->items[i].surface->panels[k].id);
    if (!names.length || workload_crew(plan->input->job) > 1) return;
    struct measure length = plan->input->job->shop->two_person_mm;
    bool written = plan->input->job->crew > 0 || plan->input->job->shop->crew > 0;
    struct finding *finding = finding_add(
        &plan->findings, "crew-short", "job", "crew-short",
        ARGUMENTS(arg_number("length_m", length.value / 1000), arg_words("length_source", length.source),
                  arg_words("names", text_string(&names)), arg_flag("written", written)));
    finding->source = length.source;
    if (written) finding->severity = SEVERITY_WARN;
}

static int64_t raw_start(const struct plan_input *input, const struct timetable *timetable)
{
    int64_t start = input->job->start.given ? zone_utc(input->zone, &input->job->start) : input->now;
    return start > timetable->floor ? start : timetable->floor;
}

/* When the surface's prints are made; those that cannot be planned, at the start. */
static int64_t printed_at(const struct plan *plan, const struct timetable *timetable, size_t surface,
                          int64_t start)
{
    for (size_t i = 0; i < timetable->workloads->count; i++) {
        int64_t end = operation_end(&timetable->routings[i].printing);
        if (timetable->workloads->items[i].surface == &plan->surfaces[surface] && end != CALENDAR_NEVER)
            return end;
    }
    return start;
}

/* A laminate is waived for prints that are made while the reason holds. */
static void judge_waivers(struct plan *plan, const struct timetable *timetable, int64_t start)
{
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface *surface = plan->surfaces[i].surface;
        if (!surface->condition->laminate)
            suit_no_laminate(surface, plan->input->zone, printed_at(plan, timetable, i, start),
                             &plan->findings);
    }
}

void schedule_make(struct plan *plan, const struct workloads *workloads, struct arena *arena)
{
    const struct plan_input *input = plan->input;
    struct schedule_writer writer = {plan, arena, 0};
    schedule_judge_drying(plan, workloads, &writer);
    schedule_judge_temperatures(plan, workloads);
    judge_crew(plan, workloads);
    plan->decides = reason_say(arena, "no-date-can-be-given", NULL);
    struct timetable timetable = timetable_new(plan, workloads, arena);
    int64_t start = raw_start(input, &timetable);
    if (workloads->count) timetable_from(&timetable, start);
    judge_waivers(plan, &timetable, start);
    if (!workloads->count) return;
    write_steps(&writer, &timetable);
    if (timetable.finished == CALENDAR_NEVER) return;
    plan->has_install = true;
    plan->earliest_install = timetable.earliest;
    plan->finished = timetable.finished;
    decide(plan, &timetable, arena);
    judge_leaving(plan);
    judge_past(plan, &timetable, arena);
    judge_due(plan, &timetable, arena);
}
