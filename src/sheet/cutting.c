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

static const char *cutting_minutes(const struct sheet *sheet, double length_mm)
{
    return arena_format(sheet->arena, "%.0f min",
                        ceil(length_mm / cutter_speed(cutting_cutter(sheet)).value / 60));
}

/* Of the outlines alone: what a knife travels between them is not in it, nor cuts along seams. Returns its length. */
static double cutting_row(const struct sheet *sheet, const struct surface *surface, struct sheet_table *table)
{
    bool through = surface->piece && surface->piece->cut.depth == CUT_THROUGH;
    double length_mm = region_length(&surface->cut) * surface_copies(surface);
    const char *cells[] = {surface->name, through ? "through cut" : "kiss cut",
                           arena_format(sheet->arena, "%d", surface_copies(surface)),
                           arena_format(sheet->arena, "%.1f m", length_mm / 1000),
                           cutting_minutes(sheet, length_mm)};
    table_row(table, cells);
    return length_mm;
}

static void cutting_table(struct sheet *sheet)
{
    static const struct column columns[] = {{"Piece", 90, ALIGN_LEFT},
                                            {"Cut", 40, ALIGN_LEFT},
                                            {"Copies", 24, ALIGN_RIGHT},
                                            {"Length", 34, ALIGN_RIGHT},
                                            {"Time, about", 34, ALIGN_RIGHT}};
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    double length_mm = 0;
    size_t rows = 0;
    for (size_t i = 0; i < sheet->plan->surface_count; i++) {
        const struct surface_plan *sp = &sheet->plan->surfaces[i];
        if (!sp->surface->contour_cut || !sp->panel_count) continue;
        length_mm += cutting_row(sheet, sp->surface, &table), rows++;
    }
    const char *total[] = {sentence_plain("cutting-in-all"), NULL, NULL,
                           arena_format(sheet->arena, "%.1f m", length_mm / 1000),
                           cutting_minutes(sheet, length_mm)};
    if (rows > 1) table_row(&table, total);
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
}

void part_cutting(struct sheet *sheet)
{
    const struct cutter *cutter = cutting_cutter(sheet);
    if (!cutting_is_any(sheet)) return;
    book_part(&sheet->book, "Cutting", 30);
    cutting_table(sheet);
    book_gap(&sheet->book, 2);
    bool mirrored = cutting_is_any_mirrored(sheet);
    if (mirrored) cutting_readings(sheet);
    struct measure speed = cutter_speed(cutter);
    const char *points[8];
    size_t count = 0;
    points[count++] =
        sentence_words(sheet->arena, "cutting-speed",
                       ARGUMENTS(arg_number("speed", speed.value), arg_words("source", speed.source)));
    if (mirrored) points[count++] = sentence_plain("reading-check");
    points[count++] = sentence_plain("cutting-test-first");
    points[count++] = sentence_plain("cutting-sequence");
    points[count++] = sentence_words(
        sheet->arena, cutter->cut_layer == CUT_LAYER_ON ? "cutting-layer-prints" : "cutting-layer-is-off",
        ARGUMENTS(arg_words("kiss", cutter->kiss_spot), arg_words("through", cutter->through_spot)));
    points[count++] = sentence_plain(cutter->marks.size_mm > 0 ? "cutting-marks" : "cutting-no-marks");
    points[count++] = sentence_plain("caution-cutter");
    put_points(sheet, points, count);
}
