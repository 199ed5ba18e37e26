/* Private to make: where along a long edge a door gap ends and a lap begins. */
#ifndef MAKE_GAP_MARKS_H
#define MAKE_GAP_MARKS_H

#include "marks.h"
#include "print_frame.h"

/* At each such place of the panel's seams along the film: a line across the outermost film that is turned in
 * or hidden, with "gap" and "lap" on its two sides. */
void gap_marks(const struct surface_plan *surface, const struct panel *panel, const struct print_frame *frame,
               struct arena *arena, struct panel_marks *marks);

#endif
