/* The customer's quote. */
#include "base/arena.h"
#include "base/quantity.h"
#include "base/sentence.h"
#include "base/text.h"
#include "quote_page.h"
#include <math.h>

static const double LABEL_MM = 30, SIGNING_MM = 30;
enum { CARE_USUAL = 5 };

/* ---- words ---- */

const char *quote_money(const struct quote_page *page, money_minor minor)
{
    return quantity_figure((double)minor / pow(10, page->quote->digits), page->quote->digits,
                           page->sheet.arena);
}

const char *quote_much_words(const struct quote_page *page, const struct quote_line *line)
{
    struct arena *arena = page->sheet.arena;
    if (line->quantity < 1000 * 100) return quote_quantity_words(line->quantity, line->unit, arena);
    return arena_format(arena, "%s %s", quantity_figure((double)line->quantity / 100, 2, arena), line->unit);
}

static const char *quote_money_named(const struct quote_page *page, money_minor minor)
{
    return arena_format(page->sheet.arena, "%s %s", quote_money(page, minor), page->quote->currency);
}

static const char *percent_words(struct arena *arena, double percent)
{
    struct text text = text_new(arena);
    text_add_number(&text, percent, 6);
    text_add(&text, " %");
    return text_string(&text);
}

const char *quote_tax_words(const struct quote_page *page, const struct quote_tax *tax)
{
    return arena_format(page->sheet.arena, "%s, %s", tax->name ? tax->name : sentence_plain("quote-tax"),
                        percent_words(page->sheet.arena, tax->percent));
}

/* ---- head ---- */

static void put_letterhead(struct quote_page *page)
{
    struct book *book = &page->sheet.book;
    const struct quote_texts *lines = &page->quote->terms->letterhead;
    for (size_t i = 0; i < lines->count; i++) {
        book_words(book, i ? words_grey(TYPE_MM, ALIGN_LEFT) : words_bold(4.2, ALIGN_LEFT), lines->items[i]);
    }
}

static void quote_put_fact(struct quote_page *page, const char *label, const char *value)
{
    struct book *book = &page->sheet.book;
    struct letters letters = words_of(TYPE_MM, ALIGN_LEFT);
    if (!value || !*value) return;
    letters.most_mm = book_inner(book) - LABEL_MM;
    draw_text(book_page(book), (struct point){book_left(book), book->y + TYPE_MM},
              words_grey(TYPE_MM, ALIGN_LEFT), label);
    book->y += draw_paragraph(book_page(book), (struct point){book_left(book) + LABEL_MM, book->y}, letters,
                              4, value) +
               1.2;
}

const char *quote_finished_words(const struct quote_page *page)
{
    const struct quote *q = page->quote;
    if (!q->has_date) return sentence_plain("quote-no-date");
    return sentence_words(page->sheet.arena, "quote-finished",
                          ARGUMENTS(arg_words("day", zone_day(q->zone, q->finished, page->sheet.arena)),
                                    arg_flag("several", q->vehicles > 1)));
}

/* "6 alike: long van" */
static const char *quote_vehicles_words(const struct quote *q, struct arena *arena)
{
    if (!q->vehicle)
        return sentence_words(arena, "quote-identical-unnamed",
                              ARGUMENTS(arg_count("vehicles", q->vehicles)));
    return sentence_words(arena, "quote-identical",
                          ARGUMENTS(arg_count("vehicles", q->vehicles), arg_words("vehicle", q->vehicle)));
}

static void put_head_facts(struct quote_page *page)
{
    const struct quote *q = page->quote;
    struct arena *arena = page->sheet.arena;
    quote_put_fact(page, "Customer", q->customer);
    quote_put_fact(page, "Vehicle", q->vehicles == 1 ? q->vehicle : quote_vehicles_words(q, arena));
    quote_put_fact(page, "Quote of", zone_day(q->zone, q->made, arena));
    quote_put_fact(page, "Valid until", quote_valid_words(q, arena));
    quote_put_fact(page, "Finished", quote_finished_words(page));
    if (q->estimated) quote_put_fact(page, "Artwork", sentence_plain("quote-artwork-follows"));
    book_gap(&page->sheet.book, 1.5);
}

/* The letterhead stands at the right of what the quote is for. */
static void quote_put_head(struct quote_page *page)
{
    const double gutter_mm = 8, letterhead_mm = 58;
    struct book *book = &page->sheet.book;
    bool beside = page->quote->terms->letterhead.count > 0;
    double x = book_left(book), inner = book_inner(book), y = book->y;
    if (beside) book_column(book, x, inner - letterhead_mm - gutter_mm, y);
    if (page->quote->title) {
        book_words(book, words_bold(4, ALIGN_LEFT), page->quote->title);
        book_gap(book, 1);
    }
    put_head_facts(page);
    if (!beside) return;
    double end = book->y;
    book_column(book, x + inner - letterhead_mm, letterhead_mm, y);
    put_letterhead(page);
    book_column(book, 0, 0, fmax(end, book->y + 1.5));
}

static void put_pictures(struct quote_page *page)
{
    struct sheet *sheet = &page->sheet;
    struct picture_options options = picture_options(sheet, page->pictures_mm);
    options.plain = true;
    book_drawing(&sheet->book, sheet_vehicle_picture(sheet->plan, sheet->previews, options, sheet->arena));
    book_gap(&sheet->book, 2);
}

/* ---- lines and sums ---- */

static void quote_put_line(struct quote_page *page, struct sheet_table *table, const struct quote_line *line)
{
    struct arena *arena = page->sheet.arena;
    const char *cells[] = {line->what, quote_much_words(page, line),
                           line->included ? NULL : money_rate(line->rate, page->quote->digits, arena),
                           line->included ? "included" : quote_money(page, line->amount)};
    table_row(table, cells);
}

static void put_sum(struct quote_page *page, struct sheet_table *table, const char *what, const char *amount,
                    bool bold)
{
    struct arena *arena = page->sheet.arena;
    const char *cells[] = {arena_format(arena, "%s%s", bold ? "*" : "", what),
                           arena_format(arena, "%s%s", bold ? "*" : "", amount)};
    table_row(table, cells);
}

static void put_sums(struct quote_page *page)
{
    static const struct column columns[] = {{"", 142, ALIGN_RIGHT}, {"", 40, ALIGN_RIGHT}};
    const struct quote *q = page->quote;
    struct arena *arena = page->sheet.arena;
    struct sheet_table table = table_bare(&page->sheet.book, columns, 2, TYPE_MM);
    book_need(&page->sheet.book, 30);
    if (q->discount)
        put_sum(page, &table,
                sentence_words(arena, "quote-discount-for",
                               ARGUMENTS(arg_number("percent", q->discount_percent),
                                         arg_count("vehicles", q->vehicles))),
                arena_format(arena, "-%s", quote_money(page, q->discount)), false);
    put_sum(page, &table, sentence_plain("quote-net"), quote_money(page, q->net), false);
    for (size_t i = 0; i < q->tax_count; i++)
        put_sum(page, &table, quote_tax_words(page, &q->taxes[i]), quote_money(page, q->taxes[i].amount),
                false);
    put_sum(page, &table, sentence_plain("quote-gross"), quote_money_named(page, q->gross), true);
    if (q->deposit)
        put_sum(page, &table,
                sentence_words(arena, "quote-deposit", ARGUMENTS(arg_number("percent", q->deposit_percent))),
                quote_money_named(page, q->deposit), false);
    table_end(&table);
}

static void quote_put_lines(struct quote_page *page)
{
    const struct column columns[] = {{"What", 86, ALIGN_LEFT},
                                     {"Quantity", 32, ALIGN_RIGHT},
                                     {"Rate", 28, ALIGN_RIGHT},
                                     {page->quote->currency, 36, ALIGN_RIGHT}};
    struct sheet_table table = table_begin(&page->sheet.book, columns, 4, TYPE_MM);
    for (size_t i = 0; i < page->quote->line_count; i++) quote_put_line(page, &table, &page->quote->lines[i]);
    page->sheet.book.y += 0.6;
    put_sums(page);
}

/* ---- what holds ---- */

void quote_put_list(struct quote_page *page, const char *heading, const char *const *texts, size_t count)
{
    if (!count) return;
    book_need(&page->sheet.book, 16);
    book_title(&page->sheet.book, heading);
    put_points(&page->sheet, texts, count);
    book_gap(&page->sheet.book, 1);
}

static const char *lasting_words(const struct quote_page *page, bool lying)
{
    const struct quote_lasting *weakest = quote_weakest(page->quote, lying);
    if (!weakest) return NULL;
    return sentence_words(page->sheet.arena, "quote-lasts",
                          ARGUMENTS(arg_number("years", weakest->years.value), arg_flag("lying", lying),
                                    arg_words("part", weakest->part), arg_words("name", weakest->name)));
}

/* The parts that say nothing may be weaker. */
static const char *unknown_words(const struct quote_page *page)
{
    for (size_t i = 0; i < page->quote->lasting_count; i++)
        if (*page->quote->lasting[i].unknown)
            return sentence_words(page->sheet.arena, "quote-lasts-unknown",
                                  ARGUMENTS(arg_words("unknown", page->quote->lasting[i].unknown)));
    return NULL;
}

static void put_lasting(struct quote_page *page)
{
    const char *texts[3];
    size_t count = 0;
    const char *all[] = {lasting_words(page, false), lasting_words(page, true), unknown_words(page)};
    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (all[i]) texts[count++] = all[i];
    quote_put_list(page, sentence_plain("quote-how-long"), texts, count);
}

/* Common practice, no source, where the shop writes none. */
static void put_care(struct quote_page *page)
{
    const struct quote_texts *care = &page->quote->terms->care;
    const char *const usual[CARE_USUAL] = {
        sentence_plain("quote-care-wait"), sentence_plain("quote-care-wash"),
        sentence_plain("quote-care-jet"), sentence_plain("quote-care-spills"),
        sentence_plain("quote-care-edges")};
    if (care->count)
        quote_put_list(page, "Care", care->items, care->count);
    else
        quote_put_list(page, "Care", usual, CARE_USUAL);
}

static void put_terms(struct quote_page *page)
{
    const struct quote *q = page->quote;
    const char *texts[2 * QUOTE_TEXTS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < q->terms->terms.count; i++) texts[count++] = q->terms->terms.items[i];
    for (size_t i = 0; i < q->job_terms->terms.count; i++) texts[count++] = q->job_terms->terms.items[i];
    quote_put_list(page, "Terms", texts, count);
}

/* What is bought beside what to know of it. */
static void put_scope(void *context)
{
    struct quote_page *page = context;
    quote_put_list(page, "Not included", page->quote->excluded, page->quote->excluded_count);
    put_lasting(page);
    put_terms(page);
}

static void put_advice(void *context)
{
    struct quote_page *page = context;
    quote_put_list(page, "Taken as given", page->quote->assumed, page->quote->assumed_count);
    put_care(page);
}

/* ---- signing ---- */

static void put_signing(struct quote_page *page)
{
    const double gap_mm = 8;
    struct book *book = &page->sheet.book;
    book_need(book, SIGNING_MM);
    book_title(book, sentence_plain("quote-order"));
    book_words(book, words_of(TYPE_MM, ALIGN_LEFT),
               sentence_words(page->sheet.arena, "quote-i-order",
                              ARGUMENTS(arg_words("job", page->quote->job),
                                        arg_words("gross", quote_money_named(page, page->quote->gross)),
                                        arg_words("day", zone_day(page->quote->zone, page->quote->made,
                                                                  page->sheet.arena)))));
    static const char *const labels[] = {"Place and date", "Name", "Signature"};
    double width = (book_inner(book) - 2 * gap_mm) / 3, line = book->y + 12;
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
        double x = book_left(book) + (double)i * (width + gap_mm);
        draw_line(book_page(book), (struct point){x, line}, (struct point){x + width, line},
                  line_of(ink_black(), 0.2));
        draw_text(book_page(book), (struct point){x, line + 4}, words_grey(TYPE_MM, ALIGN_LEFT), labels[i]);
    }
    book->y = line + 7;
}

/* ---- the file ---- */

static const char *quote_stamp_words(const struct quote *quote, struct arena *arena)
{
    if (!quote->missing_count) return NULL;
    return sentence_words(arena, "quote-incomplete",
                          ARGUMENTS(arg_count("missing", (int64_t)quote->missing_count)));
}

/* What holds and the room to sign stand on one page: nobody signs a page that says nothing. Texts of the shop
 * that are longer than a page follow each other. */
static void put_closing(struct quote_page *page)
{
    struct book *book = &page->sheet.book;
    double half = book_half(book), high = fmax(book_height_of(book, half, put_scope, page),
                                               book_height_of(book, half, put_advice, page));
    if (high + SIGNING_MM < book_room(book) - SIGNING_MM) {
        book_need(book, high + SIGNING_MM);
        book_side_by_side(book, put_scope, put_advice, page);
    } else {
        put_scope(page);
        put_advice(page);
    }
    put_signing(page);
}

static void put_pages(struct quote_page *page)
{
    book_new_page(&page->sheet.book, arena_format(page->sheet.arena, "Quote %s", page->quote->job));
    quote_put_head(page);
    put_pictures(page);
    quote_put_lines(page);
    put_closing(page);
}

/* On one page where smaller pictures make it fit. */
static void put_quote(struct quote_page *page)
{
    static const double heights_mm[] = {62, 44, 30, 22};
    const struct book empty = page->sheet.book;
    for (size_t i = 0; i < sizeof heights_mm / sizeof *heights_mm; i++) {
        page->sheet.book = empty, page->pictures_mm = heights_mm[i];
        put_pages(page);
        if (page->sheet.book.count == 1) return;
    }
    page->sheet.book = empty, page->pictures_mm = heights_mm[0];
    put_pages(page);
}

struct quote_page quote_page_of(const struct plan *plan, const struct quote *quote,
                                const struct sheet_options *options, struct arena *arena)
{
    return (struct quote_page){
        .sheet = {.book = {.arena = arena, .stamped = quote_stamp_words(quote, arena) != NULL},
                  .plan = plan,
                  .job = plan->input->job,
                  .previews = options->previews,
                  .options = options,
                  .arena = arena},
        .quote = quote};
}

bool quote_page_finish(const struct quote_page *page, const char *foot, const char *name,
                       struct machine *machine, const char *path, struct error *error)
{
    const struct quote *quote = page->quote;
    struct arena *arena = page->sheet.arena;
    struct binding binding = {
        .number = quote->job,
        .title = quote->title,
        .made = arena_format(arena, "quote of %s", zone_day(quote->zone, quote->made, arena)),
        .foot = foot,
        .stamp = quote_stamp_words(quote, arena),
    };
    return book_finish(&page->sheet.book, &binding, name, page->sheet.options->date, machine, path, error);
}

bool quote_write(const struct plan *plan, const struct quote *quote, const struct sheet_options *options,
                 struct machine *machine, const char *path, struct arena *arena, struct error *error)
{
    struct quote_page page = quote_page_of(plan, quote, options, arena);
    const struct quote_texts *head = &quote->terms->letterhead;
    put_quote(&page);
    return quote_page_finish(&page, head->count ? head->items[0] : "",
                             arena_format(arena, "%s quote", quote->job), machine, path, error);
}
