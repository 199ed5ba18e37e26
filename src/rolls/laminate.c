/* Laminate for the prints of each roll of film: the same length, of the narrowest roll that covers them; what is
 * longer than a roll of laminate is cut between prints. Called by rolls.c. */
#include "inner.h"
#include "base/str.h"
#include <math.h>

/* Prints of one film roll that go under one laminate in one run of the laminator. */
struct laminate_run {
    const struct film *laminate;
    size_t roll;
    double from_mm, to_mm; /* on the film */
    double left_mm, right_mm;
};

/* A new roll of laminate that was begun. */
struct begun {
    const char *name;
    const struct film *laminate;
    double width_mm, left_mm;
};

struct laminating {
    struct laying *work;
    struct begun *begun;
    size_t begun_count, begun_capacity;
};

static double laminate_length(const struct laminate_run *run)
{
    return run->to_mm - run->from_mm;
}

/* ---- on which roll ---- */

/* The shortest rest of the narrowest roll that does it; SIZE_MAX: none. */
static size_t stock_for(const struct laying *work, const struct laminate_run *run)
{
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < work->order->stock_count; i++) {
        const struct stock_roll *roll = &work->order->stock[i];
        if (!stock_serves(roll, "laminate", run->laminate->name)) continue;
        if (roll->width_mm < run->right_mm - run->left_mm || work->stock.mm[i] < laminate_length(run))
            continue;
        if (best != SIZE_MAX && roll->width_mm > work->order->stock[best].width_mm) continue;
        bool narrower = best != SIZE_MAX && roll->width_mm < work->order->stock[best].width_mm;
        if (best == SIZE_MAX || narrower || work->stock.mm[i] < work->stock.mm[best]) best = i;
    }
    return best;
}

/* The narrowest that covers the prints, else the widest. */
static double new_width(const struct film *laminate, double prints_mm)
{
    for (size_t i = 0; i < laminate->width_count; i++)
        if (laminate->widths_mm[i] >= prints_mm) return laminate->widths_mm[i];
    return laminate->width_count ? laminate->widths_mm[laminate->width_count - 1] : prints_mm;
}

static struct begun *begun_for(struct laminating *l, const struct laminate_run *run)
{
    double width = new_width(run->laminate, run->right_mm - run->left_mm);
    for (size_t i = 0; i < l->begun_count; i++)
        if (string_equal(l->begun[i].laminate->name, run->laminate->name) && l->begun[i].width_mm == width &&
            l->begun[i].left_mm >= laminate_length(run))
            return &l->begun[i];
    struct begun *begun =
        arena_append(l->work->arena, &l->begun, &l->begun_count, &l->begun_capacity, sizeof *begun);
    *begun = (struct begun){arena_format(l->work->arena, "new laminate %zu", ++l->work->new_laminates),
                            run->laminate, width, run->laminate->length_mm};
    return begun;
}

static struct laid_laminate from_stock(const struct laying *work, const struct laminate_run *run,
                                       size_t stock)
{
    const struct stock_roll *roll = &work->order->stock[stock];
    double start = roll->left_mm - work->stock.mm[stock];
    work->stock.mm[stock] -= laminate_length(run);
    return (struct laid_laminate){roll->name,     false,         run->laminate, roll->batch,
                                  roll->width_mm, roll->left_mm, start,         start + laminate_length(run),
                                  run->roll};
}

static struct laid_laminate from_new(struct laminating *l, const struct laminate_run *run)
{
    struct begun *begun = begun_for(l, run);
    double length = run->laminate->length_mm, start = length - begun->left_mm;
    begun->left_mm -= laminate_length(run);
    return (struct laid_laminate){begun->name,     true,   run->laminate, NULL,
                                  begun->width_mm, length, start,         start + laminate_length(run),
                                  run->roll};
}

static void laminate_take(struct laminating *l, const struct laminate_run *run)
{
    struct roll_layout *layout = l->work->layout;
    size_t stock = stock_for(l->work, run);
    struct laid_laminate laid = stock != SIZE_MAX ? from_stock(l->work, run, stock) : from_new(l, run);
    *(struct laid_laminate *)arena_append(l->work->arena, &layout->laminates, &layout->laminate_count,
                                          &l->work->laminates, sizeof laid) = laid;
}

/* ---- runs ---- */

static bool is_under(const struct laid_print *print, const struct film *laminate)
{
    const struct film *own = print_condition(print->plan, print->surface)->laminate;
    return own && string_equal(own->name, laminate->name);
}

static double longest_run(const struct laying *work, const struct film *laminate)
{
    double longest = laminate->length_mm;
    for (size_t i = 0; i < work->order->stock_count; i++)
        if (stock_serves(&work->order->stock[i], "laminate", laminate->name))
            longest = fmax(longest, work->stock.mm[i]);
    return longest;
}

/* The prints from `first` on that one run takes; *next: where the run after it begins. Leader and tail of the film
 * go through the laminator with the prints. */
static struct laminate_run laminate_from(const struct laying *work, size_t roll, size_t first, size_t *next)
{
    const struct laid_roll *laid = &work->layout->rolls[roll];
    const struct film *laminate =
        print_condition(laid->prints[first].plan, laid->prints[first].surface)->laminate;
    double most = longest_run(work, laminate);
    struct laminate_run run = {laminate, roll,     laid->prints[first].along_mm - laid->leader_mm,
                               0,        INFINITY, 0};
    *next = laid->print_count;
    for (size_t i = first; i < laid->print_count; i++) {
        const struct laid_print *print = &laid->prints[i];
        double to = fmax(run.to_mm, print->along_mm + print->long_mm + laid->tail_mm);
        if (!is_under(print, laminate)) continue;
        if (run.to_mm > 0 && to - run.from_mm > most) {
            *next = i;
            break;
        }
        run.to_mm = to;
        run.left_mm = fmin(run.left_mm, print->across_mm);
        run.right_mm = fmax(run.right_mm, print->across_mm + print->wide_mm);
    }
    return run;
}

static bool laminate_met_before(const struct laid_roll *roll, size_t print, const struct film *laminate)
{
    for (size_t i = 0; i < print; i++)
        if (is_under(&roll->prints[i], laminate)) return true;
    return false;
}

/* Of one laminate, beginning with the first print that is under it. */
static void laminate_roll(struct laminating *l, size_t roll, size_t first, const struct film *laminate)
{
    const struct laid_roll *laid = &l->work->layout->rolls[roll];
    for (size_t at = first, next; at < laid->print_count; at = next) {
        next = at + 1;
        if (!is_under(&laid->prints[at], laminate)) continue;
        struct laminate_run run = laminate_from(l->work, roll, at, &next);
        laminate_take(l, &run);
    }
}

void lay_laminates(struct laying *work)
{
    struct laminating l = {.work = work};
    for (size_t r = 0; r < work->layout->roll_count; r++) {
        const struct laid_roll *roll = &work->layout->rolls[r];
        for (size_t i = 0; i < roll->print_count; i++) {
            const struct film *laminate =
                print_condition(roll->prints[i].plan, roll->prints[i].surface)->laminate;
            if (laminate && !laminate_met_before(roll, i, laminate)) laminate_roll(&l, r, i, laminate);
        }
    }
}
