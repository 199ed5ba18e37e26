/* The front page: what the job is, its dates, the whole vehicle, what to do first, and the artwork's files.
 */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "pages.h"
#include "sheet/pictures.h"
#include <math.h>
#include <string.h>

/* ---- facts ---- */

struct front_fact {
    const char *label, *value;
};

static const char *condition_words(const struct sheet *sheet)
{
    const struct condition *c = sheet->job->condition;
    if (!c) return "none";
    struct text text = text_new(sheet->arena);
    text_add(&text, c->name);
    if (c->printer && !c->printer->unknown) text_addf(&text, ": printer %s", c->printer->name);
    if (c->mode) text_addf(&text, ", mode %s", c->mode);
    if (c->film) text_addf(&text, "; film %s", c->film->name);
    text_addf(&text, "; laminate %s", c->laminate ? c->laminate->name : "none");
    if (c->ink && c->ink->unknown) text_add(&text, "; ink unknown");
    if (c->ink && !c->ink->unknown)
        text_addf(&text, "; ink %s (%s)", c->ink->name, ink_technology_name(c->ink->technology));
    if (job_buys_prints(sheet->job)) text_say(&text, "printing-bought-in", NULL);
    if (c->in_printer) text_say(&text, "profile-in-printers-software", NULL);
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
    static const double label_mm = 34;
    const struct job *job = sheet->job;
    const struct front_fact facts[] = {
        {"Customer", job->customer},
        {"Vehicle", job->vehicle ? job->vehicle : job->vehicle_type},
        {"Panels",
         arena_format(sheet->arena, "%s on %s",
                      count_words(sheet->arena, panel_total(sheet->plan), "panel", "panels"),
                      count_words(sheet->arena, sheet->plan->surface_count, "surface", "surfaces"))},
        {"Printing condition", condition_words(sheet)},
        {"Drying", drying_name(job->drying)},
    };
    struct book *book = &sheet->book;
    for (size_t i = 0; i < sizeof facts / sizeof *facts; i++) {
        if (!facts[i].value) continue;
        struct letters letters = words_of(TYPE_MM, ALIGN_LEFT);
        letters.most_mm = book_inner(book) - label_mm;
        draw_text(book_page(book), (struct point){book_left(book), book->y + TYPE_MM},
                  words_grey(TYPE_MM, ALIGN_LEFT), facts[i].label);
        book->y += draw_paragraph(book_page(book), (struct point){book_left(book) + label_mm, book->y},
                                  letters, 4, facts[i].value) +
                   0.9;
    }
}

/* ---- dates ---- */

static void put_date_box(struct sheet *sheet, struct rect box, const char *label, const char *value,
                         const char *below, bool strong)
{
    struct drawing *page = book_page(&sheet->book);
    draw_rounded(page, box, 1.2,
                 strong ? filled(ink_accent())
                        : (struct look){.fill = ink_faint(), .line = ink_pale(), .line_mm = 0.2});
    struct letters small = words_of(TYPE_MM, ALIGN_LEFT), big = words_bold(4, ALIGN_LEFT);
    small.most_mm = big.most_mm = rect_width(box) - 6;
    small.paint = strong ? ink_white() : ink_grey();
    big.paint = strong ? ink_white() : ink_black();
    draw_text(page, (struct point){box.x0 + 3, box.y0 + 5}, small, label);
    draw_text(page, (struct point){box.x0 + 3, box.y0 + 10.7}, big, value);
    draw_text(page, (struct point){box.x0 + 3, box.y0 + 16.3}, small, below);
}

/* When printing starts: as the first step says, so that sheet, plan and page agree. */
static int64_t first_start(const struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    if (!plan->step_count) {
        const struct job *job = sheet->job;
        return job->start.given ? zone_utc(plan->input->zone, &job->start) : plan->input->now;
    }
    int64_t first = plan->steps[0].start;
    for (size_t i = 1; i < plan->step_count; i++)
        if (plan->steps[i].start < first) first = plan->steps[i].start;
    return first;
}

/* Where box `index` of three lies: side by side, or one below the other in a narrow column. */
static struct rect date_place(const struct sheet *sheet, int index, double top, bool stacked)
{
    enum { GAP = 2, HEIGHT = 19, BOXES = 3 };
    double inner = book_inner(&sheet->book), left = book_left(&sheet->book);
    if (stacked) return rect_of(left, top + index * (HEIGHT + GAP), inner, HEIGHT);
    double width = (inner - (BOXES - 1) * GAP) / BOXES;
    return rect_of(left + index * (width + GAP), top, width, HEIGHT);
}

static void put_dates(struct sheet *sheet)
{
    const struct plan *plan = sheet->plan;
    const struct zone *zone = plan->input->zone;
    bool stacked = sheet->book.wide;
    double top = sheet->book.y;
    const char *latest =
        plan->has_latest_start
            ? sentence_words(
                  sheet->arena, "at-latest-latest-start",
                  ARGUMENTS(arg_words("latest_start", zone_words(zone, plan->latest_start, sheet->arena))))
            : "";
    put_date_box(sheet, date_place(sheet, 0, top, stacked), "Work starts",
                 date_words(sheet, first_start(sheet)), latest, false);
    put_date_box(sheet, date_place(sheet, 1, top, stacked), "Install from",
                 plan->has_install ? date_words(sheet, plan->earliest_install) : "no date",
                 plan->has_install ? arena_format(sheet->arena, "finished %s",
                                                  zone_words(zone, plan->finished, sheet->arena))
                                   : "see the findings",
                 true);
    int64_t due = plan->promise.due;
    put_date_box(sheet, date_place(sheet, 2, top, stacked), "Due", due ? date_words(sheet, due) : "not given",
                 !due || !plan->has_install ? ""
                 : plan->promise.late       ? sentence_plain("missed-by-this-plan")
                                            : sentence_plain("met-by-this-plan"),
                 false);
    sheet->book.y = date_place(sheet, 2, top, stacked).y1 + 3;
    if (plan->decides.words)
        book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT), said(sheet, plan->decides.words));
}

/* ---- what to do first ---- */

static void put_counts(struct sheet *sheet)
{
    static const char *const one[] = {"note", "warning", "stop"}, *const many[] = {"notes", "warnings",
                                                                                   "stops"};
    double x = book_left(&sheet->book);
    book_need(&sheet->book, 6);
    for (int severity = SEVERITY_STOP; severity >= SEVERITY_NOTE; severity--) {
        struct drawing *page = book_page(&sheet->book);
        draw_severity(page, (struct point){x + 2, sheet->book.y + 2.4}, 4, (enum severity)severity);
        const char *words =
            count_words(sheet->arena, sheet->severities[severity], one[severity], many[severity]);
        x += 6 +
             draw_text(page, (struct point){x + 5.5, sheet->book.y + 3.6}, words_bold(3.2, ALIGN_LEFT),
                       words) +
             6;
    }
    book_gap(&sheet->book, 7);
}

/* Rows of stops and warnings. */
static size_t serious(const struct sheet *sheet)
{
    size_t count = 0;
    while (count < sheet->finding_count && sheet->findings[count].first->severity != SEVERITY_NOTE) count++;
    return count;
}

/* On one line, as far as it goes. */
static const char *in_a_row(const struct sheet *sheet, const char *words)
{
    char *row = arena_copy(sheet->arena, words, strlen(words));
    for (char *c = row; *c; c++)
        if (*c == '\n') *c = ' ';
    size_t length = strlen(row);
    return length && !strchr(".!?", row[length - 1]) ? arena_format(sheet->arena, "%s.", row) : row;
}

enum { FRONT_MOST = 5, FRONT_LINES = 4 }; /* stops and warnings; lines of each */

/* False: there is no room for it any more. */
static bool put_front_finding(struct sheet *sheet, struct finding_group *group, bool first)
{
    struct book *book = &sheet->book;
    const struct finding *f = group->first;
    struct letters letters = words_of(TYPE_MM, ALIGN_LEFT);
    letters.most_mm = book_inner(book) - 7;
    const char *words =
        said(sheet, arena_format(sheet->arena, "%s, %s: %s %s", severity_word(f->severity), group->where,
                                 in_a_row(sheet, finding_words(sheet, group)), f->remedy ? f->remedy : ""));
    double height = draw_paragraph_height(letters, FRONT_LINES, words),
           rest_mm = f->severity == SEVERITY_NOTE ? 0 : TYPE_MM * 1.5; /* for the words of further ones */
    if (!first && book->y + height + rest_mm > book_bottom(book)) return false;
    book_need(book, height);
    draw_severity(book_page(book), (struct point){book_left(book) + 2, book->y + 2}, 3, f->severity);
    book->y += draw_paragraph(book_page(book), (struct point){book_left(book) + 7, book->y}, letters,
                              FRONT_LINES, words) +
               1;
    group->on_front = draw_paragraph_height(letters, 0, words) <= height;
    return true;
}

/* What stands in the way, the most serious first; when nothing does, what the work begins with. Notes as far as
  * there is room. */
static void put_first_steps(struct sheet *sheet)
{
    struct book *book = &sheet->book;
    size_t shown = 0, all = serious(sheet);
    book_title(book, sentence_plain("what-to-do-first"));
    put_counts(sheet);
    for (size_t i = 0; i < sheet->finding_count; i++) sheet->findings[i].on_front = false;
    while (shown < all && shown < FRONT_MOST && put_front_finding(sheet, &sheet->findings[shown], !shown))
        shown++;
    if (shown && shown < all)
        book_words(book, words_of(TYPE_MM, ALIGN_LEFT),
                   sentence_plain("further-warnings-stand-under-findings"));
    if (!shown)
        book_words(book, words_of(TYPE_MM, ALIGN_LEFT),
                   sentence_plain("nothing-stands-in-way-check-profile"));
    for (size_t i = all; shown == all && i < sheet->finding_count; i++)
        put_front_finding(sheet, &sheet->findings[i], false);
}

/* ---- the artwork's files ---- */

static const struct sheet_file *front_file_of(const struct sheet_options *options, const char *path)
{
    for (size_t i = 0; i < options->file_count; i++)
        if (string_equal(options->files[i].path, path)) return &options->files[i];
    return NULL;
}

/* "art/left.pdf, page 2, on left; revision B; saved Mon 1 Mar, 08:00", its digest on a line of its own */
static const char *file_words(const struct sheet *sheet, const struct artwork_spec *spec,
                              const char *surfaces, const struct sheet_file *file)
{
    struct text text = text_new(sheet->arena);
    text_add(&text, spec->file);
    if (spec->page > 1) text_addf(&text, ", page %d", spec->page);
    text_addf(&text, ", on %s; revision %s", surfaces, spec->revision ? spec->revision : "not said");
    if (file)
        text_addf(&text, "; saved %s", zone_words(sheet->plan->input->zone, file->changed, sheet->arena));
    text_addf(&text, "\n%s", file ? file->sha256 : "not read");
    return text_string(&text);
}

static bool front_same_artwork(const struct artwork_spec *a, const struct artwork_spec *b)
{
    return string_equal(a->path, b->path) && a->page == b->page && string_equal(a->revision, b->revision);
}

/* The surfaces that carry it, in one cell; NULL when the row came with an earlier surface. */
static const char *surfaces_with(const struct sheet *sheet, size_t surface, size_t art)
{
    const struct plan_input *input = sheet->plan->input;
    const struct artwork_spec *spec = input->surfaces[surface].art->placed[art].spec;
    const char **names = arena_take_array(sheet->arena, input->surface_count, sizeof *names);
    size_t count = 0;
    for (size_t i = 0; i < input->surface_count; i++) {
        const struct surface_art *other = input->surfaces[i].art;
        for (size_t k = 0; other && k < other->count; k++) {
            if (!front_same_artwork(other->placed[k].spec, spec)) continue;
            if (i < surface || (i == surface && k < art)) return NULL;
            names[count++] = input->surfaces[i].surface->name;
            break;
        }
    }
    return list_words(sheet->arena, names, count);
}

static void put_files(struct sheet *sheet)
{
    const struct column columns[] = {{"Have", 12, ALIGN_CENTRE},
                                     {sentence_plain("artwork-files"), 134, ALIGN_LEFT}};
    const struct plan_input *input = sheet->plan->input;
    struct sheet_table table = {0};
    book_gap(&sheet->book, 2);
    for (size_t i = 0; i < input->surface_count; i++) {
        const struct surface_art *art = input->surfaces[i].art;
        for (size_t k = 0; art && k < art->count; k++) {
            const char *surfaces = surfaces_with(sheet, i, k);
            const struct artwork_spec *spec = art->placed[k].spec;
            if (!surfaces) continue;
            if (!table.book) table = table_begin(&sheet->book, columns, 2, TYPE_MM);
            const char *cells[] = {
                "[ ]", file_words(sheet, spec, surfaces, front_file_of(sheet->options, spec->path))};
            table_row(&table, cells);
        }
    }
    if (table.book) table_end(&table);
}

void part_front(struct sheet *sheet)
{
    struct book *book = &sheet->book;
    book_new_page(book, arena_format(sheet->arena, "Job sheet %s", sheet->job->number));
    if (sheet->job->title) {
        struct letters title = words_of(4.4, ALIGN_LEFT);
        title.most_mm = book_inner(book);
        book->y += draw_paragraph(book_page(book), (struct point){PAGE_MARGIN, book->y}, title, 3,
                                  sheet->job->title) +
                   2.5;
    }
    const double column_mm = 102, gutter_mm = 6, picture_mm = 84;
    double top = book->y, inner = book_inner(book);
    if (book->wide) book_column(book, PAGE_MARGIN, column_mm, top);
    put_facts(sheet);
    book_gap(book, 3);
    put_dates(sheet);
    double end = book->y;
    if (book->wide)
        book_column(book, PAGE_MARGIN + column_mm + gutter_mm, inner - column_mm - gutter_mm, top);
    else
        book_gap(book, 3);
    book_drawing(book, sheet_vehicle_picture(sheet->plan, sheet->previews, picture_options(sheet, picture_mm),
                                             sheet->arena));
    put_files(sheet);
    book_column(book, 0, 0, fmax(end, book->y));
    put_first_steps(sheet);
}
