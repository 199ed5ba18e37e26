/* Quotes as JSON and CSV. */
#include "answer/answer.h"
#include "answer/quote.h"
#include "base/arena.h"
#include "base/json.h"
#include "run/quote.h"
#include <string.h>

static const char *answer_money(const struct quote *quote, money_minor minor, struct arena *arena)
{
    return money_decimal(minor, quote->digits, arena);
}

static const char *answer_percent(double percent, struct arena *arena)
{
    struct text text = text_new(arena);
    text_add_number(&text, percent, 6);
    return text_string(&text);
}

static void quote_line_json(struct json *json, const struct quote *quote, const struct quote_line *line)
{
    struct arena *arena = json->out->arena;
    bool costed = line->cost >= 0;
    json_open_object_inline(json, NULL);
    json_string(json, "id", line->id);
    json_string(json, "what", line->what);
    json_string(json, "kind", quote_kind_names[line->kind]);
    json_string(json, "quantity", quote_quantity(line->quantity, arena));
    json_string(json, "unit", line->unit);
    json_string(json, "quantity_words", quote_quantity_words(line->quantity, line->unit, arena));
    json_string(json, "rate", money_rate(line->rate, quote->digits, arena));
    json_string(json, "amount", answer_money(quote, line->amount, arena));
    if (line->included) json_bool(json, "included", true);
    if (line->estimated) json_bool(json, "estimated", true);
    json_string(json, "basis", line->basis);
    json_string(json, "rate_basis", line->rate_basis);
    json_string(json, "cost", costed ? answer_money(quote, line->cost, arena) : NULL);
    json_string(json, "left", costed ? answer_money(quote, line->amount - line->cost, arena) : NULL);
    json_close(json);
}

static void quote_sums_json(struct json *json, const struct quote *quote)
{
    struct arena *arena = json->out->arena;
    json_string(json, "discount", answer_money(quote, quote->discount, arena));
    json_string(json, "discount_percent", answer_percent(quote->discount_percent, arena));
    json_string(json, "net", answer_money(quote, quote->net, arena));
    json_open_list(json, "tax");
    for (size_t i = 0; i < quote->tax_count; i++) {
        json_open_object_inline(json, NULL);
        json_string(json, "name", quote->taxes[i].name);
        json_string(json, "percent", answer_percent(quote->taxes[i].percent, arena));
        json_string(json, "amount", answer_money(quote, quote->taxes[i].amount, arena));
        json_close(json);
    }
    json_close(json);
    json_string(json, "gross", answer_money(quote, quote->gross, arena));
    json_string(json, "deposit", answer_money(quote, quote->deposit, arena));
}

static void quote_shop_json(struct json *json, const struct quote *quote)
{
    struct arena *arena = json->out->arena;
    money_minor left = quote->costed - quote->discount - quote->cost;
    json_open_object_inline(json, "shop");
    json_string(json, "cost", answer_money(quote, quote->cost, arena));
    json_string(json, "left", answer_money(quote, left, arena));
    json_whole(json, "lines_without_cost", (int64_t)quote->uncosted);
    json_close(json);
}

static void quote_texts_json(struct json *json, const char *key, const char *const *texts, size_t count)
{
    json_open_list(json, key);
    for (size_t i = 0; i < count; i++) json_string(json, NULL, texts[i]);
    json_close(json);
}

static void quote_missing_json(struct json *json, const struct quote *quote)
{
    json_open_list(json, "missing");
    for (size_t i = 0; i < quote->missing_count; i++)
        json_string(
            json, NULL,
            arena_format(json->out->arena, "%s: %s", quote->missing[i].what, quote->missing[i].remedy));
    json_close(json);
}

static void quote_lasting_json(struct json *json, const struct quote *quote, bool lying)
{
    const struct quote_lasting *weakest = quote_weakest(quote, lying);
    if (!weakest) return;
    json_open_object_inline(json, lying ? "lying" : "upright");
    json_number(json, "years", weakest->years.value, 3);
    json_string(json, "part", weakest->part);
    json_string(json, "name", weakest->name);
    json_string(json, "surface", weakest->surface);
    json_close(json);
}

static void quote_change_json(struct json *json, const struct quote *quote, const struct quote_change *change)
{
    struct arena *arena = json->out->arena;
    json_open_object_inline(json, NULL);
    json_string(json, "what", change->what);
    json_string(json, "before", change->was ? answer_money(quote, change->before, arena) : NULL);
    json_string(json, "now", change->is ? answer_money(quote, change->now, arena) : NULL);
    json_string(json, "difference", answer_money(quote, change->now - change->before, arena));
    json_string(json, "why", change->why);
    json_close(json);
}

static void quote_before_json(struct json *json, const struct quote *quote)
{
    struct arena *arena = json->out->arena;
    if (!quote->earlier) {
        json_null(json, "before");
    } else {
        json_open_object_inline(json, "before");
        json_string(json, "file", quote->earlier);
        json_string(json, "net", answer_money(quote, quote->earlier_net, arena));
        json_string(json, "gross", answer_money(quote, quote->earlier_gross, arena));
        json_close(json);
    }
    json_open_list(json, "changes");
    for (size_t i = 0; i < quote->change_count; i++) quote_change_json(json, quote, &quote->changes[i]);
    json_close(json);
}

static void quote_head_json(struct json *json, const struct quote *quote)
{
    struct arena *arena = json->out->arena;
    struct civil_date until = quote->valid_until;
    json_string(json, "format", QUOTE_FORMAT);
    json_string(json, "job", quote->job);
    json_string(json, "currency", quote->currency);
    json_whole(json, "vehicles", quote->vehicles);
    json_string(json, "made", zone_iso(quote->zone, quote->made, arena));
    json_string(json, "valid_until", civil_day_words(until.year, until.month, until.day, arena));
    json_string(json, "valid_words", quote_valid_words(quote, arena));
    json_string(json, "finished", quote->has_date ? zone_iso(quote->zone, quote->finished, arena) : NULL);
    json_string(json, "finished_words",
                quote->has_date ? zone_day(quote->zone, quote->finished, arena) : NULL);
    json_bool(json, "estimated", quote->estimated);
}

void answer_quote(const struct quote *quote, struct text *out)
{
    struct json json = json_new(out);
    json_open_object(&json, NULL);
    quote_head_json(&json, quote);
    json_open_list(&json, "lines");
    for (size_t i = 0; i < quote->line_count; i++) quote_line_json(&json, quote, &quote->lines[i]);
    json_close(&json);
    quote_sums_json(&json, quote);
    quote_missing_json(&json, quote);
    quote_texts_json(&json, "assumed", quote->assumed, quote->assumed_count);
    quote_texts_json(&json, "not_included", quote->excluded, quote->excluded_count);
    json_open_object(&json, "lasts");
    quote_lasting_json(&json, quote, false);
    quote_lasting_json(&json, quote, true);
    json_close(&json);
    quote_shop_json(&json, quote);
    quote_before_json(&json, quote);
    json_close(&json);
}

bool answer_write_quote(struct run *run, const struct quote *quote, struct error *error)
{
    struct text out = text_new(run->arena);
    answer_quote(quote, &out);
    return run_write_file(run, "quote.json", (struct str){text_string(&out), out.length}, error);
}

/* ---- CSV (RFC 4180) ---- */

static void csv_cell(struct text *out, const char *words, bool last)
{
    bool quoted = words && words[strcspn(words, ",\"\r\n")];
    if (quoted) text_add_char(out, '"');
    for (; words && *words; words++) {
        if (*words == '"') text_add_char(out, '"');
        text_add_char(out, *words);
    }
    if (quoted) text_add_char(out, '"');
    text_add(out, last ? "\r\n" : ",");
}

static void csv_row(struct text *out, const char *const *cells, size_t count)
{
    for (size_t i = 0; i < count; i++) csv_cell(out, cells[i], i + 1 == count);
}

enum { CSV_COLUMNS = 10 };

static void csv_line(struct text *out, const struct quote *quote, const struct quote_line *line)
{
    struct arena *arena = out->arena;
    const char *cells[CSV_COLUMNS] = {quote_kind_names[line->kind],
                                      line->what,
                                      quote_quantity(line->quantity, arena),
                                      line->unit,
                                      money_rate(line->rate, quote->digits, arena),
                                      answer_money(quote, line->amount, arena),
                                      line->cost < 0 ? NULL : answer_money(quote, line->cost, arena),
                                      line->estimated ? "yes" : "no",
                                      line->basis,
                                      line->rate_basis};
    csv_row(out, cells, CSV_COLUMNS);
}

static void csv_sum(struct text *out, const struct quote *quote, const char *kind, const char *what,
                    money_minor amount)
{
    const char *cells[CSV_COLUMNS] = {kind, what, NULL, NULL, NULL, answer_money(quote, amount, out->arena)};
    csv_row(out, cells, CSV_COLUMNS);
}

void answer_quote_csv(const struct quote *quote, struct text *out)
{
    static const char *const heads[CSV_COLUMNS] = {"kind",   "what", "quantity",  "unit",  "rate",
                                                   "amount", "cost", "estimated", "basis", "rate_basis"};
    csv_row(out, heads, CSV_COLUMNS);
    for (size_t i = 0; i < quote->line_count; i++) csv_line(out, quote, &quote->lines[i]);
    csv_sum(out, quote, "discount", answer_percent(quote->discount_percent, out->arena), -quote->discount);
    csv_sum(out, quote, "net", quote->currency, quote->net);
    for (size_t i = 0; i < quote->tax_count; i++)
        csv_sum(out, quote, "tax", answer_percent(quote->taxes[i].percent, out->arena),
                quote->taxes[i].amount);
    csv_sum(out, quote, "gross", quote->currency, quote->gross);
    for (size_t i = 0; i < quote->missing_count; i++) {
        const char *cells[CSV_COLUMNS] = {"missing", quote->missing[i].what, [8] = quote->missing[i].remedy};
        csv_row(out, cells, CSV_COLUMNS);
    }
}
