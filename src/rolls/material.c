/* The material list: film and laminate against stock, ink by channel, application tape, cleaner and primer; whole
 * rolls to buy. Called by rolls.c. */
#include "inner.h"
#include "base/sentence.h"
#include "base/str.h"
#include "base/text.h"
#include <math.h>

/* ---- exact sums ---- */

#define PER_MINOR   INT64_C(10000) /* millionths of the currency in a minor unit */
#define MILLION     INT64_C(1000000)
#define MINOR_MOST  INT64_C(90000000000000000) /* nothing costs that */
#define AMOUNT_MOST 1e9

/* Price times amount, which counts in millionths; rounded once, half up. */
static money_minor material_cost(money_micro price, double amount)
{
    __int128 micro = (__int128)price_or_zero(price) * llround(fmin(fmax(amount, 0), AMOUNT_MOST) * MILLION);
    __int128 per = (__int128)PER_MINOR * MILLION, minor = (2 * micro + per) / (2 * per);
    return minor > MINOR_MOST ? MINOR_MOST : (money_minor)minor;
}

/* ---- the list ---- */

static struct roll_material *find_line(struct laying *work, const struct roll_material *like)
{
    struct roll_layout *layout = work->layout;
    for (size_t i = 0; i < layout->material_count; i++) {
        struct roll_material *line = &layout->materials[i];
        if (string_equal(line->what, like->what) && string_equal(line->name, like->name) &&
            line->width_mm == like->width_mm)
            return line;
    }
    struct roll_material *line = arena_append(work->arena, &layout->materials, &layout->material_count,
                                              &work->materials, sizeof *line);
    *line = *like;
    return line;
}

static void list_web(struct laying *work, struct roll_material like, double length_mm, bool in_stock)
{
    like.unit = "mm", like.name = like.film->name;
    struct roll_material *line = find_line(work, &like);
    line->amount += length_mm;
    if (in_stock) line->in_stock += length_mm;
}

static void add_films(struct laying *work)
{
    const struct roll_layout *layout = work->layout;
    for (size_t i = 0; i < layout->roll_count; i++) {
        const struct laid_roll *roll = &layout->rolls[i];
        struct roll_material like = {.what = "film", .film = roll->film, .width_mm = roll->width_mm};
        list_web(work, like, roll->used_mm, !roll->is_new);
    }
    for (size_t i = 0; i < layout->laminate_count; i++) {
        const struct laid_laminate *run = &layout->laminates[i];
        struct roll_material like = {.what = "laminate", .film = run->laminate, .width_mm = run->width_mm};
        list_web(work, like, run->to_mm - run->from_mm, !run->is_new);
    }
}

/* ---- rolls to buy ---- */

static size_t begun_films(const struct roll_layout *layout, const struct roll_material *line)
{
    size_t count = 0;
    for (size_t i = 0; i < layout->roll_count; i++)
        count += layout->rolls[i].is_new && string_equal(layout->rolls[i].film->name, line->name) &&
                 layout->rolls[i].width_mm == line->width_mm;
    return count;
}

static size_t begun_laminates(const struct roll_layout *layout, const struct roll_material *line)
{
    size_t count = 0;
    for (size_t i = 0; i < layout->laminate_count; i++) {
        const struct laid_laminate *run = &layout->laminates[i];
        bool first = run->is_new && run->from_mm == 0;
        count += first && string_equal(run->laminate->name, line->name) && run->width_mm == line->width_mm;
    }
    return count;
}

/* Never fewer than what lies on new ones takes with the shop's share of waste: what is spoilt needs film, too. */
static void buy_rolls(struct laying *work, struct roll_material *line)
{
    double length = (line->amount - line->in_stock) * (1 + work->shop->waste_percent / 100);
    size_t least = (size_t)ceil(fmax(length, 0) / fmax(line->film->length_mm, 1) - 1e-9);
    bool film = string_equal(line->what, "film"), laminate = string_equal(line->what, "laminate");
    size_t begun = film       ? begun_films(work->layout, line)
                   : laminate ? begun_laminates(work->layout, line)
                              : least;
    line->rolls = least > begun ? least : begun;
    double area = line->width_mm * line->film->length_mm / 1e6 * (double)line->rolls;
    line->cost = material_cost(line->film->price_per_m2, area);
    line->missing = line->rolls && line->film->price_per_m2 < 0;
    work->layout->cash += line->cost;
}

/* ---- ink ---- */

static void list_ink(struct laying *work, const struct laid_print *print)
{
    const struct ink *ink = print_condition(print->plan, print->surface)->ink;
    const struct panel *panel = print_panel(print->plan, print->surface, print->panel);
    for (size_t c = 0; ink && c < ink->channel_count; c++) {
        struct roll_material like = {
            .what = arena_format(work->arena, "ink %s", ink->channels[c]), .name = ink->name, .unit = "ml"};
        struct roll_material *line = find_line(work, &like);
        line->amount += panel->ink_ml[c];
        line->missing = ink->price_per_ml < 0;
        line->cost = material_cost(ink->price_per_ml, line->amount);
    }
}

/* ---- what the job asks for besides ---- */

static bool tape_is_wanted(const struct laid_print *print)
{
    const struct piece_spec *piece = print->plan->surfaces[print->surface].surface->piece;
    return print->plan->input->job->tape || (piece && piece->tape);
}

/* Over the whole print: the narrowest tape that covers it, else the widest in several lengths side by side. */
static void add_tape(struct laying *work, const struct laid_print *print)
{
    const struct shop *shop = work->shop;
    const char *what = sentence_plain("application-tape");
    if (!shop->tape_count) {
        struct roll_material *line = find_line(work, &(struct roll_material){.what = what, .unit = "m2"});
        line->amount += print->wide_mm * print->long_mm / 1e6;
        line->missing = true;
        return;
    }
    const struct film *tape = &shop->tapes[0];
    double width = tape->widths_mm[tape->width_count - 1];
    for (size_t i = tape->width_count; i-- > 0;)
        if (tape->widths_mm[i] >= print->wide_mm) width = tape->widths_mm[i];
    double lengths = ceil(print->wide_mm / width - 1e-9);
    list_web(work, (struct roll_material){.what = what, .film = tape, .width_mm = width},
             lengths * print->long_mm, false);
}

static void list_prints(struct laying *work)
{
    for (size_t r = 0; r < work->layout->roll_count; r++)
        for (size_t i = 0; i < work->layout->rolls[r].print_count; i++)
            list_ink(work, &work->layout->rolls[r].prints[i]);
    for (size_t r = 0; r < work->layout->roll_count; r++)
        for (size_t i = 0; i < work->layout->rolls[r].print_count; i++)
            if (tape_is_wanted(&work->layout->rolls[r].prints[i]))
                add_tape(work, &work->layout->rolls[r].prints[i]);
}

static double washed_m2(const struct plan *plan)
{
    double area = 0;
    for (size_t i = 0; i < plan->task_count; i++)
        if (plan->tasks[i].kind == TASK_WASH) area += plan->tasks[i].quantity;
    return area;
}

/* Where film is drawn into or over a shape, and pulls back. */
static double stretched_m2(const struct plan *plan)
{
    double area = 0;
    for (size_t s = 0; s < plan->surface_count; s++) {
        const struct surface *surface = plan->surfaces[s].surface;
        for (size_t i = 0; i < surface->feature_count; i++) {
            const struct feature *f = &surface->features[i];
            if (f->kind == FEATURE_RECESS || f->kind == FEATURE_DOME || f->kind == FEATURE_CORRUGATION)
                area += rect_area(f->box) / 1e6;
        }
    }
    return area;
}

static void add_fluid(struct laying *work, const char *what, const struct fluid *fluid, double area_m2)
{
    struct roll_material *line =
        find_line(work, &(struct roll_material){.what = what, .name = fluid->name, .unit = "ml"});
    line->amount += area_m2 * fluid->ml_per_m2.value;
    line->cost = material_cost(fluid->price_per_ml, line->amount);
    line->missing = fluid->price_per_ml < 0;
}

static void add_fluids(struct laying *work)
{
    for (size_t j = 0; j < work->order->job_count; j++) {
        const struct plan *plan = work->order->jobs[j].plan;
        double vehicles = (double)work->order->jobs[j].vehicles;
        if (plan->input->job->cleaner)
            add_fluid(work, "cleaner", &work->shop->cleaner, vehicles * washed_m2(plan));
        if (plan->input->job->primer)
            add_fluid(work, "primer", &work->shop->primer, vehicles * stretched_m2(plan));
    }
}

void list_materials(struct laying *work)
{
    add_films(work), list_prints(work), add_fluids(work);
    for (size_t i = 0; i < work->layout->material_count; i++)
        if (work->layout->materials[i].film) buy_rolls(work, &work->layout->materials[i]);
}
