/* Gathers what is to be printed of all jobs, for each of their vehicles. Called by rolls.c. */
#include "inner.h"
#include "base/sentence.h"
#include "base/str.h"
#include <math.h>

const struct condition *print_condition(const struct plan *plan, size_t surface)
{
    return plan->surfaces[surface].surface->condition;
}

void leave_print_out(struct laying *work, const struct print_wanted *print, const char *why)
{
    struct roll_layout *layout = work->layout;
    *(struct roll_left_out *)arena_append(work->arena, &layout->left_out, &layout->left_out_count,
                                          &work->left_out, sizeof *layout->left_out) =
        (struct roll_left_out){print->plan, print->surface, print->panel, print->vehicle, why};
}

/* By the record; that knows of one vehicle. */
static bool is_printed(const struct plan *plan, const char *panel)
{
    for (size_t i = 0; i < plan->input->event_count; i++)
        if (plan->input->events[i].kind == EVENT_PRINTED && string_equal(plan->input->events[i].panel, panel))
            return true;
    return false;
}

/* Across the film the print with the marks beside it; a file of whole pixels may reach a little beyond what can be
 * printed. */
static double print_width(const struct surface_plan *surface, const struct panel *panel)
{
    const struct printer *printer = surface->surface->condition->printer;
    bool lying = surface->direction == RUN_LYING;
    double print = lying ? rect_height(panel->print) : rect_width(panel->print);
    double file = lying ? rect_height(panel->file) : rect_width(panel->file);
    double usable = fmin(panel->roll_width_mm, printer->media_width_mm) - 2 * printer->edge_mm;
    return fmax(print, fmin(file, usable));
}

/* The feed corrects the length of what lies as the plan has it: turned it would be a wrong width. */
static bool surface_may_turn(const struct plan *plan, const struct surface_plan *surface)
{
    const struct job *job = plan->input->job;
    return job->turning && feed_percent_of(job, surface->surface->condition) == 100;
}

static void gather_print(struct laying *work, struct prints_wanted *prints, struct print_wanted print)
{
    const struct surface_plan *surface = &print.plan->surfaces[print.surface];
    const struct panel *panel = &surface->panels[print.panel];
    print.wide_mm = print_width(surface, panel), print.long_mm = panel->print_length_mm;
    print.may_turn = surface_may_turn(print.plan, surface);
    if (job_buys_prints(print.plan->input->job))
        leave_print_out(work, &print, sentence_plain("left-out-bought-in"));
    else if (print.vehicle == 1 && is_printed(print.plan, panel->id))
        leave_print_out(work, &print, sentence_plain("left-out-printed"));
    else
        *(struct print_wanted *)arena_append(work->arena, &prints->items, &prints->count, &prints->capacity,
                                             sizeof print) = print;
}

static size_t panel_at_turn(const struct surface_plan *surface, size_t turn)
{
    for (size_t i = 0; i < surface->panel_count; i++)
        if (surface->panels[i].install_sequence == (int)turn) return i;
    return turn - 1;
}

/* All prints of one vehicle's surface, each copy of a piece as a group of its own. */
static void gather_surface(struct laying *work, struct prints_wanted *prints,
                           const struct print_wanted *first, size_t *group)
{
    const struct surface_plan *surface = &first->plan->surfaces[first->surface];
    for (int copy = 0; copy < surface_copies(surface->surface); copy++) {
        struct print_wanted print = *first;
        print.group = ++*group;
        for (size_t turn = 1; turn <= surface_print_count(surface); turn++) {
            print.panel = panel_at_turn(surface, turn);
            gather_print(work, prints, print);
        }
    }
}

struct prints_wanted gather_prints(struct laying *work)
{
    struct prints_wanted prints = {0};
    size_t group = 0;
    for (size_t j = 0; j < work->order->job_count; j++)
        for (size_t v = 1; v <= work->order->jobs[j].vehicles; v++)
            for (size_t s = 0; s < work->order->jobs[j].plan->surface_count; s++) {
                struct print_wanted first = {.plan = work->order->jobs[j].plan, .surface = s, .vehicle = v};
                gather_surface(work, &prints, &first, &group);
            }
    return prints;
}
