/* Draws a panel's end strips: label, code, ticks, arrows, words. Called for each PDF page and TIFF panel;
 * marks along the long edges are inside.c and gap_marks.c. */
#include "marks.h"
#include "files.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/units.h"
#include "base/text.h"
#include "draw/qr.h"
#include "cut_marks.h"
#include "edges.h"
#include "gap_marks.h"
#include "inside.h"
#include "model/length_marks.h"
#include "model/practice.h"
#include "patch_marks.h"
#include "print_frame.h"
#include <math.h>

static const double TICK_MM = 10; /* of a line across the end strips */
static const double HAIR_MM = 0.3;

/* A word beside a tick, where others may not stand. */
struct tick_word {
    double from, to; /* u */
    int row;
};

struct marker {
    const struct make_order *order;
    const struct surface *surface;
    const struct panel *panel;
    struct print_frame frame;
    struct arena *arena;
    struct panel_marks *marks;
    struct tick_word *words; /* of one end strip */
    size_t word_count, word_capacity;
};

static struct look line_look(double width)
{
    return (struct look){.line = paint_grey(0), .line_mm = width};
}

static struct look fill_look(double grey)
{
    return (struct look){.fill = paint_grey(grey)};
}

/* ---- the end strips ---- */

/* An end strip as a box to write in: u runs across the film, v down from line to line, on either end and for
 * either direction. On upright panels letters read as the surface is seen, on lying ones from below upward.
 */
struct marks_band {
    struct affine to_paper;
    double width, depth; /* u 0..width, v 0..depth */
    double from;         /* position across the film at u = 0 */
    bool print_above;    /* the print lies beyond v = 0, else beyond v = depth */
};

static const double WORDS_FROM_MM =
    13; /* from the print to label, code and arrows; ticks stand before that */

static struct marks_band band_of(const struct marker *m, bool leading)
{
    struct rect f = m->frame.file, p = m->frame.print;
    double w = rect_width(f), h = rect_height(f);
    if (m->frame.upright) {
        double depth = leading ? p.y0 - f.y0 : f.y1 - p.y1;
        return (struct marks_band){{1, 0, 0, 1, 0, leading ? h - depth : 0}, w, depth, f.x0, leading};
    }
    double depth = leading ? p.x0 - f.x0 : f.x1 - p.x1;
    return (struct marks_band){{0, -1, 1, 0, leading ? 0 : w - depth, h}, h, depth, f.y0, !leading};
}

static double print_side(const struct marks_band *band, double distance)
{
    return band->print_above ? distance : band->depth - distance;
}

/* Top of the part of the strip that is for words. */
static double words_top(const struct marks_band *band)
{
    return band->print_above ? WORDS_FROM_MM : 3;
}

/* Rows of words beside ticks, by their distance from the print: a short tick's, a long one's, and one more. */
enum { TICK_ROWS = 3 };
static const double ROW_FIRST_MM = 3, ROW_STEP_MM = 4, WORD_GAP_MM = 1;

static bool word_is_free(const struct marker *m, const struct marks_band *band, struct tick_word word)
{
    for (size_t i = 0; i < m->word_count; i++)
        if (m->words[i].row == word.row && word.from < m->words[i].to && word.to > m->words[i].from)
            return false;
    return word.from >= 0 && word.to <= band->width;
}

/* Beside its tick, towards the middle of the strip where there is room, in its own row or the next. What comes
 * first matters more; a word without room is left out. */
static void tick_word(struct marker *m, const struct marks_band *band, double u, double length,
                      const char *word)
{
    int own = length < TICK_MM ? 0 : 1;
    double wide = draw_text_width((struct letters){.size_mm = 3}, word) + WORD_GAP_MM;
    for (int k = 0; k < 2 * TICK_ROWS; k++) {
        bool left = (u > band->width / 2) != (k % 2 == 1);
        struct tick_word place = {left ? u - wide - WORD_GAP_MM : u, left ? u : u + wide + WORD_GAP_MM,
                                  (own + k / 2) % TICK_ROWS};
        if (!word_is_free(m, band, place)) continue;
        struct letters small = {.size_mm = 3, .align = left ? ALIGN_RIGHT : ALIGN_LEFT};
        double v = print_side(band, ROW_FIRST_MM + place.row * ROW_STEP_MM) + 1;
        draw_text(m->marks->drawing, (struct point){u + (left ? -1 : 1) * WORD_GAP_MM, v}, small, word);
        *(struct tick_word *)arena_append(m->arena, &m->words, &m->word_count, &m->word_capacity,
                                          sizeof place) = place;
        return;
    }
}

/* A line across the ticks' part at a place of the surface, with a word. */
static void tick(struct marker *m, const struct marks_band *band, double across_mm, double length,
                 const char *word)
{
    double u = across_mm - band->from;
    if (u < 0 || u > band->width) return;
    draw_line(m->marks->drawing, (struct point){u, print_side(band, 0)},
              (struct point){u, print_side(band, length)}, line_look(HAIR_MM));
    tick_word(m, band, u, length, word);
}

static void edge_ticks(struct marker *m, const struct marks_band *band)
{
    bool up = m->frame.upright;
    struct rect v = m->frame.visible;
    tick(m, band, up ? v.x0 : v.y0, TICK_MM,
         edge_word(m->order->surface, m->panel, print_frame_edge(m->surface, up ? EDGE_LEFT : EDGE_BOTTOM)));
    tick(m, band, up ? v.x1 : v.y1, TICK_MM,
         edge_word(m->order->surface, m->panel, print_frame_edge(m->surface, up ? EDGE_RIGHT : EDGE_TOP)));
    double low = wrap_beyond(m->order->surface, m->panel, up ? EDGE_LEFT : EDGE_BOTTOM);
    double high = wrap_beyond(m->order->surface, m->panel, up ? EDGE_RIGHT : EDGE_TOP);
    if (low > 0) tick(m, band, (up ? v.x0 : v.y0) - low, TICK_MM - 4, "wrap: cut");
    if (high > 0) tick(m, band, (up ? v.x1 : v.y1) + high, TICK_MM - 4, "wrap: cut");
}

/* "gap: cut here" where the gap reaches this end of the panel, else how far it goes. */
static const char *gap_words(const struct marker *m, const struct feature *f, bool leading)
{
    const double short_mm = practice_value("gap-rest").value;
    bool up = m->frame.upright;
    struct rect v = m->panel->visible, gap = f->box;
    double low = up ? gap.y0 : gap.x0, high = up ? gap.y1 : gap.x1;
    if (m->frame.mirrored && !up) leading = !leading;
    bool reaches = leading ? low <= (up ? v.y0 : v.x0) + short_mm : high >= (up ? v.y1 : v.x1) - short_mm;
    return reaches ? feature_types[f->kind].tick
                   : arena_format(m->arena, leading ? "gap from %s" : "gap to %s",
                                  mark_figure(m->order->plan->input->job, leading ? low : high, m->arena));
}

/* What has to be found with the panel in hand: door gaps that cross it, and the middles of handles, lights
 * and what else has a tick. */
static void feature_ticks(struct marker *m, const struct marks_band *band, bool leading)
{
    const double gap_thick = 20;
    for (size_t i = 0; i < m->surface->feature_count; i++) {
        const struct feature *f = &m->surface->features[i];
        const struct feature_type *type = &feature_types[f->kind];
        struct point middle = {(f->box.x0 + f->box.x1) / 2, (f->box.y0 + f->box.y1) / 2};
        struct point print = print_frame_point(m->surface, &m->frame, middle);
        double thick = m->frame.upright ? rect_width(f->box) : rect_height(f->box);
        const char *piece = !feature_has_piece(f) || m->panel->inlay ? NULL
                            : f->inlay                               ? "inlay"
                                                                     : "relief cut";
        if ((!type->tick && !piece) || !rect_overlaps(rect_grow(f->box, 0.5), m->panel->visible)) continue;
        if (type->is_line && thick > gap_thick) continue; /* it meets the long edges */
        tick(m, band, m->frame.upright ? print.x : print.y, TICK_MM - 4,
             piece           ? piece
             : type->is_line ? gap_words(m, f, leading)
                             : type->tick);
    }
}

/* Of a lying panel: upright ones have it along their long edges. */
static void level_tick(struct marker *m, const struct marks_band *band)
{
    double level = panel_level_mm(m->panel);
    if (!m->frame.upright)
        tick(m, band, surface_print_at(m->surface, false, level), TICK_MM,
             arena_format(m->arena, "LEVEL %s", mark_figure(m->order->plan->input->job, level, m->arena)));
}

static const char *measure_words(const struct marker *m)
{
    const struct job *job = m->order->plan->input->job;
    struct length_marks marks = panel_length_marks(m->order->surface, m->panel);
    bool cut = m->surface->contour_cut && !m->panel->inlay;
    if (!marks.count) return sentence_plain(cut ? "no-length-marks-at-cut" : "too-short-for-length-marks");
    return sentence_words(
        m->arena, "mark-to-mark-when-dry",
        ARGUMENTS(arg_words("first", mark_figure(job, marks.first_mm, m->arena)),
                  arg_words("last", mark_figure(job, marks.last_mm, m->arena)),
                  arg_words("apart", mark_figure(job, marks.last_mm - marks.first_mm, m->arena)),
                  arg_flag("inches", job->inches)));
}

/* Of a narrow panel's label: smaller type than this cannot be read from a print (common practice, no source).
 */
static const double LABEL_LEAST_MM = 1.8;

static const char *install_words(const struct marker *m)
{
    return m->panel->inlay
               ? sentence_plain("install-before-panels")
               : sentence_words(m->arena, "install-no-sequence-of-panels",
                                ARGUMENTS(arg_count("order", m->panel->install_sequence),
                                          arg_count("panels", (int64_t)m->order->surface->panel_count)));
}

/* Which vehicle of a fleet the print is for; "" without one. */
static const char *vehicle_of_label(const struct marker *m)
{
    const struct fleet_row *vehicle = m->order->vehicle;
    if (vehicle)
        return sentence_words(m->arena, "label-vehicle", ARGUMENTS(arg_words("name", vehicle->name)));
    return m->order->plan->vehicle_count ? sentence_plain("label-any-vehicle") : "";
}

static void label(struct marker *m, const struct marks_band *band, double u, double most)
{
    const struct make_order *o = m->order;
    const struct job *job = o->plan->input->job;
    const struct condition *c = m->surface->condition;
    const char *queue = panel_queue_words(m->panel, job->inches, m->arena);
    const char *lines[] = {
        arena_format(m->arena, "%s   %s   %s %zu of %zu%s%s%s", job->number, m->panel->id,
                     m->panel->inlay ? "inlay" : "panel", m->panel->number,
                     m->panel->inlay ? o->surface->inlay_count : o->surface->panel_count, vehicle_of_label(m),
                     queue ? "   " : "", queue ? queue : ""),
        arena_format(m->arena, "%s   %s   %s", install_words(m), m->surface->name,
                     job->title ? job->title : ""),
        m->frame.mirrored
            ? sentence_words(m->arena, "label-mirrored",
                             ARGUMENTS(arg_words("edges", edges_sentence(o->surface, m->panel, m->arena))))
            : edges_sentence(o->surface, m->panel, m->arena),
        sentence_words(
            m->arena, "film-laminate-condition-profile",
            ARGUMENTS(arg_words("film", c && c->film ? c->film->name : "not said"),
                      arg_words("laminate", c && c->laminate ? c->laminate->name : "none"),
                      arg_words("condition", c ? c->name : "none"),
                      arg_words("profile_description", o->condition && o->condition->profile_description
                                                           ? o->condition->profile_description
                                                           : "none"))),
        arena_format(m->arena, "%s   plan %s   %s%s",
                     arena_format(m->arena, "%.10s", zone_iso(o->plan->input->zone, o->date, m->arena)),
                     o->plan->fingerprint ? o->plan->fingerprint : "not kept", measure_words(m),
                     o->anyway ? sentence_plain("printed-despite-stop") : ""),
    };
    double v = words_top(band) + 8;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++, v += 8) {
        if (job->inches) lines[i] = units_in_inches(lines[i], m->arena);
        struct letters letters = {.size_mm = i ? 5 : 8, .bold = !i};
        letters.size_mm =
            fmax(letters.size_mm * fmin(most / draw_text_width(letters, lines[i]), 1), LABEL_LEAST_MM);
        letters.most_mm = most;
        draw_text(m->marks->drawing, (struct point){u, v}, letters, lines[i]);
    }
}

/* A direction of the surface (x right, y up) in the band's u and v. */
static struct point in_band(const struct marker *m, struct point d)
{
    if (m->frame.mirrored) d.x = -d.x;
    return m->frame.upright ? (struct point){d.x, -d.y} : (struct point){d.y, d.x};
}

static void arrow(struct marker *m, const struct marks_band *band, double u, struct point towards,
                  const char *word)
{
    const double half = 13, head = 5, long_head = 9;
    struct point d = in_band(m, towards), side = {-d.y, d.x}, c = {u, words_top(band) + half + 1};
    struct point tip = {c.x + d.x * half, c.y + d.y * half},
                 base = {tip.x - d.x * long_head, tip.y - d.y * long_head};
    struct path path = path_new(m->arena);
    path_move(&path, tip.x, tip.y);
    path_line(&path, base.x + side.x * head, base.y + side.y * head);
    path_line(&path, base.x - side.x * head, base.y - side.y * head);
    path_close(&path);
    draw_path(m->marks->drawing, path, fill_look(0));
    draw_line(m->marks->drawing, (struct point){c.x - d.x * half, c.y - d.y * half}, base, line_look(1.6));
    struct letters letters = {.size_mm = 6, .bold = true, .align = ALIGN_CENTRE};
    draw_text(m->marks->drawing, (struct point){u, words_top(band) + 2 * half + 9}, letters, word);
}

static void arrows(struct marker *m, const struct marks_band *band, double u)
{
    static const struct point towards[] = {{-1, 0}, {1, 0}, {0, 1}, {0, -1}};
    enum front front = m->surface->front;
    if (front <= FRONT_DOWN) arrow(m, band, u, towards[front], "FRONT");
    if (front != FRONT_UP && front != FRONT_DOWN) arrow(m, band, u + 34, (struct point){0, 1}, "TOP");
}

/* Code, words, arrows; a narrow panel keeps code and words, a very narrow one its ticks. */
static bool end_strip(struct marker *m, bool leading, struct error *error)
{
    const double code_mm = 42, arrows_mm = 72, least_words = 120;
    struct marks_band band = band_of(m, leading);
    m->word_count = 0;
    draw_begin_group(m->marks->drawing, band.to_paper);
    edge_ticks(m, &band);
    level_tick(m, &band);
    feature_ticks(m, &band, leading);
    bool ok = true;
    if (band.width >= code_mm + 8) {
        ok = draw_qr(m->marks->drawing, (struct point){4, words_top(&band)}, code_mm,
                     panel_code(m->order->plan->input->job, m->panel, m->arena), error);
        double words = band.width - code_mm - 14;
        bool room = words - arrows_mm >= least_words;
        label(m, &band, code_mm + 8, room ? words - arrows_mm : words);
        if (room) arrows(m, &band, band.width - arrows_mm + 16);
    }
    draw_end(m->marks->drawing);
    return ok;
}

/* Of a print that is cut to its shape; each is a field of its own, since it stands beside the print. */
static bool marks_register(struct marker *m, struct error *error)
{
    const struct register_marks *entry = &cut_sheet_cutter(m->order)->marks;
    struct cut_sheet sheet;
    if (!m->surface->contour_cut) return true;
    if (!cut_sheet_make(m->order, m->panel, &m->frame, m->arena, &sheet, error)) return false;
    cut_marks_draw(m->marks->drawing, entry, &sheet);
    for (size_t i = 0; i < sheet.marks.count; i++) {
        struct point p = sheet.marks.places[i].middle;
        struct rect *field = arena_append(m->arena, &m->marks->fields, &m->marks->field_count,
                                          &m->marks->field_capacity, sizeof *field);
        *field = rect_grow((struct rect){p.x, p.y, p.x, p.y}, entry->size_mm / 2);
    }
    return true;
}

bool marks_make(const struct make_order *order, const struct panel *panel, struct arena *arena,
                struct panel_marks *marks, struct error *error)
{
    struct marker m = {.order = order,
                       .surface = order->surface->surface,
                       .panel = panel,
                       .frame = frame_of_order(order, panel),
                       .arena = arena,
                       .marks = marks};
    *marks = (struct panel_marks){
        .drawing = drawing_new(arena, rect_width(m.frame.file), rect_height(m.frame.file), panel->id)};
    if (order->patches) {
        patch_marks(order, &m.frame, arena, marks);
        return true;
    }
    if (!m.surface->contour_cut || panel->inlay) { /* a camera may take other marks for its own */
        marks_inside(order->plan->input->job, order->surface, panel, &m.frame, arena, marks);
        gap_marks(order->surface, panel, &m.frame, arena, marks);
    }
    return marks_register(&m, error) && end_strip(&m, true, error) && end_strip(&m, false, error);
}
