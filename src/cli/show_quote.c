/* Makes a quote and prints it: the shop's breakdown as words, JSON or CSV. Called by main.c. */
#include "show_quote.h"
#include "answer/quote.h"
#include "base/arena.h"
#include "base/quantity.h"
#include "base/sentence.h"
#include "run/quote.h"
#include "show.h"
#include <math.h>
#include <string.h>
#include <unistd.h>

bool quote_go(struct run *run, struct quote *quote, struct error *error)
{
    return run_quote(run, quote, error) && run_write_quote(run, quote, error) &&
           answer_write_quote(run, quote, error);
}

/* ---- words ---- */

enum { WHAT = 46, FIGURE = 12 };

static const char *shown_money(const struct quote *quote, money_minor minor, struct arena *arena)
{
    return money_decimal(minor, quote->digits, arena);
}

static const char *shown_money_signed(const struct quote *quote, money_minor minor, struct arena *arena)
{
    return arena_format(arena, "%s%s", minor > 0 ? "+" : "", shown_money(quote, minor, arena));
}

/* Bytes that begin a letter: UTF-8 continues with 10xxxxxx. */
static size_t letters_in(const char *words)
{
    size_t count = 0;
    for (; *words; words++) count += ((unsigned char)*words & 0xC0) != 0x80;
    return count;
}

static void pad_left(struct text *out, const char *words, size_t width)
{
    for (size_t i = letters_in(words); i < width; i++) text_add_char(out, ' ');
    text_add(out, words);
}

static void pad_right(struct text *out, const char *words, size_t width)
{
    text_add(out, words);
    for (size_t i = letters_in(words); i < width; i++) text_add_char(out, ' ');
}

static void show_quote_line(const struct quote *quote, const struct quote_line *line, struct text *out)
{
    struct arena *arena = out->arena;
    pad_right(out, line->what, WHAT);
    pad_left(out, quote_quantity_words(line->quantity, line->unit, arena), FIGURE);
    pad_right(out, "", 7);
    pad_left(out, line->included ? "included" : money_rate(line->rate, quote->digits, arena), FIGURE - 2);
    pad_left(out, shown_money(quote, line->amount, arena), FIGURE);
    pad_left(out, line->cost < 0 ? "?" : shown_money(quote, line->cost, arena), FIGURE);
    pad_left(out, line->cost < 0 ? "?" : shown_money(quote, line->amount - line->cost, arena), FIGURE);
    text_add(out, line->estimated ? "  estimated\n" : "\n");
    text_addf(out, "    %s; %s\n", line->basis, line->rate_basis);
}

static void show_quote_sum(const struct quote *quote, const char *what, money_minor amount, struct text *out)
{
    pad_right(out, what, WHAT + 2 * FIGURE + 5);
    pad_left(out, shown_money(quote, amount, out->arena), FIGURE);
    text_addf(out, " %s\n", quote->currency);
}

static void show_quote_sums(const struct quote *quote, struct text *out)
{
    struct arena *arena = out->arena;
    if (quote->discount)
        show_quote_sum(quote,
                       sentence_words(arena, "quote-discount-of",
                                      ARGUMENTS(arg_number("percent", quote->discount_percent))),
                       -quote->discount, out);
    show_quote_sum(quote, sentence_plain("quote-net"), quote->net, out);
    for (size_t i = 0; i < quote->tax_count; i++)
        show_quote_sum(
            quote,
            sentence_words(arena, "quote-tax-of",
                           ARGUMENTS(arg_words("name", quote->taxes[i].name ? quote->taxes[i].name : "Tax"),
                                     arg_number("percent", quote->taxes[i].percent))),
            quote->taxes[i].amount, out);
    show_quote_sum(quote, sentence_plain("quote-gross"), quote->gross, out);
    if (quote->deposit) show_quote_sum(quote, sentence_plain("quote-deposit-of"), quote->deposit, out);
}

static void show_quote_left(const struct quote *quote, struct text *out)
{
    struct arena *arena = out->arena;
    money_minor price = quote->costed - quote->discount, left = price - quote->cost;
    double percent = price > 0 ? 100 * (double)left / (double)price : 0;
    text_say(out, "quote-left",
             ARGUMENTS(arg_words("left", shown_money(quote, left, arena)),
                       arg_words("currency", quote->currency), arg_fixed("percent", percent, 1),
                       arg_words("price", shown_money(quote, price, arena)),
                       arg_words("cost", shown_money(quote, quote->cost, arena))));
    if (quote->uncosted)
        text_say(out, "quote-left-without", ARGUMENTS(arg_count("lines", (int64_t)quote->uncosted)));
    text_add_char(out, '\n');
}

static void show_quote_dates(const struct quote *quote, struct text *out)
{
    struct arena *arena = out->arena;
    text_say(out, "quote-dates",
             ARGUMENTS(arg_words("finished",
                                 quote->has_date ? zone_day(quote->zone, quote->finished, arena) : "no date"),
                       arg_words("until", quote_valid_words(quote, arena))));
}

static void show_quote_changes(const struct quote *quote, struct text *out)
{
    struct arena *arena = out->arena;
    if (!quote->earlier) return;
    text_say(out, "quote-changed",
             ARGUMENTS(arg_words("file", quote->earlier),
                       arg_words("before", shown_money(quote, quote->earlier_net, arena)),
                       arg_words("now", shown_money(quote, quote->net, arena)),
                       arg_words("currency", quote->currency)));
    pad_right(out, "", WHAT);
    pad_left(out, "before", FIGURE);
    pad_left(out, "now", FIGURE);
    pad_left(out, "difference", FIGURE);
    text_add_char(out, '\n');
    for (size_t i = 0; i < quote->change_count; i++) {
        const struct quote_change *c = &quote->changes[i];
        pad_right(out, c->what, WHAT);
        pad_left(out, c->was ? shown_money(quote, c->before, arena) : "-", FIGURE);
        pad_left(out, c->is ? shown_money(quote, c->now, arena) : "-", FIGURE);
        pad_left(out, shown_money_signed(quote, c->now - c->before, arena), FIGURE);
        text_addf(out, "\n    %s\n", c->why);
    }
}

static void show_quote_words(const struct run *run, const struct quote *quote, bool quiet, struct text *out)
{
    pad_right(out, arena_format(out->arena, "Quote %s", quote->job), WHAT + FIGURE - 2);
    pad_left(out, "", 9);
    pad_left(out, "rate", FIGURE - 2);
    pad_left(out, quote->currency, FIGURE);
    pad_left(out, "cost", FIGURE);
    pad_left(out, "left", FIGURE);
    text_add_char(out, '\n');
    for (size_t i = 0; i < quote->line_count; i++) show_quote_line(quote, &quote->lines[i], out);
    text_add_char(out, '\n');
    show_quote_sums(quote, out);
    text_add_char(out, '\n');
    show_quote_left(quote, out);
    show_quote_dates(quote, out);
    for (size_t i = 0; i < quote->missing_count; i++)
        text_say(out, "quote-missing",
                 ARGUMENTS(arg_words("what", quote->missing[i].what),
                           arg_words("remedy", quote->missing[i].remedy)));
    for (size_t i = 0; i < quote->assumed_count; i++)
        text_say(out, "quote-assumed", ARGUMENTS(arg_words("sentence", quote->assumed[i])));
    show_quote_changes(quote, out);
    for (size_t i = 0; i < run->written_count && !quiet; i++)
        text_addf(out, "written: %s\n", run->written[i]);
}

void show_quote(const struct run *run, const struct quote *quote, enum quote_form form, bool quiet)
{
    struct text out = text_new(run->arena);
    if (form == QUOTE_AS_JSON)
        answer_quote(quote, &out);
    else if (form == QUOTE_AS_CSV)
        answer_quote_csv(quote, &out);
    else
        show_quote_words(run, quote, quiet, &out);
    show_text(STDOUT_FILENO, &out);
}
