/* What differs from vehicle to vehicle: which prints a field's words touch, and the file of each vehicle's. Called after
 * planning; the files are made one vehicle after the other. */
#include "fleet.h"
#include "base/arena.h"
#include "make/make.h"
#include "model/fleet.h"
#include "steps.h"

static bool fleet_print_varies(const struct run_surface *s, struct rect print)
{
    const struct surface_spec *spec = s->surface->spec;
    for (size_t i = 0; i < spec->text_count; i++)
        if (fleet_words_differ(spec->texts[i].words) && rect_overlaps(s->texts->boxes[i], print)) return true;
    return false;
}

void fleet_mark(const struct run *run, struct plan *plan)
{
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct run_surface *s = &run->surfaces[i];
        struct surface_plan *surface = &plan->surfaces[i];
        bool several = run->job->fleet && s->texts && s->texts->vehicle_count > 1;
        int each = s->surface->copies > 1 ? s->surface->copies : 1;
        for (size_t k = 0; k < surface_print_count(surface); k++) {
            struct panel *panel = &surface->panels[k];
            panel->varies = several && fleet_print_varies(s, panel->print);
            panel->copies = panel->varies ? each : each * run->job->vehicles;
        }
    }
}

bool fleet_varies(const struct surface_plan *surface)
{
    for (size_t k = 0; k < surface_print_count(surface); k++)
        if (surface->panels[k].varies) return true;
    return false;
}

static void vehicle_add_prints(const struct run *run, const struct plan *plan, size_t vehicle,
                               struct plan_vehicle *out, struct arena *arena)
{
    size_t capacity = 0;
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface_plan *surface = &plan->surfaces[i];
        for (size_t k = 0; k < surface_print_count(surface); k++) {
            if (!surface->panels[k].varies) continue;
            const struct fleet_row *first = &run->job->fleet->rows[run->surfaces[i].texts->like[vehicle]];
            struct vehicle_print *print =
                arena_append(arena, &out->prints, &out->print_count, &capacity, sizeof *print);
            *print = (struct vehicle_print){
                i, k, make_vehicle_file(surface, &surface->panels[k], run->job, first->id, arena)};
        }
    }
}

void fleet_name(const struct run *run, struct plan *plan, struct arena *arena)
{
    const struct fleet *fleet = run->job->fleet;
    if (!fleet) return;
    plan->vehicle_count = fleet->row_count;
    plan->vehicles = arena_take_array(arena, fleet->row_count, sizeof *plan->vehicles);
    for (size_t v = 0; v < fleet->row_count; v++) {
        plan->vehicles[v].row = &fleet->rows[v];
        vehicle_add_prints(run, plan, v, &plan->vehicles[v], arena);
    }
}

bool fleet_make_vehicle(struct run *run, struct fleet_making *making, size_t vehicle,
                        struct make_result *result, struct error *error)
{
    struct run_surface *s = making->surface;
    struct surface_art art;
    if (!texts_for_vehicle(run, s, vehicle, &art, error)) return false;
    struct art_work work = *making->order->work;
    struct make_order order = *making->order;
    work.art = &art, order.work = &work;
    order.vehicle = &run->job->fleet->rows[vehicle];
    bool ok = make_panels(run->machine, &order, run->arena, result, error);
    texts_drop_vehicle(run, s, &art);
    return ok;
}
