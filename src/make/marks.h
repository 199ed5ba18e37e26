/* Private to make: the marks and labels of one panel (see doc/decisions/marks.md). */
#ifndef MAKE_MARKS_H
#define MAKE_MARKS_H

#include "draw/draw.h"
#include "make/make.h"

struct panel_marks {
    struct drawing *drawing; /* the size of the file rectangle, black only */
    struct rect *fields;     /* where marks stand inside the print: print coordinates (print_frame.h), mm */
    size_t field_count, field_capacity;
};

bool marks_make(const struct make_order *order, const struct panel *panel, struct arena *arena,
                struct panel_marks *marks, struct error *error);

#endif
