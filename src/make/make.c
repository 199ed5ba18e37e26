/* Makes a surface's panel files, each form by its writer. Called by run; the work is in pdf.c and tiff.c. */
#include "make/make.h"
#include "base/arena.h"
#include "cut_out.h"
#include "files.h"
#include "print_frame.h"

static panel_writer *const writers[PANEL_FORMS] = {
    [PANEL_PDF] = make_pdf,
    [PANEL_TIFF] = make_tiff,
    [PANEL_PDF_TENTH] = make_pdf,
};

static bool is_any_wanted(const struct make_order *order)
{
    for (size_t i = 0; i < surface_print_count(order->surface); i++)
        if (file_wanted(order, &order->surface->panels[i])) return true;
    return false;
}

bool make_panels(struct machine *machine, const struct make_order *order, struct arena *arena,
                 struct make_result *result, struct error *error)
{
    size_t count = surface_print_count(order->surface);
    *result = (struct make_result){.paths = arena_take_array(arena, count, sizeof *result->paths),
                                   .inks = arena_take_array(arena, count, sizeof *result->inks)};
    if (!order->surface->panel_count || !order->work->art->count) return true;
    struct make_order part = *order;
    for (part.form = 0; part.form < PANEL_FORMS; part.form++)
        if (is_any_wanted(&part) && !writers[part.form](machine, &part, arena, result, error)) return false;
    return cut_out_write(machine, order, arena, result, error);
}

struct rect make_on_print(const struct surface_plan *surface, const struct panel *panel, double feed_percent,
                          struct rect on_surface)
{
    struct print_frame frame = print_frame_of(surface, panel, feed_percent);
    return print_frame_rect(surface->surface, &frame, on_surface);
}
