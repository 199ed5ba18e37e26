/* Works out what is cut of a panel's print: the covered region on it, the knife's lines, the register marks. Called by
 * whatever writes prints and cut files, so that all have the same lines. */
#include "cut_sheet.h"
#include "base/arena.h"
#include "contour/cut.h"
#include "contour/shape.h"
#include "model/practice.h"
#include <math.h>

const struct cutter *cut_sheet_cutter(const struct make_order *order)
{
    const struct cutter *cutter = order->plan->input->job->cutter;
    return cutter ? cutter : &cutter_plain;
}

/* What of the region lies on the print, in print coordinates; no region: nothing. */
static bool cut_sheet_part(const struct surface *surface, const struct panel *panel,
                           const struct print_frame *frame, const struct region *of,
                           const struct contour_means *means, struct region *part, struct error *error)
{
    *part = (struct region){0};
    if (!of->count) return true;
    struct polygon print = polygon_of_rect(panel->print, means->arena);
    struct region whole = {&print, 1}, on_print;
    if (!contour_combine(of, &whole, CONTOUR_INTERSECTION, means, &on_print, error)) return false;
    *part = print_frame_region(surface, frame, &on_print, means->arena);
    return true;
}

/* ---- lines ---- */

static void cut_sheet_weeding_box(struct cut_sheet *sheet, struct arena *arena)
{
    struct rect box = rect_intersect(
        rect_grow(region_bounds(&sheet->cut), practice_value("weeding-box").value), sheet->file);
    struct point *points = arena_take_array(arena, 5, sizeof *points);
    const struct point corners[] = {{box.x0, box.y0}, {box.x1, box.y0}, {box.x1, box.y1}, {box.x0, box.y1}};
    for (size_t i = 0; i < 5; i++) points[i] = corners[i % 4];
    sheet->lines[sheet->line_count++] = (struct pdf_cut_line){CUT_KIND_KISS, points, 5};
    sheet->cut_mm += 2 * (rect_width(box) + rect_height(box));
}

/* A start on a corner stands there twice: once is enough for a knife. The line still ends where it did. */
static struct pdf_cut_line cut_sheet_line(size_t kind, const struct contour_cut_path *path)
{
    size_t count = 0;
    for (size_t i = 0; i < path->count; i++) {
        struct point p = path->points[i];
        bool again = count && hypot(p.x - path->points[count - 1].x, p.y - path->points[count - 1].y) <=
                                  CONTOUR_GRID_MM;
        path->points[count - again] = p;
        count += !again;
    }
    return (struct pdf_cut_line){kind, path->points, count};
}

static bool cut_sheet_lines(const struct make_order *order, const struct contour_means *means,
                            struct cut_sheet *sheet, struct error *error)
{
    const struct piece_spec *piece = order->surface->surface->piece;
    const struct cutter *cutter = cut_sheet_cutter(order);
    double speed = cutter_speed(cutter).value;
    struct contour_knife knife = {.home = {sheet->file.x0, sheet->file.y0},
                                  .overcut_mm = cutter->overcut_mm,
                                  .cut_mm_s = speed,
                                  .travel_mm_s = speed};
    struct contour_cut_plan plan;
    if (!contour_cut(&sheet->cut, &knife, means, &plan, error)) return false;
    sheet->lines = arena_take_array(means->arena, plan.count + 1, sizeof *sheet->lines);
    size_t kind = piece && piece->cut.depth == CUT_THROUGH ? CUT_KIND_THROUGH : CUT_KIND_KISS;
    for (; sheet->line_count < plan.count; sheet->line_count++)
        sheet->lines[sheet->line_count] = cut_sheet_line(kind, &plan.paths[sheet->line_count]);
    sheet->cut_mm = plan.cut_mm;
    if (piece && piece->weeded && sheet->line_count) cut_sheet_weeding_box(sheet, means->arena);
    sheet->seconds = plan.seconds + (sheet->cut_mm - plan.cut_mm) / speed;
    return true;
}

/* ---- marks ---- */

/* Contour counts x across the film: lying panels are looked at with x and y exchanged. */
static struct region cut_sheet_exchanged(const struct region *region, struct arena *arena)
{
    struct region other = {arena_take_array(arena, region->count, sizeof *other.rings), region->count};
    for (size_t i = 0; i < region->count; i++) {
        size_t count = region->rings[i].count;
        struct point *points = arena_take_array(arena, count, sizeof *points);
        for (size_t k = 0; k < count; k++) {
            struct point p = region->rings[i].points[count - 1 - k];
            points[k] = (struct point){p.y, p.x};
        }
        other.rings[i] = (struct polygon){points, count};
    }
    return other;
}

static struct rect cut_sheet_rect_exchanged(struct rect r)
{
    return (struct rect){r.y0, r.x0, r.y1, r.x1};
}

/* Beside the print, in the rims that its file has for them, and not in its end strips. */
static bool cut_sheet_marks(const struct make_order *order, const struct print_frame *frame,
                            const struct contour_means *means, struct cut_sheet *sheet, struct error *error)
{
    const struct register_marks *marks = &cut_sheet_cutter(order)->marks;
    if (marks->size_mm <= 0 || !sheet->printed.count) return true;
    struct contour_mark_entry entry = {(enum contour_mark)marks->shape,
                                       marks->size_mm,
                                       marks->line_mm,
                                       marks->distance_mm,
                                       marks->every_mm,
                                       (size_t)marks->count,
                                       marks->section_mm};
    struct rect room = frame->upright
                           ? (struct rect){frame->file.x0, frame->print.y0, frame->file.x1, frame->print.y1}
                           : (struct rect){frame->print.x0, frame->file.y0, frame->print.x1, frame->file.y1};
    struct region other = sheet->printed;
    if (!frame->upright) {
        room = cut_sheet_rect_exchanged(room);
        other = cut_sheet_exchanged(&sheet->printed, means->arena);
    }
    struct contour_sheet on = {room, &other};
    if (!contour_marks_place(&on, &entry, means, &sheet->marks, error)) return false;
    for (size_t i = 0; !frame->upright && i < sheet->marks.count; i++) {
        struct contour_mark_place *place = &sheet->marks.places[i];
        place->middle = (struct point){place->middle.y, place->middle.x};
        place->turned_deg = fmod(360 - place->turned_deg, 360);
    }
    return true;
}

bool cut_sheet_make(const struct make_order *order, const struct panel *panel,
                    const struct print_frame *frame, struct arena *arena, struct cut_sheet *sheet,
                    struct error *error)
{
    const struct surface *surface = order->surface->surface;
    struct contour_means means = {.arena = arena};
    *sheet = (struct cut_sheet){.file = frame->file};
    if (order->patches) return true; /* a sheet of its own, not in the surface's coordinates */
    if (!cut_sheet_part(surface, panel, frame, &surface->printed, &means, &sheet->printed, error))
        return false;
    if (!surface->contour_cut || panel->inlay) return true;
    return cut_sheet_part(surface, panel, frame, &surface->cut, &means, &sheet->cut, error) &&
           cut_sheet_lines(order, &means, sheet, error) &&
           cut_sheet_marks(order, frame, &means, sheet, error);
}
