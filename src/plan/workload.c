/* How long each step of a surface takes. */
#include "schedule.h"
#include "handling.h"
#include "model/difficulty.h"
#include "model/practice.h"
#include "plan/clock.h"
#include "rolls.h"
#include "tasks.h"
#include "base/text.h"
#include <math.h>

static int64_t seconds_of(double seconds)
{
    return (int64_t)ceil(fmin(seconds, 1e9) - 1e-6);
}

double workload_laminator_setup_s(void)
{
    return practice_seconds("setup").value;
}

static void set_drying(struct workload *workload)
{
    for (size_t i = 0; i < surface_print_count(workload->surface); i++) {
        double dry = workload->surface->panels[i].dry_s;
        if (dry < 0) {
            workload->dry_s = -1;
            return;
        }
        if (seconds_of(dry) > workload->dry_s) workload->dry_s = seconds_of(dry), workload->slowest = i;
    }
}

static void set_laminating(struct workload *workload, const struct shop *shop)
{
    const struct condition *condition = workload->surface->surface->condition;
    if (!condition->laminate) return;
    double threading = rolls_threading_mm(condition, shop);
    double speed = shop->laminate_m_per_min.value;
    double runs = (double)surface_width_count(workload->surface); /* a run for each width */
    double length_m = (surface_film_mm(workload->surface) + runs * threading) / 1000;
    workload->laminate_s =
        seconds_of(runs * workload_laminator_setup_s() + length_m / fmax(speed, 1e-3) * 60);
    workload->bond_s = seconds_of(condition->laminate->bond_s.value);
}

/* ---- installing ---- */

int workload_crew(const struct job *job)
{
    return job->crew > 0 ? job->crew : job->shop->crew > 0 ? job->shop->crew : 1;
}

bool workload_takes_two(const struct job *job, const struct panel *panel)
{
    double length = fmax(rect_width(panel->visible), rect_height(panel->visible));
    return length > job->shop->two_person_mm.value;
}

/* The share of a surface's film on panels that take two people. */
static double share_for_two(const struct job *job, const struct surface_plan *surface)
{
    double all = 0, two = 0;
    for (size_t i = 0; i < surface->panel_count; i++) {
        double area = rect_area(surface->panels[i].visible);
        all += area;
        if (workload_takes_two(job, &surface->panels[i])) two += area;
    }
    return all > 0 ? two / all : 0;
}

/* The surface's area at the shop's speed and its difficulty; panels and seams take what they take.
 * One person's hours are shared by the crew. At a long panel two work at the pace of one, and no more pairs work
 * than there are; a crew of one gets a second hand there. */
static void set_installing(struct workload *workload, const struct job *job)
{
    const struct surface *surface = workload->surface->surface;
    double speed = job->shop->install_m2_per_h.value;
    int copies = surface_copies(surface);
    double alone =
        copies * surface->area_m2 / fmax(speed, 1e-3) * 3600 * difficulty_of(surface).percent / 100;
    double by_two = alone * share_for_two(job, workload->surface);
    alone += copies * handling_minutes(workload->surface, job->shop) * 60;
    double persons = alone + by_two;
    int crew = workload_crew(job);
    workload->install_person_s = seconds_of(persons);
    workload->install_s = seconds_of(crew == 1 ? alone : fmax(persons / crew, by_two / floor(crew / 2.0)));
}

static int64_t shared(int64_t seconds, int crew)
{
    return (seconds + crew - 1) / crew;
}

/* What is done before or after installing, in words: "washing and degreasing 10.3 m2, ...". */
static struct reason task_list(const struct plan *plan, const struct surface *surface, bool before,
                               struct arena *arena)
{
    struct text words = text_new(arena);
    for (size_t i = 0; i < plan->task_count; i++) {
        const struct task *task = &plan->tasks[i];
        if (task->surface != surface || !(before ? task_prepares : task_finishes)(task->kind)) continue;
        text_addf(&words, "%s%s: %.4g %s at %g min (%s)", words.length ? "; " : "",
                  task_kind_words(task->kind), task->quantity, task_kind_unit(task->kind),
                  task->minutes.value, task->minutes.source);
    }
    return reason_say(arena, "step-tasks", ARGUMENTS(arg_words("tasks", text_string(&words))));
}

static void set_tasks(struct workload *workload, const struct plan *plan, struct arena *arena)
{
    const struct surface *surface = workload->surface->surface;
    int crew = workload_crew(plan->input->job);
    int64_t before = 0, after = 0;
    for (enum task_kind kind = 0; kind < TASK_COUNT; kind++) {
        int64_t seconds = tasks_seconds(plan, surface, kind);
        if (task_prepares(kind)) before += seconds;
        if (task_finishes(kind)) after += seconds;
    }
    workload->setup_s += tasks_seconds(plan, surface, TASK_TEST_PRINT);
    workload->prepare_s = shared(before, crew), workload->finish_s = shared(after, crew);
    workload->prepare_why = task_list(plan, surface, true, arena);
    workload->finish_why = task_list(plan, surface, false, arena);
    workload->crew_words = crew == 1
                               ? "by one person"
                               : sentence_words(arena, "by-crew-of-crew", ARGUMENTS(arg_count("crew", crew)));
}

static double printed_m2(const struct surface_plan *surface, size_t from, size_t count)
{
    double area = 0;
    for (size_t i = 0; i < count; i++) area += surface->panels[from + i].area_m2;
    return area;
}

/* Inlays are printed after the last panel. */
static void set_printing(struct workload *workload, double m2_per_h, struct arena *arena)
{
    const struct surface_plan *surface = workload->surface;
    size_t count = surface->panel_count, last = panel_in_sequence(surface, count);
    int copies = surface_copies(surface->surface);
    double inlays = printed_m2(surface, count, surface->inlay_count);
    workload->printing_s = arena_take_array(arena, count, sizeof *workload->printing_s);
    for (size_t i = 0; i < count; i++)
        workload->printing_s[i] =
            seconds_of(copies * (surface->panels[i].area_m2 + (i == last ? inlays : 0)) / m2_per_h * 3600);
}

/* Along the lines that a cutter cuts, and what is weeded beside them: all that is printed. */
static double cutting_s(const struct surface *surface, const struct cutter *cutter, double printed_m2)
{
    if (!surface->contour_cut) return 0;
    return region_length(&surface->cut) / cutter_speed(cutter).value +
           60 * printed_m2 * practice_value("weeding-minutes").value;
}

static struct workload workload_of(const struct plan *plan, const struct surface_plan *surface,
                                   struct arena *arena)
{
    const struct job *job = plan->input->job;
    const struct printer *printer = surface->surface->condition->printer;
    struct workload workload = {.surface = surface};
    double printed = printed_m2(surface, 0, surface_print_count(surface));
    workload.setup_s = seconds_of((double)surface_width_count(surface) * printer->setup_s.value);
    set_printing(&workload, printer->speed_m2_per_h.value, arena);
    if (job_buys_prints(job)) {
        workload.supply_s = seconds_of(job->supply.lead_s.value);
        workload.comes_laminated = !job->supply.prints_only;
    }
    workload.trim_s =
        seconds_of(surface_copies(surface->surface) * (printed / practice_value("trim-speed").value * 3600 +
                                                       cutting_s(surface->surface, job->cutter, printed)));
    set_drying(&workload);
    set_laminating(&workload, job->shop);
    set_installing(&workload, job);
    set_tasks(&workload, plan, arena);
    return workload;
}

int64_t workload_printing_s(const struct workload *workload)
{
    int64_t sum = workload->setup_s;
    for (size_t i = 0; i < workload->surface->panel_count; i++) sum += workload->printing_s[i];
    return sum;
}

struct workloads workloads_of(const struct plan *plan, struct arena *arena)
{
    struct workloads workloads = {arena_take_array(arena, plan->surface_count, sizeof *workloads.items), 0};
    for (size_t i = 0; i < plan->surface_count; i++) {
        if (!plan->surfaces[i].panel_count) continue;
        struct workload *workload = &workloads.items[workloads.count++];
        *workload = workload_of(plan, &plan->surfaces[i], arena);
        workload->index = i;
    }
    return workloads;
}
