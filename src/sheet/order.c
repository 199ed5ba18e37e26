/* The order sheet and the delivery check list. */
#include "sheet/order.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "copies.h"
#include "pages.h"
#include <math.h>

static void order_put_fact(struct sheet_table *table, const char *what, const char *value)
{
    const char *cells[] = {arena_format(table->book->arena, "*%s", what), value};
    table_row(table, cells);
}

static const char *source_words(const struct measure *m)
{
    return measure_known(*m) && m->source ? m->source : "not said";
}

static const char *window_words(struct arena *arena, const struct film *laminate)
{
    if (!measure_known(laminate->room_low_c)) return sentence_plain("as-its-maker-says");
    return sentence_words(arena, "room-at-to-degrees-c-roller",
                          ARGUMENTS(arg_number("room_low_c", laminate->room_low_c.value),
                                    arg_number("room_high_c", laminate->room_high_c.value),
                                    arg_words("source", source_words(&laminate->room_low_c)),
                                    arg_number("temperature_low_c", laminate->temperature_low_c.value),
                                    arg_number("temperature_high_c", laminate->temperature_high_c.value),
                                    arg_words("source_2", source_words(&laminate->temperature_low_c))));
}

/* The most its film is stretched on any panel of the condition: what ink and laminate must take. */
static double most_stretch(const struct plan *plan, const struct condition *c)
{
    double most = 0;
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < plan->surfaces[i].panel_count; k++) {
            const struct panel *p = &plan->surfaces[i].panels[k];
            double stretch = fmax(p->stretch_percent, p->stretch_local_percent);
            if (plan->surfaces[i].surface->condition == c) most = fmax(most, stretch);
        }
    return most;
}

static const char *ordered_ink(const struct sheet *sheet, const struct condition *c)
{
    double stretch = most_stretch(sheet->plan, c);
    const char *takes = stretch > 0 ? sentence_words(sheet->arena, "it-must-stretch-with-film",
                                                     ARGUMENTS(arg_fixed("stretch", stretch, 1)))
                                    : "";
    if (c->ink->unknown)
        return sentence_words(sheet->arena, "yours-name-it-on-page-that",
                              ARGUMENTS(arg_words("takes", takes)));
    return arena_format(sheet->arena, "%s, %s%s", c->ink->name, ink_technology_name(c->ink->technology),
                        takes);
}

static const char *ordered_profile(const struct sheet *sheet, const struct condition *c)
{
    if (c->profile)
        return sentence_words(sheet->arena, "made-for-this-film-ink-and",
                              ARGUMENTS(arg_words("profile", c->profile),
                                        arg_words("mode", c->mode ? c->mode : "mode not said")));
    return sentence_plain("your-own-made-for-this-film");
}

static void put_condition(struct sheet *sheet, struct sheet_table *table, const struct condition *c)
{
    struct arena *arena = sheet->arena;
    order_put_fact(table, "Printing condition", c->name);
    order_put_fact(table, "Film",
                   sentence_words(arena, "no-other-without-asking",
                                  ARGUMENTS(arg_words("film", c->film->name),
                                            arg_words("film_kind", film_kind_name(c->film->kind)))));
    order_put_fact(table, "Ink", ordered_ink(sheet, c));
    order_put_fact(table, "Profile", ordered_profile(sheet, c));
    if (measure_known(c->ink_limit_percent))
        order_put_fact(table, "Most ink",
                       sentence_words(arena, "ink-limit-percent-of-all-channels",
                                      ARGUMENTS(arg_number("ink_limit_percent", c->ink_limit_percent.value),
                                                arg_words("source", source_words(&c->ink_limit_percent)))));
    order_put_fact(table, "Laminate",
                   !c->laminate ? "none"
                   : sheet->job->supply.prints_only && job_buys_prints(sheet->job)
                       ? sentence_plain("none-from-you-prints-come-without")
                       : arena_format(arena, "%s, %s%s%s; %s", c->laminate->name,
                                      film_kind_name(c->laminate->kind), c->laminate->finish ? ", " : "",
                                      c->laminate->finish ? c->laminate->finish : "",
                                      window_words(arena, c->laminate)));
}

static bool condition_before(const struct plan *plan, size_t surface)
{
    for (size_t i = 0; i < surface; i++)
        if (plan->surfaces[i].surface->condition == plan->surfaces[surface].surface->condition) return true;
    return false;
}

static void part_wanted(struct sheet *sheet)
{
    static const struct column columns[] = {{"What", 36, ALIGN_LEFT}, {"Wanted", 144, ALIGN_LEFT}};
    book_title(&sheet->book, sentence_plain("on-what-and-with-what"));
    struct sheet_table table = table_begin(&sheet->book, columns, 2, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->surface_count; i++) {
        const struct condition *c = sheet->plan->surfaces[i].surface->condition;
        if (c && !condition_before(sheet->plan, i)) put_condition(sheet, &table, c);
    }
    table_end(&table);
}

/* ---- who, where to, by when, how much ---- */

static const char *const to_fill_in = "______________________________";

/* When the prints are needed: as the plan has their delivery, else before its first work on them. */
static const char *wanted_words(const struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    for (size_t i = 0; i < plan->step_count; i++)
        if (plan->steps[i].kind == STEP_SUPPLY)
            return sentence_words(sheet->arena, "at-latest-say-at-once-when",
                                  ARGUMENTS(arg_words("date", date_words(sheet, plan->steps[i].end))));
    return to_fill_in;
}

/* Square metres of all prints, and how many. */
static const char *quantity_words(const struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    size_t panels = 0;
    double area = 0;
    bool once = true;
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&plan->surfaces[i]); k++) {
            const struct panel *panel = &plan->surfaces[i].panels[k];
            size_t prints = panel_copies(plan, panel);
            once = once && prints == 1;
            panels += prints, area += panel->area_m2 * (double)prints;
        }
    return sentence_words(sheet->arena, once ? "each-once-of-print" : "as-often-as-listed-of-print",
                          ARGUMENTS(arg_words("count", count_words(sheet->arena, panels, "panel", "panels")),
                                    arg_words("area", area_words(sheet, area)),
                                    arg_words("area_unit", area_unit(sheet))));
}

static void part_parties(struct sheet *sheet)
{
    static const struct column columns[] = {{"", 40, ALIGN_LEFT}, {"", 140, ALIGN_LEFT}};
    struct supply supply = sheet->job->supply;
    struct sheet_table table = table_bare(&sheet->book, columns, 2, TYPE_MM);
    order_put_fact(&table, "To", supply.supplier ? supply.supplier : to_fill_in);
    order_put_fact(&table, "Deliver to", supply.address ? supply.address : to_fill_in);
    order_put_fact(&table, "Wanted", wanted_words(sheet));
    order_put_fact(&table, "Quantity", quantity_words(sheet));
    order_put_fact(&table, "Ordered by, on", to_fill_in);
    table_end(&table);
}

/* ---- panels and their files ---- */

static void order_put_lot(struct sheet *sheet, struct sheet_table *table, const struct print_lot *lot)
{
    const struct panel *p = lot->panel;
    const struct surface_plan *surface = &sheet->plan->surfaces[lot->surface];
    struct arena *arena = sheet->arena;
    bool inches = sheet->options->inches;
    const char *queue = panel_queue_words(p, inches, arena);
    const char *cells[] = {
        arena_format(arena, "*%s", p->id),
        lot->file_name ? arena_format(arena, "%s, page %d%s%s", lot->file_name, lot->page, queue ? "; " : "",
                                      queue ? queue : "")
                       : "",
        arena_format(arena, "%zu", lot->copies),
        size_words(sheet, rect_width(p->print), rect_height(p->print)),
        length_words(arena, p->print_length_mm, inches, false),
        length_words(arena, p->roll_width_mm > 0 ? p->roll_width_mm : surface->roll_width_mm, inches, false),
        p->dry_s < 0 ? "does not dry" : arena_format(arena, "%.0f h", ceil(p->dry_s / 3600)),
    };
    table_row(table, cells);
}

static void part_panels(struct sheet *sheet)
{
    static const struct column columns[] = {{"Panel", 32, ALIGN_LEFT},        {"File", 66, ALIGN_LEFT},
                                            {"Copies", 19, ALIGN_RIGHT},      {"Print", 32, ALIGN_RIGHT},
                                            {"Page length", 24, ALIGN_RIGHT}, {"Film width", 18, ALIGN_RIGHT},
                                            {"Dry at least", 18, ALIGN_RIGHT}};
    book_title(&sheet->book, arena_format(sheet->arena, "Panels (%s)", length_unit(sheet)));
    struct sheet_table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, TYPE_MM);
    size_t count;
    const struct print_lot *lots = plan_lots(sheet->plan, sheet->arena, &count);
    for (size_t i = 0; i < count; i++) order_put_lot(sheet, &table, &lots[i]);
    table_end(&table);
}

/* What the printer compares what he got with. */
static void part_files(struct sheet *sheet)
{
    static const struct column columns[] = {{"File", 44, ALIGN_LEFT}, {"SHA-256", 138, ALIGN_LEFT}};
    const struct sheet_options *o = sheet->options;
    book_title(&sheet->book, sentence_plain("files-print-from-these-only"));
    if (!o->file_count) {
        book_words(&sheet->book, words_bold(TYPE_MM, ALIGN_LEFT),
                   sentence_plain("panel-files-are-not-made-yet"));
        return;
    }
    struct sheet_table table = table_begin(&sheet->book, columns, 2, TYPE_MM);
    for (size_t i = 0; i < o->file_count; i++) {
        const char *cells[] = {o->files[i].path, o->files[i].sha256};
        table_row(&table, cells);
    }
    table_end(&table);
}

/* Common practice, no source. */
static void part_how(struct sheet *sheet)
{
    bool laminates = !job_buys_prints(sheet->job) || !sheet->job->supply.prints_only;
    const char *points[8] = {
        sentence_plain("print-at-100-of-size-nothing"),
        sentence_plain("keep-every-mark-label-strips-at"),
        sentence_plain("dry-as-times-above-say-counted"),
        laminates ? sentence_plain("laminate-only-dry-prints-in-room")
                  : sentence_plain("do-not-laminate-prints-come-as"),
        sentence_plain("pack-wound-print-side-out-printed"),
        sentence_plain("say-before-printing-when-anything-here"),
    };
    size_t count = 0;
    for (; points[count]; count++) points[count] = said(sheet, points[count]);
    book_title(&sheet->book, "How");
    put_points(sheet, points, count);
}

static void part_record(struct sheet *sheet)
{
    const struct column columns[] = {{sentence_plain("printer-writes-down"), 76, ALIGN_LEFT},
                                     {"", 104, ALIGN_LEFT}};
    static const char *const rows[] = {"record-film",      "record-laminate", "record-ink",  "record-profile",
                                       "record-files",     "record-printed",  "record-hung", "record-room",
                                       "record-laminated", "record-lengths",  "record-by"};
    book_part(&sheet->book, sentence_plain("to-come-back-with-prints"), 120); /* on one page */
    struct sheet_table table = table_begin(&sheet->book, columns, 2, TYPE_MM);
    table.least_row_mm = 8;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *cells[] = {sentence_plain(rows[i]), NULL};
        table_row(&table, cells);
    }
    table_end(&table);
}

static void part_taken_in(struct sheet *sheet)
{
    static const struct column columns[] = {{"Delivery taken in", 60, ALIGN_LEFT},
                                            {"By", 40, ALIGN_LEFT},
                                            {"When", 40, ALIGN_LEFT},
                                            {"Accepted", 20, ALIGN_CENTRE},
                                            {"Refused", 20, ALIGN_CENTRE}};
    const char *cells[] = {sentence_plain("delivery-checks-made"), NULL, NULL, "[ ]", "[ ]"};
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    table.least_row_mm = 12;
    table_row(&table, cells);
    table_end(&table);
}

static void part_delivery(struct sheet *sheet)
{
    const struct column columns[] = {{sentence_plain("delivery-check"), 118, ALIGN_LEFT},
                                     {"Right", 16, ALIGN_LEFT},
                                     {"Wrong", 16, ALIGN_LEFT},
                                     {"Who", 30, ALIGN_LEFT}};
    static const char *const rows[] = {
        "delivery-panels", "delivery-materials", "delivery-record",  "delivery-dry",   "delivery-laminate",
        "delivery-colour", "delivery-print",     "delivery-lengths", "delivery-files", "delivery-winding",
    };
    book_new_page(&sheet->book, "Delivery check list");
    struct sheet_table table = table_begin(&sheet->book, columns, 4, TYPE_MM);
    table.least_row_mm = 9;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *cells[] = {said(sheet, sentence_plain(rows[i])), NULL, NULL, NULL};
        table_row(&table, cells);
    }
    table_end(&table);
    part_taken_in(sheet);
    book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("what-is-wrong-is-told-to"));
}

bool order_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                 const char *path, struct arena *arena, struct error *error)
{
    struct sheet sheet = {
        .book = {.arena = arena}, .plan = plan, .job = plan->input->job, .options = options, .arena = arena};
    book_new_page(&sheet.book, sentence_words(arena, "purchase-order-for-printing",
                                              ARGUMENTS(arg_words("number", sheet.job->number))));
    if (sheet.job->title) book_words(&sheet.book, words_of(4, ALIGN_LEFT), sheet.job->title);
    part_parties(&sheet);
    part_wanted(&sheet);
    part_panels(&sheet);
    part_files(&sheet);
    part_how(&sheet);
    part_record(&sheet);
    part_delivery(&sheet);
    return sheet_finish(&sheet, arena_format(arena, "%s purchase order", sheet.job->number), machine, path,
                        error);
}
