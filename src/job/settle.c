/* Settles what nobody wrote; see job/settle.h. */
#include "job/settle.h"
#include "model/practice.h"
#include "read.h"
#include "supply.h"
#include <string.h>

static void settle(struct measure *measure, struct measure usual)
{
    if (!measure_is_written(*measure)) *measure = usual;
}

static void settle_as(struct measure *measure, const char *practice)
{
    settle(measure, practice_value(practice));
}

/* The keys of a group whose usual value does not hang on what else is written. */
static void settle_keys(const struct group *group, void *target)
{
    for (const struct key *key = group->keys; key->name; key++) {
        if (key->form == FORM_GROUP) settle_keys(key->group, target);
        if (key->practice && key->measured)
            settle((struct measure *)(void *)((char *)target + key->at), key->form == FORM_DURATION
                                                                             ? practice_seconds(key->practice)
                                                                             : practice_value(key->practice));
    }
}

/* ---- the shop ---- */

void settle_printer(struct printer *printer)
{
    settle_keys(&printer_group, printer);
}

/* The low end of common practice; nothing where somebody wrote the limit. */
static struct measure limit_to_ask(struct measure limit, const char *practice)
{
    return measure_is_written(limit) ? (struct measure){0} : practice_value(practice);
}

void settle_film(struct film *film)
{
    static const char *const high[] = {"stretch-cast", "stretch-calendered", "stretch-perforated"};
    static const char *const low[] = {"stretch-cast-low", "stretch-calendered-low", "stretch-perforated"};
    settle_as(&film->stretch_limit_percent, high[film->kind]);
    film->stretch_ask_percent = limit_to_ask(film->stretch_limit_percent, low[film->kind]);
}

void settle_laminate(struct film *laminate)
{
    bool cast = laminate->kind == FILM_CAST;
    settle_film(laminate);
    settle_keys(&laminate_group, laminate);
    settle_as(&laminate->temperature_low_c, cast ? "roller-cast-low" : "roller-low");
    settle_as(&laminate->temperature_high_c, cast ? "roller-cast-high" : "roller-high");
    settle_as(&laminate->room_low_c, cast ? "room-cast-low" : "room-low");
    settle_as(&laminate->room_high_c, cast ? "room-cast-high" : "room-high");
}

/* What the technology usually needs. The shop's least is above a usual most. */
static void settle_drying(struct ink *ink)
{
    bool eco = ink->technology == INK_ECO_SOLVENT, solvent = eco || ink->technology == INK_SOLVENT;
    struct measure most = practice_seconds("dry-most");
    settle(&ink->dry_least_s, ink->unknown ? most : practice_seconds(eco ? "dry-eco-solvent" : "dry-least"));
    settle(&ink->dry_most_s, solvent && most.value > ink->dry_least_s.value ? most : ink->dry_least_s);
}

void settle_ink(struct ink *ink)
{
    static const char *const high[] = {"stretch-ink-solvent", "stretch-ink-solvent", "stretch-ink-latex",
                                       "stretch-ink-uv"};
    static const char *const low[] = {"stretch-ink-low", "stretch-ink-low", "stretch-ink-low",
                                      "stretch-ink-uv"};
    settle_as(&ink->stretch_limit_percent, high[ink->technology]);
    ink->stretch_ask_percent = limit_to_ask(ink->stretch_limit_percent, low[ink->technology]);
    settle_drying(ink);
}

void settle_condition(struct condition *condition)
{
    settle_keys(&condition_group, condition);
    condition->ink_ask_percent = condition->ink_limit_percent;
    settle_as(&condition->ink_ask_percent, "ink-limit-low");
    condition->dry_most_at_percent = condition->ink_limit_percent;
    if (condition->ink && measure_known(condition->ink->dry_most_at_percent))
        condition->dry_most_at_percent = condition->ink->dry_most_at_percent;
}

void settle_shop(struct shop *shop)
{
    settle_keys(&shop_group, shop);
    settle(&shop->supply.lead_s, practice_seconds("lead-time"));
}

/* ---- the job ---- */

/* What the job does not say of its bought-in prints is as the shop has it. */
static void settle_supply(struct supply *supply, const struct supply *shop)
{
    if (!supply->supplier) supply->supplier = shop->supplier;
    if (!supply->address) supply->address = shop->address;
    settle(&supply->lead_s, shop->lead_s);
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
    settle(&surface->overlap_mm, job->overlap_mm);
    settle_as(&surface->least_panel_mm, "least-panel");
    if (surface->glass && says_no_bleed(&surface->bleed))
        surface->bleed.cut_short_mm = practice_value("cut-short").value;
}

void settle_job(struct job *job)
{
    settle_keys(&job_group, job);
    settle_as(&job->overlap_mm, is_tall(job->vehicle_type) ? "overlap-box" : "overlap");
    if (job->bleed.all_mm < 0 && job->bleed.cut_short_mm <= 0)
        job->bleed.all_mm = practice_value("bleed").value;
    if (job->shop) settle_supply(&job->supply, &job->shop->supply);
    for (size_t i = 0; i < job->corner_count; i++) settle_as(&job->corners[i].wrap_mm, "corner-wrap");
    for (size_t i = 0; i < job->surface_count; i++) settle_surface(&job->surfaces[i], job);
}
