/* What a PDF says of itself: boxes, pictures, colours, fonts, layers, lettering.
 *
 * Places on a page, here and in pdf/panels.h, are in displayed page millimetres: y up, with UserUnit
 * and Rotate applied, one unit of user space being UserUnit x 25.4 / 72 mm. The displayed media box has
 * its lower left corner where the page's MediaBox has it (MediaBox x0 and y0 in millimetres, before
 * any rotation); Rotate turns the page about within that corner. So a page with MediaBox
 * [-36 -36 648 828] has media_mm (-12.7, -12.7, 228.6, 292.1), and with Rotate 90
 * (-12.7, -12.7, 292.1, 228.6). Boxes: ISO 32000-1, 14.11.2; UserUnit: table 30.
 *
 * The file is read in a child with limits of 60 s and 1 GB (base/reader.h). */
#ifndef PDF_FACTS_H
#define PDF_FACTS_H

#include "base/error.h"
#include "model/artwork.h"

struct arena;
struct machine;

/* At most so many of each are kept; a remark says when there were more. */
enum { PDF_IMAGES_MOST = 20000, PDF_LINES_MOST = 20000, PDF_NAMES_MOST = 500 };

/* Reads page `page` (from 1) of the file at `path`; `subject` is what a person calls it. All that
 * `facts` points to lives in the arena.
 *
 * A file that is damaged (also one that could only be opened by repair: its pages may be blank),
 * locked, or without that page gives true, with facts->state and the sentence facts->trouble. False
 * when it cannot be opened at all or the machine failed.
 *
 * trim_mm is TrimBox, else CropBox, else MediaBox, clipped to the media box; a box that lies outside or
 * is upside down is a remark. bleed_mm is the trim and the BleedBox, which is the CropBox where none is
 * written (14.11.2), clipped likewise; marks_in_bleed: none is written, and crop marks stand outside the trim.
 * Images come with the box and the resolution they have on the page as drawn, through forms, patterns, soft
 * masks and letters that are drawings; image masks too. Colours, fonts and spots are those that the page
 * uses, not what its resources list; layers that are off in print count as unused but for layers_hidden.
 * Process colour names, /All and /None are no spots. `steps` are layers that print and that their metadata
 * call processing steps (ISO 19593-1), with what they are: "Structural Cutting, layer Die". */
bool pdf_facts_load(struct machine *machine, const char *path, const char *subject, int page,
                    struct arena *arena, struct artwork_facts *facts, struct error *error);

#endif
