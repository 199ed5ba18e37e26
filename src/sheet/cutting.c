/* The part on cutting pieces to their shape: what is cut, how long it takes, and what to mind. Called by sheet.c;
 * nothing where nothing is cut so. */
#include "pages.h"
#include "base/arena.h"
#include "base/sentence.h"
#include "base/text.h"
#include <math.h>

static const struct cutter *cutting_cutter(const struct sheet *sheet)
{
    return sheet->job->cutter ? sheet->job->cutter : &cutter_plain;
}

static bool cutting_is_any(const struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->plan->surface_count; i++)
        if (sheet->plan->surfaces[i].surface->contour_cut && sheet->plan->surfaces[i].panel_count)
            return true;
    return false;
}

/* Of the outlines alone: what a knife travels between them is not in it, nor cuts along seams. */
static void cutting_row(const struct sheet *sheet, const struct surface *surface, struct sheet_table *table)
{
    bool through = surface->piece && surface->piece->cut.depth == CUT_THROUGH;
    int copies = surface->copies > 0 ? surface->copies : 1;
    double length_mm = region_length(&surface->cut) * copies, speed = cutting_cutter(sheet)->speed_mm_s;
    const char *minutes =
        speed > 0 ? arena_format(sheet->arena, "%.0f min", ceil(length_mm / speed / 60)) : NULL;
    const char *cells[] = {surface->name, through ? "through cut" : "kiss cut",
                           arena_format(sheet->arena, "%d", copies),
                           arena_format(sheet->arena, "%.1f m", length_mm / 1000), minutes};
    table_row(table, cells);
}

static void cutting_table(struct sheet *sheet)
{
    static const struct column columns[] = {{"Piece", 90, ALIGN_LEFT},
                                            {"Cut", 40, ALIGN_LEFT},
                                            {"Copies", 24, ALIGN_RIGHT},
                                            {"Length", 34, ALIGN_RIGHT},
                                            {"Time, about", 34, ALIGN_RIGHT}};
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < sheet->plan->surface_count; i++) {
        const struct surface_plan *sp = &sheet->plan->surfaces[i];
        if (sp->surface->contour_cut && sp->panel_count) cutting_row(sheet, sp->surface, &table);
    }
    table_end(&table);
}

static bool cutting_is_any_mirrored(const struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->plan->surface_count; i++)
        if (surface_is_mirrored(sheet->plan->surfaces[i].surface)) return true;
    return false;
}

/* Which way each piece's print is to read: looked at before it is cut, since both look alike in a plan. */
static void cutting_readings(struct sheet *sheet)
{
    static const struct column columns[] = {{"Print reads", 60, ALIGN_LEFT}, {"Pieces", 122, ALIGN_LEFT}};
    struct sheet_table table = table_begin(&sheet->book, columns, 2, TYPE_MM);
    for (int mirrored = 1; mirrored >= 0; mirrored--) {
        struct text names = text_new(sheet->arena);
        for (size_t i = 0; i < sheet->plan->surface_count; i++) {
            const struct surface_plan *sp = &sheet->plan->surfaces[i];
            if (!sp->surface->contour_cut || !sp->panel_count) continue;
            if (surface_is_mirrored(sp->surface) == mirrored)
                text_addf(&names, "%s%s", names.length ? ", " : "", sp->surface->name);
        }
        const char *cells[] = {sentence_plain(mirrored ? "reading-left" : "reading-right"),
                               text_string(&names)};
        if (names.length) table_row(&table, cells);
    }
    table_end(&table);
    book_gap(&sheet->book, 2);
    put_points(sheet, (const char *const[]){sentence_plain("reading-check")}, 1);
}

void part_cutting(struct sheet *sheet)
{
    const struct cutter *cutter = cutting_cutter(sheet);
    if (!cutting_is_any(sheet)) return;
    book_part(&sheet->book, "Cutting", 30);
    cutting_table(sheet);
    book_gap(&sheet->book, 2);
    if (cutting_is_any_mirrored(sheet)) cutting_readings(sheet);
    book_gap(&sheet->book, 2);
    const char *const points[] = {
        sentence_plain("cutting-test-first"),
        sentence_plain("cutting-sequence"),
        cutter->cut_layer == CUT_LAYER_ON
            ? sentence_words(
                  sheet->arena, "cutting-layer-prints",
                  ARGUMENTS(arg_words("kiss", cutter->kiss_spot), arg_words("through", cutter->through_spot)))
            : sentence_words(sheet->arena, "cutting-layer-is-off",
                             ARGUMENTS(arg_words("kiss", cutter->kiss_spot),
                                       arg_words("through", cutter->through_spot))),
        sentence_plain(cutter->marks.size_mm > 0 ? "cutting-marks" : "cutting-no-marks"),
        sentence_plain("caution-cutter"),
    };
    put_points(sheet, points, sizeof points / sizeof *points);
}
