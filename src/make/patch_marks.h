/* Private to make: what stands on a sheet of repair pieces in place of a panel's marks. */
#ifndef MAKE_PATCH_MARKS_H
#define MAKE_PATCH_MARKS_H

#include "make/patches.h"
#include "marks.h"
#include "print_frame.h"

void patch_marks(const struct make_order *order, const struct print_frame *frame, struct arena *arena,
                 struct panel_marks *marks);

#endif
