/* A PDF page as CMYK pixels, rendered by Ghostscript in a child process and given on in strips.
 *
 * The page's media box, as displayed, fills width_px x height_px exactly. CMYK numbers stay as they are
 * (the profile is the output's and DeviceCMYK's at once), other colours go through their own
 * profiles; overprint is simulated. Layers that are off for print are not drawn, nor are annotations; what lies
 * outside a CropBox is white. */
#ifndef PDF_PIXELS_H
#define PDF_PIXELS_H

#include "base/error.h"
#include "base/progress.h"
#include "geom/geom.h"
#include "model/pixels.h"

struct arena;
struct cancel;
struct machine;

struct pdf_pixels_order {
    const char *path, *subject;
    int page; /* from 1 */
    int width_px, height_px;
    /* What of the page fills the pixels, as shares of its media box from the lower left: {0, 0, 1, 1} is all;
     * NULL: all. For pages that are not turned (Rotate), as panel pages are. */
    const struct rect *part;
    bool
        unfitted; /* letters as their outlines are, not fitted to pixels by their fonts' instructions, which go by
                      the size of type on the page and so give others on a page at another scale */
    const char *profile_path; /* CMYK output profile; NULL: Ghostscript's own */
    const char *folder;       /* for temporary files; NULL: the machine's */
    int antialias;            /* 1: none, as print controllers do; 2 or 4: bits of anti-aliasing */
    uint64_t memory_limit;    /* bytes of each process, 0: 1 GB */
    unsigned cpu_seconds;     /* of each process, as in base/reader.h; 0: the usual */
    const struct cancel *cancel;
    const struct progress *progress;
};

/* Gives every row once, top down, as PIXELS_CMYK8. FAILURE_INPUT when the file is damaged, locked or
 * drew an error; then some strips may have been given already. */
bool pdf_pixels(struct machine *machine, const struct pdf_pixels_order *order, const struct strip_sink *sink,
                struct error *error);

/* What of a page is seen: its CropBox, else its media box, displayed mm (pdf/facts.h). */
bool pdf_page_seen(struct machine *machine, const char *path, const char *subject, int page,
                   struct arena *arena, struct rect *seen, struct error *error);

#endif
