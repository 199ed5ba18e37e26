/* Settles what nobody wrote of the things in stock; see job/settle.h. */
#include "job/settle.h"
#include "model/practice.h"
#include "settle_measure.h"
#include "stock.h"

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
    settle_measure(&ink->dry_least_s,
                   ink->unknown ? most : practice_seconds(eco ? "dry-eco-solvent" : "dry-least"));
    settle_measure(&ink->dry_most_s,
                   solvent && most.value > ink->dry_least_s.value ? most : ink->dry_least_s);
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
