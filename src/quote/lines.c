/* Puts lines into a quote: by what the shop charges, else by what it costs with mark-up or margin, else as missing.
 * Called by the files that know what there is to do. */
#include "base/arena.h"
#include "inner.h"
#include <math.h>

enum { HUNDREDTHS = 100, RATE_DIGITS_MORE = 2, MICRO_DIGITS = 6 };
#define ALL_PERCENT INT64_C(100000000) /* in millionths of one percent */

/* Hundredths; of something that is there at least one. */
static int64_t lines_hundredths(double amount)
{
    if (!(amount > 0)) return 0;
    int64_t hundredths = llround(fmin(amount, 1e12) * HUNDREDTHS);
    return hundredths ? hundredths : 1;
}

/* To two digits more than the currency has. */
static money_micro rate_rounded(__int128 above, __int128 below, int digits)
{
    int64_t step = 1;
    for (int i = digits + RATE_DIGITS_MORE; i < MICRO_DIGITS; i++) step *= 10;
    return (money_micro)(money_divide(above, below * step) * step);
}

static int64_t percent_millionths(double percent)
{
    const double million = 1e6;
    return llround(percent * million);
}

static money_micro lines_marked_up(const struct shop *shop, money_micro cost, int digits)
{
    int64_t margin = percent_millionths(shop->margin_percent),
            mark_up = percent_millionths(shop->mark_up_percent);
    if (shop->money == 2 && margin > 0)
        return rate_rounded((__int128)cost * ALL_PERCENT, ALL_PERCENT - margin, digits);
    return rate_rounded((__int128)cost * (ALL_PERCENT + margin + mark_up), ALL_PERCENT, digits);
}

/* ---- lists ---- */

void draft_put(struct draft *draft, const struct quote_line *line)
{
    struct quote *quote = draft->quote;
    *(struct quote_line *)arena_append(draft->arena, &quote->lines, &quote->line_count, &draft->lines,
                                       sizeof *line) = *line;
    quote->estimated |= line->estimated;
}

void draft_lacks(struct draft *draft, const char *what, const char *remedy)
{
    struct quote *quote = draft->quote;
    *(struct quote_missing *)arena_append(draft->arena, &quote->missing, &quote->missing_count,
                                          &draft->missing, sizeof *quote->missing) =
        (struct quote_missing){what, remedy};
}

void draft_assumes(struct draft *draft, const char *sentence)
{
    struct quote *quote = draft->quote;
    *(const char **)arena_append(draft->arena, &quote->assumed, &quote->assumed_count, &draft->assumed,
                                 sizeof sentence) = sentence;
}

void draft_excludes(struct draft *draft, const char *phrase)
{
    struct quote *quote = draft->quote;
    *(const char **)arena_append(draft->arena, &quote->excluded, &quote->excluded_count, &draft->excluded,
                                 sizeof phrase) = phrase;
}

/* ---- one line ---- */

static double charged_percent(const struct quote_item *item)
{
    bool by_area = item->charge->written && item->charge->unit == UNIT_M2 && item->difficulty_percent > 0;
    return by_area ? item->difficulty_percent : 100;
}

/* By what the shop charges. */
static void take_charged(const struct draft *draft, const struct quote_item *item, struct quote_line *line)
{
    const struct charge *charge = item->charge;
    double percent = charged_percent(item);
    line->included = charge->included;
    enum quote_unit unit = charge->included ? item->cost_unit : charge->unit;
    line->unit = quote_unit_names[unit];
    line->quantity = lines_hundredths(charge->included ? item->cost_amount : item->amounts[unit]);
    line->rate = percent == 100 ? charge->price
                                : rate_rounded((__int128)charge->price * percent_millionths(percent),
                                               ALL_PERCENT, draft->quote->digits);
    line->rate_basis =
        percent == 100
            ? charge->source
            : sentence_words(
                  draft->arena, "quote-rate-difficulty",
                  ARGUMENTS(arg_words("source", charge->source),
                            arg_words("price", money_rate(charge->price, draft->quote->digits, draft->arena)),
                            arg_number("percent", percent)));
}

/* By what it costs. */
static void take_cost(struct draft *draft, const struct quote_item *item, struct quote_line *line)
{
    const struct shop *shop = draft->shop;
    bool margin = shop->money == 2 && shop->margin_percent > 0;
    draft->from_cost = true;
    line->unit = quote_unit_names[item->cost_unit];
    line->quantity = lines_hundredths(item->cost_amount);
    line->rate = lines_marked_up(shop, item->cost_rate, draft->quote->digits);
    line->rate_basis = sentence_words(
        draft->arena, "quote-rate-cost",
        ARGUMENTS(arg_words("cost", money_rate(item->cost_rate, draft->quote->digits, draft->arena)),
                  arg_number("percent", shop->margin_percent + shop->mark_up_percent),
                  arg_flag("margin", margin)));
}

static void lines_set_cost(struct draft *draft, const struct quote_item *item, struct quote_line *line)
{
    line->cost = -1;
    line->cost_rate = item->cost_rate;
    line->cost_unit = quote_unit_names[item->cost_unit];
    line->cost_quantity = lines_hundredths(item->cost_amount);
    if (item->cost_rate >= 0 &&
        !money_amount(line->cost_quantity, item->cost_rate, draft->quote->digits, &line->cost))
        draft->too_large = item->what;
}

static void lacks_rate(struct draft *draft, const struct quote_item *item)
{
    int64_t quantity = lines_hundredths(item->cost_amount);
    const char *what = sentence_words(draft->arena, "quote-missing-line",
                                      ARGUMENTS(arg_words("what", item->what),
                                                arg_words("quantity", quote_quantity(quantity, draft->arena)),
                                                arg_words("unit", quote_unit_names[item->cost_unit])));
    const char *kind = quote_kind_names[item->kind];
    draft->quote->unrated++;
    const char *remedy =
        item->cost_key ? sentence_words(draft->arena, "quote-write-rate-or-cost",
                                        ARGUMENTS(arg_words("kind", kind), arg_words("cost", item->cost_key)))
                       : sentence_words(draft->arena, "quote-write-rate", ARGUMENTS(arg_words("kind", kind)));
    draft_lacks(draft, what, remedy);
}

/* Whether there is any of it. */
static bool item_is_there(const struct quote_item *item)
{
    bool there = item->cost_amount > 0;
    for (int unit = 0; item->charge->written && unit < QUOTE_UNIT_COUNT; unit++)
        there |= item->amounts[unit] > 0;
    return there;
}

void draft_add(struct draft *draft, const struct quote_item *item)
{
    struct quote_line line = {.id = item->id,
                              .kind = item->kind,
                              .what = item->what,
                              .basis = item->basis,
                              .estimated = item->estimated};
    if (!item_is_there(item)) return;
    if (item->charge->written)
        take_charged(draft, item, &line);
    else if (item->cost_rate >= 0)
        take_cost(draft, item, &line);
    else {
        lacks_rate(draft, item);
        return;
    }
    if (!line.quantity) return;
    if (!money_amount(line.quantity, line.rate, draft->quote->digits, &line.amount))
        draft->too_large = item->what;
    lines_set_cost(draft, item, &line);
    draft_put(draft, &line);
}
