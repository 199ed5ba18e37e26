/* The final report: a summary, each piece, its batches, what was not kept, what was accepted, then every
 * fact. */
#include "sheet/report.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/str.h"
#include "base/text.h"
#include "base/units.h"
#include "pages.h"
#include "model/entry.h"
#include "model/practice.h"
#include <math.h>
#include <string.h>

struct report_writing {
    struct book book;
    const struct final_report *r;
    struct arena *arena;
    size_t kept, passed, open; /* waiting times: kept, cut short, not known */
};

static const char *const unknown = "not recorded";

/* ---- words ---- */

static const char *report_moment(const struct report_writing *w, int64_t at)
{
    return at ? moment_words(w->arena, w->r->zone, at) : unknown;
}

static const char *short_moment(const struct report_writing *w, int64_t at)
{
    return at ? zone_words(w->r->zone, at, w->arena) : unknown;
}

static const char *report_hours(const struct report_writing *w, double seconds)
{
    return arena_format(w->arena, "%.1f h", floor(seconds / 360) / 10); /* never more than it was */
}

static const char *degrees(const struct report_writing *w, const char *what, double celsius)
{
    return isnan(celsius) ? NULL
                          : arena_format(w->arena,
                                         "%s %g \xc2\xb0"
                                         "C",
                                         what, celsius);
}

static void report_add_part(struct text *text, const char *part)
{
    if (!part || !*part) return;
    bool sentence = text->length && strchr(".!?", text->bytes[text->length - 1]);
    if (text->length) text_add(text, sentence ? " " : "; ");
    text_add(text, part);
}

/* A length's figure in the report's unit: to 0.1 mm or 0.01 in. */
static const char *figure(const struct report_writing *w, double mm)
{
    return w->r->inches ? units_figure(mm / MM_PER_INCH, w->arena) : arena_format(w->arena, "%.1f", mm);
}

/* What the tool said when it was put on record, in the report's unit. */
static const char *in_units(const struct report_writing *w, const char *words)
{
    return w->r->inches ? units_in_inches(words, w->arena) : words;
}

static const char *labelled(const struct report_writing *w, const char *label, const char *words)
{
    return words ? arena_format(w->arena, "%s %s", label, words) : NULL;
}

/* ---- looking up ---- */

static bool counts(const struct fact *fact, enum fact_kind kind)
{
    return fact->kind == kind && !fact->withdrawn;
}

/* The last such fact on the piece as it is now: what was done before it was printed again does not count. */
static const struct fact *last_of(const struct report_writing *w, const char *panel, enum fact_kind kind)
{
    for (size_t i = w->r->fact_count; i-- > 0;) {
        const struct fact *f = &w->r->facts[i];
        if (f->withdrawn || !string_equal(f->panel, panel)) continue;
        if (f->kind == kind) return f;
        if (f->kind == FACT_REPRINT) return NULL;
    }
    return NULL;
}

static const struct fact *last_of_job(const struct report_writing *w, enum fact_kind kind)
{
    for (size_t i = w->r->fact_count; i-- > 0;)
        if (counts(&w->r->facts[i], kind)) return &w->r->facts[i];
    return NULL;
}

static size_t report_count_of(const struct report_writing *w, enum fact_kind kind)
{
    size_t count = 0;
    for (size_t i = 0; i < w->r->fact_count; i++) count += counts(&w->r->facts[i], kind);
    return count;
}

/* ---- waiting times ---- */

/* "52.3 h of 48 h", bold when it was cut short. */
static const char *wait_words(struct report_writing *w, int64_t from, int64_t to, double wanted_s)
{
    if (!from || !to) {
        w->open++;
        return unknown;
    }
    bool kept = (double)(to - from) >= wanted_s && wanted_s >= 0;
    *(kept ? &w->kept : &w->passed) += 1;
    if (wanted_s < 0)
        return sentence_words(w->arena, "does-not-dry-this-way-2",
                              ARGUMENTS(arg_words("hours", report_hours(w, (double)(to - from)))));
    return arena_format(w->arena, "%s%s of %s", kept ? "" : "*", report_hours(w, (double)(to - from)),
                        report_hours(w, wanted_s));
}

static const char *laminating_words(const struct report_writing *w, const struct panel_terms *panel)
{
    const struct fact *f = last_of(w, panel->panel, FACT_LAMINATED);
    if (!panel->has_laminate) return "no laminate";
    if (!f) return unknown;
    struct text text = text_new(w->arena);
    bool outside = f->air_c < panel->laminate_low_c || f->air_c > panel->laminate_high_c;
    text_addf(&text, "%s%s", outside ? "*" : "", short_moment(w, f->at));
    report_add_part(&text, isnan(f->air_c) ? "room not recorded" : degrees(w, "room", f->air_c));
    report_add_part(&text, degrees(w, "roller", f->surface_c));
    return text_string(&text);
}

static const char *installing_words(const struct report_writing *w, const struct panel_terms *panel)
{
    const struct fact *f = last_of(w, panel->panel, FACT_INSTALLED);
    if (!f) return unknown;
    struct text text = text_new(w->arena);
    text_add(&text, short_moment(w, f->at));
    report_add_part(&text, isnan(f->air_c) ? "air not recorded" : degrees(w, "air", f->air_c));
    report_add_part(&text,
                    isnan(f->surface_c) ? "surface not recorded" : degrees(w, "surface", f->surface_c));
    return text_string(&text);
}

static void put_piece(struct report_writing *w, struct sheet_table *table, size_t i)
{
    const struct panel_terms *panel = &w->r->terms->panels[i];
    const struct panel_state *s = &w->r->states[i];
    int64_t dry_to = panel->has_laminate ? s->laminated : s->trimmed ? s->trimmed : s->installed;
    const char *cells[] = {
        arena_format(w->arena, "*%s", panel->panel),
        short_moment(w, s->hung),
        wait_words(w, s->hung, dry_to, panel->dry_s),
        laminating_words(w, panel),
        panel->has_laminate ? wait_words(w, s->laminated, s->installed, panel->bond_s) : "no laminate",
        installing_words(w, panel),
    };
    table_row(table, cells);
}

static void part_pieces(struct report_writing *w)
{
    static const struct column columns[] = {{"Panel", 24, ALIGN_LEFT},  {"Cut and hung", 26, ALIGN_LEFT},
                                            {"Dried", 26, ALIGN_LEFT},  {"Laminated", 38, ALIGN_LEFT},
                                            {"Bonded", 26, ALIGN_LEFT}, {"Applied", 40, ALIGN_LEFT}};
    book_title(&w->book, sentence_plain("waiting-times-and-temperatures-of-each"));
    struct sheet_table table = table_begin(&w->book, columns, 6, TYPE_MM);
    for (size_t i = 0; i < w->r->terms->panel_count; i++) put_piece(w, &table, i);
    table_end(&table);
    book_words(&w->book, words_grey(TYPE_MM, ALIGN_LEFT),
               sentence_plain("dried-from-cutting-and-hanging-to"));
}

/* ---- batches ---- */

static const char *roll_words(const struct report_writing *w, const struct fact *f)
{
    struct text text = text_new(w->arena);
    if (!f || (!f->roll && !f->batch)) return unknown;
    report_add_part(&text, labelled(w, "roll", f->roll));
    report_add_part(&text, labelled(w, "batch", f->batch));
    return text_string(&text);
}

static void part_batches(struct report_writing *w)
{
    static const struct column columns[] = {{"Panel", 24, ALIGN_LEFT},
                                            {"Film", 44, ALIGN_LEFT},
                                            {"Printed, by", 42, ALIGN_LEFT},
                                            {"Laminate", 42, ALIGN_LEFT},
                                            {"Laminated by", 28, ALIGN_LEFT}};
    book_title(&w->book, sentence_plain("batches-and-by-whom"));
    struct sheet_table table = table_begin(&w->book, columns, 5, TYPE_MM);
    for (size_t i = 0; i < w->r->terms->panel_count; i++) {
        const char *panel = w->r->terms->panels[i].panel;
        const struct fact *print = last_of(w, panel, FACT_PRINTED),
                          *laminate = last_of(w, panel, FACT_LAMINATED);
        const char *cells[] = {
            arena_format(w->arena, "*%s", panel),
            roll_words(w, print),
            print ? arena_format(w->arena, "%s, %s", short_moment(w, print->at),
                                 print->who ? print->who : unknown)
                  : unknown,
            w->r->terms->panels[i].has_laminate ? roll_words(w, laminate) : "no laminate",
            laminate && laminate->who             ? laminate->who
            : w->r->terms->panels[i].has_laminate ? unknown
                                                  : "",
        };
        table_row(&table, cells);
    }
    table_end(&table);
}

/* ---- lengths ---- */

static bool is_neighbour(const struct panel_terms *of, const char *panel)
{
    for (size_t i = 0; i < of->neighbour_count; i++)
        if (string_equal(of->neighbours[i].panel, panel)) return true;
    return false;
}

/* Both may be long by the same and still meet: what counts at a seam is the difference. */
static const char *against_neighbours(const struct report_writing *w, size_t panel)
{
    struct text text = text_new(w->arena);
    const struct job_terms *t = w->r->terms;
    bool within = true;
    for (size_t i = 0; i < t->panel_count; i++) {
        double miss = w->r->lengths[panel].miss_mm - w->r->lengths[i].miss_mm;
        if (isnan(miss) || !is_neighbour(&t->panels[panel], t->panels[i].panel)) continue;
        report_add_part(&text, arena_format(w->arena, "%s %s", t->panels[i].panel, figure(w, fabs(miss))));
        within = within && fabs(miss) <= practice_value("meet-tolerance").value + 1e-9;
    }
    return arena_format(w->arena, "%s%s", within ? "" : "*", text_string(&text));
}

static void put_length(struct report_writing *w, struct sheet_table *table, size_t i)
{
    const struct fact *f = last_of(w, w->r->terms->panels[i].panel, FACT_MEASURED);
    const struct length_check *check = &w->r->lengths[i];
    if (!f || isnan(check->miss_mm)) return;
    const char *cells[] = {
        arena_format(w->arena, "*%s", f->panel),
        short_moment(w, f->at),
        figure(w, f->planned_mm),
        figure(w, f->measured_mm),
        arena_format(w->arena, "%s%s%s", check->within ? "" : "*", check->miss_mm > 0 ? "+" : "",
                     figure(w, check->miss_mm)),
        against_neighbours(w, i),
    };
    table_row(table, cells);
}

static void part_lengths(struct report_writing *w)
{
    const struct column columns[] = {
        {"Panel", 24, ALIGN_LEFT},      {"When", 30, ALIGN_LEFT},
        {"Should be", 22, ALIGN_RIGHT}, {"Measured", 22, ALIGN_RIGHT},
        {"Off by", 20, ALIGN_RIGHT},    {sentence_plain("meet-column"), 62, ALIGN_LEFT}};
    if (!report_count_of(w, FACT_MEASURED)) return;
    book_title(&w->book, w->r->inches ? "Length marks (inches)" : "Length marks (mm)");
    struct sheet_table table = table_begin(&w->book, columns, 6, TYPE_MM);
    for (size_t i = 0; i < w->r->terms->panel_count; i++) put_length(w, &table, i);
    table_end(&table);
    book_words(&w->book, words_grey(TYPE_MM, ALIGN_LEFT),
               sentence_words(w->arena, "over-whole-print-neighbours-should-meet",
                              ARGUMENTS(arg_words("units_length",
                                                  units_length_words(practice_value("meet-tolerance").value,
                                                                     w->r->inches, w->arena)))));
}

/* ---- gates passed with a reason ---- */

static const char *who_words(const struct fact *f)
{
    return f->who ? f->who : unknown;
}

static void part_overrides(struct report_writing *w)
{
    const struct column columns[] = {{"When, by whom", 36, ALIGN_LEFT},
                                     {"What", 38, ALIGN_LEFT},
                                     {sentence_plain("gate-column"), 58, ALIGN_LEFT},
                                     {"Reason", 48, ALIGN_LEFT}};
    size_t count = 0;
    for (size_t i = 0; i < w->r->fact_count; i++)
        count += w->r->facts[i].override && !w->r->facts[i].withdrawn;
    book_title(&w->book, sentence_plain("done-with-gate-overridden"));
    if (!count) {
        book_words(&w->book, words_of(TYPE_MM, ALIGN_LEFT), sentence_plain("nothing-every-gate-was-open"));
        return;
    }
    struct sheet_table table = table_begin(&w->book, columns, 4, TYPE_MM);
    for (size_t i = 0; i < w->r->fact_count; i++) {
        const struct fact *f = &w->r->facts[i];
        if (!f->override || f->withdrawn) continue;
        const char *cells[] = {
            arena_format(w->arena, "%s, %s", short_moment(w, f->at), who_words(f)),
            arena_format(w->arena, "*%s %s", f->panel ? f->panel : "job", fact_kind_words(f->kind)),
            in_units(w, f->gate), f->override};
        table_row(&table, cells);
    }
    table_end(&table);
}

/* ---- lists of one kind ---- */

/* "12 prints came, 1 of them faulty" */
static const char *delivery_words(const struct report_writing *w, const struct fact *f)
{
    if (!f->quantity) return NULL;
    const char *came = count_words(w->arena, (size_t)f->quantity, "print", "prints");
    return sentence_words(
        w->arena, "came-of-them-faulty",
        ARGUMENTS(
            arg_words("came", came),
            arg_words("arena", f->faulty ? arena_format(w->arena, "%lld", (long long)f->faulty) : "none")));
}

/* "2001.2 mm, should be 2000"; NULL: nothing was measured. */
static const char *measured_words(const struct report_writing *w, const struct fact *f)
{
    if (isnan(f->measured_mm)) return NULL;
    const char *length = units_length_words(f->measured_mm, w->r->inches, w->arena);
    return isnan(f->planned_mm)
               ? length
               : arena_format(w->arena, "%s, should be %s", length, figure(w, f->planned_mm));
}

/* A table of the job's facts of these kinds; nothing when there is none. */
static void part_list(struct report_writing *w, const char *title, const enum fact_kind *kinds,
                      size_t kind_count)
{
    static const struct column columns[] = {
        {"When, by whom", 42, ALIGN_LEFT}, {"What", 40, ALIGN_LEFT}, {"Words", 98, ALIGN_LEFT}};
    struct sheet_table table = {0};
    for (size_t i = 0; i < w->r->fact_count; i++) {
        const struct fact *f = &w->r->facts[i];
        bool wanted = false;
        for (size_t k = 0; k < kind_count; k++) wanted |= counts(f, kinds[k]);
        if (!wanted) continue;
        if (!table.book) {
            book_title(&w->book, title);
            table = table_begin(&w->book, columns, 3, TYPE_MM);
        }
        struct text words = text_new(w->arena);
        report_add_part(&words, delivery_words(w, f));
        report_add_part(&words, labelled(w, "measured", measured_words(w, f)));
        report_add_part(&words, f->words);
        report_add_part(&words, f->photo ? arena_format(w->arena, "photograph %.12s", f->photo) : NULL);
        const char *cells[] = {arena_format(w->arena, "%s, %s", short_moment(w, f->at), who_words(f)),
                               arena_format(w->arena, "*%s%s%s", fact_kind_words(f->kind),
                                            f->panel ? ", " : "", f->panel ? f->panel : ""),
                               text_string(&words)};
        table_row(&table, cells);
    }
    if (table.book) table_end(&table);
}

/* ---- every fact ---- */

static const char *details(const struct report_writing *w, const struct fact *f)
{
    struct text text = text_new(w->arena);
    if (f->withdraws)
        report_add_part(&text, arena_format(w->arena, "withdraws No. %lld", (long long)f->withdraws));
    report_add_part(&text, fact_details(f, w->r->inches, w->arena));
    report_add_part(&text, f->words);
    report_add_part(&text, labelled(w, sentence_plain("gate-overridden"), f->override));
    report_add_part(&text, f->photo ? arena_format(w->arena, "photograph %.12s", f->photo) : NULL);
    report_add_part(&text, labelled(w, "entered on", f->device));
    return text_string(&text);
}

static void part_facts(struct report_writing *w)
{
    static const struct column columns[] = {{"No.", 12, ALIGN_RIGHT}, {"When", 28, ALIGN_LEFT},
                                            {"What", 34, ALIGN_LEFT}, {"Panel", 22, ALIGN_LEFT},
                                            {"By", 22, ALIGN_LEFT},   {"Details", 62, ALIGN_LEFT}};
    book_new_page(&w->book, "Everything on record");
    struct sheet_table table = table_begin(&w->book, columns, 6, TYPE_MM);
    for (size_t i = 0; i < w->r->fact_count; i++) {
        const struct fact *f = &w->r->facts[i];
        const char *cells[] = {arena_format(w->arena, "%lld", (long long)f->number),
                               short_moment(w, f->at),
                               f->withdrawn
                                   ? arena_format(w->arena, "%s (withdrawn)", fact_kind_words(f->kind))
                                   : fact_kind_words(f->kind),
                               f->panel,
                               f->who,
                               details(w, f)};
        table_row(&table, cells);
    }
    table_end(&table);
}

/* ---- the front ---- */

static void report_put_row(struct sheet_table *table, const char *label, const char *value)
{
    const char *cells[] = {arena_format(table->book->arena, "*%s", label), value ? value : unknown};
    table_row(table, cells);
}

static const char *profile_words_of(const struct report_writing *w)
{
    const struct job_terms *t = w->r->terms;
    if (!t->profile_fingerprint) return "none";
    return arena_format(w->arena, "%s (fingerprint %s)",
                        t->profile_description ? t->profile_description : "unnamed", t->profile_fingerprint);
}

static const char *event_words(const struct report_writing *w, const struct fact *f)
{
    if (!f) return unknown;
    struct text text = text_new(w->arena);
    text_add(&text, report_moment(w, f->at));
    if (f->who) text_addf(&text, ", %s", f->who);
    report_add_part(&text, f->words);
    return text_string(&text);
}

static const char *summary(const struct report_writing *w)
{
    const struct job_terms *t = w->r->terms;
    size_t installed = 0, overrides = 0;
    for (size_t i = 0; i < t->panel_count; i++) installed += w->r->states[i].installed != 0;
    for (size_t i = 0; i < w->r->fact_count; i++)
        overrides += w->r->facts[i].override && !w->r->facts[i].withdrawn;
    return sentence_words(
        w->arena, "of-pieces-applied-waiting-times-kept",
        ARGUMENTS(arg_count("installed", (int64_t)installed), arg_count("panels", (int64_t)t->panel_count),
                  arg_count("kept", (int64_t)w->kept), arg_count("passed", (int64_t)w->passed),
                  arg_count("open", (int64_t)w->open),
                  arg_words("count", count_words(w->arena, overrides, "gate", "gates")),
                  arg_words("count_2",
                            count_words(w->arena, report_count_of(w, FACT_ACCEPTED), "finding", "findings")),
                  arg_words("count_3",
                            count_words(w->arena, report_count_of(w, FACT_REPRINT), "piece", "pieces"))));
}

/* "Tue 9 Mar 2027, 08:00, in time"; before it is done what the plan expects, and what decides that. */
static const char *finished_words(const struct report_writing *w)
{
    const struct promise *p = &w->r->promise;
    const double day_s = 86400, hour_s = 3600;
    if (!p->expected) return w->r->done ? unknown : sentence_plain("no-date-can-be-given-2");
    struct text text = text_new(w->arena);
    text_addf(&text, "%s%s", w->r->done ? "" : "expected ", report_moment(w, p->expected));
    if (p->due && !p->late) text_add(&text, ", in time");
    if (p->late && (double)p->late_s >= day_s)
        text_addf(&text, ", %.1f d late", (double)p->late_s / day_s);
    else if (p->late)
        text_addf(&text, ", %.1f h late", (double)p->late_s / hour_s);
    if (!w->r->done && w->r->terms->decides) text_addf(&text, ". %s", in_units(w, w->r->terms->decides));
    return text_string(&text);
}

static void part_job(struct report_writing *w)
{
    static const struct column columns[] = {{"", 40, ALIGN_LEFT}, {"", 140, ALIGN_LEFT}};
    const struct job_terms *t = w->r->terms;
    if (t->title) book_words(&w->book, words_of(4, ALIGN_LEFT), t->title);
    book_gap(&w->book, 2);
    struct sheet_table table = table_bare(&w->book, columns, 2, TYPE_MM);
    report_put_row(&table, "Vehicle", t->vehicle);
    report_put_row(&table, "Taken in", event_words(w, last_of_job(w, FACT_TAKEN_IN)));
    report_put_row(
        &table, "Plan",
        arena_format(w->arena, "version %lld of %s", (long long)t->version, report_moment(w, t->made)));
    report_put_row(&table, "Promised", w->r->promise.due ? report_moment(w, w->r->promise.due) : "no date");
    report_put_row(&table, "Finished", finished_words(w));
    report_put_row(&table, "Printing condition", t->condition);
    report_put_row(&table, "Film, laminate, ink",
                   arena_format(w->arena, "%s, %s, %s", t->film ? t->film : unknown,
                                t->laminate ? t->laminate : "no laminate", t->ink ? t->ink : unknown));
    report_put_row(&table, "Profile", profile_words_of(w));
    report_put_row(&table, sentence_plain("findings-of-plan"),
                   arena_format(w->arena, "%s, %s, %s", count_words(w->arena, t->stops, "stop", "stops"),
                                count_words(w->arena, t->warnings, "warning", "warnings"),
                                count_words(w->arena, t->notes, "note", "notes")));
    report_put_row(&table, "Handed over", event_words(w, last_of_job(w, FACT_HANDED_OVER)));
    table_end(&table);
}

/* The waiting times are counted while their table is made, so the summary is drawn afterwards, in the room
 * kept. */
static void put_summary(struct report_writing *w, double y)
{
    struct letters letters = words_of(TYPE_MM, ALIGN_LEFT);
    letters.most_mm = book_inner(&w->book) - 6;
    struct drawing *page = w->book.pages[0];
    draw_rect(page, rect_of(PAGE_MARGIN, y, book_inner(&w->book), 13), filled(ink_faint()));
    draw_paragraph(page, (struct point){PAGE_MARGIN + 3, y + 2.2}, letters, 2, summary(w));
}

bool final_report_write(const struct final_report *report, struct machine *machine, const char *path,
                        struct arena *arena, struct error *error)
{
    static const enum fact_kind accepted[] = {FACT_ACCEPTED}, again[] = {FACT_DAMAGED, FACT_REPRINT},
                                noted[] = {FACT_TAKEN_IN, FACT_NOTE, FACT_PHOTO}, came[] = {FACT_PRINTS_IN};
    struct report_writing w = {.book = {.arena = arena, .wide = true}, .r = report, .arena = arena};
    const char *number = report->terms->job;
    book_new_page(&w.book, arena_format(arena, "Final report %s", number));
    part_job(&w);
    double summary_y = w.book.y + 1;
    book_gap(&w.book, 15);
    part_pieces(&w);
    part_overrides(&w);
    part_batches(&w);
    part_lengths(&w);
    part_list(&w, sentence_plain("bought-in-prints-taken-in"), came, 1);
    part_list(&w, sentence_plain("damaged-and-printed-again"), again, 2);
    part_list(&w, sentence_plain("findings-that-person-looked-at-and"), accepted, 1);
    part_list(&w, sentence_plain("condition-notes-and-photographs"), noted, 3);
    part_facts(&w);
    put_summary(&w, summary_y);
    struct binding binding = {
        .number = number,
        .title = report->terms->title,
        .made = sentence_words(arena, "made-moment-by-lapstrake-version",
                               ARGUMENTS(arg_words("moment", report_moment(&w, report->date)),
                                         arg_words("version", report->version ? report->version : ""))),
        .foot = sentence_plain("from-production-record-local-codes-and"),
    };
    return book_finish(&w.book, &binding, arena_format(arena, "%s final report", number), report->date,
                       machine, path, error);
}
