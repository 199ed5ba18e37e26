/* From a plan and what the shop charges to a quote. Pure: no file, clock or global; the same input gives the same
 * quote. doc/quote.md says in words how each line comes about. */
#ifndef QUOTE_QUOTE_H
#define QUOTE_QUOTE_H

#include "base/error.h"
#include "model/quote.h"

struct quote_input {
    const struct plan *plan; /* of one vehicle, without pieces that are printed again */
    int vehicles;            /* identical ones, 1 .. VEHICLES_MOST */
    int64_t made;            /* UTC seconds */
    bool has_date;
    int64_t finished; /* of the last vehicle */
    const struct quote_lasting *lasting;
    size_t lasting_count;
};

/* In the arena, borrowing from the input. False (FAILURE_INPUT): a line or sum comes to more than MONEY_MOST. */
bool quote_make(const struct quote_input *input, struct arena *arena, struct quote *quote,
                struct error *error);
/* What the shop's rates make of a plan for the job's vehicles, without tax, in hundredths of the currency; the same as
 * a quote's net. False: a line has no rate, or is too large. A plan's `ask`. */
bool quote_price(const struct plan *plan, struct arena *arena, money_minor *asked);
/* Whether two quotes of a job say the same but for their dates. */
bool quote_is_same(const struct quote *one, const struct quote *other);
/* Fills quote->earlier and quote->changes: each line, discount, tax and sum that the quote in `file` (its name) has
 * otherwise, with why. */
void quote_compare(struct quote *quote, const struct quote *earlier, const char *file, struct arena *arena);

#endif
