/* A fleet on the job sheet: a check list on which no number is doubled or missing, and a page for each vehicle with its
 * own prints and those that are alike on all. Called by the sheet as a whole. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "pages.h"

enum { FLEET_COLUMNS_SHOWN = 4 };

static const struct fleet *fleet_on(const struct sheet *sheet)
{
    return sheet->plan->vehicle_count ? sheet->job->fleet : NULL;
}

/* A cell that begins with * would be set bold without it. */
static const char *fleet_cell(const struct sheet *sheet, const char *words)
{
    return *words == '*' ? arena_format(sheet->arena, " %s", words) : words;
}

/* "panels/F-1_left_204.pdf, page 1" */
static const char *fleet_print_words(const struct sheet *sheet, const struct vehicle_print *print)
{
    return arena_format(sheet->arena, "%s, page %d", print->file_name, print->page);
}

/* ---- check list ---- */

static void fleet_check_row(struct sheet *sheet, struct sheet_table *table, size_t vehicle)
{
    const struct plan_vehicle *v = &sheet->plan->vehicles[vehicle];
    const struct fleet *fleet = fleet_on(sheet);
    const char *cells[FLEET_COLUMNS_SHOWN + 4] = {arena_format(sheet->arena, "%zu", vehicle + 1)};
    size_t shown = fleet->column_count < FLEET_COLUMNS_SHOWN ? fleet->column_count : FLEET_COLUMNS_SHOWN,
           n = 1;
    for (size_t i = 0; i < shown; i++) cells[n++] = fleet_cell(sheet, v->row->cells[i]);
    for (int i = 0; i < 3; i++) cells[n++] = "[ ]";
    table_row(table, cells);
}

static void fleet_check_list(struct sheet *sheet)
{
    const struct fleet *fleet = fleet_on(sheet);
    size_t shown = fleet->column_count < FLEET_COLUMNS_SHOWN ? fleet->column_count : FLEET_COLUMNS_SHOWN,
           n = 0;
    struct column columns[FLEET_COLUMNS_SHOWN + 4];
    columns[n++] = (struct column){"No.", 10, ALIGN_RIGHT};
    for (size_t i = 0; i < shown; i++) columns[n++] = (struct column){fleet->columns[i], 30, ALIGN_LEFT};
    columns[n++] = (struct column){"Printed", 16, ALIGN_CENTRE};
    columns[n++] = (struct column){"Installed", 18, ALIGN_CENTRE};
    columns[n++] = (struct column){"Words read", 30, ALIGN_CENTRE};
    struct sheet_table table = table_begin(&sheet->book, columns, n, TYPE_MM);
    for (size_t v = 0; v < sheet->plan->vehicle_count; v++) fleet_check_row(sheet, &table, v);
    table_end(&table);
}

/* ---- one vehicle ---- */

static void fleet_fields(struct sheet *sheet, const struct plan_vehicle *v)
{
    static const struct column columns[] = {{"Field", 40, ALIGN_LEFT}, {"Reads", 120, ALIGN_LEFT}};
    const struct fleet *fleet = fleet_on(sheet);
    struct sheet_table table = table_begin(&sheet->book, columns, 2, TYPE_MM);
    for (size_t i = 0; i < fleet->column_count; i++)
        table_row(&table, (const char *[]){fleet_cell(sheet, fleet->columns[i]),
                                           fleet_cell(sheet, v->row->cells[i])});
    table_end(&table);
}

static void fleet_own_prints(struct sheet *sheet, const struct plan_vehicle *v)
{
    static const struct column columns[] = {{"Own print", 34, ALIGN_LEFT},
                                            {"Copies", 16, ALIGN_RIGHT},
                                            {"File", 90, ALIGN_LEFT},
                                            {"Printed", 16, ALIGN_CENTRE},
                                            {"Installed", 18, ALIGN_CENTRE}};
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < v->print_count; i++) {
        const struct panel *panel = &sheet->plan->surfaces[v->prints[i].surface].panels[v->prints[i].panel];
        table_row(&table,
                  (const char *[]){panel->id,
                                   arena_format(sheet->arena, "%d", panel->copies > 1 ? panel->copies : 1),
                                   fleet_print_words(sheet, &v->prints[i]), "[ ]", "[ ]"});
    }
    table_end(&table);
}

/* The ids of prints that are alike on all vehicles, with how many one vehicle takes: "left-2, left-emblem-1 x 2". */
static const char *fleet_common_words(const struct sheet *sheet)
{
    struct text ids = text_new(sheet->arena);
    bool several = false;
    for (size_t i = 0; i < sheet->plan->surface_count; i++) {
        const struct surface_plan *surface = &sheet->plan->surfaces[i];
        int each = surface_copies(surface->surface);
        for (size_t k = 0; k < surface_print_count(surface); k++) {
            if (surface->panels[k].varies) continue;
            text_addf(&ids, "%s%s", ids.length ? ", " : "", surface->panels[k].id);
            if (each > 1) text_addf(&ids, "\u00a0x\u00a0%d", each), several = true;
        }
    }
    return ids.length
               ? sentence_words(sheet->arena, "sheet-prints-alike",
                                ARGUMENTS(arg_words("ids", text_string(&ids)), arg_flag("several", several)))
               : sentence_plain("sheet-no-prints-alike");
}

static void fleet_vehicle_page(struct sheet *sheet, size_t vehicle, const char *common)
{
    const struct plan_vehicle *v = &sheet->plan->vehicles[vehicle];
    struct book *book = &sheet->book;
    book_new_page(
        book,
        sentence_words(sheet->arena, "sheet-vehicle-of",
                       ARGUMENTS(arg_words("name", v->row->name), arg_count("number", (int64_t)vehicle + 1),
                                 arg_count("vehicles", (int64_t)sheet->plan->vehicle_count))));
    fleet_fields(sheet, v);
    book_gap(book, 4);
    if (v->print_count) fleet_own_prints(sheet, v);
    book_gap(book, 4);
    book_words(book, words_of(TYPE_MM, ALIGN_LEFT), common);
    book_gap(book, 6);
    book_words(book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("sheet-vehicle-sign"));
}

void part_fleet(struct sheet *sheet)
{
    if (!fleet_on(sheet)) return;
    struct book *book = &sheet->book;
    book_new_page(book, sentence_plain("sheet-vehicles"));
    book_words(book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("sheet-vehicles-check"));
    book_gap(book, 3);
    fleet_check_list(sheet);
    const char *common = fleet_common_words(sheet);
    for (size_t v = 0; v < sheet->plan->vehicle_count; v++) fleet_vehicle_page(sheet, v, common);
}
