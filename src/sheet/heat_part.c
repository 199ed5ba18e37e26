/* Where a surface has more ink than its film takes. */
#include "base/arena.h"
#include "base/text.h"
#include "pages.h"
#include "sheet/pictures.h"

static const char *heat_source_words(const struct ink_heat *heat, struct arena *arena)
{
    const char *estimated =
        arena_format(arena, "estimated from a rendering at %.0f pixels per inch", heat->estimate_ppi);
    if (!heat->counted)
        return arena_format(arena, "The ink is %s; making TIFF panels counts it at full size.", estimated);
    if (!heat->estimated) return "The ink is counted at full size, on every pixel of the print files.";
    return arena_format(
        arena, "The ink is counted at full size where panels were made with this sheet; the rest is %s.",
        estimated);
}

static const char *panels_at(const struct sheet *sheet, const struct surface_plan *sp, struct rect box)
{
    struct text text = text_new(sheet->arena);
    for (size_t i = 0; i < sp->panel_count; i++)
        if (rect_overlaps(sp->panels[i].print, box))
            text_addf(&text, "%s%s", text.length ? ", " : "", sp->panels[i].id);
    return text_string(&text);
}

static const struct ink_heat *heat_of(const struct sheet *sheet, size_t surface)
{
    return sheet->options->heats ? sheet->options->heats[surface] : NULL;
}

static void put_places(struct sheet *sheet, struct table *table, size_t surface)
{
    const struct ink_heat *heat = heat_of(sheet, surface);
    bool inches = sheet->options->inches;
    for (size_t i = 0; i < heat->place_count; i++) {
        struct rect box = heat->places[i].box;
        const char *cells[] = {arena_format(sheet->arena, "*%c", (int)('A' + i)),
                               arena_format(sheet->arena, "%.0f %%", heat->places[i].peak_percent),
                               length_words(sheet->arena, (box.x0 + box.x1) / 2, inches, false),
                               length_words(sheet->arena, (box.y0 + box.y1) / 2, inches, false),
                               size_words(sheet, rect_width(box), rect_height(box)),
                               panels_at(sheet, &sheet->plan->surfaces[surface], box)};
        table_row(table, cells);
    }
}

/* One table for all of them; with a picture of a surface that stands alone. */
static void put_heats(struct sheet *sheet, const size_t *surfaces, size_t count)
{
    static const struct column columns[] = {{"Place", 14, ALIGN_CENTRE},   {"Ink", 26, ALIGN_RIGHT},
                                            {"Middle x", 22, ALIGN_RIGHT}, {"Middle y", 22, ALIGN_RIGHT},
                                            {"Size", 32, ALIGN_RIGHT},     {"On panels", 64, ALIGN_LEFT}};
    const struct ink_heat *heat = heat_of(sheet, surfaces[0]);
    size_t shown = 0, total = 0;
    if (count == 1)
        book_drawing(&sheet->book, sheet_heat_picture(&sheet->plan->surfaces[surfaces[0]], heat,
                                                      picture_options(sheet, 100), sheet->arena));
    struct table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, TYPE_MM);
    for (size_t i = 0; i < count; i++) {
        put_places(sheet, &table, surfaces[i]);
        shown += heat_of(sheet, surfaces[i])->place_count, total += heat_of(sheet, surfaces[i])->place_total;
    }
    table_end(&table);
    if (total > shown)
        book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
                   arena_format(sheet->arena, "The %zu heaviest of %zu places%s.", shown, total,
                                count == 1 ? "; the others are striped in the picture" : ""));
}

void part_heat(struct sheet *sheet, const struct surface_group *group)
{
    size_t *surfaces = arena_take_array(sheet->arena, group->count, sizeof *surfaces), count = 0;
    for (size_t i = 0; i < group->count; i++)
        if (heat_of(sheet, group->surfaces[i])) surfaces[count++] = group->surfaces[i];
    if (!count) return;
    const struct ink_heat *heat = heat_of(sheet, surfaces[0]);
    book_need(&sheet->book, count == 1 ? 125 : 30); /* the picture with its title and words */
    book_title(&sheet->book, arena_format(sheet->arena, "Where the ink is over the film's limit of %g %%",
                                          heat->limit_percent));
    book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
               said(sheet, arena_format(
                               sheet->arena,
                               "%s Ink is the mean of 5 x 5 mm. Lengths below are in %s, from the surface's "
                               "lower left corner.",
                               heat_source_words(heat, sheet->arena),
                               sheet->options->inches ? "inches" : "millimetres")));
    book_gap(&sheet->book, 1);
    put_heats(sheet, surfaces, count);
}
