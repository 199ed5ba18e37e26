/* Draws the proof: the page of what is approved, then each surface. Called by run. */
#include "sheet/proof.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "sheet/pictures.h"
#include "pages.h"
#include <math.h>

struct proof_pages {
    struct book book;
    const struct proof *proof;
    const struct proof_paper *paper;
    struct arena *arena;
    const struct proof_surface *surface; /* whose page it is */
};

/* "ABCD EFGH", which is read out without a slip. */
static const char *letters_apart(const struct proof *proof, struct arena *arena)
{
    return arena_format(arena, "%.4s %.4s", proof->letters, proof->letters + 4);
}

static bool proof_is_wide(const struct proof *proof)
{
    const double ratio = 1.4; /* as the job sheet */
    for (size_t i = 0; i < proof->surface_count; i++) {
        const struct surface *s = proof->surfaces[i].plan->surface;
        if (s->width_mm > ratio * s->height_mm) return true;
    }
    return false;
}

/* ---- the first page ---- */

static void put_letters(struct proof_pages *pages)
{
    struct book *book = &pages->book;
    const double high = 17;
    struct letters large = words_bold(9, ALIGN_LEFT), small = words_grey(TYPE_MM, ALIGN_LEFT);
    struct rect box = rect_of(book_left(book), book->y, book_inner(book), high);
    draw_rounded(book_page(book), box, 2, (struct look){.line = ink_accent(), .line_mm = 0.5});
    double width = draw_text(book_page(book), (struct point){box.x0 + 5, box.y0 + 11.5}, large,
                             letters_apart(pages->proof, pages->arena));
    small.most_mm = rect_width(box) - width - 16;
    draw_paragraph(book_page(book), (struct point){box.x0 + width + 11, box.y0 + 4}, small, 2,
                   sentence_words(pages->arena, "proof-letters-are",
                                  ARGUMENTS(arg_count("version", pages->proof->version))));
    book->y += high + 3;
}

/* "6: 201 to 206"; NULL: one vehicle. */
static const char *proof_vehicles(const struct proof_pages *pages)
{
    const struct job *job = pages->proof->job;
    if (job->vehicles < 2 && !job->fleet) return NULL;
    if (!job->fleet)
        return sentence_words(pages->arena, "proof-vehicles-alike",
                              ARGUMENTS(arg_count("vehicles", job->vehicles)));
    const char **names = arena_take_array(pages->arena, job->fleet->row_count, sizeof *names);
    for (size_t i = 0; i < job->fleet->row_count; i++) names[i] = job->fleet->rows[i].name;
    return sentence_words(
        pages->arena, "proof-vehicles",
        ARGUMENTS(arg_count("vehicles", job->vehicles),
                  arg_words("names", list_words(pages->arena, names, job->fleet->row_count))));
}

static void put_parties(struct proof_pages *pages)
{
    static const struct column columns[] = {{"", 30, ALIGN_LEFT}, {"", 150, ALIGN_LEFT}};
    const struct job *job = pages->proof->job;
    const char *rows[][2] = {{"*Job", job->number},
                             {"*What", job->title},
                             {"*Customer", job->customer},
                             {"*Vehicle", job->vehicle},
                             {"*Vehicles", proof_vehicles(pages)}};
    struct sheet_table table = table_bare(&pages->book, columns, 2, TYPE_MM);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (rows[i][1]) table_row(&table, rows[i]);
    table_end(&table);
}

static void put_checks(struct proof_pages *pages)
{
    static const char *const ids[] = {"proof-check-lettering", "proof-check-places", "proof-check-colours",
                                      "proof-check-bare", "proof-check-sizes"};
    book_title(&pages->book, sentence_plain("proof-please-check"));
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
        book_words(&pages->book, words_of(TYPE_MM, ALIGN_LEFT),
                   arena_format(pages->arena, "%zu. %s", i + 1, sentence_plain(ids[i])));
        book_gap(&pages->book, 0.8);
    }
}

static void proof_put_files(struct proof_pages *pages)
{
    static const struct column columns[] = {
        {"File", 90, ALIGN_LEFT}, {"Revision", 40, ALIGN_LEFT}, {"SHA-256 begins", 50, ALIGN_LEFT}};
    const struct proof *proof = pages->proof;
    if (!proof->file_count) return;
    book_title(&pages->book, sentence_plain("proof-files"));
    struct sheet_table table = table_begin(&pages->book, columns, 3, TYPE_MM);
    for (size_t i = 0; i < proof->file_count; i++) {
        const struct proof_file *file = &proof->files[i];
        const char *cells[] = {file->file, file->revision,
                               arena_format(pages->arena, "%.8s %.8s", file->sha256, file->sha256 + 8)};
        table_row(&table, cells);
    }
    table_end(&table);
}

/* Surfaces that nothing is printed for. */
static void put_uncovered(struct proof_pages *pages)
{
    struct text names = text_new(pages->arena);
    for (size_t i = 0; i < pages->proof->surface_count; i++)
        if (!pages->proof->surfaces[i].art->count && !pages->proof->surfaces[i].plan->pieces_alone)
            text_addf(&names, "%s%s", names.length ? ", " : "",
                      pages->proof->surfaces[i].plan->surface->name);
    if (!names.length) return;
    book_title(&pages->book, sentence_plain("proof-without-artwork"));
    book_words(&pages->book, words_of(TYPE_MM, ALIGN_LEFT), text_string(&names));
}

static void put_approval(struct proof_pages *pages)
{
    const double line_mm = 14;
    struct book *book = &pages->book;
    book_need(book, line_mm + 20);
    book_title(book, sentence_plain("proof-approval"));
    book_words(book, words_of(TYPE_MM, ALIGN_LEFT),
               sentence_words(pages->arena, "proof-how-to-approve",
                              ARGUMENTS(arg_words("letters", letters_apart(pages->proof, pages->arena)))));
    const char *const fields[] = {"Name", "Date", "Signature"};
    const double shares[] = {0.35, 0.2, 0.45};
    double x = book_left(book), y = book->y + line_mm - 4;
    for (size_t i = 0; i < 3; i++) {
        double width = book_inner(book) * shares[i];
        draw_line(book_page(book), (struct point){x, y}, (struct point){x + width - 5, y},
                  line_of(ink_black(), 0.25));
        draw_text(book_page(book), (struct point){x, y + 4}, words_grey(TYPE_MM, ALIGN_LEFT), fields[i]);
        x += width;
    }
    book_gap(book, line_mm + 2);
}

/* ---- a surface ---- */

static struct picture_pieces proof_pieces_on(const struct proof_pages *pages, const struct surface *host)
{
    const struct proof *proof = pages->proof;
    struct picture_pieces on = {arena_take_array(pages->arena, proof->surface_count, sizeof *on.plans),
                                arena_take_array(pages->arena, proof->surface_count, sizeof *on.previews), 0};
    for (size_t i = 0; i < proof->surface_count; i++) {
        if (proof->surfaces[i].plan->surface->host != host) continue;
        on.previews[on.count] = proof->surfaces[i].preview;
        on.plans[on.count++] = proof->surfaces[i].plan;
    }
    return on;
}

/* Without panels and seams, which are the shop's matter, unless they are asked for. */
static void put_surface_picture(struct proof_pages *pages, const struct proof_surface *s, double share)
{
    struct surface_plan plan = *s->plan;
    bool seams = pages->paper->seams;
    if (!seams) plan.seam_count = plan.panel_count = plan.inlay_count = 0;
    plan.lettering_count = 0; /* listed below */
    struct picture_options options = {.width_mm = book_inner(&pages->book),
                                      .height_most_mm = book_room(&pages->book) * share,
                                      .inches = pages->paper->inches,
                                      .plain = true,
                                      .pieces = proof_pieces_on(pages, plan.surface),
                                      .no_title = true};
    struct surface_plan *kept = arena_take(pages->arena, sizeof *kept);
    *kept = plan;
    book_drawing(&pages->book, sheet_surface_picture(kept, NULL, s->preview, options, pages->arena));
}

static const char *proof_place_words(const struct proof_pages *pages, double x, double y)
{
    bool inches = pages->paper->inches;
    if (!inches) x = round(x) + 0.0, y = round(y) + 0.0;
    return sentence_words(pages->arena, "proof-place",
                          ARGUMENTS(arg_words("x", length_words(pages->arena, x, inches, false)),
                                    arg_words("y", length_words(pages->arena, y, inches, true))));
}

static const char *colour_words(const struct proof_colour *c, struct arena *arena)
{
    static const char inks[PROCESS_INKS] = {'C', 'M', 'Y', 'K'};
    struct text words = text_new(arena);
    for (int i = 0; i < PROCESS_INKS; i++)
        text_addf(&words, "%s%c %.0f", i ? "  " : "*", inks[i], c->percent[i]);
    return text_string(&words);
}

static void put_colour(struct proof_pages *pages, struct sheet_table *table, const struct proof_colour *c)
{
    const char *cells[] = {
        "", colour_words(c, pages->arena),
        arena_format(pages->arena, "%.*f %%", c->share_percent < 10 ? 1 : 0, c->share_percent),
        proof_place_words(pages, c->at.x, c->at.y)};
    double top = table_row(table, cells);
    unsigned rgb = (unsigned)c->rgb[0] << 16 | (unsigned)c->rgb[1] << 8 | c->rgb[2];
    draw_rect(book_page(&pages->book), rect_of(book_left(&pages->book) + 1.4, top + 0.9, 12, 3.6),
              (struct look){.fill = paint_rgb(rgb), .line = ink_grey(), .line_mm = 0.1});
}

static void put_spots(struct proof_pages *pages, const struct proof_surface *s)
{
    struct text names = text_new(pages->arena);
    for (size_t i = 0; i < s->spot_count; i++) text_addf(&names, "%s%s", i ? ", " : "", s->spots[i]);
    if (names.length)
        book_words(
            &pages->book, words_of(TYPE_MM, ALIGN_LEFT),
            sentence_words(pages->arena, "proof-spots", ARGUMENTS(arg_words("names", text_string(&names)))));
}

static void put_colours(struct proof_pages *pages, const struct proof_surface *s)
{
    static const struct column columns[] = {{"", 22, ALIGN_LEFT},
                                            {"Ink in percent", 62, ALIGN_LEFT},
                                            {"Share", 22, ALIGN_LEFT},
                                            {"For example", 74, ALIGN_LEFT}};
    struct book *book = &pages->book;
    book_title(book, sentence_plain("proof-colours"));
    book_words(book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("proof-screen-does-not-show"));
    book_gap(book, 1);
    put_spots(pages, s);
    if (!s->colours_known || !s->colour_count) {
        book_words(book, words_of(TYPE_MM, ALIGN_LEFT),
                   sentence_plain(s->colours_known ? "proof-no-flat-colours" : "proof-no-profile"));
        return;
    }
    struct sheet_table table = table_begin(book, columns, 4, TYPE_MM);
    for (size_t i = 0; i < s->colour_count; i++) put_colour(pages, &table, &s->colours[i]);
    table_end(&table);
}

static void put_lettering(struct proof_pages *pages, const struct proof_surface *s)
{
    static const struct column columns[] = {{"Lettering", 105, ALIGN_LEFT}, {"Where", 75, ALIGN_LEFT}};
    book_title(&pages->book, sentence_plain("proof-lettering"));
    if (!s->plan->lettering_count) {
        book_words(&pages->book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("proof-no-lettering"));
        return;
    }
    struct sheet_table table = table_begin(&pages->book, columns, 2, TYPE_MM);
    for (size_t i = 0; i < s->plan->lettering_count; i++) {
        const struct lettering *l = &s->plan->letterings[i];
        bool named = l->words && *l->words;
        const char *cells[] = {named ? arena_format(pages->arena, "*%s", l->words)
                                     : sentence_plain("proof-drawn-as-shapes"),
                               proof_place_words(pages, l->box.x0, l->box.y0)};
        table_row(&table, cells);
    }
    table_end(&table);
}

/* A star would make a cell bold. */
static const char *proof_cell(const struct proof_pages *pages, const char *words)
{
    return arena_format(pages->arena, "%s%s", *words == '*' ? " " : "", words);
}

static void put_fleet_words(struct proof_pages *pages, const struct proof_surface *s)
{
    static const struct column columns[] = {{"Vehicle", 60, ALIGN_LEFT}, {"Words on it", 120, ALIGN_LEFT}};
    if (!s->word_count) return;
    book_need(&pages->book, 30); /* title, head and some rows */
    book_title(&pages->book, sentence_plain("proof-fleet-words"));
    struct sheet_table table = table_begin(&pages->book, columns, 2, TYPE_MM);
    for (size_t i = 0; i < s->word_count; i++) {
        const char *cells[] = {proof_cell(pages, s->words[i].vehicle), proof_cell(pages, s->words[i].words)};
        table_row(&table, cells);
    }
    table_end(&table);
}

static void proof_put_bare(struct proof_pages *pages, const struct proof_surface *s)
{
    static const struct column columns[] = {
        {"Not covered", 37, ALIGN_LEFT}, {"Where", 73, ALIGN_LEFT}, {"Why", 70, ALIGN_LEFT}};
    if (!s->bare_count) return;
    book_title(&pages->book, sentence_plain("proof-not-covered"));
    struct sheet_table table = table_begin(&pages->book, columns, 3, TYPE_MM);
    for (size_t i = 0; i < s->bare_count; i++) {
        const char *cells[] = {
            s->bare[i].name, proof_place_words(pages, s->bare[i].box.x0, s->bare[i].box.y0), s->bare[i].why};
        table_row(&table, cells);
    }
    table_end(&table);
}

/* How many of it the customer gets, where it is not one. */
static void proof_put_copies(struct proof_pages *pages, const struct surface *surface)
{
    int each = surface_copies(surface), vehicles = pages->proof->job->vehicles;
    if (vehicles < 1) vehicles = 1;
    if (each * vehicles == 1) return;
    book_words(&pages->book, words_of(TYPE_MM, ALIGN_LEFT),
               sentence_words(pages->arena, "proof-copies",
                              ARGUMENTS(arg_count("each", each), arg_count("vehicles", vehicles),
                                        arg_count("copies", (int64_t)each * vehicles))));
}

static void put_words_on_it(void *context)
{
    struct proof_pages *pages = context;
    put_lettering(pages, pages->surface);
    put_fleet_words(pages, pages->surface);
}

static void put_colours_and_bare(void *context)
{
    struct proof_pages *pages = context;
    put_colours(pages, pages->surface);
    proof_put_bare(pages, pages->surface);
}

/* How high what is to be checked is; INFINITY: it takes more than a page. */
static double details_mm(struct proof_pages *pages)
{
    struct book *book = &pages->book;
    double width = book->wide ? book_half(book) : book_inner(book);
    double words = book_height_of(book, width, put_words_on_it, pages);
    double colours = book_height_of(book, width, put_colours_and_bare, pages);
    return book->wide ? fmax(words, colours) : words + colours;
}

/* Of a page, for the picture: it leaves room for what is to be checked where that goes below it. */
static double picture_share(struct proof_pages *pages)
{
    const double beside_mm = 20, full = 0.85; /* the page's heading and the line about the film */
    double least = pages->paper->seams ? 0.72 : 0.62, room = book_room(&pages->book);
    return details_mm(pages) + beside_mm < room * (1 - least) ? least : full;
}

/* What is to be checked, beside each other where a page is wide enough and holds it; else one after the other,
 * each on a page of its own rather than over two. */
static void put_details(struct proof_pages *pages)
{
    struct book *book = &pages->book;
    double width = book->wide ? book_half(book) : book_inner(book);
    double words = book_height_of(book, width, put_words_on_it, pages);
    double colours = book_height_of(book, width, put_colours_and_bare, pages);
    if (book->wide && isfinite(words) && isfinite(colours)) {
        book_need(book, fmax(words, colours));
        book_side_by_side(book, put_words_on_it, put_colours_and_bare, pages);
        return;
    }
    if (isfinite(words)) book_need(book, words);
    put_words_on_it(pages);
    if (isfinite(colours)) book_need(book, colours);
    put_colours_and_bare(pages);
}

static void proof_put_surface(struct proof_pages *pages, const struct proof_surface *s)
{
    const struct surface *surface = s->plan->surface;
    bool inches = pages->paper->inches;
    struct rect box = surface_size_box(surface);
    if (!s->art->count && !s->plan->pieces_alone) return; /* named on the first page */
    book_new_page(&pages->book, arena_format(pages->arena, "%s, %s x %s", surface->name,
                                             length_words(pages->arena, rect_width(box), inches, false),
                                             length_words(pages->arena, rect_height(box), inches, true)));
    pages->surface = s;
    put_surface_picture(pages, s, picture_share(pages));
    if (s->plan->pieces_alone) {
        book_words(&pages->book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("only-pieces-lie-on-it"));
        return;
    }
    if (s->film)
        book_words(&pages->book, words_grey(TYPE_MM, ALIGN_LEFT),
                   sentence_words(pages->arena, "proof-film",
                                  ARGUMENTS(arg_words("film", s->film), arg_flag("laminated", s->laminate),
                                            arg_words("laminate", s->laminate ? s->laminate : ""))));
    proof_put_copies(pages, surface);
    put_details(pages);
}

bool proof_paper_write(const struct proof *proof, const struct proof_paper *paper, struct machine *machine,
                       const char *path, struct arena *arena, struct error *error)
{
    struct proof_pages pages = {.book = {.arena = arena, .wide = proof_is_wide(proof)},
                                .proof = proof,
                                .paper = paper,
                                .arena = arena};
    const char *title = arena_format(arena, "%s proof %s", proof->job->number, proof->letters);
    book_new_page(&pages.book,
                  sentence_words(arena, "proof-heading", ARGUMENTS(arg_words("number", proof->job->number))));
    put_letters(&pages);
    put_parties(&pages);
    put_checks(&pages);
    put_uncovered(&pages);
    proof_put_files(&pages);
    put_approval(&pages);
    for (size_t i = 0; i < proof->surface_count; i++) proof_put_surface(&pages, &proof->surfaces[i]);
    struct binding binding = {
        .number = proof->job->number,
        .title = arena_format(arena, "proof %s, version %lld", letters_apart(proof, arena),
                              (long long)proof->version),
        .made = sentence_words(arena, "made-moment-by-lapstrake-version",
                               ARGUMENTS(arg_words("moment", moment_words(arena, proof->zone, paper->date)),
                                         arg_words("version", paper->version ? paper->version : ""))),
        .foot = sentence_plain("proof-foot"),
    };
    return book_finish(&pages.book, &binding, title, paper->date, machine, path, error);
}
