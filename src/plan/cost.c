#include "cost.h"
#include "base/str.h"
#include "model/practice.h"
#include "rolls.h"
#include <math.h>

/* price (millionths of the currency for one) x amount (millionths of one), in minor units, rounded half up.
 * Above 9e16 minor units the sum stays there: no job costs that. */
static money_minor price_of(money_micro price, int64_t amount_millionths)
{
    const int64_t most = INT64_C(90000000000000000);
    __int128 product = (__int128)price * amount_millionths; /* 1e-12 of the currency */
    __int128 minor = (product + 5000000000) / 10000000000;
    return minor > most ? most : (money_minor)minor;
}

static int64_t millionths(double amount)
{
    return llround(fmin(fmax(amount, 0), 1e12) * 1e6);
}

static money_minor with_percent(money_minor sum, double percent)
{
    return (money_minor)llround((double)sum * (1 + percent / 100));
}

struct ledger {
    struct plan *plan;
    const struct shop *shop;
    struct arena *arena;
    size_t materials, costs; /* capacities */
};

static void add_material(struct ledger *l, struct material_line line)
{
    *(struct material_line *)arena_append(l->arena, &l->plan->materials, &l->plan->material_count,
                                          &l->materials, sizeof line) = line;
}

static void add_cost(struct ledger *l, const char *what, double hours, money_minor cost)
{
    struct cost_line *line =
        arena_append(l->arena, &l->plan->costs, &l->plan->cost_count, &l->costs, sizeof *line);
    *line = (struct cost_line){what, hours, cost};
    l->plan->total_cost += cost;
}

static struct material_line *web_line(struct ledger *l, const char *what, const struct film *film,
                                      double width_mm)
{
    for (size_t i = 0; i < l->plan->material_count; i++) {
        struct material_line *line = &l->plan->materials[i];
        if (string_equal(line->what, what) && string_equal(line->name, film->name) &&
            line->width_mm == width_mm)
            return line;
    }
    add_material(
        l, (struct material_line){.what = what, .name = film->name, .unit = "mm", .width_mm = width_mm});
    return &l->plan->materials[l->plan->material_count - 1];
}

/* A length of film or laminate of one width, with the shop's share of waste in its price. Every roll and run
 * of the same adds to one line. */
static money_minor add_web(struct ledger *l, const char *what, const struct film *film, double width_mm,
                           double length_mm)
{
    double area = width_mm * length_mm / 1e6;
    money_minor cost = with_percent(price_of(film->price_per_m2, millionths(area)), l->shop->waste_percent);
    struct material_line *line = web_line(l, what, film, width_mm);
    line->amount += length_mm, line->area_m2 += area, line->cost += cost;
    return cost;
}

/* ---- pieces that are printed again ---- */

/* How often the panel was printed in vain; *laminated: how often of that it was laminated as well. */
static size_t spoilt_count(const struct plan *plan, const char *panel, size_t *laminated)
{
    size_t count = 0;
    *laminated = 0;
    for (size_t i = 0; i < plan->input->spoilt_count; i++) {
        if (!string_equal(plan->input->spoilt[i].panel, panel)) continue;
        count++;
        *laminated += plan->input->spoilt[i].laminated;
    }
    return count;
}

static money_minor spoilt_film(struct ledger *l)
{
    money_minor sum = 0;
    for (size_t s = 0; s < l->plan->surface_count; s++)
        for (size_t p = 0; p < l->plan->surfaces[s].panel_count; p++) {
            const struct panel *panel = &l->plan->surfaces[s].panels[p];
            size_t laminated, count = spoilt_count(l->plan, panel->id, &laminated);
            if (count)
                sum += add_web(l, "film", l->plan->surfaces[s].surface->condition->film, panel->roll_width_mm,
                               (double)count * panel->print_length_mm);
        }
    return sum;
}

/* ---- lines ---- */

static void film_lines(struct ledger *l)
{
    money_minor sum = 0;
    for (size_t i = 0; i < l->plan->roll_count; i++) {
        const struct roll *roll = &l->plan->rolls[i];
        sum += add_web(l, "film", roll->film, roll->width_mm, roll->used_mm);
    }
    add_cost(l, "film", 0, sum + spoilt_film(l));
}

/* The narrowest roll of laminate that covers the film's roll, else the widest there is. */
static double laminate_width(const struct film *laminate, double film_mm)
{
    for (size_t i = 0; i < laminate->width_count; i++)
        if (laminate->widths_mm[i] >= film_mm - 1e-6) return laminate->widths_mm[i];
    return laminate->width_count ? laminate->widths_mm[laminate->width_count - 1] : film_mm;
}

/* A piece that was laminated in vain is a run of its own. */
static money_minor spoilt_laminate(struct ledger *l, const struct surface_plan *surface, double threading_mm)
{
    const struct film *laminate = surface->surface->condition->laminate;
    money_minor sum = 0;
    for (size_t p = 0; p < surface->panel_count; p++) {
        const struct panel *panel = &surface->panels[p];
        size_t laminated;
        spoilt_count(l->plan, panel->id, &laminated);
        if (laminated)
            sum += add_web(l, "laminate", laminate, laminate_width(laminate, panel->roll_width_mm),
                           (double)laminated * (panel->print_length_mm + threading_mm));
    }
    return sum;
}

/* A run of the laminator for each surface and width: its prints and what threading takes. */
static void laminate_lines(struct ledger *l, const struct efforts *efforts)
{
    double threading = measure_or(l->shop->threading_mm, practice_value("threading")).value;
    money_minor sum = 0;
    for (size_t i = 0; i < efforts->count; i++) {
        const struct surface_plan *surface = efforts->items[i].surface;
        const struct film *laminate = surface->surface->condition->laminate;
        for (size_t k = 0; laminate && k < surface_width_count(surface); k++) {
            double width = surface_width_mm(surface, k);
            sum += add_web(l, "laminate", laminate, laminate_width(laminate, width),
                           surface_film_on_mm(surface, width) + threading);
        }
        if (laminate) sum += spoilt_laminate(l, surface, threading);
    }
    add_cost(l, "laminate", 0, sum);
}

static double ink_total(const struct plan *plan, const struct ink *ink, size_t channel)
{
    double sum = 0;
    for (size_t s = 0; s < plan->surface_count; s++) {
        const struct surface_plan *surface = &plan->surfaces[s];
        if (surface->surface->condition->ink != ink) continue;
        for (size_t p = 0; p < surface->panel_count; p++) {
            size_t laminated, prints = 1 + spoilt_count(plan, surface->panels[p].id, &laminated);
            sum += (double)prints * surface->panels[p].ink_ml[channel];
        }
    }
    return sum;
}

static bool ink_met_before(const struct plan *plan, size_t surface)
{
    for (size_t i = 0; i < surface; i++)
        if (plan->surfaces[i].surface->condition->ink == plan->surfaces[surface].surface->condition->ink)
            return true;
    return false;
}

static void ink_lines(struct ledger *l)
{
    static const char *const what[INK_CHANNELS] = {"ink C", "ink M", "ink Y", "ink K"};
    money_minor sum = 0;
    for (size_t s = 0; s < l->plan->surface_count; s++) {
        const struct ink *ink = l->plan->surfaces[s].surface->condition->ink;
        for (size_t c = 0; c < INK_CHANNELS && !ink_met_before(l->plan, s); c++) {
            double ml = ink_total(l->plan, ink, c);
            money_minor cost = price_of(ink->price_per_ml, millionths(ml));
            add_material(l,
                         (struct material_line){
                             .what = what[c], .name = ink->name, .amount = ml, .unit = "ml", .cost = cost});
            sum += cost;
        }
    }
    add_cost(l, "ink", 0, sum);
}

static void time_line(struct ledger *l, const char *what, int64_t seconds, money_micro per_hour)
{
    double hours = (double)seconds / 3600;
    add_cost(l, what, hours, price_of(per_hour, millionths(hours)));
}

/* Each was set up, printed and perhaps laminated by itself. */
static void add_spoilt_time(const struct ledger *l, const struct effort *effort, int64_t *print,
                            int64_t *laminate)
{
    const struct surface_plan *surface = effort->surface;
    double setup_s = effort_printer_setup_s(surface->surface->condition->printer);
    double m_per_min = measure_or(l->shop->laminate_m_per_min, practice_value("laminator-speed")).value;
    double threading = measure_or(l->shop->threading_mm, practice_value("threading")).value;
    for (size_t p = 0; p < surface->panel_count; p++) {
        size_t laminated, count = spoilt_count(l->plan, surface->panels[p].id, &laminated);
        double run_m = (surface->panels[p].print_length_mm + threading) / 1000;
        *print += (int64_t)count * (llround(setup_s) + effort->print_s[p]);
        *laminate +=
            (int64_t)laminated * llround(effort_laminator_setup_s() + run_m / fmax(m_per_min, 1e-3) * 60);
    }
}

static void time_lines(struct ledger *l, const struct efforts *efforts)
{
    int64_t print = 0, laminate = 0, trim = 0, install = 0;
    for (size_t i = 0; i < efforts->count; i++) {
        print += effort_print_s(&efforts->items[i]);
        laminate += efforts->items[i].laminate_s;
        trim += efforts->items[i].trim_s;
        install += efforts->items[i].install_s;
        add_spoilt_time(l, &efforts->items[i], &print, &laminate);
    }
    time_line(l, "printing", print, l->shop->print_per_h);
    time_line(l, "laminating", laminate, l->shop->laminate_per_h);
    time_line(l, "trimming", trim, l->shop->laminate_per_h);
    time_line(l, "installing", install, l->shop->install_per_h);
}

void cost_make(struct plan *plan, const struct efforts *efforts, struct arena *arena)
{
    struct ledger ledger = {.plan = plan, .shop = plan->input->job->shop, .arena = arena};
    film_lines(&ledger);
    laminate_lines(&ledger, efforts);
    ink_lines(&ledger);
    time_lines(&ledger, efforts);
    plan->price = with_percent(plan->total_cost, ledger.shop->margin_percent);
}
