/* What `make` and `panels` keep of each panel file they made, so that a panel that is not on record can be made
 * again as it was: OUT/made.txt. A line of names, then one for each panel, its columns parted by tabs:
 *
 *     panel     left-3
 *     artwork   STATE of the surface's artwork (run/printed.h): 64 hex digits, the SHA-256 of the lines that
 *               have the SHA-256 of each file, its page and its place
 *     profile   fingerprint of the condition's profile, 32 hex digits; "-" without one
 *     plan      what the plan is known by on labels, 8 hex digits
 *     feed      length correction, percent
 *     date      of the label and the file, UTC seconds
 *     anyway    1: made in spite of a stop, and the label says so
 *     visible, print, file   x0 y0 x1 y1 of the panel's rectangles, mm on the surface
 *     sha256    of the file that the panel is in; of a PDF with all panels of its surface, of all of it; "-" of one
 *               over 64 MB
 *     name      of that file, below OUT
 *     with      printer, film and mode (feed_condition)
 *
 * A panel that is made again takes its line's place. Lines of panels that a later plan does not have stay: they were
 * made, and perhaps printed. */
#ifndef RUN_MADE_H
#define RUN_MADE_H

#include "run/run.h"

struct made_panel {
    const char *panel, *artwork, *profile; /* profile NULL: none */
    const char *plan;
    double feed_percent;
    int64_t date;
    bool anyway;
    struct rect visible, print, file;
    const char *sha256, *name, *with;
};

/* What OUT keeps of that panel, in the arena. False: nothing, or its line is not whole. */
bool made_find(struct machine *machine, const char *out, const char *panel, struct arena *arena,
               struct made_panel *made);

#endif
