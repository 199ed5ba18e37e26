/* A page for each surface: its picture, panels and seams; surfaces of one panel share theirs. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "copies.h"
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
static const char *surfaces_stretch_words(struct arena *arena, const struct panel *p)
{
    if (!(p->stretch_percent > 0)) return "none";
    if (p->stretch_local_percent < p->stretch_percent + 0.05)
        return arena_format(arena, "%.1f %%", p->stretch_percent);
    return arena_format(arena, "%.1f / %.1f %%", p->stretch_percent, p->stretch_local_percent);
}

enum { PANEL_CELLS = 10 };

static void panel_cells(const struct sheet *sheet, const struct surface_plan *sp, size_t i,
                        const char *cells[PANEL_CELLS])
{
    const struct panel *p = &sp->panels[i];
    struct arena *arena = sheet->arena;
    const char *words[PANEL_CELLS] = {
        arena_format(arena, "*%d", p->install_sequence),
        arena_format(arena, "*%s", p->id),
        size_words(sheet, rect_width(p->visible), rect_height(p->visible)),
        size_words(sheet, rect_width(p->print), rect_height(p->print)),
        neighbour_words(sheet, sp, i),
        arena_format(arena, "%.0f / %.0f %%", p->coverage.mean_percent, p->coverage.peak_percent),
        surfaces_stretch_words(arena, p),
        dry_words(sheet, p->dry_s),
        length_words(arena, p->print_length_mm, sheet->options->inches, false),
        copies_words(sheet->plan, p, arena),
    };
    memcpy(cells, words, sizeof words);
}

static struct sheet_table panel_table(struct sheet *sheet, const char *title)
{
    static const struct column columns[] = {
        {"Order", 12, ALIGN_CENTRE},         {"Panel", 30, ALIGN_LEFT}, {"Visible", 25, ALIGN_RIGHT},
        {"Print", 25, ALIGN_RIGHT},          {"Lies", 34, ALIGN_LEFT},  {"Ink mean / peak", 21, ALIGN_RIGHT},
        {"Stretch, local", 19, ALIGN_RIGHT}, {"Dry", 11, ALIGN_RIGHT},  {"Film length", 15, ALIGN_RIGHT},
        {"Copies", 16, ALIGN_RIGHT}};
    book_title(&sheet->book, arena_format(sheet->arena, "%s (%s)", title, length_unit(sheet)));
    size_t count = sizeof columns / sizeof *columns;
    return table_begin(&sheet->book, columns, count - !plan_has_copies(sheet->plan), TYPE_MM);
}

/* Large panels: what the printing software must show. */
static void put_queue(struct sheet *sheet, const struct surface_plan *sp)
{
    for (size_t i = 0; i < surface_print_count(sp); i++) {
        const struct panel *p = &sp->panels[i];
        const char *words = panel_queue_words(p, sheet->options->inches, sheet->arena);
        if (words)
            book_words(&sheet->book, words_bold(TYPE_MM, ALIGN_LEFT),
                       arena_format(sheet->arena, "%s: %s.", p->id, words));
    }
}

/* Rows in install sequence: what goes on first is listed first. */
static void put_panel_rows(struct sheet *sheet, struct sheet_table *table, const struct surface_plan *sp)
{
    for (size_t turn = 1; turn <= sp->panel_count; turn++)
        for (size_t i = 0; i < sp->panel_count; i++)
            if (sp->panels[i].install_sequence == (int)turn) {
                const char *cells[PANEL_CELLS];
                panel_cells(sheet, sp, i, cells);
                table_row(table, cells);
            }
}

static bool same_but_names(const char *const *a, const char *const *b)
{
    for (size_t i = 2; i < PANEL_CELLS; i++)
        if (!string_equal(a[i], b[i])) return false;
    return true;
}

/* Surfaces of one panel: what is alike but for the name is one row. */
static void put_single_rows(struct sheet *sheet, struct sheet_table *table, const struct surface_group *group)
{
    const char *(*cells)[PANEL_CELLS] = arena_take_array(sheet->arena, group->count, sizeof *cells);
    const char **names = arena_take_array(sheet->arena, group->count, sizeof *names);
    for (size_t i = 0; i < group->count; i++)
        panel_cells(sheet, &sheet->plan->surfaces[group->surfaces[i]], 0, cells[i]);
    for (size_t i = 0, alike; i < group->count; i += alike) {
        for (alike = 0; i + alike < group->count && same_but_names(cells[i], cells[i + alike]); alike++)
            names[alike] = cells[i + alike][1] + 1;
        cells[i][1] = arena_format(sheet->arena, "*%s", list_words(sheet->arena, names, alike));
        table_row(table, cells[i]);
    }
}

/* ---- seams ---- */

static const char *crosses_words(const struct sheet *sheet, const struct seam *s)
{
    struct text text = text_new(sheet->arena);
    for (size_t i = 0; i < s->crosses_count; i++)
        text_addf(&text, "%s%s", i ? ", " : "crosses ", s->crosses[i]);
    if (s->why.words) text_addf(&text, "%s%s", text.length ? "; " : "", s->why.words);
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
    size_t length = s->why.words ? strcspn(s->why.words, ":") : 0, others = 0;
    if (!length || !s->why.words[length]) return 0;
    for (size_t i = 0; i < sp->seam_count; i++)
        others += sp->seams[i].why.words && !strncmp(sp->seams[i].why.words, s->why.words, length + 1);
    return others > 1 ? length : 0;
}

static const char *reason_words(const struct sheet *sheet, const struct surface_plan *sp,
                                const struct seam *s)
{
    struct seam rest = *s;
    size_t shared = shared_reason(sp, s);
    if (shared) rest.why.words = arena_format(sheet->arena, "%s", s->why.words + shared + 2);
    return said(sheet, crosses_words(sheet, &rest));
}

static void put_seam_row(struct sheet *sheet, struct sheet_table *table, const struct surface_plan *sp,
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
            said_before |= sp->seams[k].why.words &&
                           !strncmp(sp->seams[k].why.words, sp->seams[i].why.words, shared + 1);
        if (shared && !said_before)
            book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT),
                       sentence_words(sheet->arena, "why-here-where-detail-is-given",
                                      ARGUMENTS(arg_part("reason", sp->seams[i].why.words, shared))));
    }
}

static void put_level(struct sheet *sheet, const struct surface *surface)
{
    double level = surface_level_mm(surface);
    book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
               sentence_words(sheet->arena, "level-line-at-y-strike-it",
                              ARGUMENTS(arg_words("length", length_words(sheet->arena, level,
                                                                         sheet->options->inches, true)),
                                        arg_words("level_place", level_place_words(sheet, surface)))));
}

/* Whether a reason that is not shared is more than some words. */
static bool has_long_reason(const struct sheet *sheet, const struct surface_plan *sp)
{
    enum { SOME_WORDS = 110 };
    for (size_t i = 0; i < sp->seam_count; i++)
        if (strlen(reason_words(sheet, sp, &sp->seams[i])) > SOME_WORDS) return true;
    return false;
}

static void put_seam_table(struct sheet *sheet, const struct surface_plan *sp)
{
    bool long_reason = has_long_reason(sheet, sp);
    const struct column columns[] = {
        {"Seam at", 20, ALIGN_RIGHT},
        {sentence_plain("measured-on-vehicle"), long_reason ? 80 : 128, ALIGN_LEFT},
        {"Kind", 33, ALIGN_LEFT},
        {"Lies over", 20, ALIGN_LEFT},
        {"Why here", long_reason ? 96 : 48, ALIGN_LEFT}};
    if (sp->seam_count) {
        book_title(&sheet->book, arena_format(sheet->arena, "Seams (%s)", length_unit(sheet)));
        struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
        for (size_t i = 0; i < sp->seam_count; i++) put_seam_row(sheet, &table, sp, &sp->seams[i]);
        table_end(&table);
        put_shared_reasons(sheet, sp);
    }
    put_level(sheet, sp->surface);
}

static void put_stretches(struct sheet *sheet, const struct surface *surface)
{
    if (!surface->stretch_count) return;
    book_title(&sheet->book, sentence_plain("where-film-stretches"));
    for (size_t i = 0; i < surface->stretch_count; i++) {
        bool said_before = false; /* of a place of the same shape */
        for (size_t k = 0; k < i; k++)
            said_before |= string_equal(surface->stretches[k].reason, surface->stretches[i].reason);
        if (said_before) continue;
        book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
                   said(sheet, arena_format(sheet->arena, "%s (%s)", surface->stretches[i].reason,
                                            surface->stretches[i].source ? surface->stretches[i].source
                                                                         : "no source")));
    }
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
    struct rect box = surface_size_box(sp->surface);
    const char *size = arena_format(sheet->arena, "%s %s",
                                    size_words(sheet, rect_width(box), rect_height(box)), length_unit(sheet));
    if (sp->pieces_alone) return size;
    return arena_format(sheet->arena, "%s; panels %s; %s%s%s", size, panels_run_name(sp->direction),
                        count_words(sheet->arena, sp->panel_count, "panel", "panels"),
                        sp->panel_count ? "; " : "", film_words(sheet, sp));
}

/* False: the table of panels went on on another page. */
static bool surfaces_put_surface(struct sheet *sheet, size_t index, double picture_mm)
{
    const struct surface_plan *sp = &sheet->plan->surfaces[index];
    book_new_page(&sheet->book, sp->surface->name);
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT), surface_line(sheet, sp));
    book_gap(&sheet->book, 1);
    struct picture_options options = picture_options(sheet, picture_mm);
    options.pieces = sheet_pieces_on(sp->surface, sheet->plan, sheet->previews, sheet->arena);
    book_drawing(&sheet->book, sheet_surface_picture(sp, art_of(sheet, index),
                                                     sheet->previews ? sheet->previews[index] : NULL, options,
                                                     sheet->arena));
    if (!sp->panel_count) {
        book_words(
            &sheet->book, words_bold(3.2, ALIGN_LEFT),
            sentence_plain(sp->pieces_alone ? "only-pieces-lie-on-it" : "no-panels-could-be-planned-for"));
        return true;
    }
    size_t page = sheet->book.count;
    struct sheet_table table = panel_table(sheet, sentence_plain("panels-in-install-sequence"));
    put_panel_rows(sheet, &table, sp);
    table_end(&table);
    put_queue(sheet, sp);
    bool whole = sheet->book.count == page;
    put_seam_table(sheet, sp);
    put_stretches(sheet, sp->surface);
    part_inlays(sheet, sp);
    part_heat(sheet, &(struct surface_group){&index, 1, NULL});
    return whole;
}

/* Its pages, and one more when the last has a few lines only; each counts twice, a table that is torn once. */
static size_t pages_taken(const struct sheet *sheet, bool whole)
{
    const double few = 1.0 / 3;
    return 2 * (sheet->book.count + (book_filled(&sheet->book) < few)) + !whole;
}

/* The largest picture with which it takes the fewest pages and no table of panels is torn for nothing. */
static void part_surface(struct sheet *sheet, size_t index)
{
    static const double tall_mm[] = {150, 130, 110}, wide_mm[] = {140, 128, 116, 106, 96, 86, 76, 68};
    const struct book before = sheet->book;
    const double *heights = before.wide ? wide_mm : tall_mm;
    size_t count = before.wide ? sizeof wide_mm / sizeof *wide_mm : sizeof tall_mm / sizeof *tall_mm;
    size_t best = 0, fewest = SIZE_MAX;
    bool said_before = sheet->heat_said;
    for (size_t i = 0; i < count; i++) {
        sheet->book = before;
        sheet->heat_said = said_before;
        size_t taken = pages_taken(sheet, surfaces_put_surface(sheet, index, heights[i]));
        if (taken < fewest) fewest = taken, best = i;
    }
    if (best + 1 == count) return;
    sheet->book = before;
    sheet->heat_said = said_before;
    surfaces_put_surface(sheet, index, heights[best]);
}

/* ---- surfaces of one panel ---- */

enum { BESIDE_ROWS = 8 }; /* of a table that stands beside a picture */
static const double SINGLE_MM = 60, SINGLE_HIGH_MM = 75, SINGLES_GUTTER_MM = 4; /* of such a picture */

/* Nothing to be seen tells them apart: size and artwork are the same, and nothing lies on them. */
static bool look_alike(const struct sheet *sheet, size_t one, size_t other)
{
    const struct surface *a = sheet->plan->surfaces[one].surface, *b = sheet->plan->surfaces[other].surface;
    const struct surface_art *x = art_of(sheet, one), *y = art_of(sheet, other);
    if (a->width_mm != b->width_mm || a->height_mm != b->height_mm || a->front != b->front ||
        a->feature_count || b->feature_count || !x || !y || x->count != y->count)
        return false;
    for (size_t i = 0; i < x->count; i++) {
        const struct placed_art *p = &x->placed[i], *q = &y->placed[i];
        if (!string_equal(p->spec->path, q->spec->path) || p->spec->page != q->spec->page ||
            !rect_contains(p->media, q->media, 0) || !rect_contains(q->media, p->media, 0))
            return false;
    }
    return true;
}

/* A picture that stands for surfaces that look alike, with all their names above it. */
static struct drawing *surfaces_single_picture(const struct sheet *sheet, const size_t *surfaces,
                                               size_t count)
{
    enum { NAME_LINES = 2 };
    struct picture_options options = {SINGLE_MM, SINGLE_HIGH_MM, sheet->options->inches, .no_title = true,
                                      .no_legend = true};
    const char **names = arena_take_array(sheet->arena, count, sizeof *names);
    for (size_t i = 0; i < count; i++) names[i] = sheet->plan->surfaces[surfaces[i]].surface->name;
    const char *words = list_words(sheet->arena, names, count);
    const struct drawing *picture =
        sheet_surface_picture(&sheet->plan->surfaces[surfaces[0]], art_of(sheet, surfaces[0]),
                              sheet->previews ? sheet->previews[surfaces[0]] : NULL, options, sheet->arena);
    struct letters letters = words_bold(TYPE_MM, ALIGN_LEFT);
    letters.most_mm = SINGLE_MM;
    double above = draw_paragraph_height(letters, NAME_LINES, words);
    struct drawing *whole = drawing_new(sheet->arena, SINGLE_MM, above + drawing_height(picture), words);
    draw_paragraph(whole, (struct point){0, 0}, letters, NAME_LINES, words);
    draw_drawing(whole, picture, affine_shift(0, above));
    return whole;
}

/* Puts surfaces that look alike on end; returns the pictures that they take. */
static size_t single_pictures(const struct sheet *sheet, const struct surface_group *group,
                              const struct drawing **pictures)
{
    size_t *alike = arena_take_array(sheet->arena, group->count, sizeof *alike), count = 0;
    bool *taken = arena_take_array(sheet->arena, group->count, sizeof *taken);
    for (size_t i = 0; i < group->count; i++) {
        size_t found = 0;
        for (size_t k = i; k < group->count; k++)
            if (!taken[k] && (k == i || look_alike(sheet, group->surfaces[i], group->surfaces[k])))
                taken[k] = true, alike[found++] = group->surfaces[k];
        if (found) pictures[count++] = surfaces_single_picture(sheet, alike, found);
    }
    return count;
}

/* Pictures side by side. */
static void put_single_pictures(struct sheet *sheet, const struct drawing *const *pictures, size_t total)
{
    struct book *book = &sheet->book;
    const double across = SINGLE_MM + SINGLES_GUTTER_MM;
    size_t beside = (size_t)((book_inner(book) + SINGLES_GUTTER_MM) / across);
    for (size_t i = 0; i < total; i += beside) {
        double height = 0;
        size_t count = total - i < beside ? total - i : beside;
        for (size_t k = 0; k < count; k++) height = fmax(height, drawing_height(pictures[i + k]));
        book_need(book, height);
        for (size_t k = 0; k < count; k++)
            draw_drawing(book_page(book), pictures[i + k],
                         affine_shift(book_left(book) + (double)k * across, book->y));
        book_gap(book, height + 1);
    }
}

static void part_singles(struct sheet *sheet, const struct surface_group *group)
{
    struct book *book = &sheet->book;
    const struct drawing **pictures = arena_take_array(sheet->arena, group->count, sizeof(struct drawing *));
    size_t total = single_pictures(sheet, group, pictures);
    book_part(book, group->name, drawing_height(pictures[0]) + 1);
    double top = book->y, across = SINGLE_MM + SINGLES_GUTTER_MM;
    put_single_pictures(sheet, pictures, total);
    double end = book->y;
    size_t pages = book->count;
    bool beside = total == 1 && book->wide && group->count <= BESIDE_ROWS;
    if (beside) book_column(book, PAGE_MARGIN + across, book_inner(book) - across, top);
    struct sheet_table table = panel_table(sheet, "Panels");
    put_single_rows(sheet, &table, group);
    table_end(&table);
    if (beside) part_heat(sheet, group);
    if (beside) book_column(book, 0, 0, pages == book->count ? fmax(end, book->y) : book->y);
    for (size_t i = 0; i < group->count; i++) {
        put_queue(sheet, &sheet->plan->surfaces[group->surfaces[i]]);
        put_stretches(sheet, sheet->plan->surfaces[group->surfaces[i]].surface);
        part_inlays(sheet, &sheet->plan->surfaces[group->surfaces[i]]);
    }
    if (!beside) part_heat(sheet, group);
}

void part_surfaces(struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->groups.count; i++)
        if (sheet->groups.items[i].count > 1)
            part_singles(sheet, &sheet->groups.items[i]);
        else
            part_surface(sheet, sheet->groups.items[i].surfaces[0]);
}
