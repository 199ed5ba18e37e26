/* A quote.json of an earlier run, read back: only what a later quote is compared with. */
#ifndef JOB_QUOTE_FILE_H
#define JOB_QUOTE_FILE_H

#include "base/machine.h"
#include "model/quote.h"

/* Lines (id, what, quantity, unit, rate, amount, included, estimated, basis), vehicles, discount, taxes, net, gross.
 * False: the file is not there, or is not a quote as this program writes it; `quote` is then left empty. */
bool job_read_quote(struct machine *machine, const char *path, struct arena *arena, struct quote *quote);

#endif
