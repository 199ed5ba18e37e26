/* Adds up an installer's minutes for a surface's panels, seams and inlays. Called by workload.c. */
#include "handling.h"
#include "weights.h"

double handling_minutes(const struct surface_plan *surface, const struct shop *shop)
{
    double minutes = (double)surface->panel_count * weights_of(shop).panel_minutes;
    for (size_t i = 0; i < surface->seam_count; i++) minutes += surface->seams[i].minutes;
    return minutes + inlays_minutes(surface, shop);
}
