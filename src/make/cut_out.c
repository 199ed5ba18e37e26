/* Writes the cut files of a surface's prints. Called by make.c after their panel files, whatever form those have. */
#include "cut_out.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/path.h"
#include "cut_files.h"
#include "files.h"

static bool cut_out_one(struct machine *machine, const struct make_order *order, const char *name,
                        const struct cut_sheet *sheet, struct arena *arena, struct error *error)
{
    const char *folder = path_join(arena, order->out, "cut");
    struct cut_file file = {name, sheet, &cut_sheet_cutter(order)->marks};
    struct text svg = text_new(arena), dxf = text_new(arena);
    cut_file_svg(&file, &svg);
    cut_file_dxf(&file, cut_sheet_cutter(order)->dxf, &dxf);
    return machine->make_folder(machine, folder, error) &&
           machine_write(machine, path_join(arena, folder, arena_format(arena, "%s.svg", name)),
                         (struct str){text_string(&svg), svg.length}, false, error) &&
           machine_write(machine, path_join(arena, folder, arena_format(arena, "%s.dxf", name)),
                         (struct str){text_string(&dxf), dxf.length}, false, error);
}

bool cut_out_write(struct machine *machine, const struct make_order *order, struct arena *arena,
                   struct make_result *result, struct error *error)
{
    const struct surface_plan *plan = order->surface;
    if (!plan->surface->contour_cut || order->patches || order->vehicle)
        return true; /* alike on all vehicles */
    for (size_t i = 0; i < plan->panel_count; i++) {
        const struct panel *panel = &plan->panels[i];
        if (order->only_panel && !string_equal(order->only_panel, panel->id)) continue;
        struct print_frame frame = frame_of_order(order, panel);
        struct cut_sheet sheet;
        const char *name = arena_format(arena, "%s_%s", order->plan->input->job->number,
                                        plan->panel_count > 1 ? panel->id : plan->surface->id);
        if (!cut_sheet_make(order, panel, &frame, arena, &sheet, error) ||
            !cut_out_one(machine, order, name, &sheet, arena, error))
            return false;
        result->cut_mm += sheet.cut_mm, result->cut_s += sheet.seconds, result->cut_lines += sheet.line_count;
    }
    return true;
}
