/* Marks along a long edge where a door gap ends and a lap begins. Called by marks.c. */
#include "gap_marks.h"
#include "base/arena.h"
#include <math.h>

static const double DEEP_MM = 11; /* of the field, across the edge */
static const double LONG_MM = 8;  /* along it */
static const double LEAST_MM = 7; /* with less film there is no room for the words */
static const double RIM_MM = 6;   /* the outermost film, where length marks stand, is left free */
static const double WORD_MM = 2.6;

struct mark_place {
    struct rect field; /* print coordinates */
    bool upright;
};

static void put_word(const struct print_frame *frame, struct drawing *drawing, const struct mark_place *place,
                     bool beyond, const char *word)
{
    struct rect f = place->field;
    double quarter = (place->upright ? rect_height(f) : rect_width(f)) / 4 * (beyond ? 1 : -1);
    struct point middle = {(f.x0 + f.x1) / 2, (f.y0 + f.y1) / 2};
    *(place->upright ? &middle.y : &middle.x) += quarter;
    struct point at = {middle.x - frame->file.x0, frame->file.y1 - middle.y + WORD_MM * 0.36};
    draw_text(drawing, at, (struct letters){.size_mm = WORD_MM, .align = ALIGN_CENTRE}, word);
}

static void put_mark(const struct print_frame *frame, struct arena *arena, struct panel_marks *marks,
                     const struct mark_place *place, bool gap_beyond)
{
    struct rect f = place->field;
    struct point low = {f.x0 - frame->file.x0, frame->file.y1 - f.y1};
    struct point high = {f.x1 - frame->file.x0, frame->file.y1 - f.y0};
    struct point middle = {(low.x + high.x) / 2, (low.y + high.y) / 2};
    struct point from = place->upright ? (struct point){low.x, middle.y} : (struct point){middle.x, low.y};
    struct point to = place->upright ? (struct point){high.x, middle.y} : (struct point){middle.x, high.y};
    draw_rect(marks->drawing, (struct rect){low.x, low.y, high.x, high.y},
              (struct look){.fill = paint_grey(1)});
    draw_line(marks->drawing, from, to, (struct look){.line = paint_grey(0), .line_mm = 0.3});
    put_word(frame, marks->drawing, place, true, gap_beyond ? "gap" : "lap");
    put_word(frame, marks->drawing, place, false, gap_beyond ? "lap" : "gap");
    *(struct rect *)arena_append(arena, &marks->fields, &marks->field_count, &marks->field_capacity,
                                 sizeof f) = f;
}

/* The field at the print's outer edge; false where it does not lie on this panel or has no room. */
static bool mark_room(const struct print_frame *frame, bool high_side, double along, struct mark_place *place)
{
    bool upright = frame->upright;
    struct rect p = frame->print, v = frame->visible;
    double hidden =
        upright ? (high_side ? p.x1 - v.x1 : v.x0 - p.x0) : (high_side ? p.y1 - v.y1 : v.y0 - p.y0);
    double deep = fmin(DEEP_MM, hidden);
    double inward = fmin(RIM_MM, hidden - deep);
    double edge = upright ? (high_side ? p.x1 : p.x0) : (high_side ? p.y1 : p.y0);
    double outer = high_side ? edge - inward - deep : edge + inward;
    if (hidden < LEAST_MM) return false;
    *place = (struct mark_place){upright ? rect_of(outer, along - LONG_MM / 2, deep, LONG_MM)
                                         : rect_of(along - LONG_MM / 2, outer, LONG_MM, deep),
                                 upright};
    return rect_contains(p, place->field, 0);
}

static void gap_marks_of(const struct surface_plan *surface, const struct seam *seam, bool high_side,
                         const struct print_frame *frame, struct arena *arena, struct panel_marks *marks)
{
    for (size_t i = 0; i < seam->gap_count; i++)
        for (int end = 0; end < 2; end++) {
            double at = end ? seam->gaps[i].to_mm : seam->gaps[i].from_mm;
            struct point view =
                frame->upright ? (struct point){seam->at_mm, at} : (struct point){at, seam->at_mm};
            struct point on_print = print_frame_point(surface->surface, frame, view);
            struct mark_place place;
            bool inside = at > seam->from_mm + 1e-6 && at < seam->to_mm - 1e-6;
            if (inside && mark_room(frame, high_side, frame->upright ? on_print.y : on_print.x, &place))
                put_mark(frame, arena, marks, &place, !end);
        }
}

void gap_marks(const struct surface_plan *surface, const struct panel *panel, const struct print_frame *frame,
               struct arena *arena, struct panel_marks *marks)
{
    size_t index = (size_t)(panel - surface->panels);
    for (size_t i = 0; i < surface->seam_count; i++) {
        const struct seam *seam = &surface->seams[i];
        bool along_film = (seam->axis == AXIS_X) == frame->upright;
        if ((seam->over != index && seam->under != index) || !along_film || !seam->laps) continue;
        double low = frame->upright ? panel->visible.x0 : panel->visible.y0;
        gap_marks_of(surface, seam, fabs(seam->at_mm - low) > 0.01, frame, arena, marks);
    }
}
