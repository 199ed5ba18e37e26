/* Private to make: what is cut of one panel's print, and the register marks beside it, in print coordinates
 * (print_frame.h).
 *
 * A piece that a seam parts is cut on each of its prints: what of it lies on the print. Along the seam that part ends
 * at the print's own edge, so that the overlap stays on it. */
#ifndef MAKE_CUT_SHEET_H
#define MAKE_CUT_SHEET_H

#include "contour/marks.h"
#include "make/make.h"
#include "pdf/panels.h"
#include "print_frame.h"

enum cut_kind { CUT_KIND_KISS, CUT_KIND_THROUGH, CUT_KINDS };

struct cut_sheet {
    struct rect file;
    struct region cut, printed; /* what stays, without a weeding box; where ink is */
    struct pdf_cut_line *lines; /* in the sequence of cutting; their layer is a cut_kind */
    size_t line_count;
    struct contour_marks marks;
    double cut_mm, seconds;
};

/* Nothing in it where the surface is not cut to its shape. False with FAILURE_INPUT where marks find no room. */
bool cut_sheet_make(const struct make_order *order, const struct panel *panel,
                    const struct print_frame *frame, struct arena *arena, struct cut_sheet *sheet,
                    struct error *error);

/* The job's cutter; never NULL. */
const struct cutter *cut_sheet_cutter(const struct make_order *order);

#endif
