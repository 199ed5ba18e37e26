/* Private to cli: the command `quote`. */
#ifndef CLI_SHOW_QUOTE_H
#define CLI_SHOW_QUOTE_H

#include "run/run.h"
#include "model/quote.h"

enum quote_form { QUOTE_AS_WORDS, QUOTE_AS_JSON, QUOTE_AS_CSV };

/* Of a planned run: makes the quote and its files. */
bool quote_go(struct run *run, struct quote *quote, struct error *error);
/* The quote for the shop: with cost, what is left, what is missing, what changed. */
void show_quote(const struct run *run, const struct quote *quote, enum quote_form form, bool quiet);

#endif
