/* Along which outline is an artwork cut, or what does it show? */
#ifndef ART_OUTLINE_H
#define ART_OUTLINE_H

#include "base/error.h"
#include "base/machine.h"
#include "base/report.h"
#include "geom/region.h"
#include "model/artwork.h"
#include "model/finding.h"

/* Paths and curves of a file are kept as chords within this of the true curve, on the vehicle. */
#define ART_FLATNESS_MM 0.01

/* What is asked of one placed artwork. */
struct art_outline_order {
    const char *where; /* surface or piece, for findings */
    const struct placed_art *placed;
    const struct cut_spec *cut;
    const struct cancel *cancel; /* may be NULL */
};

/* The region, in the surface's millimetres, that cut->path names, `offset_mm` further out, its corners and holes as
 * the spec says. Paths named in the file (spot, layer, step) are taken as they are: the path of a stroke, not its
 * width; each ring closed; rings inside others are holes. Nothing found, or paths that do not close, gives a finding
 * and an empty region. False: the machine failed, or the file can no longer be read. */
bool art_outline(struct machine *machine, const struct art_outline_order *order, const struct notes *notes,
                 struct region *outline, struct error *error);

#endif
