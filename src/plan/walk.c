/* Runs all surfaces through printer, laminator, table and crew from a starting moment, after what is on
 * record. Called again and again by schedule.c and decide.c. */
#include "walk.h"
#include "base/str.h"
#include "rolls.h"
#include <assert.h>
#include <math.h>

static int64_t walk_later(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

static int64_t after(int64_t at, int64_t seconds)
{
    return at == CALENDAR_NEVER ? CALENDAR_NEVER : at + seconds;
}

static size_t panels_of(const struct effort *effort)
{
    return effort->surface->panel_count;
}

/* ---- what is on record ---- */

static void walk_take_event(struct passage *p, const struct effort *effort, const struct event_fact *event)
{
    for (size_t i = 0; i < panels_of(effort); i++)
        if (string_equal(effort->surface->panels[i].id, event->panel)) p->done[i].at[event->kind] = event->at;
}

static void read_record(struct passage *p, const struct effort *effort, const struct plan_input *input)
{
    for (size_t i = 0; i < input->event_count; i++) walk_take_event(p, effort, &input->events[i]);
    for (size_t i = 0; i < panels_of(effort); i++)
        for (int kind = EVENT_KINDS - 2; kind >= 0; kind--)
            if (!p->done[i].at[kind]) p->done[i].at[kind] = p->done[i].at[kind + 1];
}

bool passage_has(const struct passage *passage, size_t panel, enum event_kind kind)
{
    return passage->done[panel].at[kind] != 0;
}

static struct leg leg_of(const struct passage *p, const struct effort *effort, enum event_kind kind)
{
    struct leg leg = {{INT64_MAX, INT64_MIN}, {0, 0}, 0, 0};
    for (size_t i = 0; i < panels_of(effort); i++) {
        int64_t at = p->done[i].at[kind];
        if (!at) {
            leg.todo_count++;
            continue;
        }
        leg.done_count++;
        if (at < leg.done.start) leg.done.start = at;
        if (at > leg.done.end) leg.done.end = at;
    }
    return leg;
}

int64_t leg_end(const struct leg *leg)
{
    return leg->todo_count ? leg->todo.end : leg->done.end;
}

bool walk_has(const struct schedule_walk *walk, enum event_kind kind)
{
    for (size_t i = 0; i < walk->efforts->count; i++)
        for (size_t k = 0; k < panels_of(&walk->efforts->items[i]); k++)
            if (passage_has(&walk->passages[i], k, kind)) return true;
    return false;
}

bool walk_is_done(const struct schedule_walk *walk)
{
    for (size_t i = 0; i < walk->efforts->count; i++)
        if (walk->passages[i].install.todo_count) return false;
    return true;
}

struct schedule_walk walk_new(const struct plan *plan, const struct efforts *efforts, struct arena *arena)
{
    const struct plan_input *input = plan->input;
    const struct job *job = input->job;
    struct schedule_walk walk = {.input = input,
                                 .efforts = efforts,
                                 .sequence = corners_sequence(job, efforts, arena),
                                 .calendar = calendar_of(job->shop, input->zone),
                                 .floor = input->recorded ? input->now : INT64_MIN,
                                 .arrives =
                                     job->arrives.given ? zone_utc(input->zone, &job->arrives) : INT64_MIN};
    walk.passages = arena_take_array(arena, efforts->count, sizeof *walk.passages);
    for (size_t i = 0; i < efforts->count; i++) {
        struct passage *p = &walk.passages[i];
        size_t count = panels_of(&efforts->items[i]);
        p->done = arena_take_array(arena, count, sizeof *p->done);
        p->hung = arena_take_array(arena, count, sizeof *p->hung);
        if (job->output == OUTPUT_CUT && !efforts->items[i].supply_s)
            p->panel_print = arena_take_array(arena, count, sizeof *p->panel_print);
        read_record(p, &efforts->items[i], input);
    }
    return walk;
}

/* ---- what is eased ---- */

/* What is left of a step's time. */
static int64_t eased_s(const struct schedule_walk *walk, const struct effort *effort, enum step_kind kind,
                       int64_t seconds)
{
    const struct ease *ease = &walk->ease;
    bool meant = ease->by_s && ease->kind == kind && (!ease->effort || ease->effort == effort);
    return !meant ? seconds : ease->by_s >= seconds ? 0 : seconds - ease->by_s;
}

/* ---- printing and drying ---- */

static const struct printer *printer_of(const struct effort *effort)
{
    return effort->surface->surface->condition->printer;
}

/* When this surface's printer is free: surfaces are printed in the job's order. */
static int64_t printer_free(const struct schedule_walk *walk, size_t i, int64_t start)
{
    const struct efforts *e = walk->efforts;
    for (size_t k = 0; k < i && !(walk->ease.enough & SHARED_PRINTER); k++)
        if (printer_of(&e->items[k]) == printer_of(&e->items[i]))
            start = walk_later(start, leg_end(&walk->passages[k].print));
    return walk_later(start, walk->floor);
}

/* People set it up in opening hours; where the shop lets it, it prints on by itself. */
static struct work print_work(const struct schedule_walk *walk, const struct effort *effort, int64_t from,
                              int64_t setup_s, int64_t print_s)
{
    int64_t all = eased_s(walk, effort, STEP_PRINT, setup_s + print_s);
    if (!printer_of(effort)->unattended) return calendar_work(&walk->calendar, from, all);
    int64_t setup = setup_s < all ? setup_s : all;
    struct work work = calendar_work(&walk->calendar, from, setup);
    if (!setup_s) work.start = work.end = from; /* the run goes on */
    work.end = after(work.end, all - setup);
    return work;
}

/* Prints are cut and hung by people: what comes off at night hangs in the morning. */
static int64_t hung_at(const struct schedule_walk *walk, const struct effort *effort, int64_t printed)
{
    return printer_of(effort)->unattended ? calendar_open(&walk->calendar, printed) : printed;
}

/* Ordered when the job starts, for all surfaces at once; it comes when somebody is there to take it in. */
static struct work supply_work(const struct schedule_walk *walk, const struct effort *effort)
{
    int64_t from = walk_later(walk->start, walk->floor);
    int64_t comes = after(from, eased_s(walk, effort, STEP_SUPPLY, effort->supply_s));
    return (struct work){from, calendar_open(&walk->calendar, comes)};
}

/* The run is printed, then cut and hung: drying starts for all at once that are not hung yet. */
static void print_run(struct schedule_walk *walk, size_t i, int64_t from)
{
    const struct effort *effort = &walk->efforts->items[i];
    struct passage *p = &walk->passages[i];
    int64_t seconds = 0;
    for (size_t k = 0; k < panels_of(effort); k++)
        if (!passage_has(p, k, EVENT_PRINTED)) seconds += effort->print_s[k];
    if (p->print.todo_count)
        p->print.todo = effort->supply_s ? supply_work(walk, effort)
                                         : print_work(walk, effort, from, effort->setup_s, seconds);
    for (size_t k = 0; k < panels_of(effort); k++)
        p->hung[k] = p->print.todo_count ? hung_at(walk, effort, p->print.todo.end)
                                         : walk_later(p->done[k].at[EVENT_PRINTED], walk->floor);
}

/* Each panel is cut and hung as it comes off the printer. */
static void print_cut(struct schedule_walk *walk, size_t i, int64_t from)
{
    const struct effort *effort = &walk->efforts->items[i];
    struct passage *p = &walk->passages[i];
    int64_t setup = effort->setup_s;
    p->print.todo.start = CALENDAR_NEVER;
    for (size_t order = 1; order <= panels_of(effort); order++) {
        size_t panel = panel_at_order(effort->surface, order);
        struct work *work = &p->panel_print[panel];
        p->hung[panel] = walk_later(p->done[panel].at[EVENT_PRINTED], walk->floor);
        if (passage_has(p, panel, EVENT_PRINTED)) continue;
        *work = print_work(walk, effort, from, setup, effort->print_s[panel]);
        p->print.todo.end = from = work->end;
        p->hung[panel] = hung_at(walk, effort, work->end);
        if (p->print.todo.start == CALENDAR_NEVER) p->print.todo.start = work->start;
        setup = 0;
    }
}

int64_t passage_dry_end(const struct schedule_walk *walk, size_t i, size_t panel)
{
    const struct effort *effort = &walk->efforts->items[i];
    const struct passage *p = &walk->passages[i];
    double dry = effort->surface->panels[panel].dry_s;
    if (effort->comes_laminated) return p->hung[panel];
    int64_t laminated = effort->laminate_s ? p->done[panel].at[EVENT_LAMINATED] : 0;
    if (dry < 0) return laminated ? laminated : CALENDAR_NEVER;
    int64_t seconds = eased_s(walk, effort, STEP_DRY, (int64_t)ceil(fmin(dry, 1e9) - 1e-6));
    int64_t end = after(p->hung[panel], seconds);
    return laminated && laminated < end ? laminated : end;
}

static void dry_passage(struct schedule_walk *walk, size_t i)
{
    struct passage *p = &walk->passages[i];
    p->dry_end = INT64_MIN;
    for (size_t k = 0; k < panels_of(&walk->efforts->items[i]); k++) {
        if (passage_has(p, k, EVENT_HUNG)) p->hung[k] = p->done[k].at[EVENT_HUNG];
        p->dry_end = walk_later(p->dry_end, passage_dry_end(walk, i, k));
    }
}

/* ---- laminating, trimming ---- */

/* The part of a surface's work that is left; panels count alike. */
static int64_t share_of(int64_t seconds, const struct leg *leg)
{
    int64_t all = (int64_t)(leg->done_count + leg->todo_count), left = (int64_t)leg->todo_count;
    return all ? (seconds * left + all - 1) / all : 0;
}

static void do_leg(const struct schedule_walk *walk, struct leg *leg, int64_t from, int64_t seconds)
{
    if (leg->todo_count)
        leg->todo = calendar_work(&walk->calendar, walk_later(from, walk->floor), share_of(seconds, leg));
}

static void finish_passage(struct schedule_walk *walk, size_t i)
{
    const struct effort *effort = &walk->efforts->items[i];
    const struct film *laminate = effort->surface->surface->condition->laminate;
    struct passage *p = &walk->passages[i];
    int64_t trim_from = p->ready = p->dry_end;
    if (laminate && !effort->comes_laminated) {
        int64_t free = p->dry_end;
        for (size_t k = 0; k < i && !(walk->ease.enough & SHARED_LAMINATOR); k++)
            if (walk->efforts->items[k].laminate_s)
                free = walk_later(free, leg_end(&walk->passages[k].laminate));
        do_leg(walk, &p->laminate, free, eased_s(walk, effort, STEP_LAMINATE, effort->laminate_s));
        p->ready = after(walk_later(leg_end(&p->laminate), p->laminate.done.end),
                         eased_s(walk, effort, STEP_BOND, effort->bond_s));
        trim_from = laminate->trim_while_bonding ? leg_end(&p->laminate) : p->ready;
        assert(p->ready >= p->dry_end); /* nothing is laminated wet */
    }
    if (i && !(walk->ease.enough & SHARED_TABLE))
        trim_from = walk_later(trim_from, leg_end(&walk->passages[i - 1].trim));
    do_leg(walk, &p->trim, trim_from, eased_s(walk, effort, STEP_TRIM, effort->trim_s));
}

/* ---- at the vehicle ---- */

static int64_t walk_all_of(const struct efforts *efforts, bool prepare)
{
    int64_t sum = 0;
    for (size_t i = 0; i < efforts->count; i++)
        sum += prepare ? efforts->items[i].prepare_s : efforts->items[i].finish_s;
    return sum;
}

/* From when on the crew can install: the vehicle has arrived and is prepared. It is prepared while the panels
 * dry and rest: without a word on its arrival, it comes in time for that. */
static int64_t vehicle_ready(const struct schedule_walk *walk, int64_t seconds)
{
    int64_t from = walk_later(walk->ease.vehicle_is_here ? INT64_MIN : walk->arrives,
                              walk_later(walk->start, walk->floor));
    return seconds ? calendar_work(&walk->calendar, from, seconds).end : calendar_open(&walk->calendar, from);
}

/* Installing starts when every panel is ready and the vehicle prepared, or has started. After each surface come
 * its finishing steps. */
static void install(struct schedule_walk *walk, int64_t ready)
{
    bool begun = walk_has(walk, EVENT_INSTALLED);
    int64_t first = CALENDAR_NEVER;
    int64_t prepare = begun ? 0 : eased_s(walk, NULL, STEP_PREPARE, walk_all_of(walk->efforts, true));
    int64_t free = calendar_open(&walk->calendar, walk_later(ready, walk->floor));
    if (!begun) free = walk_later(free, vehicle_ready(walk, prepare));
    walk->finished = INT64_MIN;
    for (size_t k = 0; k < walk->efforts->count; k++) {
        size_t i = walk->sequence[k];
        const struct effort *effort = &walk->efforts->items[i];
        struct passage *p = &walk->passages[i];
        p->finish = (struct work){0, 0};
        do_leg(walk, &p->install, walk_later(free, leg_end(&p->trim)), effort->install_s);
        if (p->install.done_count && p->install.done.start < first) first = p->install.done.start;
        if (p->install.todo_count && p->install.todo.start < first) first = p->install.todo.start;
        if (p->install.todo_count) {
            p->finish = calendar_work(&walk->calendar, p->install.todo.end, effort->finish_s);
            free = effort->finish_s ? p->finish.end : p->install.todo.end;
        }
        walk->finished = walk_later(walk->finished, p->install.todo_count ? free : leg_end(&p->install));
    }
    assert(first <= walk->finished);
    walk->earliest = first;
    walk->prepare = prepare ? calendar_work_before(&walk->calendar, first, prepare) : (struct work){0, 0};
}

void walk_from(struct schedule_walk *walk, int64_t start)
{
    int64_t ready = INT64_MIN;
    walk->calendar.extra_open = walk->ease.open, walk->calendar.extra_close = walk->ease.close;
    walk->calendar.early_s = walk->ease.early_s;
    walk->start = start;
    for (size_t i = 0; i < walk->efforts->count; i++) {
        const struct effort *effort = &walk->efforts->items[i];
        struct passage *p = &walk->passages[i];
        p->print = leg_of(p, effort, EVENT_PRINTED), p->laminate = leg_of(p, effort, EVENT_LAMINATED);
        p->trim = leg_of(p, effort, EVENT_TRIMMED), p->install = leg_of(p, effort, EVENT_INSTALLED);
        (p->panel_print && !effort->supply_s ? print_cut : print_run)(walk, i, printer_free(walk, i, start));
        dry_passage(walk, i);
        finish_passage(walk, i);
        ready = walk_later(ready, p->ready);
    }
    install(walk, ready);
}
