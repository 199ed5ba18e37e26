/* Discount, minimum charge, tax and deposit. Called last. */
#include "base/arena.h"
#include "inner.h"

enum { ONE = 100, MICRO_DIGITS = 6 }; /* hundredths in one */

static double discount_percent_for(const struct shop_quote *terms, int vehicles)
{
    double percent = 0;
    for (size_t i = 0; i < terms->discount_count; i++)
        if (vehicles >= terms->discounts[i].from) percent = terms->discounts[i].percent;
    return percent;
}

static int64_t micro_per_minor(int digits)
{
    int64_t micro = 1;
    for (int i = digits; i < MICRO_DIGITS; i++) micro *= 10;
    return micro;
}

/* What lacks to the minimum charge: a line of its own, so that sums stay exact. */
static void add_minimum(struct draft *draft)
{
    struct quote *quote = draft->quote;
    int64_t unit = micro_per_minor(quote->digits);
    money_minor least = (money_minor)money_divide(draft->shop->quote.minimum, unit),
                lacks = least - (quote->lines_sum - quote->discount);
    if (lacks <= 0 || !quote->line_count) return;
    draft_put(draft,
              &(struct quote_line){
                  .id = "minimum",
                  .kind = QUOTE_MINIMUM,
                  .what = sentence_words(
                      draft->arena, "quote-minimum",
                      ARGUMENTS(arg_words("minimum", money_decimal(least, quote->digits, draft->arena)),
                                arg_words("currency", quote->currency))),
                  .quantity = ONE,
                  .unit = quote_unit_names[UNIT_JOB],
                  .rate = lacks * unit,
                  .amount = lacks,
                  .basis = sentence_plain("quote-basis-minimum"),
                  .rate_basis = "shop.quote.minimum",
                  .cost_quantity = ONE,
                  .cost_unit = quote_unit_names[UNIT_JOB],
              });
    quote->lines_sum += lacks;
}

static void add_taxes(struct draft *draft)
{
    struct quote *quote = draft->quote;
    const struct shop_quote *terms = &draft->shop->quote;
    quote->gross = quote->net;
    for (size_t i = 0; i < terms->tax_count; i++) {
        struct quote_tax *tax = &quote->taxes[quote->tax_count++];
        *tax = (struct quote_tax){terms->taxes[i].name, terms->taxes[i].percent,
                                  money_share(quote->net, terms->taxes[i].percent)};
        quote->gross += tax->amount;
    }
}

static void add_costs(struct quote *quote)
{
    for (size_t i = 0; i < quote->line_count; i++) {
        const struct quote_line *line = &quote->lines[i];
        if (line->cost < 0)
            quote->uncosted++;
        else
            quote->cost += line->cost, quote->costed += line->amount;
    }
}

bool sums_make(struct draft *draft)
{
    struct quote *quote = draft->quote;
    for (size_t i = 0; i < quote->line_count && !draft->too_large; i++) {
        quote->lines_sum += quote->lines[i].amount;
        if (quote->lines_sum > MONEY_MOST) draft->too_large = quote->lines[i].what;
    }
    if (draft->too_large) return false;
    quote->discount_percent = discount_percent_for(&draft->shop->quote, quote->vehicles);
    quote->discount = money_share(quote->lines_sum, quote->discount_percent);
    add_minimum(draft);
    quote->net = quote->lines_sum - quote->discount;
    add_taxes(draft);
    quote->deposit_percent = draft->shop->quote.deposit_percent;
    quote->deposit = money_share(quote->gross, quote->deposit_percent);
    add_costs(quote);
    return true;
}
