/* Private to make: marks along a panel's long edges (level, lengths, gaps, handles ...) and round what is cut
 * out. They stand in film that nobody will see: overlap, trim, bleed, beside the print, or what is cut out.
 */
#ifndef MAKE_INSIDE_H
#define MAKE_INSIDE_H

#include "marks.h"
#include "print_frame.h"

void marks_inside(const struct job *job, const struct surface_plan *plan, const struct panel *panel,
                  const struct print_frame *frame, struct arena *arena, struct panel_marks *marks);

#endif
