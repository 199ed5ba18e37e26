/* The prices that seams are weighed by: the shop's, else common practice. Called by seam_cost.c, handling.c
 * and the inlays. */
#include "weights.h"
#include "model/practice.h"

struct weights weights_of(const struct shop *shop)
{
    const struct seam_weights *s = &shop->seams;
    return (struct weights){
        .panel_minutes = s->panel_min.value,
        .lap_minutes = s->lap_min_per_m.value,
        .gap_minutes = s->gap_min_per_m.value,
        .detail = s->detail_per_m.value,
        .lap = s->lap_per_m.value,
        .shaped = s->shaped_per_m.value,
        .shaped_reach_mm = s->shaped_reach_mm.value,
        .across_ribs = s->across_ribs_per_m.value,
        .sliver = s->sliver_per_m.value,
        .sliver_mm = s->gap_sliver_mm.value,
        .sliver_length_mm = practice_value("sliver-length").value,
        .gap_slant_mm = practice_value("gap-slant").value,
        .gap_rest_mm = practice_value("gap-rest").value,
        .lettering = s->lettering_per_m.value,
        .out_of_line = s->out_of_line.value,
    };
}
