/* For printing that is bought in: a purchase order for the supplier and the check list for the delivery. */
#ifndef SHEET_ORDER_H
#define SHEET_ORDER_H

#include "sheet/sheet.h"

/* PDF, A4 upright: what is ordered (panels with their files), on what (film, laminate, ink, profile), how
 * (drying, laminating, marks), what the supplier writes down, and what is checked when it comes.
 * `options.files` are the panel files as the plan names them, with their digests; none: not made yet. Appears whole or
 * not at all. */
bool order_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                 const char *path, struct arena *arena, struct error *error);

#endif
