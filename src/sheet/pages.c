/* The parts that say what and when: front page, surfaces, times, material. */
#include "pages.h"
#include "sheet/pictures.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include <math.h>
#include <string.h>

const char *date_words(const struct sheet *sheet, int64_t at)
{
    return moment_words(sheet->arena, sheet->plan->input->zone, at);
}

const char *severity_word(enum severity severity)
{
    static const char *const words[] = {"Note", "Warning", "Stop"};
    return words[severity];
}

const char *count_words(struct arena *arena, size_t count, const char *one, const char *many)
{
    return arena_format(arena, "%zu %s", count, count == 1 ? one : many);
}

static struct picture_options picture_options(const struct sheet *sheet, double height_most)
{
    return (struct picture_options){PAGE_INNER, height_most, sheet->options->inches, true};
}

static const char *size_words(const struct sheet *sheet, double width, double height)
{
    return arena_format(sheet->arena, "%s x %s",
                        length_words(sheet->arena, width, sheet->options->inches, false),
                        length_words(sheet->arena, height, sheet->options->inches, false));
}

/* ---- front page ---- */

struct fact {
    const char *label, *value;
};

static const char *condition_words(const struct sheet *sheet)
{
    const struct condition *c = sheet->job->condition;
    if (!c) return "none";
    struct text text = text_new(sheet->arena);
    text_add(&text, c->name);
    if (c->printer) text_addf(&text, ": printer %s", c->printer->name);
    if (c->mode) text_addf(&text, ", mode %s", c->mode);
    if (c->film) text_addf(&text, "; film %s", c->film->name);
    text_addf(&text, "; laminate %s", c->laminate ? c->laminate->name : "none");
    if (c->ink) text_addf(&text, "; ink %s (%s)", c->ink->name, ink_technology_name(c->ink->technology));
    if (c->profile) text_addf(&text, "; profile %s", c->profile);
    return text_string(&text);
}

static size_t panel_total(const struct plan *plan)
{
    size_t total = 0;
    for (size_t i = 0; i < plan->surface_count; i++) total += plan->surfaces[i].panel_count;
    return total;
}

static void put_facts(struct sheet *sheet)
{
    const struct job *job = sheet->job;
    const struct fact facts[] = {
        {"Customer", job->customer},
        {"Vehicle", job->vehicle ? job->vehicle : job->vehicle_type},
        {"Panels",
         arena_format(sheet->arena, "%s on %s",
                      count_words(sheet->arena, panel_total(sheet->plan), "panel", "panels"),
                      count_words(sheet->arena, sheet->plan->surface_count, "surface", "surfaces"))},
        {"Printing condition", condition_words(sheet)},
        {"Drying", arena_format(sheet->arena, "%s", drying_name(job->drying))},
    };
    for (size_t i = 0; i < sizeof facts / sizeof *facts; i++) {
        if (!facts[i].value) continue;
        struct letters letters = words_of(2.9, ALIGN_LEFT);
        letters.most_mm = PAGE_INNER - 36;
        struct drawing *page = book_page(&sheet->book);
        draw_text(page, (struct point){PAGE_MARGIN, sheet->book.y + 2.9}, words_grey(2.9, ALIGN_LEFT),
                  facts[i].label);
        sheet->book.y += draw_paragraph(page, (struct point){PAGE_MARGIN + 36, sheet->book.y}, letters, 3,
                                        facts[i].value) +
                         0.9;
    }
}

static void put_date_box(struct sheet *sheet, int index, const char *label, const char *value,
                         const char *below, bool strong)
{
    enum { GAP = 4, HEIGHT = 20 };
    double width = (PAGE_INNER - 2.0 * GAP) / 3;
    struct rect box = rect_of(PAGE_MARGIN + index * (width + GAP), sheet->book.y, width, HEIGHT);
    struct drawing *page = book_page(&sheet->book);
    draw_rounded(page, box, 1.2,
                 strong ? filled(ink_accent())
                        : (struct look){.fill = ink_faint(), .line = ink_pale(), .line_mm = 0.2});
    struct letters small = words_of(2.5, ALIGN_LEFT), big = words_bold(3.5, ALIGN_LEFT);
    small.most_mm = big.most_mm = width - 6;
    small.paint = strong ? ink_white() : ink_grey();
    big.paint = strong ? ink_white() : ink_black();
    draw_text(page, (struct point){box.x0 + 3, box.y0 + 5}, small, label);
    draw_text(page, (struct point){box.x0 + 3, box.y0 + 10.7}, big, value);
    draw_text(page, (struct point){box.x0 + 3, box.y0 + 16.3}, small, below);
}

static void put_dates(struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    const struct zone *zone = plan->input->zone;
    const struct job *job = sheet->job;
    int64_t start = job->start.given ? zone_utc(zone, &job->start) : plan->input->now;
    const char *latest = plan->has_latest_start
                             ? arena_format(sheet->arena, "at the latest %s",
                                            zone_words(zone, plan->latest_start, sheet->arena))
                             : "";
    put_date_box(sheet, 0, "Printing starts", date_words(sheet, start), latest, false);
    put_date_box(sheet, 1, "Install from",
                 plan->has_install ? date_words(sheet, plan->earliest_install) : "no date",
                 plan->has_install ? arena_format(sheet->arena, "finished %s",
                                                  zone_words(zone, plan->finished, sheet->arena))
                                   : "see the findings",
                 true);
    int64_t due = plan->promise.due;
    bool missed = plan->promise.late;
    put_date_box(sheet, 2, "Due", due ? date_words(sheet, due) : "not given",
                 !due || !plan->has_install ? ""
                 : missed                   ? "MISSED by this plan"
                                            : "met by this plan",
                 false);
    book_gap(&sheet->book, 23);
    if (plan->decides) book_words(&sheet->book, words_grey(2.7, ALIGN_LEFT), plan->decides);
}

static void put_counts(struct sheet *sheet)
{
    static const char *const one[] = {"note", "warning", "stop"}, *const many[] = {"notes", "warnings",
                                                                                   "stops"};
    double x = PAGE_MARGIN;
    book_need(&sheet->book, 6);
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--) {
        struct drawing *page = book_page(&sheet->book);
        draw_severity(page, (struct point){x + 2, sheet->book.y + 2.4}, 4, (enum severity)severity);
        const char *words =
            count_words(sheet->arena, sheet->severities[severity], one[severity], many[severity]);
        x += 6 +
             draw_text(page, (struct point){x + 5.5, sheet->book.y + 3.6}, words_bold(3, ALIGN_LEFT), words) +
             6;
    }
    book_gap(&sheet->book, 7);
}

/* What stands in the way, the most serious first; when nothing does, what the work begins with. */
static void put_first_steps(struct sheet *sheet)
{
    enum { MOST = 5 };
    book_title(&sheet->book, "What to do first");
    put_counts(sheet);
    size_t shown = 0;
    for (size_t i = 0; i < sheet->finding_count && shown < MOST; i++) {
        const struct finding *f = sheet->findings[i];
        if (f->severity == SEVERITY_NOTE) break;
        struct letters letters = words_of(2.8, ALIGN_LEFT);
        letters.most_mm = PAGE_INNER - 7;
        const char *words = arena_format(sheet->arena, "%s, %s: %s %s", severity_word(f->severity), f->where,
                                         f->text, f->remedy ? f->remedy : "");
        if (book_need(&sheet->book, draw_paragraph_height(letters, 3, words)))
            return; /* the findings' page has all */
        struct drawing *page = book_page(&sheet->book);
        draw_severity(page, (struct point){PAGE_MARGIN + 2, sheet->book.y + 2}, 3, f->severity);
        sheet->book.y +=
            draw_paragraph(page, (struct point){PAGE_MARGIN + 7, sheet->book.y}, letters, 3, words) + 1;
        shown++;
    }
    if (!shown)
        book_words(&sheet->book, words_of(2.8, ALIGN_LEFT),
                   "Nothing stands in the way. Check the profile in the printer's software, print all panels "
                   "of a side on "
                   "one batch of film, the same way up, and hang them as they are cut.");
}

void part_front(struct sheet *sheet)
{
    struct book *book = &sheet->book;
    book_new_page(book, arena_format(sheet->arena, "Job sheet %s", sheet->job->number));
    if (sheet->job->title) {
        struct letters title = words_of(4.4, ALIGN_LEFT);
        title.most_mm = PAGE_INNER;
        book->y += draw_paragraph(book_page(book), (struct point){PAGE_MARGIN, book->y}, title, 3,
                                  sheet->job->title) +
                   2.5;
    }
    put_facts(sheet);
    book_gap(book, 3);
    put_dates(sheet);
    book_gap(book, 3);
    book_drawing(
        book, sheet_vehicle_picture(sheet->plan, sheet->previews, picture_options(sheet, 105), sheet->arena));
    put_first_steps(sheet);
}

/* ---- a surface ---- */

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

/* Rows in the order of installing: what is hung first is listed first. */
static void put_panel_table(struct sheet *sheet, const struct surface_plan *sp)
{
    static const struct column columns[] = {
        {"Order", 11, ALIGN_CENTRE},         {"Panel", 36, ALIGN_LEFT}, {"Visible", 23, ALIGN_RIGHT},
        {"Print", 23, ALIGN_RIGHT},          {"Lies", 26, ALIGN_LEFT},  {"Ink mean / peak", 18, ALIGN_RIGHT},
        {"Stretch, local", 18, ALIGN_RIGHT}, {"Dry", 10, ALIGN_RIGHT},  {"Film length", 15, ALIGN_RIGHT},
    };
    book_title(&sheet->book, arena_format(sheet->arena, "Panels, in the order of installing (%s)",
                                          sheet->options->inches ? "in" : "mm"));
    struct table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, 2.35);
    for (size_t order = 1; order <= sp->panel_count; order++)
        for (size_t i = 0; i < sp->panel_count; i++)
            if (sp->panels[i].order == (int)order) put_panel_row(sheet, &table, sp, i);
    table_end(&table);
}

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

static void put_seam_table(struct sheet *sheet, const struct surface_plan *sp)
{
    static const struct column columns[] = {{"Seam at", 24, ALIGN_RIGHT},
                                            {"Kind", 46, ALIGN_LEFT},
                                            {"Lies over", 35, ALIGN_LEFT},
                                            {"Why here", 75, ALIGN_LEFT}};
    if (!sp->seam_count) return;
    book_title(&sheet->book, "Seams");
    struct table table = table_begin(&sheet->book, columns, 4, 2.35);
    for (size_t i = 0; i < sp->seam_count; i++) {
        const struct seam *s = &sp->seams[i];
        const char *at = arena_format(sheet->arena, "%c %s", s->axis == AXIS_X ? 'x' : 'y',
                                      length_words(sheet->arena, s->at_mm, sheet->options->inches, false));
        const char *cells[] = {at, seam_kind_words(sheet, s), s->laps ? sp->panels[s->over].id : "neither",
                               crosses_words(sheet, s)};
        table_row(&table, cells);
    }
    table_end(&table);
}

static void put_stretches(struct sheet *sheet, const struct surface *surface)
{
    if (!surface->stretch_count) return;
    book_title(&sheet->book, "Where the film stretches");
    for (size_t i = 0; i < surface->stretch_count; i++)
        book_words(&sheet->book, words_of(2.5, ALIGN_LEFT),
                   arena_format(sheet->arena, "%s (%s)", surface->stretches[i].reason,
                                surface->stretches[i].source ? surface->stretches[i].source : "no source"));
}

/* ---- inlays and relief cuts ---- */

static const char *inlay_place(const struct sheet *sheet, const struct feature *f)
{
    bool inches = sheet->options->inches;
    return arena_format(sheet->arena, "%s, x %s to %s, y %s to %s", f->name ? f->name : feature_kind_name(f->kind),
                        length_words(sheet->arena, f->box.x0, inches, false),
                        length_words(sheet->arena, f->box.x1, inches, false),
                        length_words(sheet->arena, f->box.y0, inches, false),
                        length_words(sheet->arena, f->box.y1, inches, false));
}

static void put_inlay(struct sheet *sheet, struct table *table, const struct panel *inlay)
{
    const char *file = inlay->file_name ? arena_format(sheet->arena, "%s, page %d", inlay->file_name, inlay->page)
                                        : "not printed yet";
    const char *cells[] = {arena_format(sheet->arena, "*%s", inlay->id), inlay_place(sheet, inlay->inlay),
                           size_words(sheet, rect_width(inlay->print), rect_height(inlay->print)),
                           arena_format(sheet->arena,
                                        "%s. Lay it in the recess first, let its edge run onto the flat; then the "
                                        "panel: cut it at the rim, from the film's side only.",
                                        file)};
    table_row(table, cells);
}

static void put_relief(struct sheet *sheet, struct table *table, const struct feature *f)
{
    const char *cells[] = {"*relief cuts", inlay_place(sheet, f), NULL,
                           arena_format(sheet->arena,
                                        "Cut the film from each corner of the rim towards the floor's corner, %s "
                                        "deep, then lay walls and floor in; seal the cuts.",
                                        length_words(sheet->arena, f->depth_mm, sheet->options->inches, true))};
    table_row(table, cells);
}

static void put_inlays(struct sheet *sheet, const struct surface_plan *sp)
{
    static const struct column columns[] = {{"Piece", 28, ALIGN_LEFT},
                                            {"Recess", 52, ALIGN_LEFT},
                                            {"Print", 24, ALIGN_RIGHT},
                                            {"What to do", 76, ALIGN_LEFT}};
    const struct surface *s = sp->surface;
    size_t count = 0;
    for (size_t i = 0; i < s->feature_count; i++) count += feature_has_piece(&s->features[i]);
    if (!count) return;
    book_title(&sheet->book, "Inlays and relief cuts");
    struct table table = table_begin(&sheet->book, columns, 4, 2.35);
    for (size_t i = sp->panel_count; i < surface_print_count(sp); i++) put_inlay(sheet, &table, &sp->panels[i]);
    for (size_t i = 0; i < s->feature_count; i++)
        if (feature_has_piece(&s->features[i]) && !s->features[i].inlay)
            put_relief(sheet, &table, &s->features[i]);
    table_end(&table);
    book_words(&sheet->book, words_grey(2.35, ALIGN_LEFT),
               "Blades cut hands and paint: cut away from yourself, on film that stands off the body or over knifeless "
               "tape; follow the workplace's rules for knives.");
}

/* ---- too much ink ---- */

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

static void put_heat_table(struct sheet *sheet, const struct surface_plan *sp, const struct ink_heat *heat)
{
    static const struct column columns[] = {{"Place", 14, ALIGN_CENTRE},   {"Ink, 5 x 5 mm", 26, ALIGN_RIGHT},
                                            {"Middle x", 22, ALIGN_RIGHT}, {"Middle y", 22, ALIGN_RIGHT},
                                            {"Size", 32, ALIGN_RIGHT},     {"On panels", 64, ALIGN_LEFT}};
    bool inches = sheet->options->inches;
    struct table table = table_begin(&sheet->book, columns, sizeof columns / sizeof *columns, 2.35);
    for (size_t i = 0; i < heat->place_count; i++) {
        struct rect box = heat->places[i].box;
        const char *cells[] = {arena_format(sheet->arena, "*%c", (int)('A' + i)),
                               arena_format(sheet->arena, "%.0f %%", heat->places[i].peak_percent),
                               length_words(sheet->arena, (box.x0 + box.x1) / 2, inches, false),
                               length_words(sheet->arena, (box.y0 + box.y1) / 2, inches, false),
                               size_words(sheet, rect_width(box), rect_height(box)),
                               panels_at(sheet, sp, box)};
        table_row(&table, cells);
    }
    table_end(&table);
    if (heat->place_total > heat->place_count)
        book_words(&sheet->book, words_of(2.5, ALIGN_LEFT),
                   arena_format(sheet->arena,
                                "The %zu heaviest of %zu places; the others are striped in the picture.",
                                heat->place_count, heat->place_total));
}

/* The surface by its ink, where some place has too much. */
static void put_heat(struct sheet *sheet, size_t index)
{
    const struct ink_heat *heat = sheet->options->heats ? sheet->options->heats[index] : NULL;
    const struct surface_plan *sp = &sheet->plan->surfaces[index];
    if (!heat) return;
    const struct drawing *picture = sheet_heat_picture(sp, heat, picture_options(sheet, 100), sheet->arena);
    book_need(&sheet->book, drawing_height(picture) + 25);
    book_title(&sheet->book, arena_format(sheet->arena, "Where the ink is over the film's limit of %g %%",
                                          heat->limit_percent));
    book_words(&sheet->book, words_of(2.5, ALIGN_LEFT),
               arena_format(sheet->arena, "%s Lengths below are in %s, from the surface's lower left corner.",
                            heat_source_words(heat, sheet->arena),
                            sheet->options->inches ? "inches" : "millimetres"));
    book_gap(&sheet->book, 1);
    book_drawing(&sheet->book, picture);
    put_heat_table(sheet, sp, heat);
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

void part_surface(struct sheet *sheet, size_t index)
{
    const struct surface_plan *sp = &sheet->plan->surfaces[index];
    const struct plan_input *input = sheet->plan->input;
    const struct surface_art *art = index < input->surface_count ? input->surfaces[index].art : NULL;
    book_new_page(&sheet->book, sp->surface->name);
    const char *size = size_words(sheet, sp->surface->width_mm, sp->surface->height_mm);
    book_words(&sheet->book, words_grey(2.8, ALIGN_LEFT),
               arena_format(sheet->arena, "%s %s; panels %s; %s%s%s", size,
                            sheet->options->inches ? "in" : "mm", panels_run_name(sp->run),
                            count_words(sheet->arena, sp->panel_count, "panel", "panels"),
                            sp->panel_count ? "; " : "", film_words(sheet, sp)));
    book_gap(&sheet->book, 2);
    book_drawing(&sheet->book, sheet_surface_picture(sp, art, sheet->previews ? sheet->previews[index] : NULL,
                                                     picture_options(sheet, 130), sheet->arena));
    if (!sp->panel_count) {
        book_words(&sheet->book, words_bold(3, ALIGN_LEFT),
                   "No panels could be planned for this surface: see the findings.");
        return;
    }
    put_panel_table(sheet, sp);
    put_seam_table(sheet, sp);
    put_stretches(sheet, sp->surface);
    put_inlays(sheet, sp);
    put_heat(sheet, index);
}

/* ---- times ---- */

static const char *list_words(const struct sheet *sheet, const char *const *items, size_t count)
{
    enum { MOST = 12 };
    struct text text = text_new(sheet->arena);
    for (size_t i = 0; i < count && i < MOST; i++) text_addf(&text, "%s%s", i ? ", " : "", items[i]);
    if (count > MOST) text_addf(&text, " and %zu more", count - MOST);
    return text_string(&text);
}

void part_times(struct sheet *sheet)
{
    static const struct column columns[] = {{"Step", 19, ALIGN_LEFT},
                                            {"Panels", 48, ALIGN_LEFT},
                                            {"From", 29, ALIGN_LEFT},
                                            {"To", 29, ALIGN_LEFT},
                                            {"Why", 55, ALIGN_LEFT}};
    const struct plan *plan = sheet->plan;
    book_new_page(&sheet->book, "Times");
    if (!plan->step_count) {
        book_words(&sheet->book, words_of(3, ALIGN_LEFT), "There are no steps to plan: see the findings.");
        return;
    }
    book_drawing(&sheet->book, sheet_timeline(plan, picture_options(sheet, 0), sheet->arena));
    book_gap(&sheet->book, 2);
    book_words(&sheet->book, words_grey(2.4, ALIGN_LEFT),
               "White: open; grey: closed. Blue with a heavy edge: what decides the date. Pale bars wait, "
               "full bars are work.");
    book_title(&sheet->book, arena_format(sheet->arena, "Steps (%s)",
                                          plan->input->zone->name ? plan->input->zone->name : "local time"));
    struct table table = table_begin(&sheet->book, columns, 5, 2.35);
    for (size_t i = 0; i < plan->step_count; i++) {
        const struct step *s = &plan->steps[i];
        const char *bold = s->decides ? "*" : "";
        const char *cells[] = {
            arena_format(sheet->arena, "%s%s", bold, step_kind_name(s->kind)),
            list_words(sheet, s->panels, s->panel_count),
            arena_format(sheet->arena, "%s%s", bold, zone_words(plan->input->zone, s->start, sheet->arena)),
            arena_format(sheet->arena, "%s%s", bold, zone_words(plan->input->zone, s->end, sheet->arena)),
            s->why,
        };
        table_row(&table, cells);
    }
    table_end(&table);
}

/* ---- material ---- */

static const char *money_words(const struct sheet *sheet, money_minor sum)
{
    struct text text = text_new(sheet->arena);
    text_add_fixed(&text, (double)sum / 100, 2);
    return text_string(&text);
}

static const char *amount_words(const struct sheet *sheet, const struct material_line *line)
{
    if (str_equal(str_from(line->unit), "mm"))
        return sheet->options->inches ? length_words(sheet->arena, line->amount, true, true)
                                      : arena_format(sheet->arena, "%.2f m", line->amount / 1000);
    return arena_format(sheet->arena, "%.1f %s", line->amount, line->unit ? line->unit : "");
}

static void put_materials(struct sheet *sheet, const char *currency)
{
    const struct column columns[] = {{"What", 30, ALIGN_LEFT},     {"Name", 60, ALIGN_LEFT},
                                     {"Amount", 26, ALIGN_RIGHT},  {"Wide", 22, ALIGN_RIGHT},
                                     {"Area m2", 18, ALIGN_RIGHT}, {currency, 24, ALIGN_RIGHT}};
    struct table table = table_begin(&sheet->book, columns, 6, 2.5);
    for (size_t i = 0; i < sheet->plan->material_count; i++) {
        const struct material_line *m = &sheet->plan->materials[i];
        const char *cells[] = {
            m->what,
            m->name,
            amount_words(sheet, m),
            m->width_mm > 0 ? length_words(sheet->arena, m->width_mm, sheet->options->inches, true) : NULL,
            m->area_m2 > 0 ? arena_format(sheet->arena, "%.1f", m->area_m2) : NULL,
            m->missing ? "no price" : money_words(sheet, m->cost),
        };
        table_row(&table, cells);
    }
    table_end(&table);
}

static void put_buys(struct sheet *sheet, const char *currency)
{
    const struct column columns[] = {{"To buy", 30, ALIGN_LEFT},
                                     {"Name", 60, ALIGN_LEFT},
                                     {"Rolls", 22, ALIGN_RIGHT},
                                     {"Of", 44, ALIGN_RIGHT},
                                     {currency, 24, ALIGN_RIGHT}};
    bool inches = sheet->options->inches;
    if (!sheet->plan->buy_count) return;
    book_title(&sheet->book, "Whole rolls");
    struct table table = table_begin(&sheet->book, columns, 5, 2.5);
    for (size_t i = 0; i < sheet->plan->buy_count; i++) {
        const struct buy_line *b = &sheet->plan->buys[i];
        const char *cells[] = {b->what, b->film->name, arena_format(sheet->arena, "%zu", b->rolls),
                               arena_format(sheet->arena, "%s x %g m",
                                            length_words(sheet->arena, b->width_mm, inches, true),
                                            b->film->length_mm / 1000),
                               b->missing ? "no price" : money_words(sheet, b->cost)};
        table_row(&table, cells);
    }
    const char *cash[] = {"*Cash needed for rolls", NULL, NULL, NULL,
                          arena_format(sheet->arena, "*%s", money_words(sheet, sheet->plan->cash))};
    table_row(&table, cash);
    table_end(&table);
}

static void put_hours(struct sheet *sheet, const char *currency)
{
    const struct column columns[] = {
        {"Work", 90, ALIGN_LEFT}, {"Hours", 26, ALIGN_RIGHT}, {currency, 64, ALIGN_RIGHT}};
    struct table table = table_begin(&sheet->book, columns, 3, 2.5);
    for (size_t i = 0; i < sheet->plan->cost_count; i++) {
        const struct cost_line *c = &sheet->plan->costs[i];
        const char *cells[] = {c->what, c->hours > 0 ? arena_format(sheet->arena, "%.2f", c->hours) : NULL,
                               c->missing ? arena_format(sheet->arena, "%s, without what is not priced",
                                                         money_words(sheet, c->cost))
                                          : money_words(sheet, c->cost)};
        table_row(&table, cells);
    }
    const char *total[] = {"*Cost", NULL,
                           arena_format(sheet->arena, "*%s", money_words(sheet, sheet->plan->total_cost))};
    const char *price[] = {"*Price, with mark-up or margin", NULL,
                           arena_format(sheet->arena, "*%s", money_words(sheet, sheet->plan->price))};
    table_row(&table, total);
    table_row(&table, price);
    table_end(&table);
    if (sheet->plan->missing_count)
        book_words(&sheet->book, words_bold(2.6, ALIGN_LEFT),
                   arena_format(sheet->arena, "Cost and price leave out what no price is written for: %s.",
                                list_words(sheet, sheet->plan->missing, sheet->plan->missing_count)));
    if (sheet->plan->unpriced_count)
        book_words(&sheet->book, words_bold(2.6, ALIGN_LEFT),
                   arena_format(sheet->arena, "Cost and price are without %s.",
                                list_words(sheet, sheet->plan->unpriced, sheet->plan->unpriced_count)));
}

void part_material(struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    const char *currency =
        sheet->job->shop && sheet->job->shop->currency ? sheet->job->shop->currency : "cost";
    book_new_page(&sheet->book, "Material and work");
    put_materials(sheet, currency);
    put_buys(sheet, currency);
    if (plan->cost_count) {
        book_title(&sheet->book, "Work");
        put_hours(sheet, currency);
    }
    for (size_t i = 0; i < plan->roll_count; i++) {
        struct picture_options options = picture_options(sheet, 0);
        options.no_title = false;
        if (!i) book_title(&sheet->book, "On the roll");
        book_drawing(&sheet->book, sheet_roll_picture(&plan->rolls[i], plan, options, sheet->arena));
        book_gap(&sheet->book, 3);
    }
}
