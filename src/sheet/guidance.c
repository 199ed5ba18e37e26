/* The parts that say what to mind: findings and installing. */
#include "pages.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "model/length_marks.h"
#include "model/practice.h"

/* ---- findings ---- */

static void add_acceptance(struct text *text, const char *what, const struct acceptance *a)
{
    text_addf(text, "\n%s%s%s: %s", what, a->who ? " by " : "", a->who ? a->who : "", a->words);
}

static const char *finding_words(const struct sheet *sheet, const struct finding *f)
{
    struct text text = text_new(sheet->arena);
    text_add(&text, f->text ? f->text : "");
    if (f->source) text_addf(&text, "\nLimit from: %s", f->source);
    if (f->accepted) add_acceptance(&text, "Accepted", f->accepted);
    if (f->lapsed) add_acceptance(&text, "Was accepted elsewhere, or when it was less", f->lapsed);
    return text_string(&text);
}

void part_findings(struct sheet *sheet)
{
    static const struct column columns[] = {{"", 7, ALIGN_LEFT},
                                            {"How serious", 23, ALIGN_LEFT},
                                            {"Where", 27, ALIGN_LEFT},
                                            {"What is the matter", 64, ALIGN_LEFT},
                                            {"What to do", 59, ALIGN_LEFT}};
    book_new_page(&sheet->book, "Findings");
    if (!sheet->finding_count) {
        book_words(&sheet->book, words_of(3, ALIGN_LEFT), "Nothing was found that stands in the way.");
        return;
    }
    book_words(
        &sheet->book, words_grey(2.6, ALIGN_LEFT),
        "Stop: must not be printed as it stands. Warning: a person must look. Note: said for the record.");
    book_gap(&sheet->book, 2);
    struct table table = table_begin(&sheet->book, columns, 5, 2.45);
    for (size_t i = 0; i < sheet->finding_count; i++) {
        const struct finding *f = sheet->findings[i];
        const char *cells[] = {NULL, arena_format(sheet->arena, "*%s", severity_word(f->severity)), f->where,
                               finding_words(sheet, f), f->remedy};
        double top = table_row(&table, cells);
        draw_severity(book_page(&sheet->book), (struct point){PAGE_MARGIN + 3.5, top + 2.9}, 3.4,
                      f->severity);
    }
    table_end(&table);
}

/* ---- installing ---- */

void put_point(struct sheet *sheet, const char *words)
{
    struct letters letters = words_of(2.7, ALIGN_LEFT);
    letters.most_mm = PAGE_INNER - 5;
    book_need(&sheet->book, draw_paragraph_height(letters, 0, words));
    struct drawing *page = book_page(&sheet->book);
    draw_rect(page, rect_of(PAGE_MARGIN + 1, sheet->book.y + 1.3, 1.2, 1.2), filled(ink_accent()));
    sheet->book.y +=
        draw_paragraph(page, (struct point){PAGE_MARGIN + 5, sheet->book.y}, letters, 0, words) + 0.9;
}

static const char *practice_words(struct arena *arena, const char *name)
{
    for (size_t i = 0; i < practice_count; i++)
        if (str_equal(str_from(practice_table[i].name), name))
            return arena_format(arena, "%g %s (%s)", practice_table[i].value, practice_table[i].unit,
                                practice_table[i].mark);
    return "not known";
}

static const char *order_words(const struct sheet *sheet, const struct surface_plan *sp)
{
    struct text text = text_new(sheet->arena);
    text_addf(&text, "%s: ", sp->surface->name);
    size_t named = 0;
    for (size_t order = 1; order <= sp->panel_count; order++)
        for (size_t i = 0; i < sp->panel_count; i++)
            if (sp->panels[i].order == (int)order)
                text_addf(&text, "%s%s", named++ ? ", then " : "", sp->panels[i].id);
    text_add(&text, ".");
    return text_string(&text);
}

static const char *corner_words(const struct sheet *sheet, const struct corner *corner)
{
    const char *under = string_equal(corner->over, corner->one) ? corner->other : corner->one;
    double wrap = corner->wrap_mm >= 0 ? corner->wrap_mm : practice_value("corner-wrap").value;
    return arena_format(
        sheet->arena,
        "Corner: %s first, cut at the corner; then %s, wrapped %s round it over %s and cut there.", under,
        corner->over, length_words(sheet->arena, wrap, sheet->options->inches, true), under);
}

static void put_order(struct sheet *sheet)
{
    book_title(&sheet->book, "Order and edges");
    for (size_t i = 0; i < sheet->plan->surface_count; i++)
        if (sheet->plan->surfaces[i].panel_count)
            put_point(sheet, order_words(sheet, &sheet->plan->surfaces[i]));
    for (size_t i = 0; i < sheet->job->corner_count; i++)
        put_point(sheet, corner_words(sheet, &sheet->job->corners[i]));
    put_point(
        sheet,
        "Edges face to the rear and down: what is nearer the front lies over, what is higher lies over. "
        "Cut the panel that lies over back to its visible edge. (common practice, no source)");
    put_point(sheet, "At a door gap nothing overlaps: cut along the gap and turn both edges in. (common "
                     "practice, no source)");
}

static const char *post_heat_words(const struct sheet *sheet)
{
    const struct condition *c = sheet->job->condition;
    if (c && c->film && measure_known(c->film->post_heat_c))
        return arena_format(sheet->arena,
                            "Post-heat every stretched place to %g degrees C (%s), and check it after a day.",
                            c->film->post_heat_c.value, c->film->post_heat_c.source);
    return "Post-heat every stretched place to the film maker's figure, which the shop file does not state: "
           "take it "
           "from the maker's bulletin. Check these places after a day.";
}

static void put_temperatures(struct sheet *sheet)
{
    struct arena *arena = sheet->arena;
    book_title(&sheet->book, "Temperatures and rest");
    put_point(sheet, arena_format(arena, "Film and vehicle when applying: at least %s, at most %s.",
                                  practice_words(arena, "apply-low"), practice_words(arena, "apply-high")));
    put_point(sheet, post_heat_words(sheet));
    put_point(sheet,
              arena_format(arena, "Rest after installing before the vehicle is washed or driven fast: %s.",
                           practice_words(arena, "install-rest")));
    put_point(
        sheet,
        "Tacky, soft or smelling of solvent means not dry; feeling dry proves nothing. Wait for the date.");
}

/* "0 to 1500: 1 500 mm": the first and last length mark, and what lies between them on a dry print. */
static const char *marks_words(const struct sheet *sheet, const struct surface_plan *surface,
                               const struct panel *panel)
{
    struct length_marks marks = panel_length_marks(surface, panel);
    if (!marks.count) return "too short";
    return arena_format(
        sheet->arena, "%.0f to %.0f: %s", marks.first_mm, marks.last_mm,
        length_words(sheet->arena, marks.last_mm - marks.first_mm, sheet->options->inches, true));
}

static void put_checks(struct sheet *sheet)
{
    static const struct column columns[] = {{"Panel", 36, ALIGN_LEFT},
                                            {"Marks and distance", 38, ALIGN_LEFT},
                                            {"Measured when dry", 36, ALIGN_LEFT},
                                            {"After laminating", 28, ALIGN_LEFT},
                                            {"Difference", 22, ALIGN_LEFT},
                                            {"Who", 20, ALIGN_LEFT}};
    book_title(&sheet->book, "Checks when dry");
    book_words(&sheet->book, words_of(2.7, ALIGN_LEFT),
               arena_format(sheet->arena,
                            "Measure between the first and the last length mark of every panel, dry and "
                            "again after laminating. "
                            "Neighbours that differ by more than %s at their seam are printed again before "
                            "anything is applied.",
                            practice_words(sheet->arena, "meet-tolerance")));
    book_gap(&sheet->book, 1.5);
    struct table table = table_begin(&sheet->book, columns, 6, 2.45);
    table.least_row_mm = 7;
    for (size_t i = 0; i < sheet->plan->surface_count; i++)
        for (size_t j = 0; j < sheet->plan->surfaces[i].panel_count; j++) {
            const struct surface_plan *surface = &sheet->plan->surfaces[i];
            const char *cells[6] = {surface->panels[j].id, marks_words(sheet, surface, &surface->panels[j])};
            table_row(&table, cells);
        }
    table_end(&table);
}

static void put_cautions(struct sheet *sheet)
{
    static const char *const cautions[] = {
        "Solvent vapour: ventilate, keep every source of ignition away, follow the ink's safety data sheet "
        "and the "
        "workplace limits that apply where you are.",
        "Blades and glass cut: cut away from yourself, never on the vehicle's glass or paint.",
        "The laminator's nip draws fingers, sleeves and hair in.",
        "Heat guns and hot film burn; hot air can crack cold, heated or double glazing.",
        "Ladders and platforms: on firm ground, secured, within the height and load allowed.",
        "Keep film off lights, reflectors, number plates, sensors and cameras, airbag covers, safety labels "
        "of fuel and "
        "charging openings, emergency exits and their markings.",
        "Window film and the driver's view, reflective marking and roof signs are governed by local law.",
        "Structural, electrical and airbag work is for licensed trades.",
    };
    book_title(&sheet->book, "Cautions");
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++) put_point(sheet, cautions[i]);
    book_words(&sheet->book, words_bold(2.7, ALIGN_LEFT),
               "Local codes and the makers' bulletins come before this sheet.");
}

void part_installing(struct sheet *sheet)
{
    book_new_page(&sheet->book, "Installing");
    put_cautions(sheet);
    put_order(sheet);
    put_temperatures(sheet);
    put_checks(sheet);
}
