#include "make/make.h"
#include "files.h"

bool make_panels(struct machine *machine, const struct make_order *order, struct arena *arena,
                 struct make_result *result, struct error *error)
{
    *result = (struct make_result){0};
    if (!order->surface->panel_count || !order->work->art->count) return true;
    bool pdf = order->plan->input->job->format == FORMAT_PDF;
    return (pdf ? make_pdf : make_tiff)(machine, order, arena, result, error);
}
