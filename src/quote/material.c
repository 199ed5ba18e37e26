/* Lines of material: film, laminate, ink, or prints that are bought in. By the plan's own figures, scaled to what is
 * covered and to the vehicles. */
#include "base/arena.h"
#include "base/str.h"
#include "inner.h"
#include <math.h>

/* What of a surface a material goes by. */
struct goods_sum {
    double covered_m2;             /* of surfaces that carry it */
    double length, covered_length; /* of its prints along the film, and of that what is covered */
    bool estimated;
};

static bool goods_are_on(const struct surface_plan *surface, const char *what, const char *name)
{
    const struct condition *c = surface->surface->condition;
    const struct film *film = string_equal(what, "laminate") ? c->laminate : c->film;
    return film && string_equal(film->name, name);
}

static struct goods_sum sum_goods(const struct draft *draft, const char *what, const char *name)
{
    struct goods_sum sum = {0};
    for (size_t i = 0; i < draft->plan->surface_count; i++) {
        const struct surface_plan *surface = &draft->plan->surfaces[i];
        double share = area_share(draft, surface);
        if (!area_counts(surface) || !goods_are_on(surface, what, name)) continue;
        sum.covered_m2 += surface->surface->area_m2 * share;
        sum.estimated |= area_is_estimated(draft, surface);
        for (size_t p = 0; p < surface_print_count(surface); p++)
            sum.length += surface->panels[p].print_length_mm,
                sum.covered_length += surface->panels[p].print_length_mm * share;
    }
    return sum;
}

static const struct film *goods_named(const struct draft *draft, const char *what, const char *name)
{
    for (size_t i = 0; i < draft->plan->surface_count; i++) {
        const struct surface_plan *surface = &draft->plan->surfaces[i];
        const struct condition *c = surface->surface->condition;
        if (area_counts(surface) && goods_are_on(surface, what, name))
            return string_equal(what, "laminate") ? c->laminate : c->film;
    }
    return NULL;
}

static bool met_before(const struct plan *plan, size_t line)
{
    for (size_t i = 0; i < line; i++)
        if (string_equal(plan->materials[i].what, plan->materials[line].what) &&
            string_equal(plan->materials[i].name, plan->materials[line].name))
            return true;
    return false;
}

/* m2 of a material on rolls of all widths, off the roll, without what is printed again. */
static double used_m2(const struct plan *plan, const struct material_line *like)
{
    double area = 0;
    for (size_t i = 0; i < plan->material_count; i++)
        if (string_equal(plan->materials[i].what, like->what) &&
            string_equal(plan->materials[i].name, like->name))
            area += plan->materials[i].area_m2 - plan->materials[i].spoilt_m2;
    return area;
}

static void add_web(struct draft *draft, const struct material_line *line, enum quote_kind kind)
{
    const struct film *film = goods_named(draft, line->what, line->name);
    struct goods_sum sum = sum_goods(draft, line->what, line->name);
    double vehicles = draft->input->vehicles, waste = draft->shop->waste_percent;
    double share = sum.length > 0 ? sum.covered_length / sum.length : 1;
    double used = used_m2(draft->plan, line) * share * (1 + waste / 100) * vehicles;
    if (!film) return;
    draft_add(
        draft,
        &(struct quote_item){
            .id = arena_format(draft->arena, "%s/%s", quote_kind_names[kind], line->name),
            .what = sentence_words(draft->arena, kind == QUOTE_LAMINATE ? "quote-laminate" : "quote-film",
                                   ARGUMENTS(arg_words("name", line->name))),
            .kind = kind,
            .charge = &draft->shop->quote.charges[kind],
            .amounts = {[UNIT_M2] = sum.covered_m2 * vehicles},
            .cost_unit = UNIT_M2,
            .cost_amount = used,
            .cost_rate = film->price_per_m2,
            .cost_key = kind == QUOTE_LAMINATE ? "laminates: price" : "films: price",
            .basis = sentence_words(draft->arena, "quote-basis-web",
                                    ARGUMENTS(arg_fixed("covered_m2", sum.covered_m2, 2),
                                              arg_fixed("used_m2", used, 2), arg_number("waste", waste),
                                              arg_words("vehicles", vehicles_words(draft)))),
            .estimated = sum.estimated,
        });
}

/* ---- ink ---- */

/* Of all channels together, until artwork is there: never more than the film takes. */
static double ink_usual_percent(const struct draft *draft, const struct condition *condition)
{
    double percent = draft->shop->quote.ink_percent.value;
    struct measure limit = condition->ink_limit_percent;
    return measure_known(limit) ? fmin(percent, limit.value) : percent;
}

static double ink_of_print(const struct draft *draft, const struct surface_plan *surface,
                           const struct panel *print)
{
    const struct condition *condition = surface->surface->condition;
    double each = ink_usual_percent(draft, condition) / INK_CHANNELS, ml = 0;
    const double usual[INK_CHANNELS] = {each, each, each, each};
    for (size_t c = 0; c < condition->ink->channel_count; c++)
        ml += area_is_estimated(draft, surface) ? print->area_m2 * ink_channel_percent(condition, c, usual) /
                                                      100 * condition->ink->ml_per_m2[c]
                                                : print->ink_ml[c];
    return ml;
}

static double ink_of_surface(const struct draft *draft, const struct surface_plan *surface)
{
    double ml = 0;
    for (size_t p = 0; p < surface_print_count(surface); p++)
        ml += ink_of_print(draft, surface, &surface->panels[p]);
    return ml * area_share(draft, surface);
}

static bool ink_before(const struct draft *draft, size_t surface)
{
    const struct ink *ink = draft->plan->surfaces[surface].surface->condition->ink;
    for (size_t i = 0; i < surface; i++)
        if (area_counts(&draft->plan->surfaces[i]) && draft->plan->surfaces[i].surface->condition->ink == ink)
            return true;
    return false;
}

static const char *ink_basis(const struct draft *draft, double covered_m2, bool estimated)
{
    if (!estimated)
        return sentence_words(
            draft->arena, "quote-basis-ink",
            ARGUMENTS(arg_fixed("covered_m2", covered_m2, 2), arg_words("vehicles", vehicles_words(draft))));
    return sentence_words(draft->arena, "quote-basis-ink-estimated",
                          ARGUMENTS(arg_number("percent", draft->shop->quote.ink_percent.value),
                                    arg_fixed("covered_m2", covered_m2, 2),
                                    arg_words("vehicles", vehicles_words(draft))));
}

static void add_ink(struct draft *draft, const struct ink *ink)
{
    double ml = 0, covered = 0, vehicles = draft->input->vehicles;
    bool estimated = false;
    for (size_t i = 0; i < draft->plan->surface_count; i++) {
        const struct surface_plan *surface = &draft->plan->surfaces[i];
        if (!area_counts(surface) || surface->surface->condition->ink != ink) continue;
        ml += ink_of_surface(draft, surface);
        covered += surface->surface->area_m2 * area_share(draft, surface);
        estimated |= area_is_estimated(draft, surface);
    }
    draft_add(draft,
              &(struct quote_item){
                  .id = arena_format(draft->arena, "ink/%s", ink->name),
                  .what = sentence_words(draft->arena, "quote-ink", ARGUMENTS(arg_words("name", ink->name))),
                  .kind = QUOTE_INK,
                  .charge = &draft->shop->quote.charges[QUOTE_INK],
                  .amounts = {[UNIT_ML] = ml * vehicles, [UNIT_M2] = covered * vehicles},
                  .cost_unit = UNIT_ML,
                  .cost_amount = ml * vehicles,
                  .cost_rate = ink->price_per_ml,
                  .cost_key = "inks: price",
                  .basis = ink_basis(draft, covered, estimated),
                  .estimated = estimated,
              });
}

/* ---- bought in ---- */

static void add_prints(struct draft *draft)
{
    const struct supply *supply = &draft->job->supply;
    double printed = 0, vehicles = draft->input->vehicles, waste = draft->shop->waste_percent;
    for (size_t i = 0; i < draft->plan->surface_count; i++) {
        const struct surface_plan *surface = &draft->plan->surfaces[i];
        for (size_t p = 0; p < surface_print_count(surface); p++)
            printed += surface->panels[p].area_m2 * area_share(draft, surface);
    }
    draft_add(draft, &(struct quote_item){
                         .id = "prints",
                         .what = sentence_plain("quote-prints"),
                         .kind = QUOTE_PRINTS,
                         .charge = &draft->shop->quote.charges[QUOTE_PRINTS],
                         .amounts = {[UNIT_M2] = areas_covered_m2(draft) * vehicles},
                         .cost_unit = UNIT_M2,
                         .cost_amount = printed * (1 + waste / 100) * vehicles,
                         .cost_rate = supply->price_per_m2,
                         .cost_key = "bought-in: price",
                         .basis = areas_words(draft),
                         .estimated = areas_are_estimated(draft),
                     });
}

/* One delivery, however many vehicles. */
static void add_delivery(struct draft *draft)
{
    static const struct charge none = {0};
    if (draft->job->supply.carriage <= 0) return;
    draft_add(draft, &(struct quote_item){
                         .id = "prints/delivery",
                         .what = sentence_plain("quote-delivery"),
                         .kind = QUOTE_PRINTS,
                         .charge = &none,
                         .cost_unit = UNIT_JOB,
                         .cost_amount = 1,
                         .cost_rate = draft->job->supply.carriage,
                         .basis = sentence_plain("quote-basis-delivery"),
                     });
}

void lines_material(struct draft *draft)
{
    const struct plan *plan = draft->plan;
    bool bought = job_buys_prints(draft->job);
    for (size_t i = 0; i < plan->material_count; i++) {
        bool laminate = string_equal(plan->materials[i].what, "laminate"),
             film = string_equal(plan->materials[i].what, "film");
        if ((laminate || film) && !met_before(plan, i))
            add_web(draft, &plan->materials[i], laminate ? QUOTE_LAMINATE : QUOTE_FILM);
    }
    for (size_t i = 0; i < plan->surface_count && !bought; i++)
        if (area_counts(&plan->surfaces[i]) && !ink_before(draft, i))
            add_ink(draft, plan->surfaces[i].surface->condition->ink);
    if (!bought) return;
    add_prints(draft);
    add_delivery(draft);
}
