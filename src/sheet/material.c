/* What is used, and, on a page that can be left off, what it costs. */
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "pages.h"
#include "sheet/pictures.h"

static const char *money_words(const struct sheet *sheet, money_minor sum)
{
    struct text text = text_new(sheet->arena);
    text_add_fixed(&text, (double)sum / 100, 2);
    return text_string(&text);
}

static const char *amount_words(const struct sheet *sheet, const struct material_line *line)
{
    if (str_equal(str_from(line->unit), "mm"))
        return said(sheet, arena_format(sheet->arena, "%.2f m", line->amount / 1000));
    return arena_format(sheet->arena, "%.1f %s", line->amount, line->unit ? line->unit : "");
}

static void put_materials(struct sheet *sheet)
{
    const struct column columns[] = {
        {"What", 30, ALIGN_LEFT},
        {"Name", 80, ALIGN_LEFT},
        {"Amount", 30, ALIGN_RIGHT},
        {"Wide", 26, ALIGN_RIGHT},
        {arena_format(sheet->arena, "Area %s", area_unit(sheet)), 22, ALIGN_RIGHT}};
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->material_count; i++) {
        const struct material_line *m = &sheet->plan->materials[i];
        const char *cells[] = {
            m->what,
            m->name,
            amount_words(sheet, m),
            m->width_mm > 0 ? length_words(sheet->arena, m->width_mm, sheet->options->inches, true) : NULL,
            m->area_m2 > 0 ? area_words(sheet, m->area_m2) : NULL,
        };
        table_row(&table, cells);
    }
    table_end(&table);
}

void part_material(struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    book_part(&sheet->book, "Material", 30);
    put_materials(sheet);
    for (size_t i = 0; i < plan->roll_count; i++) {
        struct picture_options options = picture_options(sheet, book_room(&sheet->book) - 20);
        options.no_title = false;
        const struct drawing *picture = sheet_roll_picture(&plan->rolls[i], plan, options, sheet->arena);
        if (!i) {
            book_need(&sheet->book, drawing_height(picture) + 11); /* with its title */
            book_title(&sheet->book, "On the roll");
        }
        book_drawing(&sheet->book, picture);
        book_gap(&sheet->book, 3);
    }
}

/* ---- costs ---- */

static void put_material_costs(struct sheet *sheet, const char *currency)
{
    const struct column columns[] = {{"Material", 30, ALIGN_LEFT},
                                     {"Name", 80, ALIGN_LEFT},
                                     {"Amount", 30, ALIGN_RIGHT},
                                     {currency, 30, ALIGN_RIGHT}};
    struct sheet_table table = table_begin(&sheet->book, columns, 4, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->material_count; i++) {
        const struct material_line *m = &sheet->plan->materials[i];
        const char *cells[] = {m->what, m->name, amount_words(sheet, m),
                               m->missing ? "no price" : money_words(sheet, m->cost)};
        table_row(&table, cells);
    }
    table_end(&table);
}

static void put_buys(struct sheet *sheet, const char *currency)
{
    const struct column columns[] = {{"To buy", 30, ALIGN_LEFT},
                                     {"Name", 60, ALIGN_LEFT},
                                     {"Rolls", 22, ALIGN_RIGHT},
                                     {"Of", 44, ALIGN_RIGHT},
                                     {currency, 24, ALIGN_RIGHT}};
    if (!sheet->plan->buy_count) return;
    book_title(&sheet->book, "Whole rolls");
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->buy_count; i++) {
        const struct buy_line *b = &sheet->plan->buys[i];
        const char *cells[] = {
            b->what, b->film->name, arena_format(sheet->arena, "%zu", b->rolls),
            said(sheet, arena_format(sheet->arena, "%g mm x %g m", b->width_mm, b->film->length_mm / 1000)),
            b->missing ? "no price" : money_words(sheet, b->cost)};
        table_row(&table, cells);
    }
    static const struct column sum_columns[] = {{"", 156, ALIGN_LEFT}, {"", 24, ALIGN_RIGHT}};
    struct sheet_table sum = table_bare(&sheet->book, sum_columns, 2, TYPE_MM);
    const char *cash[] = {arena_format(sheet->arena, "*%s", sentence_plain("cash-for-rolls")),
                          arena_format(sheet->arena, "*%s", money_words(sheet, sheet->plan->cash))};
    table_row(&sum, cash);
    table_end(&sum);
}

static const char *asked_price_words(const struct sheet *sheet)
{
    int vehicles = sheet->job->vehicles;
    if (!sheet->plan->quoted) return sentence_plain("price-with-margin");
    if (vehicles == 1) return sentence_plain("price-as-quoted");
    return sentence_words(sheet->arena, "price-as-quoted-for-vehicles",
                          ARGUMENTS(arg_count("vehicles", vehicles)));
}

static void put_hours(struct sheet *sheet, const char *currency)
{
    const struct column columns[] = {
        {"Work", 90, ALIGN_LEFT}, {"Hours", 26, ALIGN_RIGHT}, {currency, 64, ALIGN_RIGHT}};
    struct sheet_table table = table_begin(&sheet->book, columns, 3, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->cost_count; i++) {
        const struct cost_line *c = &sheet->plan->costs[i];
        const char *cells[] = {
            c->what, c->hours > 0 ? arena_format(sheet->arena, "%.2f", c->hours) : NULL,
            c->missing ? sentence_words(sheet->arena, "without-what-is-not-priced",
                                        ARGUMENTS(arg_words("money", money_words(sheet, c->cost))))
                       : money_words(sheet, c->cost)};
        table_row(&table, cells);
    }
    const char *total[] = {"*Cost", NULL,
                           arena_format(sheet->arena, "*%s", money_words(sheet, sheet->plan->total_cost))};
    const char *price[] = {arena_format(sheet->arena, "*%s", asked_price_words(sheet)), NULL,
                           arena_format(sheet->arena, "*%s", money_words(sheet, sheet->plan->asked))};
    table_row(&table, total);
    table_row(&table, price);
    table_end(&table);
    if (sheet->plan->missing_count)
        book_words(&sheet->book, words_bold(TYPE_MM, ALIGN_LEFT),
                   sentence_words(sheet->arena, "cost-and-price-leave-out-what",
                                  ARGUMENTS(arg_words("list", list_words(sheet->arena, sheet->plan->missing,
                                                                         sheet->plan->missing_count)))));
    if (sheet->plan->unpriced_count)
        book_words(&sheet->book, words_bold(TYPE_MM, ALIGN_LEFT),
                   sentence_words(sheet->arena, "cost-and-price-are-without",
                                  ARGUMENTS(arg_words("list", list_words(sheet->arena, sheet->plan->unpriced,
                                                                         sheet->plan->unpriced_count)))));
}

void part_costs(struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    const char *currency =
        sheet->job->shop && sheet->job->shop->currency ? sheet->job->shop->currency : "cost";
    if (sheet->options->no_cost) return;
    book_new_page(&sheet->book, "Costs");
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
               "For the office: this page can be taken off, or left out with --no-cost.");
    book_gap(&sheet->book, 1);
    const double gutter_mm = 8, top = sheet->book.y, half = (book_inner(&sheet->book) - gutter_mm) / 2;
    if (sheet->book.wide) book_column(&sheet->book, PAGE_MARGIN, half, top);
    put_material_costs(sheet, currency);
    put_buys(sheet, currency);
    double end = sheet->book.y;
    if (sheet->book.wide) book_column(&sheet->book, PAGE_MARGIN + half + gutter_mm, half, top);
    if (plan->cost_count) {
        if (!sheet->book.wide) book_title(&sheet->book, "Work and price");
        put_hours(sheet, currency);
    }
    book_column(&sheet->book, 0, 0, end > sheet->book.y ? end : sheet->book.y);
}
