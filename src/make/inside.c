/* Marks along a panel's long edges, round what is cut out and in the bare rings of panes: in film that nobody will see. */
#include "inside.h"
#include "base/arena.h"
#include "edges.h"
#include "model/length_marks.h"
#include "model/practice.h"
#include <math.h>
#include <string.h>

static const double HAIR_MM = 0.3;
static const double LEVEL_MM = 0.9;    /* thickness of the level line */
static const double BESIDE_MM = 1;     /* marks beside the print keep that much from its last pixel */
static const double HALF_LINE_MM = 1;  /* of a mark's field, before and after its line */
static const double CUT_FIELD_MM = 3;  /* side of a mark that a cut touches */
static const double CUT_APART_MM = 60; /* between them */

/* A long edge of the panel, seen along the film. */
struct rim {
    enum edge edge;
    double from, to; /* across the film: where its marks stand, print coordinates */
    struct span_taken {
        double from, to;
    } * taken; /* along the film */
    size_t taken_count, taken_capacity;
};

struct insider {
    const struct job *job;
    const struct surface *surface;
    const struct surface_plan *plan;
    const struct panel *panel;
    struct print_frame frame;
    struct arena *arena;
    struct panel_marks *marks;
};

static void inside_add_field(struct insider *m, struct rect field)
{
    *(struct rect *)arena_append(m->arena, &m->marks->fields, &m->marks->field_count,
                                 &m->marks->field_capacity, sizeof field) = field;
}

/* Along and across the film to print coordinates. */
static struct point print_point(const struct insider *m, double along, double across)
{
    return m->frame.upright ? (struct point){across, along} : (struct point){along, across};
}

/* Print coordinates (y up) to the drawing's (y down from the file's upper left). */
static struct point inside_on_paper(const struct insider *m, struct point p)
{
    return (struct point){p.x - m->frame.file.x0, m->frame.file.y1 - p.y};
}

static double feed_of(const struct insider *m)
{
    return m->frame.upright ? m->frame.feed_y : m->frame.feed_x;
}

/* ---- the rims ---- */

/* Film beyond the visible edge at the print's long edges, and beyond the print in the file. */
static bool rim_of(const struct insider *m, bool low, struct rim *rim)
{
    struct rect v = m->frame.visible, p = m->frame.print, f = m->frame.file;
    bool up = m->frame.upright;
    double edge = low ? (up ? p.x0 : p.y0) : (up ? p.x1 : p.y1);
    double seen = low ? (up ? v.x0 : v.y0) : (up ? v.x1 : v.y1);
    double file = low ? (up ? f.x0 : f.y0) : (up ? f.x1 : f.y1);
    double hidden = fmin(RIM_MM, fabs(seen - edge));
    double inward = low ? 1 : -1;
    *rim = (struct rim){.edge = up ? (low ? EDGE_LEFT : EDGE_RIGHT) : (low ? EDGE_BOTTOM : EDGE_TOP)};
    bool within = hidden >= RIM_LEAST_MM;
    double other = within ? edge + inward * hidden : file;
    if (!within) edge -= inward * BESIDE_MM;
    rim->from = fmin(edge, other), rim->to = fmax(edge, other);
    return rim->to - rim->from >= RIM_LEAST_MM;
}

static bool inside_is_free(const struct rim *rim, double from, double to)
{
    for (size_t i = 0; i < rim->taken_count; i++)
        if (from < rim->taken[i].to && to > rim->taken[i].from) return false;
    return true;
}

static void inside_take(struct insider *m, struct rim *rim, double from, double to)
{
    struct span_taken *place =
        arena_append(m->arena, &rim->taken, &rim->taken_count, &rim->taken_capacity, sizeof *place);
    *place = (struct span_taken){from, to};
}

/* Of the type's size: how high capitals and figures stand, and how far letters such as g and p reach below. */
static const double CAPITAL = 0.73, BELOW = 0.24, AIR = 0.1;

static double below_share(const char *words)
{
    return strpbrk(words, "gjpqy,;") ? BELOW : 0;
}

/* All of the words lies on the rim: what reaches past it would be cut off with the film's edge. */
static struct letters rim_letters(const struct rim *rim, const char *words)
{
    double wide = rim->to - rim->from, below = below_share(words);
    return (struct letters){.size_mm = fmin(4, wide / (below > 0 ? CAPITAL + below + AIR : 1 / 1.1))};
}

/* Words along the film, `from` it on; upright panels' read upward. */
static void inside_put_words(struct insider *m, const struct rim *rim, double from, struct letters letters,
                             const char *words)
{
    double below = below_share(words);
    double base = (rim->to - rim->from - (CAPITAL - below) * letters.size_mm) / 2; /* in the middle */
    struct point at =
        inside_on_paper(m, print_point(m, from, m->frame.upright ? rim->to - base : rim->from + base));
    struct affine turn =
        m->frame.upright ? (struct affine){0, -1, 1, 0, at.x, at.y} : affine_shift(at.x, at.y);
    draw_begin_group(m->marks->drawing, turn);
    draw_text(m->marks->drawing, (struct point){0, 0}, letters, words);
    draw_end(m->marks->drawing);
}

/* A line across the rim at `along` with a word after it, or before it where that is taken. Nothing where a
 * more important mark stands; without its word where there is room for the line only. */
static void rim_mark(struct insider *m, struct rim *rim, double along, double thick, const char *words)
{
    struct letters letters = rim_letters(rim, words);
    double wide = draw_text_width(letters, words) + 1.5, half = HALF_LINE_MM + thick / 2;
    bool up = m->frame.upright;
    double low = up ? m->frame.print.y0 : m->frame.print.x0,
           high = up ? m->frame.print.y1 : m->frame.print.x1;
    double from = along - half, to = along + half;
    if (from < low || to > high || !inside_is_free(rim, from, to)) return;
    bool after = to + wide <= high && inside_is_free(rim, from, to + wide);
    bool before = !after && from - wide >= low && inside_is_free(rim, from - wide, to);
    if (after) to += wide;
    if (before) from -= wide;
    inside_take(m, rim, from, to);
    struct rect field = rect_normal(print_point(m, from, rim->from), print_point(m, to, rim->to));
    inside_add_field(m, field);
    struct point a = inside_on_paper(m, (struct point){field.x0, field.y0}),
                 b = inside_on_paper(m, (struct point){field.x1, field.y1});
    draw_rect(m->marks->drawing, rect_normal(a, b), (struct look){.fill = paint_grey(1)});
    draw_line(m->marks->drawing, inside_on_paper(m, print_point(m, along, rim->from)),
              inside_on_paper(m, print_point(m, along, rim->to)),
              (struct look){.line = paint_grey(0), .line_mm = thick});
    if (after) inside_put_words(m, rim, along + half, letters, words);
    if (before) inside_put_words(m, rim, from + 0.7, letters, words);
}

/* ---- what stands along the rims ---- */

static void level_mark(struct insider *m, struct rim *rim)
{
    double level = surface_level_mm(m->surface);
    if (m->frame.upright)
        rim_mark(m, rim, surface_print_at(m->surface, false, level) * feed_of(m), LEVEL_MM,
                 arena_format(m->arena, "LEVEL %s", mark_figure(m->job, level, m->arena)));
}

static void inside_length_marks(struct insider *m, struct rim *rim)
{
    struct length_marks marks = panel_length_marks(m->plan, m->panel);
    for (size_t i = 0; i < marks.count; i++) {
        double at = marks.first_mm + (double)i * marks.step_mm;
        rim_mark(m, rim, at * feed_of(m), HAIR_MM, mark_figure(m->job, at, m->arena));
    }
}

/* Where a gap meets this long edge of what is seen of the panel. */
static void gap_mark(struct insider *m, struct rim *rim, const struct feature *f)
{
    struct rect v = m->panel->visible;
    bool up = m->frame.upright, low = rim->edge == EDGE_LEFT || rim->edge == EDGE_BOTTOM;
    double edge = up ? (low ? v.x0 : v.x1) : (low ? v.y0 : v.y1);
    double a = up ? f->from.x : f->from.y, b = up ? f->to.x : f->to.y;
    double short_mm = practice_value("gap-rest").value; /* a gap that ends so near the edge is cut to it */
    if (a == b || edge < fmin(a, b) - short_mm || edge > fmax(a, b) + short_mm) return;
    double share = fmin(1, fmax(0, (edge - a) / (b - a)));
    struct point at = {f->from.x + share * (f->to.x - f->from.x), f->from.y + share * (f->to.y - f->from.y)};
    struct point print = print_frame_point(m->surface, &m->frame, at);
    rim_mark(m, rim, up ? print.y : print.x, HAIR_MM, feature_types[f->kind].tick);
}

static void feature_marks(struct insider *m, struct rim *rim, bool lines)
{
    for (size_t i = 0; i < m->surface->feature_count; i++) {
        const struct feature *f = &m->surface->features[i];
        const struct feature_type *type = &feature_types[f->kind];
        if (!type->tick || type->is_line != lines ||
            !rect_overlaps(rect_grow(f->box, 0.5), m->panel->visible))
            continue;
        struct point middle = {(f->box.x0 + f->box.x1) / 2, (f->box.y0 + f->box.y1) / 2};
        struct point print = print_frame_point(m->surface, &m->frame, middle);
        if (lines)
            gap_mark(m, rim, f);
        else
            rim_mark(m, rim, m->frame.upright ? print.y : print.x, HAIR_MM, type->tick);
    }
}

/* The edges at both ends of the film: finished, at a corner, or where it is cut after wrapping round. */
static void end_marks(struct insider *m, struct rim *rim)
{
    bool up = m->frame.upright;
    for (int end = 0; end < 2; end++) {
        enum edge edge = up ? (end ? EDGE_TOP : EDGE_BOTTOM) : (end ? EDGE_RIGHT : EDGE_LEFT);
        struct rect v = m->panel->visible;
        double wrap = wrap_beyond(m->plan, m->panel, edge), out = end ? wrap : -wrap;
        struct point at = end ? (struct point){v.x1, v.y1} : (struct point){v.x0, v.y0};
        struct point cut = up ? (struct point){at.x, at.y + out} : (struct point){at.x + out, at.y};
        struct point here = print_frame_point(m->surface, &m->frame, at);
        struct point there = print_frame_point(m->surface, &m->frame, cut);
        rim_mark(m, rim, up ? here.y : here.x, HAIR_MM, edge_word(m->plan, m->panel, edge));
        if (wrap > 0) rim_mark(m, rim, up ? there.y : there.x, HAIR_MM, "wrap: cut");
    }
}

/* What is measured first, then what is cut, then what is found. */
static void rim_marks(struct insider *m, bool low)
{
    struct rim rim;
    if (!rim_of(m, low, &rim)) return;
    level_mark(m, &rim);
    inside_length_marks(m, &rim);
    end_marks(m, &rim);
    feature_marks(m, &rim, true);
    feature_marks(m, &rim, false);
}

/* ---- round what is cut out, and in the rings of panes ---- */

static bool inside_holds(const struct polygon *polygon, struct rect r)
{
    return polygon_contains(polygon, (struct point){r.x0, r.y0}) &&
           polygon_contains(polygon, (struct point){r.x1, r.y0}) &&
           polygon_contains(polygon, (struct point){r.x1, r.y1}) &&
           polygon_contains(polygon, (struct point){r.x0, r.y1});
}

/* A small square that lies inside the cut and touches it, with a line along the cut. */
static void inside_cut_mark(struct insider *m, const struct polygon *cut, struct point at, struct point along)
{
    double half = CUT_FIELD_MM / 2;
    struct point inward = {-along.y, along.x}; /* the cut runs counter-clockwise */
    double away = half * (fabs(inward.x) + fabs(inward.y)) + 0.05;
    struct point centre = {at.x + away * inward.x, at.y + away * inward.y};
    struct rect view = {centre.x - half, centre.y - half, centre.x + half, centre.y + half};
    if (!rect_contains(m->panel->print, view, 0) || !inside_holds(cut, view)) return;
    struct rect field = print_frame_rect(m->surface, &m->frame, view);
    struct point a = inside_on_paper(m, (struct point){field.x0, field.y0}),
                 b = inside_on_paper(m, (struct point){field.x1, field.y1});
    double reach = 0.9 * half / fmax(fabs(along.x), fabs(along.y));
    struct point from = {centre.x - reach * along.x, centre.y - reach * along.y};
    struct point to = {centre.x + reach * along.x, centre.y + reach * along.y};
    inside_add_field(m, field);
    draw_rect(m->marks->drawing, rect_normal(a, b), (struct look){.fill = paint_grey(1)});
    draw_line(m->marks->drawing, inside_on_paper(m, print_frame_point(m->surface, &m->frame, from)),
              inside_on_paper(m, print_frame_point(m->surface, &m->frame, to)),
              (struct look){.line = paint_grey(0), .line_mm = 2 * HAIR_MM});
}

/* Over the width of a pane's bare ring, from the edge at `at` inward: a line along each of its two cuts. Nothing
 * where the film's edge does not lie straight across: at its round corners. */
static void ring_mark(struct insider *m, const struct feature *pane, const struct polygon *edge,
                      struct point at, struct point along)
{
    double by = feature_cut_short_mm(pane), near = 0.1;
    struct point inward = {-along.y, along.x};
    double half = (by / 2 - 0.05) / (fabs(inward.x) + fabs(inward.y));
    struct point centre = {at.x + by / 2 * inward.x, at.y + by / 2 * inward.y};
    struct point before = {at.x + (by - near) * inward.x, at.y + (by - near) * inward.y};
    struct point past = {at.x + (by + near) * inward.x, at.y + (by + near) * inward.y};
    struct rect view = {centre.x - half, centre.y - half, centre.x + half, centre.y + half};
    bool across = polygon_contains(&pane->on_glass, past) && !polygon_contains(&pane->on_glass, before);
    if (!across || !rect_contains(m->panel->print, view, 0) || !inside_holds(edge, view)) return;
    struct rect field = print_frame_rect(m->surface, &m->frame, view);
    inside_add_field(m, field);
    draw_rect(m->marks->drawing,
              rect_normal(inside_on_paper(m, (struct point){field.x0, field.y0}),
                          inside_on_paper(m, (struct point){field.x1, field.y1})),
              (struct look){.fill = paint_grey(1)});
    double aside = half - HAIR_MM, reach = 0.9 * half / fmax(fabs(along.x), fabs(along.y));
    for (int side = -1; side <= 1; side += 2) {
        struct point middle = {centre.x + side * aside * inward.x, centre.y + side * aside * inward.y};
        struct point from = {middle.x - reach * along.x, middle.y - reach * along.y};
        struct point to = {middle.x + reach * along.x, middle.y + reach * along.y};
        draw_line(m->marks->drawing, inside_on_paper(m, print_frame_point(m->surface, &m->frame, from)),
                  inside_on_paper(m, print_frame_point(m->surface, &m->frame, to)),
                  (struct look){.line = paint_grey(0), .line_mm = 2 * HAIR_MM});
    }
}

static double length_round(const struct polygon *polygon)
{
    double length = 0;
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = polygon->points[i], q = polygon->points[(i + 1) % polygon->count];
        length += hypot(q.x - p.x, q.y - p.y);
    }
    return length;
}

/* Evenly along the cut, at least eight; of a pane, over its ring. */
static void marks_round(struct insider *m, const struct polygon *cut, const struct feature *pane)
{
    double length = length_round(cut), count = fmax(8, ceil(length / CUT_APART_MM)), step = length / count;
    double next = step / 2;
    if (length < 8 * CUT_FIELD_MM) return;
    for (size_t i = 0; i < cut->count; i++) {
        struct point p = cut->points[i], q = cut->points[(i + 1) % cut->count];
        double side = hypot(q.x - p.x, q.y - p.y);
        struct point along = {(q.x - p.x) / side, (q.y - p.y) / side};
        for (; next < side; next += step) {
            struct point at = {p.x + next * along.x, p.y + next * along.y};
            if (pane)
                ring_mark(m, pane, cut, at, along);
            else
                inside_cut_mark(m, cut, at, along);
        }
        next -= side;
    }
}

static void cut_outs(struct insider *m)
{
    for (size_t i = 0; i < m->surface->feature_count; i++) {
        const struct feature *f = &m->surface->features[i];
        bool pane = feature_cut_short_mm(f) > 0, cut = pane || feature_types[f->kind].film == FILM_CUT_OUT;
        if (!cut || !rect_overlaps(feature_bare_box(f), m->panel->print)) continue;
        struct polygon box = polygon_of_rect(feature_bare_box(f), m->arena);
        const struct polygon *edge = feature_bare_shape(f);
        marks_round(m, edge->count ? edge : &box, pane ? f : NULL);
    }
}

void marks_inside(const struct job *job, const struct surface_plan *plan, const struct panel *panel,
                  const struct print_frame *frame, struct arena *arena, struct panel_marks *marks)
{
    struct insider m = {job, plan->surface, plan, panel, *frame, arena, marks};
    rim_marks(&m, true);
    rim_marks(&m, false);
    cut_outs(&m);
}
