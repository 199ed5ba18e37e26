/* Finds what is left beside the prints and is worth keeping: the largest free rectangle towards the roll's far
 * edge, then the next. Called by rolls.c. */
#include "inner.h"
#include <math.h>
#include <stdlib.h>

/* Along the roll from one place to the next the film is free from `free_from_mm` across on. */
struct bar {
    double from_mm, to_mm, free_from_mm;
};

struct bars {
    struct bar *items;
    size_t count;
};

static int place_order(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

/* Between the first print's beginning and the last one's end. Prints keep the gap to what is cut off beside
 * them. */
static struct bars bars_of(const struct laying *work, const struct laid_roll *roll)
{
    double gap = work->shop->rolls.gap_mm.value;
    double *places = arena_take_array(work->arena, 2 * roll->print_count, sizeof *places);
    struct bars bars = {.items = arena_take_array(work->arena, 2 * roll->print_count, sizeof *bars.items)};
    for (size_t i = 0; i < roll->print_count; i++) {
        places[2 * i] = roll->prints[i].along_mm;
        places[2 * i + 1] = roll->prints[i].along_mm + roll->prints[i].long_mm;
    }
    qsort(places, 2 * roll->print_count, sizeof *places, place_order);
    for (size_t i = 1; i < 2 * roll->print_count; i++)
        if (places[i] > places[i - 1]) bars.items[bars.count++] = (struct bar){places[i - 1], places[i], 0};
    for (size_t b = 0; b < bars.count; b++)
        for (size_t i = 0; i < roll->print_count; i++) {
            const struct laid_print *print = &roll->prints[i];
            if (print->along_mm >= bars.items[b].to_mm + gap ||
                print->along_mm + print->long_mm <= bars.items[b].from_mm - gap)
                continue;
            bars.items[b].free_from_mm =
                fmax(bars.items[b].free_from_mm, print->across_mm + print->wide_mm + gap);
        }
    return bars;
}

/* The largest that is worth keeping; length 0: none is left. */
static struct off_cut largest(const struct laying *work, const struct laid_roll *roll,
                              const struct bars *bars)
{
    struct off_cut best = {0};
    for (size_t i = 0; i < bars->count; i++) {
        double from = 0;
        for (size_t k = i; k < bars->count; k++) {
            from = fmax(from, bars->items[k].free_from_mm);
            double width = roll->width_mm - from, length = bars->items[k].to_mm - bars->items[i].from_mm;
            if (width < work->shop->rolls.off_cut_width_mm.value) break;
            if (length < work->shop->rolls.off_cut_length_mm.value) continue;
            if (width * length > best.width_mm * best.length_mm)
                best = (struct off_cut){.across_mm = from,
                                        .along_mm = bars->items[i].from_mm,
                                        .width_mm = width,
                                        .length_mm = length};
        }
    }
    return best;
}

static void bars_take(struct bars *bars, const struct off_cut *cut, double width_mm)
{
    for (size_t i = 0; i < bars->count; i++)
        if (bars->items[i].from_mm >= cut->along_mm && bars->items[i].to_mm <= cut->along_mm + cut->length_mm)
            bars->items[i].free_from_mm = width_mm;
}

void find_off_cuts(struct laying *work)
{
    struct roll_layout *layout = work->layout;
    for (size_t r = 0; r < layout->roll_count; r++) {
        const struct laid_roll *roll = &layout->rolls[r];
        struct bars bars = bars_of(work, roll);
        struct off_cut cut;
        for (size_t n = 1; cut = largest(work, roll, &bars), cut.length_mm > 0; n++) {
            cut.name = arena_format(work->arena, "%s/%zu", roll->name, n), cut.roll = r;
            *(struct off_cut *)arena_append(work->arena, &layout->off_cuts, &layout->off_cut_count,
                                            &work->off_cuts, sizeof cut) = cut;
            bars_take(&bars, &cut, roll->width_mm);
        }
    }
}
