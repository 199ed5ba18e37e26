/* Lays panels and inlays onto rolls, and says how long a print may be. Called by plan.c and the search for
 * seams. */
#include "rolls.h"
#include <assert.h>
#include <math.h>

/* The roll being filled for this film and width, or a new one. A surface stays on one roll when a new one
 * holds it whole: a change of batch within a side shows as a colour step. */
static struct roll *roll_for(struct plan *plan, const struct surface_plan *surface, double width_mm,
                             double length)
{
    const struct film *film = surface->surface->condition->film;
    struct roll *found = NULL;
    for (size_t i = 0; i < plan->roll_count; i++)
        if (plan->rolls[i].film == film && plan->rolls[i].width_mm == width_mm) found = &plan->rolls[i];
    if (found && (film->length_mm <= 0 || found->used_mm + length <= film->length_mm)) return found;
    struct roll *roll = &plan->rolls[plan->roll_count++];
    *roll = (struct roll){.film = film, .width_mm = width_mm};
    return roll;
}

static void rolls_place(struct roll *roll, const struct surface_plan *surface, size_t surface_index,
                        size_t panel)
{
    const struct panel *one = &surface->panels[panel];
    double edge = surface->surface->condition->printer->edge_mm;
    bool lying = surface->direction == RUN_LYING;
    assert(one->inlay || /* those have a finding of their own */
           edge + (lying ? rect_height(one->print) : rect_width(one->print)) < roll->width_mm + 0.1);
    roll->placements[roll->placement_count++] = (struct placement){
        .surface = surface_index,
        .panel = panel,
        .across_mm = edge,
        .along_mm = roll->used_mm,
        .turned_deg = lying ? 90 : 0,
    };
    roll->used_mm += one->print_length_mm;
}

size_t panel_in_sequence(const struct surface_plan *surface, size_t turn)
{
    for (size_t i = 0; i < surface->panel_count; i++)
        if (surface->panels[i].install_sequence == (int)turn) return i;
    return 0;
}

double surface_film_mm(const struct surface_plan *surface)
{
    double length = 0;
    for (size_t i = 0; i < surface_print_count(surface); i++) length += surface->panels[i].print_length_mm;
    return length * surface_copies(surface->surface);
}

static double surface_film_on_mm(const struct surface_plan *surface, double width_mm)
{
    double length = 0;
    for (size_t i = 0; i < surface_print_count(surface); i++)
        if (surface->panels[i].roll_width_mm == width_mm) length += surface->panels[i].print_length_mm;
    return length * surface_copies(surface->surface);
}

/* The narrowest width that is wider than this; 0: none. */
static double next_width(const struct surface_plan *surface, double width_mm)
{
    double next = 0;
    for (size_t i = 0; i < surface_print_count(surface); i++) {
        double one = surface->panels[i].roll_width_mm;
        if (one > width_mm && (next <= 0 || one < next)) next = one;
    }
    return next;
}

size_t surface_width_count(const struct surface_plan *surface)
{
    size_t count = 0;
    for (double width = next_width(surface, 0); width > 0; width = next_width(surface, width)) count++;
    return count;
}

double surface_width_mm(const struct surface_plan *surface, size_t i)
{
    double width = next_width(surface, 0);
    while (i--) width = next_width(surface, width);
    return width;
}

/* The panels as they are put on, then the inlays. */
static size_t print_at(const struct surface_plan *surface, size_t turn)
{
    return turn <= surface->panel_count ? panel_in_sequence(surface, turn) : turn - 1;
}

/* The surface's panels and inlays of one width, all copies of one after the other. */
static void roll_out(struct plan *plan, size_t surface_index, double width_mm, size_t panels_most,
                     struct arena *arena)
{
    const struct surface_plan *surface = &plan->surfaces[surface_index];
    const struct condition *condition = surface->surface->condition;
    double threading = rolls_threading_mm(condition, plan->input->job->shop);
    double left = surface_film_on_mm(surface, width_mm) + threading, length = condition->film->length_mm;
    struct roll *last = NULL;
    size_t copies = (size_t)surface_copies(surface->surface);
    for (size_t turn = 0; turn < surface_print_count(surface) * copies; turn++) {
        size_t panel = print_at(surface, turn / copies + 1);
        if (surface->panels[panel].roll_width_mm != width_mm) continue;
        double one = surface->panels[panel].print_length_mm;
        struct roll *roll = roll_for(plan, surface, width_mm, left <= length ? left : one + threading);
        if (!roll->placements)
            roll->placements = arena_take_array(arena, panels_most, sizeof *roll->placements);
        rolls_place(roll, surface, surface_index, panel);
        left -= one, last = roll;
    }
    assert(!last || fabs(left - threading) < 0.1); /* every print of this width has its place */
    if (last) last->used_mm += threading;
}

double rolls_threading_mm(const struct condition *condition, const struct shop *shop)
{
    return condition->laminate ? shop->threading_mm.value : 0;
}

static void hold_at_most(struct longest *longest, const struct film *film, double threading_mm,
                         const char *what)
{
    if (film && film->length_mm > 0 && film->length_mm - threading_mm < longest->mm)
        *longest = (struct longest){film->length_mm - threading_mm, what, film->name};
}

struct longest rolls_longest_mm(const struct condition *condition, const struct shop *shop)
{
    struct longest longest = {condition->printer->max_length_mm, "printer", condition->printer->name};
    double threading = rolls_threading_mm(condition, shop);
    hold_at_most(&longest, condition->film, threading, "roll of film");
    hold_at_most(&longest, condition->laminate, threading, "roll of laminate");
    return longest;
}

void rolls_make(struct plan *plan, struct arena *arena)
{
    size_t panels = 0;
    for (size_t i = 0; i < plan->surface_count; i++)
        panels += surface_print_count(&plan->surfaces[i]) * (size_t)surface_copies(plan->surfaces[i].surface);
    plan->rolls = arena_take_array(arena, panels, sizeof *plan->rolls);
    for (size_t i = 0; i < plan->surface_count; i++) {
        size_t widths = surface_width_count(&plan->surfaces[i]);
        for (size_t k = 0; k < widths; k++)
            roll_out(plan, i, surface_width_mm(&plan->surfaces[i], k), panels, arena);
    }
    assert(plan->roll_count <= panels); /* none is empty */
}
