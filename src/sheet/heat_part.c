/* Where a surface has more ink than its film takes. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "pages.h"
#include "sheet/pictures.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *heat_source_words(const struct ink_heat *heat, struct arena *arena)
{
    const char *estimated = sentence_words(arena, "estimated-from-rendering-at-pixels-per",
                                           ARGUMENTS(arg_fixed("estimate_ppi", heat->estimate_ppi, 0)));
    if (!heat->counted)
        return sentence_words(arena, "ink-is-making-tiff-panels-counts",
                              ARGUMENTS(arg_words("estimated", estimated)));
    if (!heat->estimated) return sentence_plain("ink-is-counted-at-full-size-on");
    return sentence_words(arena, "ink-is-counted-at-full-size", ARGUMENTS(arg_words("estimated", estimated)));
}

static const char *panels_at(const struct sheet *sheet, const struct surface_plan *sp, struct rect box)
{
    struct text text = text_new(sheet->arena);
    for (size_t i = 0; i < sp->panel_count; i++)
        if (rect_overlaps(sp->panels[i].print, box))
            text_addf(&text, "%s%s", text.length ? ", " : "", sp->panels[i].id);
    return text_string(&text);
}

static const struct ink_heat *heat_part_heat_of(const struct sheet *sheet, size_t surface)
{
    return sheet->options->heats ? sheet->options->heats[surface] : NULL;
}

/* A row of the table. */
struct heat_row {
    size_t surface;
    const struct heat_place *place;
    char letter;           /* in the picture; 0: there is none */
    const char **surfaces; /* names of those that have the same place */
    size_t surface_count;
};

enum { ROWS_MOST = 5 }; /* of surfaces that share a table; the heaviest count */

static bool heat_part_same_place(const struct heat_place *a, const struct heat_place *b)
{
    const double most_mm = 0.5, most_percent = 0.5; /* as they are printed */
    return rect_contains(a->box, b->box, most_mm) && rect_contains(b->box, a->box, most_mm) &&
           fabs(a->peak_percent - b->peak_percent) < most_percent;
}

static int heavier_first(const void *a, const void *b)
{
    const struct heat_row *one = a, *other = b;
    double by = other->place->peak_percent - one->place->peak_percent;
    if (by != 0) return by > 0 ? 1 : -1;
    return one->surface < other->surface ? -1 : one->surface > other->surface;
}

static void heat_part_add_row(const struct sheet *sheet, struct heat_row *rows, size_t *count,
                              struct heat_row row, size_t surfaces)
{
    size_t i = 0;
    while (i < *count && (row.letter || !heat_part_same_place(rows[i].place, row.place))) i++;
    if (i == *count) {
        rows[i] = row;
        rows[i].surfaces = arena_take_array(sheet->arena, surfaces, sizeof *row.surfaces);
        ++*count;
    }
    rows[i].surfaces[rows[i].surface_count++] = sheet->plan->surfaces[row.surface].surface->name;
}

/* Places of a surface that stands alone as its picture letters them; of several, alike ones once. */
static size_t gather_places(const struct sheet *sheet, const size_t *surfaces, size_t count,
                            struct heat_row *rows)
{
    size_t row_count = 0;
    for (size_t i = 0; i < count; i++) {
        const struct ink_heat *heat = heat_part_heat_of(sheet, surfaces[i]);
        for (size_t k = 0; k < heat->place_count; k++)
            heat_part_add_row(sheet, rows, &row_count,
                              (struct heat_row){.surface = surfaces[i],
                                                .place = &heat->places[k],
                                                .letter = count == 1 ? (char)('A' + k) : 0},
                              count);
    }
    if (count > 1) qsort(rows, row_count, sizeof *rows, heavier_first);
    return row_count;
}

static void put_place_row(struct sheet *sheet, struct sheet_table *table, const struct heat_row *row)
{
    struct rect box = row->place->box;
    bool inches = sheet->options->inches;
    const char *cells[] = {arena_format(sheet->arena, "*%.0f %%", row->place->peak_percent),
                           length_words(sheet->arena, (box.x0 + box.x1) / 2, inches, false),
                           length_words(sheet->arena, (box.y0 + box.y1) / 2, inches, false),
                           size_words(sheet, rect_width(box), rect_height(box)),
                           row->surface_count > 1
                               ? list_words(sheet->arena, row->surfaces, row->surface_count)
                               : panels_at(sheet, &sheet->plan->surfaces[row->surface], box)};
    if (row->letter) cells[0] = arena_format(sheet->arena, "*%c  %s", row->letter, cells[0] + 1);
    table_row(table, cells);
}

static size_t put_place_rows(struct sheet *sheet, const size_t *surfaces, size_t count)
{
    static const struct column columns[] = {{"Ink", 26, ALIGN_RIGHT},
                                            {"Mid x", 24, ALIGN_RIGHT},
                                            {"Mid y", 24, ALIGN_RIGHT},
                                            {"Size", 38, ALIGN_RIGHT},
                                            {"On", 36, ALIGN_LEFT}};
    size_t most = 0;
    for (size_t i = 0; i < count; i++) most += heat_part_heat_of(sheet, surfaces[i])->place_count;
    struct heat_row *rows = arena_take_array(sheet->arena, most + 1, sizeof *rows);
    size_t row_count = gather_places(sheet, surfaces, count, rows), shown = 0;
    struct sheet_table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, TYPE_MM);
    for (size_t i = 0; i < row_count && (count == 1 || i < ROWS_MOST); i++) {
        put_place_row(sheet, &table, &rows[i]);
        shown += rows[i].surface_count;
    }
    table_end(&table);
    return shown;
}

static const double PICTURE_SHARE = 0.48; /* of a page on its long side; the table stands beside it */

/* With a picture of a surface that stands alone: on paper on its long side beside the table. */
static void put_heats(struct sheet *sheet, const size_t *surfaces, size_t count)
{
    const double gutter_mm = 6;
    struct book *book = &sheet->book;
    const struct drawing *picture = NULL;
    double top, width = book_inner(book), left = width * PICTURE_SHARE;
    bool beside = count == 1 && book->wide;
    if (count == 1) {
        struct picture_options options = picture_options(sheet, 100);
        if (beside) options.width_mm = left;
        picture = sheet_heat_picture(&sheet->plan->surfaces[surfaces[0]],
                                     heat_part_heat_of(sheet, surfaces[0]), options, sheet->arena);
        book_drawing(book, picture);
    }
    double end = book->y;
    if (beside) {
        top = end - drawing_height(picture);
        book_column(book, PAGE_MARGIN + left + gutter_mm, width - left - gutter_mm, top);
    }
    size_t page = book->count, shown = put_place_rows(sheet, surfaces, count), total = 0;
    if (beside) book_column(book, 0, 0, page == book->count ? fmax(end, book->y) : book->y);
    for (size_t i = 0; i < count; i++) total += heat_part_heat_of(sheet, surfaces[i])->place_total;
    if (total > shown)
        book_words(
            book, words_of(TYPE_MM, ALIGN_LEFT),
            sentence_words(sheet->arena, "heaviest-of-places",
                           ARGUMENTS(arg_count("shown", (int64_t)shown), arg_count("total", (int64_t)total),
                                     arg_count("count", (int64_t)count))));
}

/* What the title, its words and the picture or the first rows take. */
static double need_mm(const struct sheet *sheet, const struct surface *surface, size_t count)
{
    const double words_mm = 20, marks_mm = 24, least_mm = 50;
    if (count > 1) return 36;
    double width = book_inner(&sheet->book) * (sheet->book.wide ? PICTURE_SHARE : 1);
    double picture = fmin(100, width * surface->height_mm / surface->width_mm);
    return words_mm + fmax(sheet->book.wide ? least_mm : 0, picture + marks_mm);
}

void part_heat(struct sheet *sheet, const struct surface_group *group)
{
    size_t *surfaces = arena_take_array(sheet->arena, group->count, sizeof *surfaces), count = 0;
    for (size_t i = 0; i < group->count; i++)
        if (heat_part_heat_of(sheet, group->surfaces[i])) surfaces[count++] = group->surfaces[i];
    if (!count) return;
    const struct ink_heat *heat = heat_part_heat_of(sheet, surfaces[0]);
    book_need(&sheet->book, need_mm(sheet, sheet->plan->surfaces[surfaces[0]].surface, count));
    book_title(&sheet->book, sentence_words(sheet->arena, "where-ink-is-over-films-limit",
                                            ARGUMENTS(arg_number("limit_percent", heat->limit_percent))));
    if (!sheet->heat_said)
        book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
                   said(sheet, sentence_words(
                                   sheet->arena, "ink-is-mean-of-5-5",
                                   ARGUMENTS(arg_words("heat_source", heat_source_words(heat, sheet->arena)),
                                             arg_flag("inches", sheet->options->inches)))));
    sheet->heat_said = true;
    book_gap(&sheet->book, 1);
    put_heats(sheet, surfaces, count);
}
