/* Private to make: register marks as they are printed. */
#ifndef MAKE_CUT_MARKS_H
#define MAKE_CUT_MARKS_H

#include "cut_sheet.h"
#include "draw/draw.h"

/* A register mark as shapes: a circle's middle with its radius, or closed outlines and lines, mm. Lines have the
 * entry's width; a cross or corner whose line is 0 has a tenth of its size (our choice). */
struct register_shape_lines {
    bool filled;
    double radius_mm, line_mm; /* radius above 0: a circle */
    struct point points[5];
    size_t count; /* of a square 5, of a corner 3 as one line; of a cross 4: two lines */
};
struct register_shape_lines register_shape_of(const struct register_marks *marks,
                                              const struct contour_mark_place *place);

/* Black, on a drawing of the file rectangle. */
void cut_marks_draw(struct drawing *drawing, const struct register_marks *marks,
                    const struct cut_sheet *sheet);

#endif
