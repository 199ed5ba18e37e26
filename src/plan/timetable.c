/* Runs all surfaces through printer, laminator, table and crew from a starting moment, after what is on
 * record. Called again and again by schedule.c and decide.c. */
#include "timetable.h"
#include "base/str.h"
#include "rolls.h"
#include <assert.h>
#include <math.h>

static int64_t timetable_later(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

static int64_t after(int64_t at, int64_t seconds)
{
    return at == CALENDAR_NEVER ? CALENDAR_NEVER : at + seconds;
}

static size_t panels_of(const struct workload *workload)
{
    return workload->surface->panel_count;
}

/* ---- what is on record ---- */

static void timetable_take_event(struct routing *p, const struct workload *workload,
                                 const struct event_fact *event)
{
    for (size_t i = 0; i < panels_of(workload); i++)
        if (string_equal(workload->surface->panels[i].id, event->panel))
            p->done[i].at[event->kind] = event->at;
}

static void read_record(struct routing *p, const struct workload *workload, const struct plan_input *input)
{
    for (size_t i = 0; i < input->event_count; i++) timetable_take_event(p, workload, &input->events[i]);
    for (size_t i = 0; i < panels_of(workload); i++)
        for (int kind = EVENT_KINDS - 2; kind >= 0; kind--)
            if (!p->done[i].at[kind]) p->done[i].at[kind] = p->done[i].at[kind + 1];
}

bool routing_has(const struct routing *routing, size_t panel, enum event_kind kind)
{
    return routing->done[panel].at[kind] != 0;
}

static struct operation operation_of(const struct routing *p, const struct workload *workload,
                                     enum event_kind kind)
{
    struct operation operation = {{INT64_MAX, INT64_MIN}, {0, 0}, 0, 0};
    for (size_t i = 0; i < panels_of(workload); i++) {
        int64_t at = p->done[i].at[kind];
        if (!at) {
            operation.todo_count++;
            continue;
        }
        operation.done_count++;
        if (at < operation.done.start) operation.done.start = at;
        if (at > operation.done.end) operation.done.end = at;
    }
    return operation;
}

int64_t operation_end(const struct operation *operation)
{
    return operation->todo_count ? operation->todo.end : operation->done.end;
}

bool timetable_has(const struct timetable *timetable, enum event_kind kind)
{
    for (size_t i = 0; i < timetable->workloads->count; i++)
        for (size_t k = 0; k < panels_of(&timetable->workloads->items[i]); k++)
            if (routing_has(&timetable->routings[i], k, kind)) return true;
    return false;
}

bool timetable_is_done(const struct timetable *timetable)
{
    for (size_t i = 0; i < timetable->workloads->count; i++)
        if (timetable->routings[i].install.todo_count) return false;
    return true;
}

struct timetable timetable_new(const struct plan *plan, const struct workloads *workloads,
                               struct arena *arena)
{
    const struct plan_input *input = plan->input;
    const struct job *job = input->job;
    struct timetable timetable = {.input = input,
                                  .workloads = workloads,
                                  .sequence = corners_sequence(job, workloads, arena),
                                  .calendar = calendar_of(job->shop, input->zone),
                                  .floor = input->recorded ? input->now : INT64_MIN,
                                  .arrives =
                                      job->arrives.given ? zone_utc(input->zone, &job->arrives) : INT64_MIN};
    timetable.routings = arena_take_array(arena, workloads->count, sizeof *timetable.routings);
    for (size_t i = 0; i < workloads->count; i++) {
        struct routing *p = &timetable.routings[i];
        size_t count = panels_of(&workloads->items[i]);
        p->done = arena_take_array(arena, count, sizeof *p->done);
        p->hung = arena_take_array(arena, count, sizeof *p->hung);
        if (job->output == OUTPUT_CUT && !workloads->items[i].supply_s)
            p->panel_printing = arena_take_array(arena, count, sizeof *p->panel_printing);
        read_record(p, &workloads->items[i], input);
    }
    return timetable;
}

/* ---- what is eased ---- */

/* What is left of a step's time. */
static int64_t eased_s(const struct timetable *timetable, const struct workload *workload,
                       enum step_kind kind, int64_t seconds)
{
    const struct ease *ease = &timetable->ease;
    bool meant = ease->by_s && ease->kind == kind && (!ease->workload || ease->workload == workload);
    return !meant ? seconds : ease->by_s >= seconds ? 0 : seconds - ease->by_s;
}

/* ---- printing and drying ---- */

static const struct printer *printer_of(const struct workload *workload)
{
    return workload->surface->surface->condition->printer;
}

/* When this surface's printer is free: surfaces are printed in the job's order. */
static int64_t printer_free(const struct timetable *timetable, size_t i, int64_t start)
{
    const struct workloads *e = timetable->workloads;
    for (size_t k = 0; k < i && !(timetable->ease.enough & SHARED_PRINTER); k++)
        if (printer_of(&e->items[k]) == printer_of(&e->items[i]))
            start = timetable_later(start, operation_end(&timetable->routings[k].printing));
    return timetable_later(start, timetable->floor);
}

/* People set it up in opening hours; where the shop lets it, it prints on by itself. */
static struct work printing_work(const struct timetable *timetable, const struct workload *workload,
                                 int64_t from, int64_t setup_s, int64_t printing_s)
{
    int64_t all = eased_s(timetable, workload, STEP_PRINT, setup_s + printing_s);
    if (!printer_of(workload)->unattended) return calendar_work(&timetable->calendar, from, all);
    int64_t setup = setup_s < all ? setup_s : all;
    struct work work = calendar_work(&timetable->calendar, from, setup);
    if (!setup_s) work.start = work.end = from; /* the run goes on */
    work.end = after(work.end, all - setup);
    return work;
}

/* Prints are cut and hung by people: what comes off at night hangs in the morning. */
static int64_t hung_at(const struct timetable *timetable, const struct workload *workload, int64_t printed)
{
    return printer_of(workload)->unattended ? calendar_open(&timetable->calendar, printed) : printed;
}

/* Ordered when the job starts, for all surfaces at once; it comes when somebody is there to take it in. */
static struct work supply_work(const struct timetable *timetable, const struct workload *workload)
{
    int64_t from = timetable_later(timetable->start, timetable->floor);
    int64_t comes = after(from, eased_s(timetable, workload, STEP_SUPPLY, workload->supply_s));
    return (struct work){from, calendar_open(&timetable->calendar, comes)};
}

/* The run is printed, then cut and hung: drying starts for all at once that are not hung yet. */
static void printing_run(struct timetable *timetable, size_t i, int64_t from)
{
    const struct workload *workload = &timetable->workloads->items[i];
    struct routing *p = &timetable->routings[i];
    int64_t seconds = 0;
    for (size_t k = 0; k < panels_of(workload); k++)
        if (!routing_has(p, k, EVENT_PRINTED)) seconds += workload->printing_s[k];
    if (p->printing.todo_count)
        p->printing.todo = workload->supply_s
                               ? supply_work(timetable, workload)
                               : printing_work(timetable, workload, from, workload->setup_s, seconds);
    for (size_t k = 0; k < panels_of(workload); k++)
        p->hung[k] = p->printing.todo_count ? hung_at(timetable, workload, p->printing.todo.end)
                                            : timetable_later(p->done[k].at[EVENT_PRINTED], timetable->floor);
}

/* Each panel is cut and hung as it comes off the printer. */
static void printing_cut(struct timetable *timetable, size_t i, int64_t from)
{
    const struct workload *workload = &timetable->workloads->items[i];
    struct routing *p = &timetable->routings[i];
    int64_t setup = workload->setup_s;
    p->printing.todo.start = CALENDAR_NEVER;
    for (size_t turn = 1; turn <= panels_of(workload); turn++) {
        size_t panel = panel_in_sequence(workload->surface, turn);
        struct work *work = &p->panel_printing[panel];
        p->hung[panel] = timetable_later(p->done[panel].at[EVENT_PRINTED], timetable->floor);
        if (routing_has(p, panel, EVENT_PRINTED)) continue;
        *work = printing_work(timetable, workload, from, setup, workload->printing_s[panel]);
        p->printing.todo.end = from = work->end;
        p->hung[panel] = hung_at(timetable, workload, work->end);
        if (p->printing.todo.start == CALENDAR_NEVER) p->printing.todo.start = work->start;
        setup = 0;
    }
}

int64_t routing_dry_end(const struct timetable *timetable, size_t i, size_t panel)
{
    const struct workload *workload = &timetable->workloads->items[i];
    const struct routing *p = &timetable->routings[i];
    double dry = workload->surface->panels[panel].dry_s;
    if (workload->comes_laminated) return p->hung[panel];
    int64_t laminated = workload->laminate_s ? p->done[panel].at[EVENT_LAMINATED] : 0;
    if (dry < 0) return laminated ? laminated : CALENDAR_NEVER;
    int64_t seconds = eased_s(timetable, workload, STEP_DRY, (int64_t)ceil(fmin(dry, 1e9) - 1e-6));
    int64_t end = after(p->hung[panel], seconds);
    return laminated && laminated < end ? laminated : end;
}

static void dry_passage(struct timetable *timetable, size_t i)
{
    struct routing *p = &timetable->routings[i];
    p->dry_end = INT64_MIN;
    for (size_t k = 0; k < panels_of(&timetable->workloads->items[i]); k++) {
        if (routing_has(p, k, EVENT_HUNG)) p->hung[k] = p->done[k].at[EVENT_HUNG];
        p->dry_end = timetable_later(p->dry_end, routing_dry_end(timetable, i, k));
    }
}

/* ---- laminating, trimming ---- */

/* The part of a surface's work that is left; panels count alike. */
static int64_t share_of(int64_t seconds, const struct operation *operation)
{
    int64_t all = (int64_t)(operation->done_count + operation->todo_count),
            left = (int64_t)operation->todo_count;
    return all ? (seconds * left + all - 1) / all : 0;
}

static void do_leg(const struct timetable *timetable, struct operation *operation, int64_t from,
                   int64_t seconds)
{
    if (operation->todo_count)
        operation->todo = calendar_work(&timetable->calendar, timetable_later(from, timetable->floor),
                                        share_of(seconds, operation));
}

static void finish_passage(struct timetable *timetable, size_t i)
{
    const struct workload *workload = &timetable->workloads->items[i];
    const struct film *laminate = workload->surface->surface->condition->laminate;
    struct routing *p = &timetable->routings[i];
    int64_t trim_from = p->ready = p->dry_end;
    if (laminate && !workload->comes_laminated) {
        int64_t free = p->dry_end;
        for (size_t k = 0; k < i && !(timetable->ease.enough & SHARED_LAMINATOR); k++)
            if (timetable->workloads->items[k].laminate_s)
                free = timetable_later(free, operation_end(&timetable->routings[k].laminate));
        do_leg(timetable, &p->laminate, free,
               eased_s(timetable, workload, STEP_LAMINATE, workload->laminate_s));
        p->ready = after(timetable_later(operation_end(&p->laminate), p->laminate.done.end),
                         eased_s(timetable, workload, STEP_BOND, workload->bond_s));
        trim_from = laminate->trim_while_bonding ? operation_end(&p->laminate) : p->ready;
        assert(p->ready >= p->dry_end); /* nothing is laminated wet */
    }
    if (i && !(timetable->ease.enough & SHARED_TABLE))
        trim_from = timetable_later(trim_from, operation_end(&timetable->routings[i - 1].trim));
    do_leg(timetable, &p->trim, trim_from, eased_s(timetable, workload, STEP_TRIM, workload->trim_s));
}

/* ---- at the vehicle ---- */

static int64_t timetable_all_of(const struct workloads *workloads, bool prepare)
{
    int64_t sum = 0;
    for (size_t i = 0; i < workloads->count; i++)
        sum += prepare ? workloads->items[i].prepare_s : workloads->items[i].finish_s;
    return sum;
}

/* From when on the crew can install: the vehicle has arrived and is prepared. It is prepared while the panels
 * dry and rest: without a word on its arrival, it comes in time for that. */
static int64_t vehicle_ready(const struct timetable *timetable, int64_t seconds)
{
    int64_t from = timetable_later(timetable->ease.vehicle_is_here ? INT64_MIN : timetable->arrives,
                                   timetable_later(timetable->start, timetable->floor));
    return seconds ? calendar_work(&timetable->calendar, from, seconds).end
                   : calendar_open(&timetable->calendar, from);
}

/* Installing starts when every panel is ready and the vehicle prepared, or has started. After each surface come
 * its finishing steps. */
static void install(struct timetable *timetable, int64_t ready)
{
    bool begun = timetable_has(timetable, EVENT_INSTALLED);
    int64_t first = CALENDAR_NEVER;
    int64_t prepare =
        begun ? 0 : eased_s(timetable, NULL, STEP_PREPARE, timetable_all_of(timetable->workloads, true));
    int64_t free = calendar_open(&timetable->calendar, timetable_later(ready, timetable->floor));
    if (!begun) free = timetable_later(free, vehicle_ready(timetable, prepare));
    timetable->finished = INT64_MIN;
    for (size_t k = 0; k < timetable->workloads->count; k++) {
        size_t i = timetable->sequence[k];
        const struct workload *workload = &timetable->workloads->items[i];
        struct routing *p = &timetable->routings[i];
        p->finish = (struct work){0, 0};
        do_leg(timetable, &p->install, timetable_later(free, operation_end(&p->trim)), workload->install_s);
        if (p->install.done_count && p->install.done.start < first) first = p->install.done.start;
        if (p->install.todo_count && p->install.todo.start < first) first = p->install.todo.start;
        if (p->install.todo_count) {
            p->finish = calendar_work(&timetable->calendar, p->install.todo.end, workload->finish_s);
            free = workload->finish_s ? p->finish.end : p->install.todo.end;
        }
        timetable->finished =
            timetable_later(timetable->finished, p->install.todo_count ? free : operation_end(&p->install));
    }
    assert(first <= timetable->finished);
    timetable->earliest = first;
    timetable->prepare =
        prepare ? calendar_work_before(&timetable->calendar, first, prepare) : (struct work){0, 0};
}

void timetable_from(struct timetable *timetable, int64_t start)
{
    int64_t ready = INT64_MIN;
    timetable->calendar.extra_open = timetable->ease.open,
    timetable->calendar.extra_close = timetable->ease.close;
    timetable->calendar.early_s = timetable->ease.early_s;
    timetable->start = start;
    for (size_t i = 0; i < timetable->workloads->count; i++) {
        const struct workload *workload = &timetable->workloads->items[i];
        struct routing *p = &timetable->routings[i];
        p->printing = operation_of(p, workload, EVENT_PRINTED),
        p->laminate = operation_of(p, workload, EVENT_LAMINATED);
        p->trim = operation_of(p, workload, EVENT_TRIMMED),
        p->install = operation_of(p, workload, EVENT_INSTALLED);
        (p->panel_printing && !workload->supply_s ? printing_cut : printing_run)(
            timetable, i, printer_free(timetable, i, start));
        dry_passage(timetable, i);
        finish_passage(timetable, i);
        ready = timetable_later(ready, p->ready);
    }
    install(timetable, ready);
}
