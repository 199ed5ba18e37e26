/* Pieces for recesses, and cuts that let film into them. */
#include "base/sentence.h"
#include "base/arena.h"
#include "pages.h"

static const char *inlay_place(const struct sheet *sheet, const struct feature *f)
{
    bool inches = sheet->options->inches;
    return arena_format(sheet->arena, "%s, x %s to %s, y %s to %s",
                        f->name ? f->name : feature_kind_name(f->kind),
                        length_words(sheet->arena, f->box.x0, inches, false),
                        length_words(sheet->arena, f->box.x1, inches, false),
                        length_words(sheet->arena, f->box.y0, inches, false),
                        length_words(sheet->arena, f->box.y1, inches, false));
}

static void put_inlay(struct sheet *sheet, struct sheet_table *table, const struct panel *inlay)
{
    const char *file = inlay->file_name
                           ? arena_format(sheet->arena, "%s, page %d", inlay->file_name, inlay->page)
                           : "not printed yet";
    const char *cells[] = {
        arena_format(sheet->arena, "*%s", inlay->id), inlay_place(sheet, inlay->inlay),
        size_words(sheet, rect_width(inlay->print), rect_height(inlay->print)),
        sentence_words(sheet->arena, "lay-it-in-recess-first-let", ARGUMENTS(arg_words("file", file)))};
    table_row(table, cells);
}

static void put_relief(struct sheet *sheet, struct sheet_table *table, const struct feature *f)
{
    const char *cells[] = {
        "*relief cuts", inlay_place(sheet, f), NULL,
        sentence_words(sheet->arena, "cut-film-from-each-corner-of",
                       ARGUMENTS(arg_words("length", length_words(sheet->arena, f->depth_mm,
                                                                  sheet->options->inches, true))))};
    table_row(table, cells);
}

void part_inlays(struct sheet *sheet, const struct surface_plan *sp)
{
    static const struct column columns[] = {{"Piece", 28, ALIGN_LEFT},
                                            {"Recess", 52, ALIGN_LEFT},
                                            {"Print", 24, ALIGN_RIGHT},
                                            {"What to do", 76, ALIGN_LEFT}};
    const struct surface *s = sp->surface;
    size_t count = 0;
    for (size_t i = 0; i < s->feature_count; i++) count += feature_has_piece(&s->features[i]);
    if (!count) return;
    book_title(&sheet->book, sentence_plain("inlays-and-relief-cuts"));
    struct sheet_table table = table_begin(&sheet->book, columns, 4, TYPE_MM);
    for (size_t i = sp->panel_count; i < surface_print_count(sp); i++)
        put_inlay(sheet, &table, &sp->panels[i]);
    for (size_t i = 0; i < s->feature_count; i++)
        if (feature_has_piece(&s->features[i]) && !s->features[i].inlay)
            put_relief(sheet, &table, &s->features[i]);
    table_end(&table);
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
               sentence_plain("blades-cut-hands-and-paint-cut"));
}
