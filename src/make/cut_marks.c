/* Draws register marks. Called by marks.c for prints, and by the cut files for their shapes. */
#include "cut_marks.h"
#include <math.h>

struct register_shape_lines register_shape_of(const struct register_marks *marks,
                                              const struct contour_mark_place *place)
{
    double line = marks->line_mm, thick = line > 0 ? line : marks->size_mm / 10;
    double half = (marks->size_mm - line) / 2, turn = place->turned_deg * M_PI / 180;
    struct register_shape_lines shape = {.filled = line <= 0, .line_mm = line};
    bool thin = marks->shape == REGISTER_CROSS || marks->shape == REGISTER_CORNER;
    if (thin) shape.filled = false, shape.line_mm = thick;
    if (marks->shape == REGISTER_CORNER) half = (marks->size_mm - thick) / 2;
    if (marks->shape == REGISTER_CROSS) half = marks->size_mm / 2;
    static const struct point square[] = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}, {-1, -1}};
    static const struct point cross[] = {{-1, 0}, {1, 0}, {0, -1}, {0, 1}};
    static const struct point corner[] = {{1, -1}, {-1, -1}, {-1, 1}};
    const struct point *of = marks->shape == REGISTER_SQUARE          ? square
                             : thin && marks->shape == REGISTER_CROSS ? cross
                                                                      : corner;
    shape.count = marks->shape == REGISTER_SQUARE   ? 5
                  : marks->shape == REGISTER_CROSS  ? 4
                  : marks->shape == REGISTER_CORNER ? 3
                                                    : 1;
    if (marks->shape == REGISTER_CIRCLE) {
        shape.radius_mm = half;
        shape.points[0] = place->middle;
        return shape;
    }
    for (size_t i = 0; i < shape.count; i++)
        shape.points[i] =
            (struct point){place->middle.x + half * (of[i].x * cos(turn) - of[i].y * sin(turn)),
                           place->middle.y + half * (of[i].x * sin(turn) + of[i].y * cos(turn))};
    return shape;
}

static struct point cut_marks_on_paper(const struct cut_sheet *sheet, struct point p)
{
    return (struct point){p.x - sheet->file.x0, sheet->file.y1 - p.y};
}

static void cut_marks_draw_one(struct drawing *drawing, const struct register_shape_lines *shape,
                               const struct cut_sheet *sheet)
{
    struct look look = shape->filled ? (struct look){.fill = paint_grey(0)}
                                     : (struct look){.line = paint_grey(0), .line_mm = shape->line_mm};
    if (shape->radius_mm > 0) {
        draw_circle(drawing, cut_marks_on_paper(sheet, shape->points[0]), shape->radius_mm, look);
        return;
    }
    struct path path = path_new(drawing_arena(drawing));
    for (size_t i = 0; i < shape->count; i++) {
        struct point p = cut_marks_on_paper(sheet, shape->points[i]);
        bool begins = !i || (shape->count == 4 && i == 2);
        (begins ? path_move : path_line)(&path, p.x, p.y);
    }
    if (shape->count == 5) path_close(&path);
    draw_path(drawing, path, look);
}

void cut_marks_draw(struct drawing *drawing, const struct register_marks *marks,
                    const struct cut_sheet *sheet)
{
    for (size_t i = 0; i < sheet->marks.count; i++) {
        struct register_shape_lines shape = register_shape_of(marks, &sheet->marks.places[i]);
        cut_marks_draw_one(drawing, &shape, sheet);
    }
}
