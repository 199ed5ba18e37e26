/* The prices that seams are weighed by: the shop's, else common practice. Called by seam_cost.c, handling.c
 * and the inlays. */
#include "weights.h"
#include "model/practice.h"

static double either(struct measure written, const char *practice)
{
    return measure_or(written, practice_value(practice)).value;
}

struct weights weights_of(const struct shop *shop)
{
    const struct seam_weights *s = &shop->seams;
    return (struct weights){
        .panel_minutes = either(s->panel_min, "panel-minutes"),
        .lap_minutes = either(s->lap_min_per_m, "seam-lap-minutes"),
        .gap_minutes = either(s->gap_min_per_m, "seam-gap-minutes"),
        .detail = either(s->detail_per_m, "seam-detail"),
        .lap = either(s->lap_per_m, "seam-lap"),
        .shaped = either(s->shaped_per_m, "seam-shaped"),
        .shaped_reach_mm = either(s->shaped_reach_mm, "seam-shaped-reach"),
        .across_ribs = either(s->across_ribs_per_m, "seam-across-ribs"),
        .sliver = either(s->sliver_per_m, "seam-sliver"),
        .sliver_mm = either(s->gap_sliver_mm, "gap-sliver"),
        .sliver_length_mm = practice_value("sliver-length").value,
        .gap_slant_mm = practice_value("gap-slant").value,
        .gap_rest_mm = practice_value("gap-rest").value,
        .lettering = either(s->lettering_per_m, "seam-lettering"),
        .out_of_line = either(s->out_of_line, "seam-out-of-line"),
    };
}
