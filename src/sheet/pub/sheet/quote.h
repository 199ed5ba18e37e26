/* What a customer gets as a quote: scope, price, date, what is not included, how long it lasts, care, and room to
 * sign. No costs of the shop. */
#ifndef SHEET_QUOTE_H
#define SHEET_QUOTE_H

#include "model/quote.h"
#include "sheet/sheet.h"

/* PDF, A4 upright, one or two pages for a usual job. A quote with something missing is stamped as not complete. Appears
 * whole or not at all. */
bool quote_write(const struct plan *plan, const struct quote *quote, const struct sheet_options *options,
                 struct machine *machine, const char *path, struct arena *arena, struct error *error);
/* The shop's own: A4 lying, each line with its cost, what is left of it and where its figures come from; what is
 * missing, assumed and changed. Not for the customer. Likewise whole or not at all. */
bool quote_write_shop(const struct plan *plan, const struct quote *quote, const struct sheet_options *options,
                      struct machine *machine, const char *path, struct arena *arena, struct error *error);

#endif
