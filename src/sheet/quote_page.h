/* Private: what the customer's quote and the shop's share. */
#ifndef SHEET_QUOTE_PAGE_H
#define SHEET_QUOTE_PAGE_H

#include "model/quote.h"
#include "pages.h"
#include "sheet/quote.h"

struct quote_page {
    struct sheet sheet;
    const struct quote *quote;
    double pictures_mm; /* their height at most */
};

struct quote_page quote_page_of(const struct plan *plan, const struct quote *quote,
                                const struct sheet_options *options, struct arena *arena);
/* How much of it: "2 parts", "1 133.19 ml". */
const char *quote_much_words(const struct quote_page *page, const struct quote_line *line);
/* "2 872.55", in the currency's digits. */
const char *quote_money(const struct quote_page *page, money_minor minor);
const char *quote_tax_words(const struct quote_page *page, const struct quote_tax *tax); /* "VAT, 23 %" */
/* "Wed 10 Mar 2027, if ordered ...", or that no date can be given. */
const char *quote_finished_words(const struct quote_page *page);
void quote_put_list(struct quote_page *page, const char *heading, const char *const *texts, size_t count);
bool quote_page_finish(const struct quote_page *page, const char *foot, const char *name,
                       struct machine *machine, const char *path, struct error *error);

#endif
