/* Adds up what the job costs: film, laminate, ink, hours, waste, margin, in whole minor units. Called by
 * plan.c after the schedule; times come from workload.c and tasks.c. */
#include "cost.h"
#include "base/sentence.h"
#include "base/str.h"
#include "base/text.h"
#include "rolls.h"
#include "tasks.h"
#include <assert.h>
#include <math.h>

/* ---- exact sums ---- */

/* Amounts are counted in millionths, percents in millionths of one percent. */
enum { MILLION = 1000000, SECONDS = 3600 };
#define ALL_PERCENT (INT64_C(100) * MILLION)
#define MINOR_MOST  INT64_C(90000000000000000) /* no job costs that */
#define PER_MINOR   (INT64_C(10000))           /* millionths of the currency in a minor unit */

/* above / below, rounded half up. */
static money_minor cost_rounded(__int128 above, __int128 below)
{
    assert(above >= 0 && below > 0);
    __int128 minor = (2 * above + below) / (2 * below);
    return minor > MINOR_MOST ? MINOR_MOST : (money_minor)minor;
}

static int64_t millionths(double amount)
{
    return llround(fmin(fmax(amount, 0), 1e9) * MILLION);
}

/* A price for one of an amount, and so many percent more. */
static money_minor price_of(money_micro price, double amount, double more_percent)
{
    __int128 micro = (__int128)price_or_zero(price) * millionths(amount); /* millionths of a millionth */
    return cost_rounded(micro * (ALL_PERCENT + millionths(more_percent)),
                        (__int128)PER_MINOR * MILLION * ALL_PERCENT);
}

static money_minor price_of_time(money_micro per_hour, int64_t seconds)
{
    return cost_rounded((__int128)price_or_zero(per_hour) * seconds, (__int128)PER_MINOR * SECONDS);
}

/* cost x (1 + percent / 100) */
static money_minor cost_marked_up(money_minor cost, double percent)
{
    return cost_rounded((__int128)cost * (ALL_PERCENT + millionths(percent)), ALL_PERCENT);
}

/* cost / (1 - percent / 100), percent 0 .. COST_MARGIN_MOST */
static money_minor cost_with_margin(money_minor cost, double percent)
{
    return cost_rounded((__int128)cost * ALL_PERCENT, ALL_PERCENT - millionths(percent));
}

/* ---- the ledger ---- */

struct ledger {
    struct plan *plan;
    const struct shop *shop;
    struct arena *arena;
    size_t materials, costs, buys, missing, unpriced; /* capacities */
};

static struct material_line *add_material(struct ledger *l, struct material_line line)
{
    struct material_line *added =
        arena_append(l->arena, &l->plan->materials, &l->plan->material_count, &l->materials, sizeof line);
    *added = line;
    return added;
}

static void add_cost(struct ledger *l, const char *what, double hours, money_minor cost, bool missing)
{
    struct cost_line *line =
        arena_append(l->arena, &l->plan->costs, &l->plan->cost_count, &l->costs, sizeof *line);
    *line = (struct cost_line){what, hours, cost, missing};
    assert(cost >= 0);
    l->plan->total_cost += cost;
}

/* True and remembered when a price that counts is not written. */
static bool lacks(struct ledger *l, money_micro price, bool counts, const char *what, const char *name)
{
    if (price >= 0 || !counts) return false;
    const char *words = name ? arena_format(l->arena, "%s \"%s\"", what, name) : what;
    for (size_t i = 0; i < l->plan->missing_count; i++)
        if (string_equal(l->plan->missing[i], words)) return true;
    *(const char **)arena_append(l->arena, &l->plan->missing, &l->plan->missing_count, &l->missing,
                                 sizeof words) = words;
    return true;
}

/* ---- film and laminate ---- */

static void buy(struct ledger *l, const char *what, const struct film *film, double width_mm, size_t rolls)
{
    bool missing = film->price_per_m2 < 0;
    double area = width_mm * film->length_mm / 1e6 * (double)rolls;
    struct buy_line *line =
        arena_append(l->arena, &l->plan->buys, &l->plan->buy_count, &l->buys, sizeof *line);
    *line = (struct buy_line){what, film, width_mm, rolls, price_of(film->price_per_m2, area, 0), missing};
    l->plan->cash += line->cost;
}

/* What is spoilt needs film, too: never fewer rolls than the length with the shop's waste. */
static size_t rolls_for(const struct ledger *l, const struct film *film, double length_mm, size_t packed)
{
    double length = length_mm * (1 + l->shop->waste_percent / 100);
    size_t least = film->length_mm > 0 ? (size_t)ceil(fmin(length / film->length_mm, 1e6) - 1e-9) : 1;
    return least > packed ? least : packed;
}

/* A film or laminate of one width, all of it. */
struct webbing {
    const struct film *film;
    double width_mm, length_mm;
    double left_mm;   /* laminates: on the roll that was begun */
    double spoilt_mm; /* of the length: for pieces that are printed again */
    size_t rolls;
};

/* One material line for each film and width: by the metre used, with the shop's share of waste in its price. */
static money_minor web_line(struct ledger *l, const char *what, const struct webbing *web)
{
    const struct film *film = web->film;
    double area = web->width_mm * web->length_mm / 1e6;
    bool missing = lacks(l, film->price_per_m2, true, what, film->name);
    money_minor cost = price_of(film->price_per_m2, area, l->shop->waste_percent);
    add_material(l, (struct material_line){what, film->name, web->length_mm, "mm", web->width_mm, area, cost,
                                           missing, web->width_mm * web->spoilt_mm / 1e6});
    buy(l, what, film, web->width_mm, rolls_for(l, film, web->length_mm, web->rolls));
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

/* One that was laminated in vain was threaded by itself. */
static double spoilt_film_mm(const struct plan *plan, const struct roll *roll)
{
    double length = 0;
    for (size_t s = 0; s < plan->surface_count; s++)
        for (size_t p = 0; p < surface_print_count(&plan->surfaces[s]); p++) {
            const struct panel *panel = &plan->surfaces[s].panels[p];
            size_t laminated, count = spoilt_count(plan, panel->id, &laminated);
            bool here = plan->surfaces[s].surface->condition->film == roll->film &&
                        panel->roll_width_mm == roll->width_mm;
            double threading =
                rolls_threading_mm(plan->surfaces[s].surface->condition, plan->input->job->shop);
            if (here) length += (double)count * panel->print_length_mm + (double)laminated * threading;
        }
    return length;
}

/* ---- film and laminate, all of it ---- */

static bool roll_met_before(const struct plan *plan, size_t roll)
{
    for (size_t i = 0; i < roll; i++)
        if (plan->rolls[i].film == plan->rolls[roll].film &&
            plan->rolls[i].width_mm == plan->rolls[roll].width_mm)
            return true;
    return false;
}

static void film_lines(struct ledger *l)
{
    const struct plan *plan = l->plan;
    money_minor sum = 0;
    size_t missing = plan->missing_count;
    for (size_t i = 0; i < plan->roll_count; i++) {
        const struct roll *roll = &plan->rolls[i];
        double spoilt = spoilt_film_mm(plan, roll);
        struct webbing web = {
            .film = roll->film, .width_mm = roll->width_mm, .length_mm = spoilt, .spoilt_mm = spoilt};
        for (size_t k = i; k < plan->roll_count; k++)
            if (plan->rolls[k].film == roll->film && plan->rolls[k].width_mm == roll->width_mm)
                web.length_mm += plan->rolls[k].used_mm, web.rolls++;
        if (!roll_met_before(plan, i)) sum += web_line(l, "film", &web);
    }
    add_cost(l, "film", 0, sum, plan->missing_count > missing);
}

/* The narrowest roll of laminate that covers the film's roll, else the widest there is. */
static double laminate_width(const struct film *laminate, double film_mm)
{
    for (size_t i = 0; i < laminate->width_count; i++)
        if (laminate->widths_mm[i] >= film_mm - 1e-6) return laminate->widths_mm[i];
    return laminate->width_count ? laminate->widths_mm[laminate->width_count - 1] : film_mm;
}

/* A laminate as runs take it from rolls: threading, then prints, none over a roll's end. */
static void take_web(struct webbing *w, double length_mm, double threading_mm)
{
    double need = length_mm + threading_mm;
    if (need > w->left_mm) w->rolls++, w->left_mm = w->film->length_mm;
    w->left_mm -= need, w->length_mm += need;
}

/* A piece that was laminated in vain is a run of its own. */
static void take_spoilt(struct ledger *l, const struct panel *panel, double threading_mm, struct webbing *w)
{
    size_t laminated;
    spoilt_count(l->plan, panel->id, &laminated);
    w->spoilt_mm += (double)laminated * (panel->print_length_mm + threading_mm);
    while (laminated--) take_web(w, panel->print_length_mm, threading_mm);
}

/* A run of the laminator for each surface and width. */
static void take_runs(struct ledger *l, const struct workload *workload, struct webbing *w)
{
    const struct surface_plan *surface = workload->surface;
    const struct condition *condition = surface->surface->condition;
    if (condition->laminate != w->film) return;
    for (size_t k = 0; k < surface_width_count(surface); k++) {
        double width = surface_width_mm(surface, k), lost = rolls_threading_mm(condition, l->shop),
               threading = lost;
        if (laminate_width(w->film, width) != w->width_mm) continue;
        for (size_t i = 0; i < surface_print_count(surface); i++) {
            if (surface->panels[i].roll_width_mm != width) continue;
            for (int copy = 0; copy < surface_copies(surface->surface); copy++, threading = 0)
                take_web(w, surface->panels[i].print_length_mm, threading);
            take_spoilt(l, &surface->panels[i], lost, w);
        }
    }
}

static bool has_laminate_line(const struct plan *plan, const struct film *laminate, double width_mm)
{
    for (size_t i = 0; i < plan->buy_count; i++)
        if (plan->buys[i].film == laminate && plan->buys[i].width_mm == width_mm) return true;
    return false;
}

static void laminate_lines(struct ledger *l, const struct workloads *workloads)
{
    money_minor sum = 0;
    size_t missing = l->plan->missing_count;
    for (size_t i = 0; i < workloads->count; i++) {
        const struct surface_plan *surface = workloads->items[i].surface;
        const struct film *laminate = surface->surface->condition->laminate;
        for (size_t k = 0; laminate && k < surface_width_count(surface); k++) {
            double width = laminate_width(laminate, surface_width_mm(surface, k));
            struct webbing web = {.film = laminate, .width_mm = width};
            if (has_laminate_line(l->plan, laminate, width)) continue;
            for (size_t n = i; n < workloads->count; n++) take_runs(l, &workloads->items[n], &web);
            sum += web_line(l, "laminate", &web);
        }
    }
    add_cost(l, "laminate", 0, sum, l->plan->missing_count > missing);
}

/* ---- ink ---- */

static double ink_total(const struct plan *plan, const struct ink *ink, size_t channel)
{
    double sum = 0;
    for (size_t s = 0; s < plan->surface_count; s++) {
        const struct surface_plan *surface = &plan->surfaces[s];
        if (surface->surface->condition->ink != ink) continue;
        for (size_t p = 0; p < surface_print_count(surface); p++) {
            size_t laminated, prints = (size_t)surface_copies(surface->surface) +
                                       spoilt_count(plan, surface->panels[p].id, &laminated);
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

/* A line for each channel, by its name, in the ink's order. */
static void ink_lines(struct ledger *l)
{
    money_minor sum = 0;
    size_t missing = l->plan->missing_count;
    for (size_t s = 0; s < l->plan->surface_count; s++) {
        const struct ink *ink = l->plan->surfaces[s].surface->condition->ink;
        for (size_t c = 0; c < ink->channel_count && !ink_met_before(l->plan, s); c++) {
            double ml = ink_total(l->plan, ink, c);
            money_minor cost = price_of(ink->price_per_ml, ml, 0);
            add_material(
                l, (struct material_line){.what = arena_format(l->arena, "ink %s", ink->channels[c]),
                                          .name = ink->name,
                                          .amount = ml,
                                          .unit = "ml",
                                          .cost = cost,
                                          .missing = lacks(l, ink->price_per_ml, ml > 0, "ink", ink->name)});
            sum += cost;
        }
    }
    add_cost(l, "ink", 0, sum, l->plan->missing_count > missing);
}

/* ---- time ---- */

static void time_line(struct ledger *l, const char *what, int64_t seconds, money_micro per_hour,
                      const char *rate)
{
    assert(seconds >= 0); /* what was taken out for a line of its own had been counted in */
    add_cost(l, what, (double)seconds / SECONDS, price_of_time(per_hour, seconds),
             lacks(l, per_hour, seconds > 0, rate, NULL));
}

static int64_t tasks_of(const struct plan *plan, enum task_kind kind)
{
    int64_t sum = 0;
    for (size_t i = 0; i < plan->task_count; i++)
        if (plan->tasks[i].kind == kind) sum += plan->tasks[i].seconds;
    return sum;
}

/* What is done at the vehicle is an installer's time, a test print the printer's. */
static void task_lines(struct ledger *l)
{
    for (enum task_kind kind = 0; kind < TASK_COUNT; kind++) {
        int64_t seconds = tasks_of(l->plan, kind);
        bool print = kind == TASK_TEST_PRINT;
        if (seconds)
            time_line(l, task_kind_words(kind), seconds,
                      print ? l->shop->print_per_h : l->shop->install_per_h,
                      print ? sentence_plain("hour-of-printing") : sentence_plain("hour-of-installing"));
    }
}

/* Each was set up, printed and perhaps laminated by itself. */
static void add_spoilt_time(const struct ledger *l, const struct workload *workload, int64_t *print,
                            int64_t *laminate)
{
    const struct surface_plan *surface = workload->surface;
    const struct condition *condition = surface->surface->condition;
    double setup_s = condition->printer->setup_s.value;
    double m_per_min = l->shop->laminate_m_per_min.value;
    for (size_t p = 0; p < surface->panel_count; p++) {
        size_t laminated, count = spoilt_count(l->plan, surface->panels[p].id, &laminated);
        double run_m = (surface->panels[p].print_length_mm + rolls_threading_mm(condition, l->shop)) / 1000;
        int64_t once = workload->printing_s[p] / surface_copies(surface->surface);
        *print += (int64_t)count * (llround(setup_s) + once);
        *laminate +=
            (int64_t)laminated * llround(workload_laminator_setup_s() + run_m / fmax(m_per_min, 1e-3) * 60);
    }
}

/* Keeps with the surface what its work takes; a test print is a line of its own. */
static const struct surface_work *note_work(struct plan *plan, const struct workload *workload)
{
    struct surface_plan *surface = &plan->surfaces[workload->index];
    int64_t test_s = tasks_seconds(plan, surface->surface, TASK_TEST_PRINT);
    surface->work = (struct surface_work){workload_printing_s(workload) - test_s, workload->laminate_s,
                                          workload->trim_s, workload->install_person_s};
    return &surface->work;
}

static void time_lines(struct ledger *l, const struct workloads *workloads)
{
    int64_t print = 0, laminate = 0, trim = 0, install = 0;
    for (size_t i = 0; i < workloads->count; i++) {
        const struct surface_work *work = note_work(l->plan, &workloads->items[i]);
        print += work->print_s;
        laminate += work->laminate_s;
        trim += work->trim_s;
        install += work->install_s;
        add_spoilt_time(l, &workloads->items[i], &print, &laminate);
    }
    bool bought = job_buys_prints(l->plan->input->job),
         comes = workloads->count && workloads->items[0].comes_laminated;
    if (!bought) time_line(l, "printing", print, l->shop->print_per_h, sentence_plain("hour-of-printing"));
    if (!comes)
        time_line(l, "laminating", laminate, l->shop->laminate_per_h, sentence_plain("hour-of-laminating"));
    time_line(l, "trimming", trim, l->shop->laminate_per_h, sentence_plain("hour-of-laminating"));
    time_line(l, "installing", install, l->shop->install_per_h, sentence_plain("hour-of-installing"));
    task_lines(l);
    int64_t design = llround(l->plan->input->job->design_s);
    if (design > 0) time_line(l, "design", design, l->shop->design_per_h, sentence_plain("hour-of-design"));
}

/* ---- what people must know of the sum ---- */

static const char *minor_words(struct ledger *l, money_minor sum)
{
    return arena_format(l->arena, "%lld.%02lld %s", (long long)(sum / 100), (long long)(sum % 100),
                        l->shop->currency);
}

static void say_missing(struct ledger *l)
{
    struct text words = text_new(l->arena);
    for (size_t i = 0; i < l->plan->missing_count; i++)
        text_addf(&words, "%s%s", i ? ", " : "", l->plan->missing[i]);
    if (words.length)
        finding_add(&l->plan->findings, "price-missing", "shop", "price-missing",
                    ARGUMENTS(arg_words("words", text_string(&words))));
}

static void name_unpriced(struct ledger *l)
{
    struct plan *plan = l->plan;
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface_plan *s = &plan->surfaces[i];
        if (s->panel_count || s->pieces_alone) continue;
        const char *words = arena_format(l->arena, "%s (%s)", s->surface->name,
                                         s->no_artwork ? "no artwork" : "cannot be planned");
        *(const char **)arena_append(l->arena, &plan->unpriced, &plan->unpriced_count, &l->unpriced,
                                     sizeof words) = words;
    }
}

static void say_margin(struct ledger *l)
{
    double percent = l->shop->margin_percent;
    if (percent <= 0 || l->shop->money == 2) return;
    const char *other =
        percent > COST_MARGIN_MOST
            ? sentence_plain("as-margin-it-would-be-out")
            : sentence_words(l->arena, "as-margin-cost-1-margin-it",
                             ARGUMENTS(arg_words(
                                 "minor", minor_words(l, cost_with_margin(l->plan->total_cost, percent)))));
    finding_add(&l->plan->findings, "margin-meaning", "shop", "margin-meaning",
                ARGUMENTS(arg_number("percent", percent),
                          arg_words("cost", minor_words(l, l->plan->total_cost)),
                          arg_words("price", minor_words(l, l->plan->price)), arg_words("other", other)));
}

static void say_design(struct ledger *l, const struct workloads *workloads)
{
    const struct job *job = l->plan->input->job;
    if (l->shop->design_per_h > 0 && job->design_s < 0 && workloads->count)
        finding_add(
            &l->plan->findings, "design-unsaid", "job", "design-unsaid",
            ARGUMENTS(arg_words("minor", minor_words(l, cost_rounded(l->shop->design_per_h, PER_MINOR)))));
}

/* Prints as they come, and their delivery: for film, laminate, ink and the printer's time. */
static void supply_lines(struct ledger *l, const struct workloads *workloads)
{
    struct supply supply = l->plan->input->job->supply;
    double area = 0;
    for (size_t i = 0; i < workloads->count; i++)
        for (size_t k = 0; k < surface_print_count(workloads->items[i].surface); k++) {
            size_t laminated;
            const struct panel *panel = &workloads->items[i].surface->panels[k];
            size_t prints = (size_t)surface_copies(workloads->items[i].surface->surface);
            area += panel->area_m2 * (double)(prints + spoilt_count(l->plan, panel->id, &laminated));
        }
    bool missing = lacks(l, supply.price_per_m2, area > 0, sentence_plain("m2-of-bought-in-prints"), NULL);
    money_minor cost = price_of(supply.price_per_m2, area, l->shop->waste_percent);
    add_material(l, (struct material_line){.what = "prints",
                                           .name = supply.supplier ? supply.supplier : "bought in",
                                           .amount = area,
                                           .unit = "m2",
                                           .area_m2 = area,
                                           .cost = cost,
                                           .missing = missing});
    add_cost(l, "bought-in prints", 0, cost, missing);
    if (supply.carriage > 0) add_cost(l, "delivery of prints", 0, price_of(supply.carriage, 1, 0), false);
}

void cost_make(struct plan *plan, const struct workloads *workloads, struct arena *arena)
{
    struct ledger ledger = {.plan = plan, .shop = plan->input->job->shop, .arena = arena};
    const struct shop *shop = ledger.shop;
    bool bought = job_buys_prints(plan->input->job);
    if (bought)
        supply_lines(&ledger, workloads);
    else
        film_lines(&ledger);
    if (!bought || plan->input->job->supply.prints_only) laminate_lines(&ledger, workloads);
    if (!bought) ink_lines(&ledger);
    time_lines(&ledger, workloads);
    plan->price = shop->money == 2 && shop->margin_percent > 0
                      ? cost_with_margin(plan->total_cost, shop->margin_percent)
                      : cost_marked_up(plan->total_cost, shop->margin_percent + shop->mark_up_percent);
    say_missing(&ledger);
    name_unpriced(&ledger);
    say_margin(&ledger);
    say_design(&ledger, workloads);
}
