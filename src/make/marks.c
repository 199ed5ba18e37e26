#include "marks.h"
#include "base/arena.h"
#include "base/text.h"
#include "draw/qr.h"
#include "edges.h"
#include "print_frame.h"
#include <math.h>

static const double TICK_MM = 10;         /* of a line across the end strips */
static const double LENGTH_STEP_MM = 500; /* between length marks */
static const double FIELD_MM = 4;         /* a length mark's field across the film, where there is room */
static const double FIELD_HIGH_MM = 2;
static const double LEAST_FIELD_MM = 1.5; /* with less film that nobody sees there is no length mark */
static const double HAIR_MM = 0.3;

struct marker {
    const struct make_order *order;
    const struct surface *surface;
    const struct panel *panel;
    struct print_frame frame;
    struct arena *arena;
    struct marks *marks;
};

static struct look line_look(double width)
{
    return (struct look){.line = paint_grey(0), .line_mm = width};
}

static struct look fill_look(double grey)
{
    return (struct look){.fill = paint_grey(grey)};
}

/* Print coordinates (y up) to the drawing's (y down from the file's upper left). */
static struct point on_paper(const struct marker *m, double x, double y)
{
    return (struct point){x - m->frame.file.x0, m->frame.file.y1 - y};
}

/* ---- length marks, in film that nobody will see ---- */

/* The hidden film at one long edge: from the visible edge (or the outline) outward to the print's edge. */
static double hidden_mm(const struct marker *m, enum edge edge)
{
    struct rect v = m->frame.visible, p = m->frame.print;
    switch (edge) {
    case EDGE_LEFT:
        return v.x0 - p.x0;
    case EDGE_RIGHT:
        return p.x1 - v.x1;
    case EDGE_BOTTOM:
        return v.y0 - p.y0;
    default:
        return p.y1 - v.y1;
    }
}

static struct rect field_at(const struct marker *m, enum edge edge, double along, double width)
{
    struct rect p = m->frame.print;
    double half = FIELD_HIGH_MM / 2;
    switch (edge) {
    case EDGE_LEFT:
        return (struct rect){p.x0, along - half, p.x0 + width, along + half};
    case EDGE_RIGHT:
        return (struct rect){p.x1 - width, along - half, p.x1, along + half};
    case EDGE_BOTTOM:
        return (struct rect){along - half, p.y0, along + half, p.y0 + width};
    default:
        return (struct rect){along - half, p.y1 - width, along + half, p.y1};
    }
}

static void length_mark(struct marker *m, enum edge edge, double along, double width)
{
    struct rect field = field_at(m, edge, along, width);
    struct point low = on_paper(m, field.x0, field.y0), high = on_paper(m, field.x1, field.y1);
    draw_rect(m->marks->drawing, rect_normal(low, high), fill_look(1));
    struct point middle = {(low.x + high.x) / 2, (low.y + high.y) / 2};
    struct point from = {low.x, middle.y}, to = {high.x, middle.y};
    if (edge == EDGE_BOTTOM || edge == EDGE_TOP)
        from = (struct point){middle.x, low.y}, to = (struct point){middle.x, high.y};
    draw_line(m->marks->drawing, from, to, line_look(HAIR_MM));
    struct rect *place = arena_append(m->arena, &m->marks->fields, &m->marks->field_count,
                                      &m->marks->field_capacity, sizeof *place);
    *place = field;
}

/* At every 500 mm of the surface, so that the marks of neighbours meet at the seam. */
static void length_marks(struct marker *m, enum edge edge)
{
    double width = fmin(FIELD_MM, hidden_mm(m, edge));
    if (width < LEAST_FIELD_MM) return;
    bool up = m->frame.upright;
    double from = up ? m->frame.print.y0 : m->frame.print.x0, to = up ? m->frame.print.y1 : m->frame.print.x1;
    double first = ceil((from + FIELD_HIGH_MM) / LENGTH_STEP_MM) * LENGTH_STEP_MM;
    for (double at = first; at <= to - FIELD_HIGH_MM; at += LENGTH_STEP_MM) length_mark(m, edge, at, width);
}

/* ---- the end strips ---- */

/* An end strip as a box to write in: u runs across the film, v down from line to line, on either end and for
 * either direction. On upright panels letters read as the surface is seen, on lying ones from below upward.
 */
struct band {
    struct affine to_paper;
    double width, depth; /* u 0..width, v 0..depth */
    double from;         /* position across the film at u = 0 */
    bool print_above;    /* the print lies beyond v = 0, else beyond v = depth */
};

static const double WORDS_FROM_MM =
    13; /* from the print to label, code and arrows; ticks stand before that */

static struct band band_of(const struct marker *m, bool leading)
{
    struct rect f = m->frame.file, p = m->frame.print;
    double w = rect_width(f), h = rect_height(f);
    if (m->frame.upright) {
        double depth = leading ? p.y0 - f.y0 : f.y1 - p.y1;
        return (struct band){{1, 0, 0, 1, 0, leading ? h - depth : 0}, w, depth, f.x0, leading};
    }
    double depth = leading ? p.x0 - f.x0 : f.x1 - p.x1;
    return (struct band){{0, -1, 1, 0, leading ? 0 : w - depth, h}, h, depth, f.y0, !leading};
}

static double print_side(const struct band *band, double distance)
{
    return band->print_above ? distance : band->depth - distance;
}

/* Top of the part of the strip that is for words. */
static double words_top(const struct band *band)
{
    return band->print_above ? WORDS_FROM_MM : 3;
}

/* A line across the ticks' part at a place of the surface, with a word. */
static void tick(struct marker *m, const struct band *band, double across_mm, double length, const char *word)
{
    struct drawing *drawing = m->marks->drawing;
    double u = across_mm - band->from;
    if (u < 0 || u > band->width) return;
    draw_line(drawing, (struct point){u, print_side(band, 0)}, (struct point){u, print_side(band, length)},
              line_look(HAIR_MM));
    bool right = u > band->width / 2;
    struct letters small = {.size_mm = 3, .align = right ? ALIGN_RIGHT : ALIGN_LEFT};
    draw_text(drawing, (struct point){u + (right ? -1 : 1), print_side(band, length - 3) + 1}, small, word);
}

static void edge_ticks(struct marker *m, const struct band *band)
{
    bool up = m->frame.upright;
    struct rect v = m->frame.visible;
    tick(m, band, up ? v.x0 : v.y0, TICK_MM,
         edge_word(m->order->surface, m->panel, up ? EDGE_LEFT : EDGE_BOTTOM));
    tick(m, band, up ? v.x1 : v.y1, TICK_MM,
         edge_word(m->order->surface, m->panel, up ? EDGE_RIGHT : EDGE_TOP));
}

/* Door gaps that cross the panel and handle centres, so that they can be found with the panel in hand. */
static void feature_ticks(struct marker *m, const struct band *band)
{
    const double gap_thick = 20;
    for (size_t i = 0; i < m->surface->feature_count; i++) {
        const struct feature *f = &m->surface->features[i];
        bool gap = f->kind == FEATURE_GAP;
        if (!gap && f->kind != FEATURE_HANDLE) continue;
        double across = m->frame.upright ? (f->box.x0 + f->box.x1) / 2 : (f->box.y0 + f->box.y1) / 2;
        double thick = m->frame.upright ? rect_width(f->box) : rect_height(f->box);
        if (!rect_overlaps(rect_grow(f->box, 0.5), m->panel->visible) || (gap && thick > gap_thick)) continue;
        tick(m, band, across, TICK_MM - 4, gap ? "gap: cut here" : "handle");
    }
}

static void label(struct marker *m, const struct band *band, double u, double most)
{
    const struct make_order *o = m->order;
    const struct job *job = o->plan->input->job;
    const struct condition *c = m->surface->condition;
    const char *lines[] = {
        arena_format(m->arena, "%s   %s   panel %zu of %zu", job->number, m->panel->id, m->panel->number,
                     o->surface->panel_count),
        arena_format(m->arena, "install no. %d of %zu   %s   %s", m->panel->order, o->surface->panel_count,
                     m->surface->name, job->title ? job->title : ""),
        edges_sentence(o->surface, m->panel, m->arena),
        arena_format(m->arena, "film %s   laminate %s   condition %s   profile %s",
                     c && c->film ? c->film->name : "not said", c && c->laminate ? c->laminate->name : "none",
                     c ? c->name : "none",
                     o->condition && o->condition->profile_description ? o->condition->profile_description
                                                                       : "none"),
        arena_format(m->arena, "%s   length marks every 500 mm: measure when dry%s",
                     arena_format(m->arena, "%.10s", zone_iso(o->plan->input->zone, o->date, m->arena)),
                     o->anyway ? "   PRINTED IN SPITE OF A STOP" : ""),
    };
    double v = words_top(band) + 8;
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++, v += 8) {
        struct letters letters = {.size_mm = i ? 5 : 8, .bold = !i, .most_mm = most};
        draw_text(m->marks->drawing, (struct point){u, v}, letters, lines[i]);
    }
}

/* A direction of the surface (x right, y up) in the band's u and v. */
static struct point in_band(const struct marker *m, struct point d)
{
    return m->frame.upright ? (struct point){d.x, -d.y} : (struct point){d.y, d.x};
}

static void arrow(struct marker *m, const struct band *band, double u, struct point towards, const char *word)
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

static void arrows(struct marker *m, const struct band *band, double u)
{
    static const struct point towards[] = {{-1, 0}, {1, 0}, {0, 1}, {0, -1}};
    enum front front = m->surface->front;
    if (front <= FRONT_DOWN) arrow(m, band, u, towards[front], "FRONT");
    if (front != FRONT_UP && front != FRONT_DOWN) arrow(m, band, u + 34, (struct point){0, 1}, "TOP");
}

/* Job and panel; with the shop's page the panel's address there, in capitals: they make coarser modules, and
 * neither scheme, host (RFC 3986, 6.2.2.1) nor the page minds case. */
static const char *code_content(const struct marker *m)
{
    const struct job *job = m->order->plan->input->job;
    if (!job->shop->page) return arena_format(m->arena, "%s/%s", job->number, m->panel->id);
    char *content = arena_format(m->arena, "%s/p/%s/%s", job->shop->page, job->number, m->panel->id);
    for (char *c = content; *c; c++)
        if (*c >= 'a' && *c <= 'z') *c = (char)(*c - 'a' + 'A');
    return content;
}

/* Code, words, arrows; a narrow panel keeps code and words, a very narrow one its ticks. */
static bool end_strip(struct marker *m, bool leading, struct error *error)
{
    const double code_mm = 42, arrows_mm = 72, least_words = 120;
    struct band band = band_of(m, leading);
    draw_begin_group(m->marks->drawing, band.to_paper);
    edge_ticks(m, &band);
    feature_ticks(m, &band);
    bool ok = true;
    if (band.width >= code_mm + 8) {
        ok = draw_qr(m->marks->drawing, (struct point){4, words_top(&band)}, code_mm, code_content(m), error);
        double words = band.width - code_mm - 14;
        bool room = words - arrows_mm >= least_words;
        label(m, &band, code_mm + 8, room ? words - arrows_mm : words);
        if (room) arrows(m, &band, band.width - arrows_mm + 16);
    }
    draw_end(m->marks->drawing);
    return ok;
}

bool marks_make(const struct make_order *order, const struct panel *panel, struct arena *arena,
                struct marks *marks, struct error *error)
{
    struct marker m = {order, order->surface->surface,
                       panel, print_frame_of(order->surface, panel, order->plan->input->job->feed_percent),
                       arena, marks};
    *marks = (struct marks){
        .drawing = drawing_new(arena, rect_width(m.frame.file), rect_height(m.frame.file), panel->id)};
    length_marks(&m, m.frame.upright ? EDGE_LEFT : EDGE_BOTTOM);
    length_marks(&m, m.frame.upright ? EDGE_RIGHT : EDGE_TOP);
    return end_strip(&m, true, error) && end_strip(&m, false, error);
}
