/* A quote of a job, with or without artwork: the room quote makes it of a plan, here it meets the job folder.
 *
 * Open the run with options.quoting. The quote before it is OUT/quote.json; when the new one says anything else than
 * that (dates aside), the old file is kept as OUT/quote-1.json, quote-2.json ..., and each line that differs is told
 * with why. A quote that says the same takes its place and is told against the last one kept. */
#ifndef RUN_QUOTE_H
#define RUN_QUOTE_H

#include "model/quote.h"
#include "run/run.h"

/* After run_plan. options.vehicles 0: as the job says. */
bool run_quote(struct run *run, struct quote *quote, struct error *error);
/* OUT/quote.pdf for the customer, OUT/quote-shop.pdf for the shop; keeps the quote before it. OUT/quote.json is then written by who makes JSON. */
bool run_write_quote(struct run *run, const struct quote *quote, struct error *error);

#endif
