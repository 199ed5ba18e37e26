/* What printed panels were made from, so that artwork changed afterwards is found before the rest is printed.
 *
 * For a job that is on record, OUT/printed keeps what the artwork of each surface was, once for each state:
 *
 *     STATE.txt      one line for each artwork in painting order: page, SHA-256 of the file, where it lies
 *                    (matrix of page mm to surface mm, clip in surface mm), SHA-256 of the profile that the
 *                    job states for it, and last the file's name; the first line is the picture's box in
 *                    surface mm and its pixel in mm
 *     STATE.tif      the surface in CMYK as it would be printed, one pixel for each millimetre; for each
 *                    sqrt(area / 16 m2) mm of what is larger than 16 m2. Without a profile of the printing
 *                    condition there is none
 *     artwork.txt    for each surface the state that the files in OUT/panels are made from: STATE, a blank,
 * the surface's name
 *
 * STATE is 64 hex digits: the SHA-256 of those lines without the names, the box last, so a file that only got
 * another name or folder is the same state. Nothing in OUT/printed is ever replaced or moved to OUT/old;
 * artwork.txt alone is written again with each plan that may be printed.
 *
 * `printed` on record keeps the STATE (the entry's `artwork`), and with it, by the chain of entries, the
 * digest of every artwork file. An entry from before there was that field binds nothing.
 *
 * A surface with a printed panel whose state is not the present one is compared pixel by pixel inside what is
 * visible of those panels, as the plan version had it that they were printed for. Pixels differ when a sample
 * is more than 8 of 255 (3 %) outside of what the other picture has within a pixel about it, and the other
 * way round: an edge that moved by less than a millimetre is the same. Four such pixels make a panel differ.
 * Figures: printed-apart and printed-pixels of model/practice.h.
 *
 *     artwork-changed      stop, one for a surface: the panels that differ, the box that does, and
 *                          OUT/pictures/artwork-changed-SURFACE.png with the surface as printed, as it is
 *                          now, and the difference. Also where the picture to compare is not there. An
 *                          acceptance on record, which takes a reason, makes it a warning; it is bound to
 *                          those panels and the artwork's STATE, wherever it lies on the disk
 *     artwork-saved-again  note: a file has other bytes, and the same pixels */
#ifndef RUN_PRINTED_H
#define RUN_PRINTED_H

#include "run/run.h"

/* After the artwork is known: compares; what is found stays with the run for printed_judge. Needs the lock of
 * OUT unless printed_is_ready. Nothing to do when no panel is printed. */
bool printed_compare(struct run *run, struct error *error);
/* Whether comparing needs no writing: every picture is there. `check` by who holds no lock. */
bool printed_is_ready(struct run *run);
/* Adds what printed_compare found. */
void printed_judge(const struct run *run, struct findings *findings);
/* SHA-256 of an artwork's file, from OUT/cache where the disk says that the file is the one read before. */
bool printed_digest(const struct run *run, const struct placed_art *placed, char hex[65],
                    struct error *error);
/* Keeps the present state of each surface of a job on record, and artwork.txt where the plan may be printed.
 */
bool printed_keep(struct run *run, struct error *error);
/* The state that the panels of that surface in `out` are made from; NULL: not known. */
const char *printed_state(struct machine *machine, const char *out, const char *surface, struct arena *arena);

#endif
