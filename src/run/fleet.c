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

/* ---- files that vehicles share ---- */

/* Artwork, its fonts and the profile are in a file once, so vehicles share files as far as PDF forms go. */
struct fleet_lot {
    const struct fleet_row *rows[ARTWORKS_MOST]; /* each the first with its words on the surface */
    size_t vehicles[ARTWORKS_MOST], count;
};

/* How many vehicles a file of the surface has at most. */
static size_t fleet_lot_most(const struct run_surface *s, const struct surface_plan *surface)
{
    for (size_t k = 0; k < surface_print_count(surface); k++)
        if (surface->panels[k].varies && panel_forms[surface->panels[k].form].own_file) return 1;
    return s->art.count < ARTWORKS_MOST ? ARTWORKS_MOST - (s->art.count - 1) : 1;
}

/* From `vehicle` on, those with words of their own. */
static struct fleet_lot fleet_lot_from(const struct run *run, const struct run_surface *s, size_t vehicle,
                                       size_t most)
{
    struct fleet_lot lot = {.count = 0};
    for (; vehicle < s->texts->vehicle_count && lot.count < most; vehicle++)
        if (s->texts->like[vehicle] == vehicle)
            lot.rows[lot.count] = &run->job->fleet->rows[vehicle], lot.vehicles[lot.count++] = vehicle;
    return lot;
}

/* ---- their names ---- */

/* The prints of all vehicles that have the lot's words. */
static void fleet_add_print(const struct run *run, struct plan *plan, const struct vehicle_print *print,
                            const struct fleet_lot *lot, struct arena *arena)
{
    const struct surface_plan *surface = &plan->surfaces[print->surface];
    size_t each = 0;
    for (size_t k = 0; k < surface_print_count(surface); k++) each += surface->panels[k].varies;
    const char *part = make_vehicles_part(lot->rows, lot->count, arena);
    const struct panel *panel = &surface->panels[print->panel];
    const char *file = make_vehicle_file(surface, panel, run->job, part, arena);
    const size_t *like = run->surfaces[print->surface].texts->like;
    for (size_t i = 0; i < lot->count; i++)
        for (size_t v = lot->vehicles[i]; v < plan->vehicle_count; v++) {
            if (like[v] != lot->vehicles[i]) continue;
            struct vehicle_print *own = &plan->vehicles[v].prints[plan->vehicles[v].print_count++];
            *own = *print;
            own->file_name = file, own->page = (int)(i * each) + panel->page;
        }
}

static void fleet_name_panel(const struct run *run, struct plan *plan, size_t surface, size_t panel,
                             struct arena *arena)
{
    const struct run_surface *s = &run->surfaces[surface];
    size_t most = fleet_lot_most(s, &plan->surfaces[surface]);
    struct vehicle_print print = {.surface = surface, .panel = panel};
    struct fleet_lot lot = fleet_lot_from(run, s, 0, most);
    while (lot.count) {
        fleet_add_print(run, plan, &print, &lot, arena);
        lot = fleet_lot_from(run, s, lot.vehicles[lot.count - 1] + 1, most);
    }
    const struct plan_vehicle *first = &plan->vehicles[0];
    plan->surfaces[surface].panels[panel].file_name = first->prints[first->print_count - 1].file_name;
}

void fleet_name(const struct run *run, struct plan *plan, struct arena *arena)
{
    const struct fleet *fleet = run->job->fleet;
    if (!fleet) return;
    plan->vehicle_count = fleet->row_count;
    plan->vehicles = arena_take_array(arena, fleet->row_count, sizeof *plan->vehicles);
    size_t own = 0;
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&plan->surfaces[i]); k++)
            own += plan->surfaces[i].panels[k].varies;
    for (size_t v = 0; v < fleet->row_count; v++) {
        plan->vehicles[v].row = &fleet->rows[v];
        plan->vehicles[v].prints = arena_take_array(arena, own, sizeof *plan->vehicles[v].prints);
    }
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&plan->surfaces[i]); k++)
            if (plan->surfaces[i].panels[k].varies) fleet_name_panel(run, plan, i, k, arena);
}

bool fleet_make_lot(struct run *run, struct fleet_making *making, size_t *vehicle, struct make_result *result,
                    struct error *error)
{
    struct run_surface *s = making->surface;
    struct surface_art art;
    struct fleet_lot lot = fleet_lot_from(run, s, *vehicle, fleet_lot_most(s, making->order->surface));
    *result = (struct make_result){0};
    *vehicle = lot.count ? lot.vehicles[lot.count - 1] + 1 : s->texts->vehicle_count;
    if (!lot.count) return true;
    if (!texts_for_vehicles(run, s, lot.vehicles, lot.count, &art, error)) return false;
    struct art_work work = *making->order->work;
    struct make_order order = *making->order;
    work.art = &art, order.work = &work;
    order.vehicle = lot.rows[0], order.vehicles = lot.rows, order.vehicle_count = lot.count;
    bool ok = make_panels(run->machine, &order, run->arena, result, error);
    texts_drop_vehicles(run, s, &art);
    return ok;
}
