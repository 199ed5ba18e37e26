/* Lays the prints of one film and printer after the other on rolls in stock and new ones: asks the room layout,
 * in micrometres, and reads its places. Called by rolls.c. */
#include "inner.h"
#include "base/sentence.h"
#include "base/str.h"
#include "layout/rolls.h"
#include <math.h>
#include <stdlib.h>

enum { UM = 1000, NEW_BATCH = 0, NEW_MOST = 200 };

static int64_t um_up(double mm)
{
    return (int64_t)ceil(mm * UM - 1e-6);
}

static int64_t um_down(double mm)
{
    return (int64_t)floor(mm * UM + 1e-6);
}

/* One film on one printer. */
struct film_problem {
    struct laying *work;
    const struct film *film;
    const struct printer *printer;
    const struct print_wanted **prints;
    size_t print_count;
    size_t *stock; /* of each layout roll: index in the order's stock; SIZE_MAX: new */
    double *widths_mm;
    struct layout_roll *rolls;
    size_t roll_count;
    double threading_mm; /* of the laminator, when any of it is laminated */
};

bool stock_serves(const struct stock_roll *roll, const char *what, const char *of)
{
    return !roll->out && roll->length_mm > 0 && string_equal(roll->what, what) && string_equal(roll->of, of);
}

/* ---- the rolls ---- */

static double printable_mm(const struct film_problem *p, double roll_mm)
{
    return fmin(roll_mm, p->printer->media_width_mm) - 2 * p->printer->edge_mm;
}

/* Rolls of one batch are alike; one without a batch is like no other. */
static int32_t batch_number(const struct roll_order *order, size_t stock)
{
    const char *batch = order->stock[stock].batch;
    for (size_t i = 0; batch && i < stock; i++)
        if (string_equal(order->stock[i].batch, batch)) return (int32_t)i + 1;
    return (int32_t)stock + 1;
}

static void add_roll(struct film_problem *p, size_t stock, double width_mm, struct layout_roll roll)
{
    p->stock[p->roll_count] = stock, p->widths_mm[p->roll_count] = width_mm;
    p->rolls[p->roll_count++] = roll;
}

static void add_stock(struct film_problem *p)
{
    const struct roll_order *order = p->work->order;
    for (size_t i = 0; i < order->stock_count && p->roll_count < LAYOUT_ROLLS_MOST / 2; i++) {
        const struct stock_roll *roll = &order->stock[i];
        int64_t width = um_down(printable_mm(p, roll->width_mm)), length = um_down(p->work->stock.mm[i]);
        if (stock_serves(roll, "film", p->film->name) && width > 0 && length > 0)
            add_roll(p, i, roll->width_mm, (struct layout_roll){width, length, 0, batch_number(order, i)});
    }
}

static double ends_mm(const struct film_problem *p)
{
    const struct roll_habits *habits = &p->work->shop->rolls;
    return habits->leader_mm.value + habits->tail_mm.value + p->threading_mm;
}

/* As many new rolls as all prints one after the other could take. */
static size_t new_rolls_most(const struct film_problem *p)
{
    double length = 0, longest = 1;
    for (size_t i = 0; i < p->print_count; i++) {
        length += p->prints[i]->long_mm + p->work->shop->rolls.gap_mm.value;
        longest = fmax(longest, p->prints[i]->long_mm);
    }
    double holds = fmax(p->film->length_mm - ends_mm(p) - longest, longest); /* one more may not fit */
    return (size_t)fmin(ceil(length / holds) + 1, NEW_MOST / (double)(p->film->width_count + 1));
}

/* A new roll is begun where it saves a whole one: what lies on the shelf is paid. */
static void add_new(struct film_problem *p)
{
    size_t most = new_rolls_most(p);
    for (size_t w = 0; w < p->film->width_count; w++)
        for (size_t k = 0; k < most; k++) {
            double width = p->film->widths_mm[w];
            int64_t length = um_down(p->film->length_mm), printable = um_down(printable_mm(p, width));
            if (printable > 0)
                add_roll(p, SIZE_MAX, width, (struct layout_roll){printable, length, length, NEW_BATCH});
        }
}

/* ---- what fits ---- */

static bool fits_so(const struct film_problem *p, double wide_mm, double long_mm)
{
    int64_t ends = um_up(ends_mm(p));
    for (size_t i = 0; i < p->roll_count; i++)
        if (um_up(wide_mm) <= p->rolls[i].width && um_up(long_mm) + ends <= p->rolls[i].length &&
            um_up(long_mm) <= um_down(p->printer->max_length_mm))
            return true;
    return false;
}

static const char *place_of_print(const struct laying *work, const struct print_wanted *print)
{
    const struct surface_plan *surface = &print->plan->surfaces[print->surface];
    return arena_format(work->arena, "%s/%s", surface->surface->name, surface->panels[print->panel].id);
}

static void say_unfit(struct film_problem *p, const struct print_wanted *print)
{
    if (print->vehicle == 1)
        finding_add(&p->work->layout->findings, "roll-short", place_of_print(p->work, print), "roll-short",
                    ARGUMENTS(arg_fixed("wide_mm", print->wide_mm, 0),
                              arg_fixed("long_mm", print->long_mm, 0), arg_words("film", p->film->name),
                              arg_words("printer", p->printer->name), arg_fixed("ends_mm", ends_mm(p), 0)));
    leave_print_out(p->work, print, sentence_plain("left-out-no-roll"));
}

/* Keeps what some roll holds. A group turns as a whole: what fits only one way must not be turned. */
static void sort_out_unfit(struct film_problem *p)
{
    size_t kept = 0;
    for (size_t i = 0; i < p->print_count; i++) {
        const struct print_wanted *print = p->prints[i];
        if (fits_so(p, print->wide_mm, print->long_mm))
            p->prints[kept++] = print;
        else
            say_unfit(p, print);
    }
    p->print_count = kept;
}

/* ---- asking ---- */

static struct layout_panel *panels_asked(const struct film_problem *p)
{
    struct layout_panel *panels = arena_take_array(p->work->arena, p->print_count, sizeof *panels);
    for (size_t i = 0; i < p->print_count; i++) {
        const struct print_wanted *print = p->prints[i];
        panels[i] = (struct layout_panel){{um_up(print->wide_mm), um_up(print->long_mm), print->may_turn},
                                          print->group};
    }
    return panels;
}

static bool lay_problem(const struct film_problem *p, struct layout_rolls *result, struct error *error)
{
    const struct roll_order *order = p->work->order;
    const struct roll_habits *habits = &p->work->shop->rolls;
    struct layout_rolls_order asked = {
        .rolls = p->rolls,
        .roll_count = p->roll_count,
        .panels = panels_asked(p),
        .panel_count = p->print_count,
        .gap_across = um_up(habits->gap_mm.value),
        .gap_along = um_up(habits->gap_mm.value),
        .leader = um_up(habits->leader_mm.value),
        .tail = um_up(habits->tail_mm.value + p->threading_mm),
        .longest_print = um_down(p->printer->max_length_mm),
    };
    struct layout_effort effort = {order->seed, p->work->most_tries, order->enough, order->self};
    if (!layout_rolls(&asked, &effort, p->work->arena, result, error)) return false;
    p->work->layout->cut_short |= order->enough && order->enough(order->self);
    return true;
}

/* ---- reading the places ---- */

static const char *new_name(struct laying *work)
{
    return arena_format(work->arena, "new %zu", ++work->new_films);
}

static struct laid_roll laid_roll_of(struct film_problem *p, size_t i, int64_t used)
{
    struct laying *work = p->work;
    bool is_new = p->stock[i] == SIZE_MAX;
    const struct stock_roll *stock = is_new ? NULL : &work->order->stock[p->stock[i]];
    const struct roll_habits *habits = &work->shop->rolls;
    struct laid_roll roll = {
        .name = is_new ? new_name(work) : stock->name,
        .is_new = is_new,
        .film = p->film,
        .printer = p->printer,
        .batch = is_new ? NULL : stock->batch,
        .width_mm = p->widths_mm[i],
        .length_mm = is_new ? p->film->length_mm : work->stock.mm[p->stock[i]],
        .used_mm = (double)used / UM,
        .leader_mm = habits->leader_mm.value,
        .tail_mm = habits->tail_mm.value + p->threading_mm,
    };
    if (!is_new) work->stock.mm[p->stock[i]] = fmax(roll.length_mm - roll.used_mm, 0);
    return roll;
}

static int laid_before(const void *one, const void *other)
{
    const struct laid_print *a = one, *b = other;
    if (a->along_mm != b->along_mm) return a->along_mm < b->along_mm ? -1 : 1;
    return (a->across_mm > b->across_mm) - (a->across_mm < b->across_mm);
}

static struct laid_print laid_print_of(const struct film_problem *p, size_t i,
                                       const struct layout_roll_place *place)
{
    const struct print_wanted *print = p->prints[i];
    bool lying = print->plan->surfaces[print->surface].direction == RUN_LYING;
    return (struct laid_print){
        .plan = print->plan,
        .surface = print->surface,
        .panel = print->panel,
        .vehicle = print->vehicle,
        .across_mm = p->printer->edge_mm + (double)place->across / UM,
        .along_mm = (double)place->along / UM,
        .wide_mm = place->turned ? print->long_mm : print->wide_mm,
        .long_mm = place->turned ? print->wide_mm : print->long_mm,
        .turned_deg = lying != place->turned ? 90 : 0,
        .sent = place->print,
    };
}

static void take_roll(struct film_problem *p, const struct layout_rolls *result, size_t roll)
{
    struct roll_layout *layout = p->work->layout;
    struct laid_roll laid = laid_roll_of(p, roll, result->used[roll]);
    laid.prints = arena_take_array(p->work->arena, p->print_count, sizeof *laid.prints);
    for (size_t i = 0; i < p->print_count; i++)
        if (result->places[i].roll == roll)
            laid.prints[laid.print_count++] = laid_print_of(p, i, &result->places[i]);
    qsort(laid.prints, laid.print_count, sizeof *laid.prints, laid_before);
    *(struct laid_roll *)arena_append(p->work->arena, &layout->rolls, &layout->roll_count, &p->work->rolls,
                                      sizeof laid) = laid;
}

/* ---- what is to be said ---- */

/* Film that one surface takes at least, and what stock has for it: all together, and of the best batch. */
struct batch_room {
    double need_mm, all_mm, best_mm;
    const char *best;
};

static double batch_sum(const struct film_problem *p, const double *left_mm, size_t roll, double widest_mm)
{
    double sum = 0;
    for (size_t i = 0; i < p->roll_count; i++)
        if (p->stock[i] != SIZE_MAX && p->rolls[i].batch == p->rolls[roll].batch &&
            um_up(widest_mm) <= p->rolls[i].width)
            sum += fmax(left_mm[p->stock[i]] - ends_mm(p), 0);
    return sum;
}

static struct batch_room batch_room_of(const struct film_problem *p, const double *left_mm, size_t first,
                                       size_t count)
{
    struct batch_room room = {0};
    double widest = 0;
    for (size_t i = first; i < first + count; i++) {
        room.need_mm += p->prints[i]->long_mm + (i > first ? p->work->shop->rolls.gap_mm.value : 0);
        widest = fmax(widest, p->prints[i]->wide_mm);
    }
    for (size_t i = 0; i < p->roll_count && p->stock[i] != SIZE_MAX; i++) {
        const struct stock_roll *stock = &p->work->order->stock[p->stock[i]];
        if (um_up(widest) > p->rolls[i].width) continue;
        room.all_mm += fmax(left_mm[p->stock[i]] - ends_mm(p), 0);
        double sum = batch_sum(p, left_mm, i, widest);
        if (sum > room.best_mm) room.best_mm = sum, room.best = stock->batch ? stock->batch : stock->name;
    }
    return room;
}

static bool is_on_new(const struct film_problem *p, const struct layout_rolls *result, size_t i)
{
    return result->places[i].roll != LAYOUT_NOWHERE && p->stock[result->places[i].roll] == SIZE_MAX;
}

static void say_group(struct film_problem *p, const struct layout_rolls *result, const double *left_mm,
                      size_t first, size_t count)
{
    const struct print_wanted *print = p->prints[first];
    const char *surface = print->plan->surfaces[print->surface].surface->name;
    bool on_new = is_on_new(p, result, first), several = false;
    for (size_t i = first; i < first + count; i++)
        several |= is_on_new(p, result, i) && result->places[i].roll != result->places[first].roll;
    struct batch_room room = batch_room_of(p, left_mm, first, count);
    if (on_new && room.all_mm >= room.need_mm && room.best_mm < room.need_mm)
        finding_add(&p->work->layout->findings, "batch-short", surface, "batch-short",
                    ARGUMENTS(arg_words("surface", surface), arg_fixed("need_m", room.need_mm / 1000, 2),
                              arg_words("film", p->film->name), arg_fixed("all_m", room.all_mm / 1000, 2),
                              arg_words("batch", room.best), arg_fixed("best_m", room.best_mm / 1000, 2)));
    if (several)
        finding_add(&p->work->layout->findings, "batch-to-ask", surface, "batch-to-ask",
                    ARGUMENTS(arg_words("surface", surface), arg_words("film", p->film->name)));
}

static size_t group_end(const struct film_problem *p, size_t first)
{
    size_t end = first;
    while (end < p->print_count && p->prints[end]->group == p->prints[first]->group) end++;
    return end;
}

/* Of the first vehicle: the others are alike. */
static void say_groups(struct film_problem *p, const struct layout_rolls *result, const double *left_mm)
{
    for (size_t i = 0, end; i < p->print_count; i = end) {
        end = group_end(p, i);
        if (p->prints[i]->vehicle == 1) say_group(p, result, left_mm, i, end - i);
    }
}

/* ---- one film after the other ---- */

static bool take_result(struct film_problem *p, const struct layout_rolls *result)
{
    struct roll_layout *layout = p->work->layout;
    const size_t stock = p->work->order->stock_count;
    double *before = arena_take_array(p->work->arena, stock, sizeof *before);
    for (size_t i = 0; i < stock; i++) before[i] = p->work->stock.mm[i];
    for (size_t i = 0; i < p->roll_count; i++)
        if (result->used[i] > 0) take_roll(p, result, i);
    for (size_t i = 0; i < p->print_count; i++)
        if (result->places[i].roll == LAYOUT_NOWHERE) say_unfit(p, p->prints[i]);
    layout->used_mm += (double)result->length / UM, layout->lower_mm += (double)result->lower / UM;
    if (!result->left) {
        layout->together_cost_mm += (double)(result->length - result->ungrouped) / UM;
        layout->turning_cost_mm += (double)(result->ungrouped - result->free) / UM;
    }
    layout->tries += result->tries;
    say_groups(p, result, before);
    return true;
}

static bool problem_lay(struct film_problem *p, struct error *error)
{
    struct layout_rolls result;
    for (size_t i = 0; i < p->print_count; i++)
        if (print_condition(p->prints[i]->plan, p->prints[i]->surface)->laminate)
            p->threading_mm = p->work->shop->threading_mm.value;
    p->stock = arena_take_array(p->work->arena, LAYOUT_ROLLS_MOST, sizeof *p->stock);
    p->widths_mm = arena_take_array(p->work->arena, LAYOUT_ROLLS_MOST, sizeof *p->widths_mm);
    p->rolls = arena_take_array(p->work->arena, LAYOUT_ROLLS_MOST, sizeof *p->rolls);
    add_stock(p), add_new(p);
    sort_out_unfit(p);
    if (!p->print_count) return true;
    return lay_problem(p, &result, error) && take_result(p, &result);
}

static bool is_same_stuff(const struct print_wanted *one, const struct print_wanted *other)
{
    const struct condition *a = print_condition(one->plan, one->surface),
                           *b = print_condition(other->plan, other->surface);
    return string_equal(a->film->name, b->film->name) && string_equal(a->printer->name, b->printer->name);
}

bool lay_films(struct laying *work, struct prints_wanted *prints, struct error *error)
{
    bool *laid = arena_take_array(work->arena, prints->count, sizeof *laid);
    for (size_t i = 0; i < prints->count; i++) {
        const struct print_wanted *first = &prints->items[i];
        const struct condition *condition = print_condition(first->plan, first->surface);
        struct film_problem problem = {.work = work, .film = condition->film, .printer = condition->printer};
        problem.prints = arena_take_array(work->arena, prints->count, sizeof *problem.prints);
        for (size_t k = i; k < prints->count; k++) {
            if (laid[k] || !is_same_stuff(first, &prints->items[k])) continue;
            problem.prints[problem.print_count++] = &prints->items[k];
            laid[k] = true;
        }
        if (problem.print_count && !problem_lay(&problem, error)) return false;
    }
    return true;
}
