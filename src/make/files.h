/* Private to make: which files. */
#ifndef MAKE_FILES_H
#define MAKE_FILES_H

#include "make/make.h"
#include "print_frame.h"

/* Path of the file that the panel goes to; with one panel of a PDF surface asked for, a file of its own. */
const char *file_for(const struct make_order *order, const struct panel *panel, struct arena *arena);
bool file_wanted(const struct make_order *order, const struct panel *panel);
double feed_of_order(const struct make_order *order); /* length correction, percent */
/* The panel as its file has it: where that is rendered by itself in pixels, widened to whole ones about its lower left
 * corner, so that marks, cut lines and pixels count from the same corners. */
struct print_frame frame_of_order(const struct make_order *order, const struct panel *panel);

/* Writes and checks those panels of the surface that have the order's form. */
typedef bool panel_writer(struct machine *machine, const struct make_order *order, struct arena *arena,
                          struct make_result *result, struct error *error);
panel_writer make_pdf, make_tiff;

#endif
