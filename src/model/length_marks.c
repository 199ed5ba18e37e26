/* Where length marks and level lines stand: panels and job sheet agree on them. */
#include "model/length_marks.h"
#include "model/practice.h"
#include <math.h>

static const double MARK_ROOM_MM = 1; /* from a mark to the print's end */

static struct length_marks marks_between(double from, double to, double step)
{
    struct length_marks marks = {.first_mm = ceil((from + MARK_ROOM_MM) / step) * step,
                                 .last_mm = floor((to - MARK_ROOM_MM) / step) * step,
                                 .step_mm = step};
    if (marks.last_mm >= marks.first_mm)
        marks.count = (size_t)lround((marks.last_mm - marks.first_mm) / step) + 1;
    return marks;
}

struct length_marks panel_length_marks(const struct surface_plan *surface, const struct panel *panel)
{
    double step_mm = practice_value("length-mark-step").value;
    const struct surface *s = surface->surface;
    bool up = surface->direction == RUN_UPRIGHT;
    if (s->contour_cut && !panel->inlay) return (struct length_marks){.step_mm = step_mm};
    double from = surface_print_at(s, !up, up ? panel->print.y0 : panel->print.x0);
    double to = surface_print_at(s, !up, up ? panel->print.y1 : panel->print.x1);
    struct length_marks marks = marks_between(from, to, step_mm);
    return marks.count >= 2 ? marks : marks_between(from, to, practice_value("length-mark-short").value);
}

static double middle_on(double middle, double step)
{
    double on = round(middle / step) * step;
    return on > 0 ? on : middle;
}

double surface_level_mm(const struct surface *surface)
{
    return middle_on(surface->height_mm / 2, 100);
}

double panel_level_mm(const struct panel *panel)
{
    return middle_on((panel->visible.y0 + panel->visible.y1) / 2, 10);
}
