/* The order sheet and the delivery check list. */
#include "sheet/order.h"
#include "base/arena.h"
#include "base/text.h"
#include "model/practice.h"
#include "pages.h"
#include <math.h>

static void put_fact(struct table *table, const char *what, const char *value)
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
    if (!measure_known(laminate->room_low_c)) return "as its maker says";
    return arena_format(arena, "room at %g to %g degrees C (%s), roller at %g to %g (%s)",
                        laminate->room_low_c.value, laminate->room_high_c.value,
                        source_words(&laminate->room_low_c), laminate->temperature_low_c.value,
                        laminate->temperature_high_c.value, source_words(&laminate->temperature_low_c));
}

static void put_condition(struct sheet *sheet, struct table *table, const struct condition *c)
{
    struct arena *arena = sheet->arena;
    put_fact(table, "Printing condition", c->name);
    put_fact(
        table, "Film",
        arena_format(arena, "%s, %s; no other without asking", c->film->name, film_kind_name(c->film->kind)));
    put_fact(table, "Ink",
             arena_format(arena, "%s, %s", c->ink->name, ink_technology_name(c->ink->technology)));
    put_fact(table, "Profile",
             c->profile ? arena_format(arena,
                                       "%s, made for this film, ink and mode (%s); no general profile, no "
                                       "colour change",
                                       c->profile, c->mode ? c->mode : "mode not said")
                        : "the one made for this film, ink and mode");
    if (measure_known(c->ink_limit_percent))
        put_fact(table, "Most ink",
                 arena_format(arena, "%g %% of all channels (%s)", c->ink_limit_percent.value,
                              source_words(&c->ink_limit_percent)));
    put_fact(table, "Laminate",
             c->laminate ? arena_format(arena, "%s, %s%s%s; %s", c->laminate->name,
                                        film_kind_name(c->laminate->kind), c->laminate->finish ? ", " : "",
                                        c->laminate->finish ? c->laminate->finish : "",
                                        window_words(arena, c->laminate))
                         : "none");
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
    book_title(&sheet->book, "On what, and with what");
    struct table table = table_begin(&sheet->book, columns, 2, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->surface_count; i++) {
        const struct condition *c = sheet->plan->surfaces[i].surface->condition;
        if (c && !condition_before(sheet->plan, i)) put_condition(sheet, &table, c);
    }
    table_end(&table);
}

static void put_panel(struct sheet *sheet, struct table *table, const struct panel *p)
{
    struct arena *arena = sheet->arena;
    const char *cells[] = {
        arena_format(arena, "*%s", p->id),
        p->file_name ? arena_format(arena, "%s, page %d", p->file_name, p->page) : "",
        arena_format(arena, "%s x %s",
                     length_words(arena, rect_width(p->print), sheet->options->inches, false),
                     length_words(arena, rect_height(p->print), sheet->options->inches, false)),
        length_words(arena, p->roll_width_mm, sheet->options->inches, false),
        p->dry_s < 0 ? "does not dry" : arena_format(arena, "%.0f h", ceil(p->dry_s / 3600)),
    };
    table_row(table, cells);
}

static void part_panels(struct sheet *sheet)
{
    static const struct column columns[] = {{"Panel", 34, ALIGN_LEFT},
                                            {"File", 72, ALIGN_LEFT},
                                            {"Print", 34, ALIGN_RIGHT},
                                            {"Film width", 20, ALIGN_RIGHT},
                                            {"Dry at least", 20, ALIGN_RIGHT}};
    book_title(&sheet->book, sheet->options->inches ? "Panels (in)" : "Panels (mm)");
    struct table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->surface_count; i++)
        for (size_t k = 0; k < surface_print_count(&sheet->plan->surfaces[i]); k++)
            put_panel(sheet, &table, &sheet->plan->surfaces[i].panels[k]);
    table_end(&table);
}

static void part_how(struct sheet *sheet)
{
    const char *points[] = {
        "Print at 100 % of size, nothing scaled, nothing turned; all panels of one surface one after the "
        "other, the same way up, on one "
        "batch of film (common practice, no source).",
        "Keep every mark: label strips at both ends, ticks at seams and edges, length marks, "
        "the code. Do not trim to the "
        "artwork.",
        "Dry as the times above say, counted from when the prints are cut and hung or wound loosely and "
        "stood upright: tightly wound "
        "prints do not dry (common practice, no source). Never outdoors. Dry to the touch is not dry.",
        "Laminate only dry prints, in the room named above, the laminate of one batch for one surface. Then "
        "24 h of rest before they are "
        "applied (common practice, no source); do not fold, send flat or rolled with the print outward on a "
        "wide core.",
        "Say before printing when anything here cannot be kept.",
    };
    for (size_t i = 0; i < sizeof points / sizeof *points; i++) points[i] = said(sheet, points[i]);
    book_title(&sheet->book, "How");
    put_points(sheet, points, sizeof points / sizeof *points);
}

static void part_record(struct sheet *sheet)
{
    static const struct column columns[] = {{"To be written down by the printer", 76, ALIGN_LEFT},
                                            {"", 104, ALIGN_LEFT}};
    static const char *const rows[] = {"Film: name, batch, roll",
                                       "Laminate: name, batch",
                                       "Ink: set, batch",
                                       "Profile and mode really used",
                                       "Printed: from, to",
                                       "Hung or loosened: when",
                                       "Room while drying: temperature, humidity",
                                       "Laminated: when, room temperature",
                                       "Length between first and last mark, each panel, dry",
                                       "By whom"};
    book_new_page(&sheet->book, "To come back with the prints");
    struct table table = table_begin(&sheet->book, columns, 2, TYPE_MM);
    table.least_row_mm = 8;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *cells[] = {rows[i], NULL};
        table_row(&table, cells);
    }
    table_end(&table);
}

static void part_delivery(struct sheet *sheet)
{
    static const struct column columns[] = {{"Check when it comes", 118, ALIGN_LEFT},
                                            {"Right", 16, ALIGN_LEFT},
                                            {"Wrong", 16, ALIGN_LEFT},
                                            {"Who", 30, ALIGN_LEFT}};
    static const char *const rows[] = {
        "Every panel is there, with its label at both ends",
        "Film, laminate and finish are those ordered; one batch for each surface",
        "The record of the page before is filled in; drying and rest were kept",
        "No smell of solvent, not tacky, not soft: else it is not dry, and is not applied",
        "No silvering, bubbles, tunnels or dirt under the laminate; edges hold when bent",
        "Colour of neighbouring panels side by side: no step (in the light it will be seen in)",
        "Lettering sharp, no banding, no head marks",
        "Neighbours' length marks agree within 1.5 mm at their seam (common practice, no source)",
        "Rolled loosely, print outward, or flat; no folds, no dents",
    };
    book_new_page(&sheet->book, "Delivery check list");
    struct table table = table_begin(&sheet->book, columns, 4, TYPE_MM);
    table.least_row_mm = 9;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *cells[] = {said(sheet, rows[i]), NULL, NULL, NULL};
        table_row(&table, cells);
    }
    table_end(&table);
    book_gap(&sheet->book, 3);
    book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
               "What is wrong is told to the printer before anything is applied. Solvent vapour: ventilate, "
               "no ignition source, and follow the "
               "ink's safety data sheet and local workplace limits.");
}

bool order_write(const struct plan *plan, const struct sheet_options *options, struct machine *machine,
                 const char *path, struct arena *arena, struct error *error)
{
    struct sheet sheet = {
        .book = {.arena = arena}, .plan = plan, .job = plan->input->job, .options = options, .arena = arena};
    book_new_page(&sheet.book, arena_format(arena, "Printing order %s", sheet.job->number));
    if (sheet.job->title) book_words(&sheet.book, words_of(4, ALIGN_LEFT), sheet.job->title);
    part_wanted(&sheet);
    part_panels(&sheet);
    part_how(&sheet);
    part_record(&sheet);
    part_delivery(&sheet);
    return sheet_finish(&sheet, arena_format(arena, "%s printing order", sheet.job->number), machine, path,
                        error);
}
