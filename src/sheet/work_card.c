/* The card that goes with the panels: what is checked before printing, and for each panel its roll, who did
 * what, when, and the lengths. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "copies.h"
#include "model/length_marks.h"
#include "model/practice.h"
#include "pages.h"
#include <stdlib.h>
#include <string.h>

static const double WRITE_MM =
    7; /* a row to write in by hand, as ruled paper has it (common practice, no source) */

/* ---- before printing ---- */

static bool is_first_with(const struct plan *plan, size_t surface)
{
    for (size_t i = 0; i < surface; i++)
        if (plan->surfaces[i].surface->condition == plan->surfaces[surface].surface->condition) return false;
    return true;
}

static const char *profile_check_words(const struct sheet *sheet, const struct condition *c)
{
    if (c->in_printer)
        return sentence_words(sheet->arena, "profile-in-printers-own-software-for",
                              ARGUMENTS(arg_words("film", c->film ? c->film->name : "this film"),
                                        arg_words("mode", c->mode ? c->mode : "as agreed")));
    return sentence_words(
        sheet->arena, "profile-chosen-mode-nothing-scaled",
        ARGUMENTS(arg_words("profile", c->profile ? c->profile : sentence_plain("for-this-film-and-ink")),
                  arg_words("mode", c->mode ? c->mode : "as agreed")));
}

static void put_checks_before(struct sheet *sheet)
{
    static const struct column columns[] = {{"Before printing", 130, ALIGN_LEFT},
                                            {"Found", 56, ALIGN_LEFT},
                                            {"Right", 16, ALIGN_CENTRE},
                                            {"By", 30, ALIGN_LEFT},
                                            {"When", 30, ALIGN_LEFT}};
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    table.least_row_mm = WRITE_MM + sheet->spread_mm;
    for (size_t i = 0; i < sheet->plan->surface_count; i++) {
        const struct condition *c = sheet->plan->surfaces[i].surface->condition;
        if (!c || !is_first_with(sheet->plan, i)) continue;
        const char *nozzles[] = {sentence_words(sheet->arena, "nozzle-check-printed-no-nozzle-missing",
                                                ARGUMENTS(arg_words("c", c->name))),
                                 NULL, "[ ]", NULL, NULL};
        const char *profile[] = {arena_format(sheet->arena, "%s: %s", c->name, profile_check_words(sheet, c)),
                                 NULL, "[ ]", NULL, NULL};
        table_row(&table, nozzles);
        table_row(&table, profile);
    }
    table_end(&table);
}

/* ---- for each panel ---- */

/* "1 500 mm": what lies between the first and the last length mark of a dry print, and which marks. */
static const char *marks_words(const struct sheet *sheet, const struct surface_plan *surface,
                               const struct panel *panel)
{
    struct length_marks marks = panel_length_marks(surface, panel);
    bool inches = sheet->options->inches;
    if (!marks.count) return surface->surface->contour_cut ? "none" : "too short";
    return arena_format(sheet->arena, "%s to %s: %s",
                        length_words(sheet->arena, marks.first_mm, inches, false),
                        length_words(sheet->arena, marks.last_mm, inches, false),
                        length_words(sheet->arena, marks.last_mm - marks.first_mm, inches, true));
}

/* A row; `vehicle`: whose print it is, NULL where it is alike on all. */
static void card_put_row(const struct sheet *sheet, struct sheet_table *table,
                         const struct surface_plan *surface, const struct panel *panel, const char *vehicle)
{
    int copies = panel->copies > 1 ? panel->copies : 1;
    const char *name = vehicle ? arena_format(sheet->arena, "%s %s", panel->id, vehicle) : panel->id;
    if (copies > 1)
        name = sentence_words(sheet->arena, "card-copies",
                              ARGUMENTS(arg_words("name", name), arg_count("copies", copies)));
    const char *cells[9] = {arena_format(sheet->arena, "*%s", name), marks_words(sheet, surface, panel)};
    if (!surface->surface->condition || !surface->surface->condition->laminate) cells[6] = "no laminate";
    table_row(table, cells);
}

/* A row for each vehicle where its print is its own. */
static void card_put_panel(const struct sheet *sheet, struct sheet_table *table,
                           const struct surface_plan *surface, const struct panel *panel)
{
    if (!panel->varies) card_put_row(sheet, table, surface, panel, NULL);
    for (size_t v = 0; panel->varies && v < sheet->plan->vehicle_count; v++)
        card_put_row(sheet, table, surface, panel, sheet->plan->vehicles[v].row->name);
}

static void put_panels(struct sheet *sheet)
{
    const struct column columns[] = {{"Panel", 28, ALIGN_LEFT},
                                     {"Length marks", 38, ALIGN_LEFT},
                                     {"Roll, batch", 27, ALIGN_LEFT},
                                     {"Printed: by, when", 28, ALIGN_LEFT},
                                     {"Hung: by, when", 29, ALIGN_LEFT},
                                     {"Measured dry", 21, ALIGN_LEFT},
                                     {sentence_plain("card-laminated"), 34, ALIGN_LEFT},
                                     {"Measured again", 21, ALIGN_LEFT},
                                     {"Installed: by, when", 31, ALIGN_LEFT}};
    struct sheet_table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, TYPE_MM);
    table.least_row_mm = WRITE_MM + sheet->spread_mm;
    for (size_t i = 0; i < sheet->plan->surface_count; i++)
        for (size_t j = 0; j < surface_print_count(&sheet->plan->surfaces[i]); j++)
            card_put_panel(sheet, &table, &sheet->plan->surfaces[i], &sheet->plan->surfaces[i].panels[j]);
    table_end(&table);
}

void part_work_card(struct sheet *sheet)
{
    struct measure meet = practice_value("meet-tolerance");
    book_part(&sheet->book, "Work card", 55);
    put_checks_before(sheet);
    book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
               sentence_words(sheet->arena, "measured-when-dry-between-first-and",
                              ARGUMENTS(arg_words("length", length_words(sheet->arena, meet.value,
                                                                         sheet->options->inches, true)),
                                        arg_words("meet_source", meet.source))));
    book_gap(&sheet->book, 1.5);
    put_panels(sheet);
}

/* ---- at the end ---- */

void part_handing_over(struct sheet *sheet)
{
    const struct column columns[] = {{sentence_plain("handover"), 120, ALIGN_LEFT},
                                     {"Right", 16, ALIGN_CENTRE},
                                     {"By", 50, ALIGN_LEFT},
                                     {"When", 40, ALIGN_LEFT}};
    static const char *const rows[] = {"handover-edges", "handover-refitted", "handover-free",
                                       "handover-passed", "handover-received"};
    book_part(&sheet->book, "Handing over", 50);
    struct sheet_table table = table_begin(&sheet->book, columns, 4, TYPE_MM);
    table.least_row_mm = WRITE_MM + sheet->spread_mm;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bool signing = i + 1 == sizeof rows / sizeof *rows;
        const char *cells[] = {sentence_plain(rows[i]), signing ? NULL : "[ ]", NULL, NULL};
        if (signing) table.least_row_mm = 14 + sheet->spread_mm;
        table_row(&table, cells);
    }
    table_end(&table);
}
