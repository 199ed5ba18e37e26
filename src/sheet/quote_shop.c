/* The shop's own pages of a quote: what each line costs, what is left, and how it comes about. */
#include "base/arena.h"
#include "base/sentence.h"
#include "quote_page.h"

/* ---- lines ---- */

static void shop_line_put(struct quote_page *page, struct sheet_table *table, const struct quote_line *line)
{
    struct arena *arena = page->sheet.arena;
    const char *unknown = "?";
    const char *cells[] = {line->what,
                           quote_much_words(page, line),
                           line->included ? NULL : money_rate(line->rate, page->quote->digits, arena),
                           line->included ? "included" : quote_money(page, line->amount),
                           line->cost < 0 ? unknown : quote_money(page, line->cost),
                           line->cost < 0 ? unknown : quote_money(page, line->amount - line->cost),
                           arena_format(arena, "%s; %s", line->basis, line->rate_basis)};
    table_row(table, cells);
}

static void shop_sum_put(struct quote_page *page, struct sheet_table *table, const char *what,
                         money_minor amount)
{
    const char *cells[] = {arena_format(page->sheet.arena, "*%s", what),
                           NULL,
                           NULL,
                           quote_money(page, amount),
                           NULL,
                           NULL,
                           NULL};
    table_row(table, cells);
}

static void shop_sums_put(struct quote_page *page, struct sheet_table *table)
{
    const struct quote *q = page->quote;
    if (q->discount)
        shop_sum_put(page, table,
                     sentence_words(page->sheet.arena, "quote-discount-of",
                                    ARGUMENTS(arg_number("percent", q->discount_percent))),
                     -q->discount);
    shop_sum_put(page, table, sentence_plain("quote-net"), q->net);
    for (size_t i = 0; i < q->tax_count; i++)
        shop_sum_put(page, table, quote_tax_words(page, &q->taxes[i]), q->taxes[i].amount);
    shop_sum_put(page, table, sentence_plain("quote-gross"), q->gross);
    if (q->deposit) shop_sum_put(page, table, sentence_plain("quote-deposit-of"), q->deposit);
}

/* Sums stand together, with the last line over them. */
static double shop_sums_mm(const struct quote *q)
{
    const double row_mm = 5.6;
    size_t rows = 3 + q->tax_count + (q->discount ? 1 : 0) + (q->deposit ? 1 : 0);
    return row_mm * (double)rows;
}

static void shop_lines_put(struct quote_page *page)
{
    const struct column columns[] = {{"What", 54, ALIGN_LEFT},  {"Quantity", 24, ALIGN_RIGHT},
                                     {"Rate", 19, ALIGN_RIGHT}, {page->quote->currency, 24, ALIGN_RIGHT},
                                     {"Cost", 22, ALIGN_RIGHT}, {"Left", 22, ALIGN_RIGHT},
                                     {"Basis", 104, ALIGN_LEFT}};
    struct sheet_table table = table_begin(&page->sheet.book, columns, 7, TYPE_MM);
    for (size_t i = 0; i < page->quote->line_count; i++) {
        if (i + 1 == page->quote->line_count) table_keep(&table, 2 * TYPE_MM + shop_sums_mm(page->quote));
        shop_line_put(page, &table, &page->quote->lines[i]);
    }
    shop_sums_put(page, &table);
    table_end(&table);
}

static void shop_left_put(struct quote_page *page)
{
    const struct quote *q = page->quote;
    struct arena *arena = page->sheet.arena;
    money_minor price = q->costed - q->discount, left = price - q->cost;
    double percent = price > 0 ? 100 * (double)left / (double)price : 0;
    const char *words = sentence_words(
        arena, "quote-left",
        ARGUMENTS(arg_words("left", quote_money(page, left)), arg_words("currency", q->currency),
                  arg_fixed("percent", percent, 1), arg_words("price", quote_money(page, price)),
                  arg_words("cost", quote_money(page, q->cost))));
    const char *without = q->uncosted ? sentence_words(arena, "quote-left-without",
                                                       ARGUMENTS(arg_count("lines", (int64_t)q->uncosted)))
                                      : "";
    book_words(&page->sheet.book, words_bold(TYPE_MM, ALIGN_LEFT),
               arena_format(arena, "%s%s", words, without));
    book_gap(&page->sheet.book, 2);
}

/* ---- what stands beside the lines ---- */

static void shop_missing_put(struct quote_page *page)
{
    const struct quote *q = page->quote;
    const char **texts = arena_take_array(page->sheet.arena, q->missing_count + 1, sizeof *texts);
    for (size_t i = 0; i < q->missing_count; i++)
        texts[i] = arena_format(page->sheet.arena, "%s: %s", q->missing[i].what, q->missing[i].remedy);
    quote_put_list(page, "Missing", texts, q->missing_count);
}

static const char *quote_difference_words(const struct quote_page *page, const struct quote_change *change)
{
    money_minor difference = change->now - change->before;
    return arena_format(page->sheet.arena, "%s%s", difference > 0 ? "+" : "", quote_money(page, difference));
}

static void shop_changes_put(struct quote_page *page)
{
    static const struct column columns[] = {{"What", 56, ALIGN_LEFT},
                                            {"Before", 23, ALIGN_RIGHT},
                                            {"Now", 23, ALIGN_RIGHT},
                                            {"Difference", 23, ALIGN_RIGHT},
                                            {"Why", 144, ALIGN_LEFT}};
    const struct quote *q = page->quote;
    if (!q->earlier || !q->change_count) return;
    book_need(&page->sheet.book, 24);
    book_title(&page->sheet.book, sentence_words(page->sheet.arena, "quote-shop-changed",
                                                 ARGUMENTS(arg_words("file", q->earlier))));
    struct sheet_table table = table_begin(&page->sheet.book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < q->change_count; i++) {
        const struct quote_change *c = &q->changes[i];
        const char *cells[] = {c->what, c->was ? quote_money(page, c->before) : NULL,
                               c->is ? quote_money(page, c->now) : NULL, quote_difference_words(page, c),
                               c->why};
        table_row(&table, cells);
    }
    table_end(&table);
}

bool quote_write_shop(const struct plan *plan, const struct quote *quote, const struct sheet_options *options,
                      struct machine *machine, const char *path, struct arena *arena, struct error *error)
{
    struct quote_page page = quote_page_of(plan, quote, options, arena);
    struct book *book = &page.sheet.book;
    book->wide = true;
    book_new_page(book, sentence_words(arena, "quote-shop-heading", ARGUMENTS(arg_words("job", quote->job))));
    book_words(book, words_grey(TYPE_MM, ALIGN_LEFT),
               sentence_words(arena, "quote-shop-dates",
                              ARGUMENTS(arg_words("day", zone_day(quote->zone, quote->made, arena)),
                                        arg_words("until", quote_valid_words(quote, arena)),
                                        arg_words("finished", quote_finished_words(&page)))));
    book_gap(book, 2);
    shop_missing_put(&page);
    shop_lines_put(&page);
    shop_left_put(&page);
    quote_put_list(&page, "Taken as given", quote->assumed, quote->assumed_count);
    shop_changes_put(&page);
    return quote_page_finish(&page, sentence_plain("quote-shop-foot"),
                             arena_format(arena, "%s quote, shop", quote->job), machine, path, error);
}
