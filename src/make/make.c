#include "make/make.h"
#include "files.h"
#include "print_frame.h"

bool make_panels(struct machine *machine, const struct make_order *order, struct arena *arena,
                 struct make_result *result, struct error *error)
{
    *result = (struct make_result){0};
    if (!order->surface->panel_count || !order->work->art->count) return true;
    bool pdf = order->plan->input->job->format == FORMAT_PDF;
    return (pdf ? make_pdf : make_tiff)(machine, order, arena, result, error);
}

struct rect make_on_print(const struct surface_plan *surface, const struct panel *panel, double feed_percent,
                          struct rect on_surface)
{
    struct print_frame frame = print_frame_of(surface, panel, feed_percent);
    return print_frame_rect(surface->surface, &frame, on_surface);
}
