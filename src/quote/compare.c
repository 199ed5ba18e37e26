/* What differs between a quote and the one before it, line by line, and why. */
#include "base/arena.h"
#include "base/str.h"
#include "inner.h"
#include <string.h>

struct quote_comparison {
    struct quote *now;
    const struct quote *before;
    struct arena *arena;
    size_t capacity;
};

static const struct quote_line *line_find(const struct quote *quote, const char *id)
{
    for (size_t i = 0; i < quote->line_count; i++)
        if (string_equal(quote->lines[i].id, id)) return &quote->lines[i];
    return NULL;
}

static bool lines_are_same(const struct quote_line *a, const struct quote_line *b)
{
    return a->quantity == b->quantity && a->rate == b->rate && a->amount == b->amount &&
           a->included == b->included && string_equal(a->unit, b->unit);
}

static bool sums_are_same(const struct quote *a, const struct quote *b)
{
    if (a->vehicles != b->vehicles || a->discount != b->discount || a->net != b->net ||
        a->gross != b->gross || a->tax_count != b->tax_count || !string_equal(a->currency, b->currency))
        return false;
    for (size_t i = 0; i < a->tax_count; i++)
        if (a->taxes[i].percent != b->taxes[i].percent || a->taxes[i].amount != b->taxes[i].amount)
            return false;
    return true;
}

bool quote_is_same(const struct quote *one, const struct quote *other)
{
    if (one->line_count != other->line_count || !sums_are_same(one, other)) return false;
    for (size_t i = 0; i < one->line_count; i++) {
        const struct quote_line *a = &one->lines[i], *b = line_find(other, a->id);
        if (!b || !lines_are_same(a, b)) return false;
    }
    return true;
}

/* ---- why ---- */

static void add_reason(struct text *words, const char *reason)
{
    text_addf(words, "%s%s", words->length ? "; " : "", reason);
}

static const char *compare_quantity_words(const struct quote_comparison *c, const struct quote_line *line)
{
    return quote_quantity_words(line->quantity, line->unit, c->arena);
}

/* Why there is another quantity: the artwork came, other vehicles, another basis. */
static void say_quantity(const struct quote_comparison *c, const struct quote_line *before,
                         const struct quote_line *now, struct text *words)
{
    bool same_unit = string_equal(before->unit, now->unit);
    if (before->estimated && !now->estimated) add_reason(words, sentence_plain("quote-why-artwork"));
    if (same_unit && before->quantity == now->quantity) return;
    add_reason(words, sentence_words(c->arena, "quote-why-quantity",
                                     ARGUMENTS(arg_words("now", compare_quantity_words(c, now)),
                                               arg_words("before", compare_quantity_words(c, before)))));
    if (before->basis && now->basis && !string_equal(before->basis, now->basis))
        add_reason(words, sentence_words(
                              c->arena, "quote-why-basis",
                              ARGUMENTS(arg_words("now", now->basis), arg_words("before", before->basis))));
}

static void say_rate(const struct quote_comparison *c, const struct quote_line *before,
                     const struct quote_line *now, struct text *words)
{
    if (before->included != now->included)
        add_reason(words, now->included ? sentence_plain("quote-why-included")
                                        : sentence_plain("quote-why-charged"));
    if (before->rate == now->rate) return;
    add_reason(words, sentence_words(
                          c->arena, "quote-why-rate",
                          ARGUMENTS(arg_words("now", money_rate(now->rate, c->now->digits, c->arena)),
                                    arg_words("before", money_rate(before->rate, c->now->digits, c->arena)),
                                    arg_words("basis", now->rate_basis ? now->rate_basis : ""))));
}

static const char *why_words(const struct quote_comparison *c, const struct quote_line *before,
                             const struct quote_line *now)
{
    struct text words = text_new(c->arena);
    if (!before) return sentence_words(c->arena, "quote-why-new", ARGUMENTS(arg_words("basis", now->basis)));
    if (!now) return sentence_plain("quote-why-gone");
    say_quantity(c, before, now, &words);
    say_rate(c, before, now, &words);
    return text_string(&words);
}

/* ---- the list ---- */

static void add_change(struct quote_comparison *c, struct quote_change change)
{
    *(struct quote_change *)arena_append(c->arena, &c->now->changes, &c->now->change_count, &c->capacity,
                                         sizeof change) = change;
}

static void compare_line(struct quote_comparison *c, const struct quote_line *before,
                         const struct quote_line *now)
{
    if (before && now && lines_are_same(before, now)) return;
    add_change(c, (struct quote_change){now ? now->what : before->what, before != NULL, now != NULL,
                                        before ? before->amount : 0, now ? now->amount : 0,
                                        why_words(c, before, now)});
}

static void compare_sum(struct quote_comparison *c, const char *what, money_minor before, money_minor now,
                        const char *why)
{
    if (before != now) add_change(c, (struct quote_change){what, true, true, before, now, why});
}

static money_minor taxes_of(const struct quote *quote)
{
    money_minor sum = 0;
    for (size_t i = 0; i < quote->tax_count; i++) sum += quote->taxes[i].amount;
    return sum;
}

static double tax_percents(const struct quote *quote)
{
    double sum = 0;
    for (size_t i = 0; i < quote->tax_count; i++) sum += quote->taxes[i].percent;
    return sum;
}

static const char *percent_change(const struct quote_comparison *c, double before, double now)
{
    if (before == now) return sentence_plain("quote-why-lines");
    return sentence_words(c->arena, "quote-why-percent",
                          ARGUMENTS(arg_number("now", now), arg_number("before", before)));
}

static void compare_sums(struct quote_comparison *c)
{
    const struct quote *now = c->now, *before = c->before;
    compare_sum(c, sentence_plain("quote-discount"), -before->discount, -now->discount,
                percent_change(c, before->discount_percent, now->discount_percent));
    compare_sum(c, sentence_plain("quote-net"), before->net, now->net, sentence_plain("quote-why-lines"));
    compare_sum(c, sentence_plain("quote-tax"), taxes_of(before), taxes_of(now),
                percent_change(c, tax_percents(before), tax_percents(now)));
    compare_sum(c, sentence_plain("quote-gross"), before->gross, now->gross,
                sentence_plain("quote-why-lines"));
}

void quote_compare(struct quote *quote, const struct quote *earlier, const char *file, struct arena *arena)
{
    struct quote_comparison c = {quote, earlier, arena, 0};
    if (!string_equal(quote->currency, earlier->currency)) return; /* amounts do not compare */
    quote->earlier = file, quote->earlier_net = earlier->net, quote->earlier_gross = earlier->gross;
    for (size_t i = 0; i < quote->line_count; i++)
        compare_line(&c, line_find(earlier, quote->lines[i].id), &quote->lines[i]);
    for (size_t i = 0; i < earlier->line_count; i++)
        if (!line_find(quote, earlier->lines[i].id)) compare_line(&c, &earlier->lines[i], NULL);
    compare_sums(&c);
}
