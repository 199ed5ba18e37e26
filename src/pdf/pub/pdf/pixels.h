/* A PDF page as CMYK pixels, rendered by Ghostscript in a child process and given on in strips.
 *
 * The page's media box, as displayed, fills width_px x height_px exactly. CMYK numbers stay as they are
 * (the profile is the output's and DeviceCMYK's at once), other colours go through their own
 * profiles; overprint is simulated. Layers that are off for print are not drawn; what lies outside a CropBox
 * is white. */
#ifndef PDF_PIXELS_H
#define PDF_PIXELS_H

#include "base/error.h"
#include "base/progress.h"
#include "model/pixels.h"

struct cancel;
struct machine;

struct pdf_pixels_order {
    const char *path, *subject;
    int page; /* from 1 */
    int width_px, height_px;
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

#endif
