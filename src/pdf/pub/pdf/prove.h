/* Panel pages against the artworks' own pages, both drawn by Ghostscript: a second renderer, independent of the
 * one that reads, writes and checks panels elsewhere (pdf/panels.h).
 *
 * Each artwork file's own page is drawn whole, with its own group, boxes and turning; each panel page is drawn on
 * that page's pixels by the order's millimetres. So what the page around an artwork does to it shows, as its
 * transparency group does. The resolution is a little off the one asked for, so that no picture's pixels fall on
 * the edges of these. Not compared: what lies outside a CropBox, a pixel at each end of a print, the fields of
 * the marks, what lies outside a panel's shape, pixels at its edge and at cut lines, where artworks lie over each other (there none of their own pages says what is right), and pictures
 * that are artworks themselves, whose bytes are compared elsewhere.
 *
 * What is allowed is our judgement. At an edge the last digits of a position decide which of two neighbours is
 * drawn, and at the point of a wedge how far it reaches: full-size artwork of some thousand shapes came to 1 in
 * a million pixels away from edges. A photograph with several pixels to one of these comes to 2 % at edges; far
 * more is a shift of the whole.
 *
 * Ghostscript runs as in pdf/pixels.h: -dSAFER, its memory and processor time bounded. */
#ifndef PDF_PROVE_H
#define PDF_PROVE_H

#include "pdf/panels.h"
#include "base/progress.h"

struct cancel;

struct pdf_prove_order {
    const struct pdf_panels_order *panels;
    const char *path;         /* the panel file */
    double ppi;               /* on the surface */
    const char *profile_path; /* as in pdf/pixels.h */
    const char *folder;       /* for an artwork's pixels, four bytes each; exists */
    const struct cancel *cancel;
    const struct progress *progress;
};

struct pdf_prove_result {
    bool same;           /* at most 10 in a million pixels are off away from edges, and 5 % at them */
    const char *trouble; /* when not: the first place, one sentence */
    uint64_t pixels;     /* compared */
    uint64_t off; /* of these, a sample is more than 2/255 off, and no edge of the artwork within a pixel */
    uint64_t at_edges;    /* more than 2/255 off within a pixel of an edge */
    int worst;            /* largest difference of a sample, 0..255, away from edges */
    int worst_at_edges;   /* and at them */
    uint64_t overlaid;    /* pixels not compared since artworks lie over each other */
    size_t pages, layers; /* drawn: panel pages, and artworks that are PDF */
};

/* False when the comparison could not be made: FAILURE_INPUT for an artwork that Ghostscript does not draw,
 * FAILURE_MACHINE where it is not there. */
bool pdf_prove(struct machine *machine, const struct pdf_prove_order *order, struct arena *arena,
               struct pdf_prove_result *result, struct error *error);

#endif
