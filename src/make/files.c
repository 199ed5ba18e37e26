/* Names the panel files and pages, and rounds their rectangles to whole pixels for TIFF. Called by run
 * after planning and by the makers. */
#include "make/make.h"
#include "base/arena.h"
#include "base/units.h"
#include "files.h"
#include "base/path.h"
#include <math.h>

/* The panel within its surface: "2", "inlay-1". */
static const char *part_name(const struct panel *panel, struct arena *arena)
{
    return arena_format(arena, panel->inlay ? "inlay-%zu" : "%zu", panel->number);
}

const char *make_vehicle_file(const struct surface_plan *surface, const struct panel *panel,
                              const struct job *job, const char *vehicle, struct arena *arena)
{
    bool own = panel_forms[panel->form].own_file;
    const char *part = own ? arena_format(arena, "%s_%s", part_name(panel, arena), vehicle) : vehicle;
    return panel_file_name(panel->form, job->number, surface->surface->id, part, arena);
}

const char *make_vehicles_part(const struct fleet_row *const *vehicles, size_t count, struct arena *arena)
{
    return count > 1 ? arena_format(arena, "%s~%s", vehicles[0]->id, vehicles[count - 1]->id)
                     : vehicles[0]->id;
}

void make_name_files(struct surface_plan *surface, const struct job *job, struct arena *arena)
{
    const char *id = surface->surface->id;
    int pages[PANEL_FORMS][2] = {{0}}; /* alike on all vehicles; a vehicle's own */
    for (size_t i = 0; i < surface_print_count(surface); i++) {
        struct panel *panel = &surface->panels[i];
        panel->form = panel_form_of(panel, job);
        bool own = panel_forms[panel->form].own_file;
        panel->file_name =
            panel_file_name(panel->form, job->number, id, own ? part_name(panel, arena) : NULL, arena);
        panel->page = own ? 1 : ++pages[panel->form][panel->varies];
        if (panel->varies)
            panel->file_name = make_vehicle_file(surface, panel, job, job->fleet->rows[0].id, arena);
    }
}

const char *file_for(const struct make_order *order, const struct panel *panel, struct arena *arena)
{
    const struct job *job = order->plan->input->job;
    const char *vehicle = order->vehicle ? order->vehicle->id : NULL, *part = part_name(panel, arena);
    if (order->vehicle_count) vehicle = make_vehicles_part(order->vehicles, order->vehicle_count, arena);
    if (!order->only_panel)
        return path_join(arena, order->out,
                         vehicle ? make_vehicle_file(order->surface, panel, job, vehicle, arena)
                                 : panel->file_name);
    if (vehicle) part = arena_format(arena, "%s_%s", part, vehicle);
    return path_join(arena, order->out,
                     panel_file_name(panel->form, job->number, order->surface->surface->id, part, arena));
}

bool file_wanted(const struct make_order *order, const struct panel *panel)
{
    if (panel->form != order->form || panel->varies != (order->vehicle != NULL)) return false;
    return !order->only_panel || string_equal(order->only_panel, panel->id);
}

/* Outward to whole pixels, unless it is on one already. */
static double files_snapped(double at, double anchor, double pixel, bool up)
{
    const double whole = 1e-3;
    double pixels = (at - anchor) / pixel;
    return anchor + pixel * (up ? ceil(pixels - whole) : floor(pixels + whole));
}

void make_snap_files(struct surface_plan *surface, const struct pixel_grid *grid)
{
    double pixel = MM_PER_INCH / grid->ppi;
    for (size_t i = 0; i < surface_print_count(surface); i++) {
        struct rect *file = &surface->panels[i].file;
        if (!panel_forms[surface->panels[i].form].pixels) continue;
        file->x0 = files_snapped(file->x0, grid->box.x0, pixel, false);
        file->x1 = files_snapped(file->x1, grid->box.x0, pixel, true);
        file->y0 = files_snapped(file->y0, grid->box.y1, pixel, false);
        file->y1 = files_snapped(file->y1, grid->box.y1, pixel, true);
    }
}

/* Upward to whole pixels, unless it is on one already. */
static double files_whole(double length, double pixel)
{
    return pixel * ceil(length / pixel - 1e-3);
}

struct print_frame frame_of_order(const struct make_order *order, const struct panel *panel)
{
    struct print_frame frame = print_frame_of(order->surface, panel, feed_of_order(order));
    if (!panel_forms[panel->form].pixels || print_frame_is_plain(order->surface, feed_of_order(order)))
        return frame;
    double pixel = MM_PER_INCH / order->ppi;
    frame.file.x1 = frame.file.x0 + files_whole(rect_width(frame.file), pixel);
    frame.file.y1 = frame.file.y0 + files_whole(rect_height(frame.file), pixel);
    return frame;
}

double feed_of_order(const struct make_order *order)
{
    return feed_percent_of(order->plan->input->job, order->surface->surface->condition);
}
