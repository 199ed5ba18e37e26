/* A page for each surface: its picture, panels and seams; surfaces of one panel share theirs. */
#include "base/arena.h"
#include "base/text.h"
#include "model/length_marks.h"
#include "pages.h"
#include "sheet/pictures.h"
#include <math.h>
#include <string.h>

/* ---- panels ---- */

/* A neighbour by its id, or by its number where ids are too long for the table. */
static const char *neighbour_name(const struct sheet *sheet, const struct panel *panel)
{
    enum { SHORT = 14 };
    return strlen(panel->id) <= SHORT ? panel->id : arena_format(sheet->arena, "panel %zu", panel->number);
}

static const char *neighbour_words(const struct sheet *sheet, const struct surface_plan *sp, size_t panel)
{
    struct text text = text_new(sheet->arena);
    for (size_t i = 0; i < sp->seam_count; i++) {
        const struct seam *s = &sp->seams[i];
        if (s->over != panel && s->under != panel) continue;
        size_t other = s->over == panel ? s->under : s->over;
        bool over = s->over == panel;
        const char *how = !s->laps              ? "gap\u00a0to"
                          : s->kind == SEAM_GAP ? (over ? "gap, else over" : "gap, else under")
                                                : (over ? "over" : "under");
        text_addf(&text, "%s%s\u00a0%s", text.length ? "; " : "", how,
                  neighbour_name(sheet, &sp->panels[other]));
    }
    return text.length ? text_string(&text) : "alone";
}

static const char *dry_words(const struct sheet *sheet, double seconds)
{
    return seconds < 0 ? "not possible" : arena_format(sheet->arena, "%.0f h", ceil(seconds / 3600));
}

/* On average, and over a free span where that is more. */
static const char *stretch_words(struct arena *arena, const struct panel *p)
{
    if (!(p->stretch_percent > 0)) return "none";
    if (p->stretch_local_percent < p->stretch_percent + 0.05)
        return arena_format(arena, "%.1f %%", p->stretch_percent);
    return arena_format(arena, "%.1f / %.1f %%", p->stretch_percent, p->stretch_local_percent);
}

static void put_panel_row(const struct sheet *sheet, struct table *table, const struct surface_plan *sp,
                          size_t i)
{
    const struct panel *p = &sp->panels[i];
    struct arena *arena = sheet->arena;
    const char *cells[] = {
        arena_format(arena, "*%d", p->order),
        arena_format(arena, "*%s", p->id),
        size_words(sheet, rect_width(p->visible), rect_height(p->visible)),
        size_words(sheet, rect_width(p->print), rect_height(p->print)),
        neighbour_words(sheet, sp, i),
        arena_format(arena, "%.0f / %.0f %%", p->coverage.mean_percent, p->coverage.peak_percent),
        stretch_words(arena, p),
        dry_words(sheet, p->dry_s),
        length_words(arena, p->print_length_mm, sheet->options->inches, false),
    };
    table_row(table, cells);
}

static struct table panel_table(struct sheet *sheet, const char *title)
{
    static const struct column columns[] = {
        {"Order", 12, ALIGN_CENTRE},         {"Panel", 30, ALIGN_LEFT}, {"Visible", 25, ALIGN_RIGHT},
        {"Print", 25, ALIGN_RIGHT},          {"Lies", 34, ALIGN_LEFT},  {"Ink mean / peak", 21, ALIGN_RIGHT},
        {"Stretch, local", 19, ALIGN_RIGHT}, {"Dry", 11, ALIGN_RIGHT},  {"Film length", 15, ALIGN_RIGHT},
    };
    book_title(&sheet->book, arena_format(sheet->arena, "%s (%s)", title, length_unit(sheet)));
    return table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, TYPE_MM);
}

/* Rows in the order of installing: what goes on first is listed first. */
static void put_panel_rows(struct sheet *sheet, struct table *table, const struct surface_plan *sp)
{
    for (size_t order = 1; order <= sp->panel_count; order++)
        for (size_t i = 0; i < sp->panel_count; i++)
            if (sp->panels[i].order == (int)order) put_panel_row(sheet, table, sp, i);
}

/* ---- seams ---- */

static const char *crosses_words(const struct sheet *sheet, const struct seam *s)
{
    struct text text = text_new(sheet->arena);
    for (size_t i = 0; i < s->crosses_count; i++)
        text_addf(&text, "%s%s", i ? ", " : "crosses ", s->crosses[i]);
    if (s->reason) text_addf(&text, "%s%s", text.length ? "; " : "", s->reason);
    return text_string(&text);
}

/* "lap of 12 mm"; "door gap, turn in 25 mm"; "door gap 0 to 1520 mm, turn in 25 mm; else lap of 12 mm" */
static const char *seam_kind_words(const struct sheet *sheet, const struct seam *s)
{
    struct text words = text_new(sheet->arena);
    bool inches = sheet->options->inches;
    if (s->kind == SEAM_GAP) {
        text_add(&words, "door gap");
        for (size_t i = 0; s->laps && i < s->gap_count; i++)
            text_addf(&words, "%s %s to %s", i ? "," : "",
                      length_words(sheet->arena, s->gaps[i].from_mm, inches, false),
                      length_words(sheet->arena, s->gaps[i].to_mm, inches, true));
        text_addf(&words, ", turn in %s", length_words(sheet->arena, s->turn_in_mm, inches, true));
    }
    if (s->laps)
        text_addf(&words, "%slap of %s", words.length ? "; else " : "",
                  length_words(sheet->arena, s->overlap_mm, inches, true));
    return text_string(&words);
}

/* What is said before the colon of a seam's reason, when another seam has it too: it is said once. */
static size_t shared_reason(const struct surface_plan *sp, const struct seam *s)
{
    size_t length = s->reason ? strcspn(s->reason, ":") : 0, others = 0;
    if (!length || !s->reason[length]) return 0;
    for (size_t i = 0; i < sp->seam_count; i++)
        others += sp->seams[i].reason && !strncmp(sp->seams[i].reason, s->reason, length + 1);
    return others > 1 ? length : 0;
}

static const char *reason_words(const struct sheet *sheet, const struct surface_plan *sp,
                                const struct seam *s)
{
    struct seam rest = *s;
    size_t shared = shared_reason(sp, s);
    if (shared) rest.reason = arena_format(sheet->arena, "%s", s->reason + shared + 2);
    return said(sheet, crosses_words(sheet, &rest));
}

static void put_seam_row(struct sheet *sheet, struct table *table, const struct surface_plan *sp,
                         const struct seam *s)
{
    const char *at = arena_format(sheet->arena, "*%c %s", s->axis == AXIS_X ? 'x' : 'y',
                                  length_words(sheet->arena, s->at_mm, sheet->options->inches, false));
    const char *cells[] = {at, seam_place_words(sheet, sp->surface, s), seam_kind_words(sheet, s),
                           s->laps ? sp->panels[s->over].id : "neither", reason_words(sheet, sp, s)};
    table_row(table, cells);
}

static void put_shared_reasons(struct sheet *sheet, const struct surface_plan *sp)
{
    for (size_t i = 0; i < sp->seam_count; i++) {
        size_t shared = shared_reason(sp, &sp->seams[i]);
        bool said_before = false;
        for (size_t k = 0; k < i && shared; k++)
            said_before |=
                sp->seams[k].reason && !strncmp(sp->seams[k].reason, sp->seams[i].reason, shared + 1);
        if (shared && !said_before)
            book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
                       arena_format(sheet->arena, "Why here, where a detail is given: %.*s.", (int)shared,
                                    sp->seams[i].reason));
    }
}

static void put_level(struct sheet *sheet, const struct surface *surface)
{
    double level = surface_level_mm(surface);
    book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
               arena_format(
                   sheet->arena,
                   "Level line: at y %s (%s). Strike it on the vehicle first; the panels carry it as LEVEL.",
                   length_words(sheet->arena, level, sheet->options->inches, true),
                   level_place_words(sheet, surface)));
}

static void put_seam_table(struct sheet *sheet, const struct surface_plan *sp)
{
    static const struct column columns[] = {{"Seam at", 20, ALIGN_RIGHT},
                                            {"Measured on the vehicle", 78, ALIGN_LEFT},
                                            {"Kind", 34, ALIGN_LEFT},
                                            {"Lies over", 24, ALIGN_LEFT},
                                            {"Why here", 90, ALIGN_LEFT}};
    if (sp->seam_count) {
        book_title(&sheet->book, arena_format(sheet->arena, "Seams (%s)", length_unit(sheet)));
        struct table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
        for (size_t i = 0; i < sp->seam_count; i++) put_seam_row(sheet, &table, sp, &sp->seams[i]);
        table_end(&table);
        put_shared_reasons(sheet, sp);
    }
    put_level(sheet, sp->surface);
}

static void put_stretches(struct sheet *sheet, const struct surface *surface)
{
    if (!surface->stretch_count) return;
    book_title(&sheet->book, "Where the film stretches");
    for (size_t i = 0; i < surface->stretch_count; i++)
        book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
                   said(sheet, arena_format(sheet->arena, "%s (%s)", surface->stretches[i].reason,
                                            surface->stretches[i].source ? surface->stretches[i].source
                                                                         : "no source")));
}

/* The narrowest roll that is wider than this; 0: there is none. */
static double next_roll(const struct surface_plan *sp, double width_mm)
{
    double next = 0;
    for (size_t i = 0; i < sp->panel_count; i++) {
        double one = sp->panels[i].roll_width_mm;
        if (one > width_mm && (next <= 0 || one < next)) next = one;
    }
    return next;
}

/* "film of 1370 mm"; of several widths with their panels: "film of 1370 mm (left-1, left-2), 1520 mm
 * (left-3)" */
static const char *film_words(struct sheet *sheet, const struct surface_plan *sp)
{
    struct text words = text_new(sheet->arena);
    double first = next_roll(sp, 0);
    for (double width = first; width > 0; width = next_roll(sp, width)) {
        text_addf(&words, "%s%s", width > first ? ", " : "film of ",
                  length_words(sheet->arena, width, sheet->options->inches, true));
        size_t said = 0;
        for (size_t i = 0; first < sp->roll_width_mm && i < sp->panel_count; i++)
            if (sp->panels[i].roll_width_mm == width)
                text_addf(&words, "%s%s", said++ ? ", " : " (", sp->panels[i].id);
        if (said) text_add(&words, ")");
    }
    return text_string(&words);
}

/* ---- a surface ---- */

static const struct surface_art *art_of(const struct sheet *sheet, size_t index)
{
    const struct plan_input *input = sheet->plan->input;
    return index < input->surface_count ? input->surfaces[index].art : NULL;
}

static const char *surface_line(struct sheet *sheet, const struct surface_plan *sp)
{
    return arena_format(sheet->arena, "%s %s; panels %s; %s%s%s",
                        size_words(sheet, sp->surface->width_mm, sp->surface->height_mm), length_unit(sheet),
                        panels_run_name(sp->run),
                        count_words(sheet->arena, sp->panel_count, "panel", "panels"),
                        sp->panel_count ? "; " : "", film_words(sheet, sp));
}

static void put_surface(struct sheet *sheet, size_t index, double picture_mm)
{
    const struct surface_plan *sp = &sheet->plan->surfaces[index];
    book_new_page(&sheet->book, sp->surface->name);
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT), surface_line(sheet, sp));
    book_gap(&sheet->book, 1);
    book_drawing(&sheet->book, sheet_surface_picture(sp, art_of(sheet, index),
                                                     sheet->previews ? sheet->previews[index] : NULL,
                                                     picture_options(sheet, picture_mm), sheet->arena));
    if (!sp->panel_count) {
        book_words(&sheet->book, words_bold(3.2, ALIGN_LEFT),
                   "No panels could be planned for this surface: see the findings.");
        return;
    }
    struct table table = panel_table(sheet, "Panels, in the order of installing");
    put_panel_rows(sheet, &table, sp);
    table_end(&table);
    put_seam_table(sheet, sp);
    put_stretches(sheet, sp->surface);
    part_inlays(sheet, sp);
    part_heat(sheet, &(struct surface_group){&index, 1, NULL});
}

/* Whether what began after `before` fits on one page, or else fills its last page by a third at least. */
static bool ends_well(const struct sheet *sheet, const struct book *before, bool one_page)
{
    bool fits = sheet->book.count <= before->count + 1;
    return fits || (!one_page && book_filled(&sheet->book) > 1.0 / 3);
}

/* The largest picture with which all fits on one page; else the largest with which no few lines are left over
 * for a page of their own. */
static void part_surface(struct sheet *sheet, size_t index)
{
    static const double tall_mm[] = {150, 130, 110}, wide_mm[] = {140, 128, 116, 106, 96};
    const struct book before = sheet->book;
    const double *heights = before.wide ? wide_mm : tall_mm;
    size_t count = before.wide ? sizeof wide_mm / sizeof *wide_mm : sizeof tall_mm / sizeof *tall_mm;
    for (int one_page = 1; one_page >= 0; one_page--)
        for (size_t i = 0; i < count; i++) {
            sheet->book = before;
            put_surface(sheet, index, heights[i]);
            if (ends_well(sheet, &before, one_page)) return;
        }
    sheet->book = before;
    put_surface(sheet, index, heights[0]);
}

/* ---- surfaces of one panel ---- */

enum { BESIDE = 4 };

/* Pictures side by side, each with its name. */
static void put_single_pictures(struct sheet *sheet, const struct surface_group *group)
{
    static const double gutter_mm = 4, most_mm = 52;
    struct book *book = &sheet->book;
    double width = (book_inner(book) - (BESIDE - 1) * gutter_mm) / BESIDE;
    for (size_t i = 0; i < group->count; i += BESIDE) {
        const struct drawing *row[BESIDE];
        double height = 0;
        size_t count = group->count - i < BESIDE ? group->count - i : BESIDE;
        for (size_t k = 0; k < count; k++) {
            size_t index = group->surfaces[i + k];
            struct picture_options options = {width, most_mm, sheet->options->inches, .no_legend = true};
            row[k] =
                sheet_surface_picture(&sheet->plan->surfaces[index], art_of(sheet, index),
                                      sheet->previews ? sheet->previews[index] : NULL, options, sheet->arena);
            height = fmax(height, drawing_height(row[k]));
        }
        book_need(book, height);
        for (size_t k = 0; k < count; k++)
            draw_drawing(book_page(book), row[k],
                         affine_shift(book_left(book) + (double)k * (width + gutter_mm), book->y));
        book_gap(book, height + 1);
    }
}

static void part_singles(struct sheet *sheet, const struct surface_group *group)
{
    book_part(&sheet->book, group->name, 64);
    put_single_pictures(sheet, group);
    struct table table = panel_table(sheet, "Panels");
    for (size_t i = 0; i < group->count; i++)
        put_panel_rows(sheet, &table, &sheet->plan->surfaces[group->surfaces[i]]);
    table_end(&table);
    for (size_t i = 0; i < group->count; i++) {
        put_stretches(sheet, sheet->plan->surfaces[group->surfaces[i]].surface);
        part_inlays(sheet, &sheet->plan->surfaces[group->surfaces[i]]);
    }
    part_heat(sheet, group);
}

void part_surfaces(struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->groups.count; i++)
        if (sheet->groups.items[i].count > 1)
            part_singles(sheet, &sheet->groups.items[i]);
        else
            part_surface(sheet, sheet->groups.items[i].surfaces[0]);
}
