/* A quote as a program reads it. Amounts, rates, quantities and percents are decimals as strings, plain digits.
 *
 *     {"format", "job", "currency", "vehicles", "made", "valid_until": "2027-03-31", "valid_words",
 *      "finished": time or null, "finished_words", "estimated",
 *      "lines": [{"id", "what", "kind", "quantity", "unit", "rate", "amount", "basis", "rate_basis",
 *                 "included": true, "estimated": true (left out when false),
 *                 "cost": what it costs the shop or null, "left": amount less cost or null}],
 *      "discount", "discount_percent", "net", "tax": [{"name", "percent", "amount"}], "gross", "deposit",
 *      "missing": ["what: remedy"], "assumed", "not_included": [sentences],
 *      "lasts": {"upright": {"years", "part", "name", "surface"}, "lying": ...},
 *      "shop": {"cost", "left", "lines_without_cost"},
 *      "before": {"file", "net", "gross"} or null, "changes": [{"what", "before", "now", "why"}]} */
#ifndef ANSWER_QUOTE_H
#define ANSWER_QUOTE_H

#include "base/error.h"
#include "base/text.h"

struct quote;
struct run;

#define QUOTE_FORMAT "lapstrake-quote/1"

void answer_quote(const struct quote *quote, struct text *out);
/* The lines, then the sums, as a table for a spreadsheet (RFC 4180). */
void answer_quote_csv(const struct quote *quote, struct text *out);
/* OUT/quote.json, whole or not at all. */
bool answer_write_quote(struct run *run, const struct quote *quote, struct error *error);

#endif
