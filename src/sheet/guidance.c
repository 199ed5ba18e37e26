/* The parts that say what to mind: findings and installing. */
#include "pages.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "model/practice.h"

/* ---- findings ---- */

static void add_acceptance(struct text *text, const char *what, const struct acceptance *a)
{
    text_addf(text, "\n%s%s%s: %s", what, a->who ? " by " : "", a->who ? a->who : "", a->words);
}

const char *finding_words(const struct sheet *sheet, const struct finding_group *group)
{
    const struct finding *f = group->first;
    struct text text = text_new(sheet->arena);
    text_add(&text, group->text);
    if (f->source) text_addf(&text, "\nLimit from: %s", f->source);
    if (f->accepted) add_acceptance(&text, "Accepted", f->accepted);
    if (f->lapsed) add_acceptance(&text, sentence_plain("was-accepted-elsewhere-or-when-it-was"), f->lapsed);
    return said(sheet, text_string(&text));
}

void part_findings(struct sheet *sheet)
{
    const struct column columns[] = {{"", 7, ALIGN_LEFT},
                                     {"How serious", 22, ALIGN_LEFT},
                                     {"Where", 32, ALIGN_LEFT},
                                     {sentence_plain("finding-column"), 104, ALIGN_LEFT},
                                     {"What to do", 76, ALIGN_LEFT}};
    book_part(&sheet->book, "Findings", 30);
    if (!sheet->finding_count) {
        book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
                   sentence_plain("nothing-was-found-that-stands-in"));
        return;
    }
    book_words(&sheet->book, words_grey(TYPE_MM, ALIGN_LEFT), sentence_plain("stop-must-not-be-printed-as"));
    size_t before = 0;
    for (size_t i = 0; i < sheet->finding_count; i++) before += sheet->findings[i].on_front;
    if (before)
        book_words(&sheet->book, words_of(TYPE_MM, ALIGN_LEFT),
                   sentence_plain("what-first-page-says-in-full"));
    if (before == sheet->finding_count) return;
    book_gap(&sheet->book, 2);
    struct sheet_table table = table_begin(&sheet->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < sheet->finding_count; i++) {
        const struct finding *f = sheet->findings[i].first;
        if (sheet->findings[i].on_front) continue;
        const char *cells[] = {NULL, arena_format(sheet->arena, "*%s", severity_word(f->severity)),
                               sheet->findings[i].where, finding_words(sheet, &sheet->findings[i]),
                               said(sheet, f->remedy)};
        double top = table_row(&table, cells);
        draw_severity(book_page(&sheet->book), (struct point){book_left(&sheet->book) + 3.5, top + 3.1}, 3.4,
                      f->severity);
    }
    table_end(&table);
}

/* ---- points ---- */

static double point_height(double width, const char *words)
{
    struct letters letters = words_of(TYPE_MM, ALIGN_LEFT);
    letters.most_mm = width - 5;
    return draw_paragraph_height(letters, 0, words) + 0.9;
}

static void draw_point(struct drawing *page, struct point at, double width, const char *words)
{
    struct letters letters = words_of(TYPE_MM, ALIGN_LEFT);
    letters.most_mm = width - 5;
    draw_rect(page, rect_of(at.x + 1, at.y + 1.3, 1.3, 1.3), filled(ink_accent()));
    draw_paragraph(page, (struct point){at.x + 5, at.y}, letters, 0, words);
}

void put_points(struct sheet *sheet, const char *const *points, size_t count)
{
    static const double gutter_mm = 8;
    struct book *book = &sheet->book;
    size_t columns = book->wide ? 2 : 1;
    double width = (book_inner(book) - (double)(columns - 1) * gutter_mm) / (double)columns;
    for (size_t i = 0; i < count; i += columns) {
        double height = 0;
        for (size_t k = i; k < count && k < i + columns; k++)
            height = height > point_height(width, points[k]) ? height : point_height(width, points[k]);
        book_need(book, height);
        for (size_t k = i; k < count && k < i + columns; k++)
            draw_point(book_page(book),
                       (struct point){book_left(book) + (double)(k - i) * (width + gutter_mm), book->y},
                       width, points[k]);
        book_gap(book, height);
    }
}

/* ---- installing ---- */

static const char *practice_words(struct arena *arena, const char *name)
{
    for (size_t i = 0; i < practice_count; i++)
        if (str_equal(str_from(practice_table[i].name), name))
            return arena_format(arena, "%g %s (%s)", practice_table[i].value, practice_table[i].unit,
                                practice_table[i].source);
    return "not known";
}

static void put_edges(struct sheet *sheet)
{
    const char *const points[] = {
        sentence_plain("edges-face"),
        sentence_plain("edges-at-door-gap"),
    };
    book_title(&sheet->book, "Edges");
    put_points(sheet, points, sizeof points / sizeof *points);
}

static const char *post_heat_words(const struct sheet *sheet)
{
    const struct condition *c = sheet->job->condition;
    if (c && c->film && measure_known(c->film->post_heat_c))
        return sentence_words(sheet->arena, "post-heat-every-stretched-place-to",
                              ARGUMENTS(arg_number("post_heat_c", c->film->post_heat_c.value),
                                        arg_words("post_heat_c_source", c->film->post_heat_c.source)));
    return sentence_plain("post-heat-every-stretched-place-to-film");
}

static void put_temperatures(struct sheet *sheet)
{
    struct arena *arena = sheet->arena;
    const char *const points[] = {
        sentence_words(arena, "film-and-vehicle-when-applying-at",
                       ARGUMENTS(arg_words("least", practice_words(arena, "apply-low")),
                                 arg_words("most", practice_words(arena, "apply-high")))),
        post_heat_words(sheet),
        sentence_words(arena, "rest-after-installing-before-vehicle-is",
                       ARGUMENTS(arg_words("practice", practice_words(arena, "install-rest")))),
        sentence_plain("not-dry-signs"),
    };
    book_title(&sheet->book, "Temperatures and rest");
    put_points(sheet, points, sizeof points / sizeof *points);
}

static void put_cautions(struct sheet *sheet)
{
    static const char *const cautions[] = {
        "caution-vapour",  "caution-blades",    "caution-laminator", "caution-heat",
        "caution-ladders", "caution-keep-free", "caution-law",       "caution-licensed",
    };
    book_title(&sheet->book, "Cautions");
    const char *points[sizeof cautions / sizeof *cautions];
    for (size_t i = 0; i < sizeof cautions / sizeof *cautions; i++) points[i] = sentence_plain(cautions[i]);
    put_points(sheet, points, sizeof points / sizeof *points);
    book_words(&sheet->book, words_bold(TYPE_MM, ALIGN_LEFT),
               sentence_plain("local-codes-and-makers-bulletins-come"));
}

void part_installing(struct sheet *sheet)
{
    book_part(&sheet->book, "Installing", 30);
    put_cautions(sheet);
    put_edges(sheet);
    put_temperatures(sheet);
}
