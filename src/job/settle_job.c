/* Settles what nobody wrote of the job and its surfaces; see job/settle.h. */
#include "job/settle.h"
#include "model/practice.h"
#include "settle_measure.h"
#include <string.h>

/* What the job does not say of its bought-in prints is as the shop has it. */
static void settle_supply(struct supply *supply, const struct supply *shop)
{
    if (!supply->supplier) supply->supplier = shop->supplier;
    if (!supply->address) supply->address = shop->address;
    settle_measure(&supply->lead_s, shop->lead_s);
    if (supply->price_per_m2 < 0) supply->price_per_m2 = shop->price_per_m2;
    if (supply->carriage < 0) supply->carriage = shop->carriage;
    supply->prints_only |= shop->prints_only;
}

static bool is_tall(const char *type)
{
    return type && (!strcmp(type, "box") || !strcmp(type, "bus") || !strcmp(type, "trailer"));
}

static bool says_no_bleed(const struct bleed_spec *b)
{
    return b->all_mm < 0 && b->top_mm < 0 && b->sill_mm < 0 && b->front_mm < 0 && b->rear_mm < 0 &&
           b->left_mm < 0 && b->right_mm < 0 && b->cut_short_mm <= 0;
}

/* A pane's film ends inside its edge, not beyond it like the body's. */
void settle_surface(struct surface_spec *surface, const struct job *job)
{
    settle_measure(&surface->overlap_mm, job->overlap_mm);
    settle_as(&surface->least_panel_mm, "least-panel");
    settle_as(&surface->cover.bleed_mm, "cover-bleed");
    for (size_t i = 0; i < surface->piece_count; i++) settle_as(&surface->pieces[i].bleed_mm, "piece-bleed");
    if (surface->covered_percent > 0) surface->artwork_follows = true;
    if (surface->old_film_age_y <= 0) surface->old_film_age_y = job->old_film_age_y;
    if (surface->glass && says_no_bleed(&surface->bleed))
        surface->bleed.cut_short_mm = practice_value("cut-short").value;
}

void settle_job(struct job *job)
{
    settle_keys(&job_group, job);
    settle_as(&job->overlap_mm, is_tall(job->vehicle_type) ? "overlap-box" : "overlap");
    if (job->bleed.all_mm < 0 && job->bleed.cut_short_mm <= 0)
        job->bleed.all_mm = practice_value("bleed").value;
    if (!job->cutter) job->cutter = job->shop && job->shop->cutter_count ? job->shop->cutters : &cutter_plain;
    if (job->shop) settle_supply(&job->supply, &job->shop->supply);
    for (size_t i = 0; i < job->corner_count; i++) settle_as(&job->corners[i].wrap_mm, "corner-wrap");
    for (size_t i = 0; i < job->surface_count; i++) settle_surface(&job->surfaces[i], job);
}
