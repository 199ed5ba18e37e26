/* From a placed artwork to the outline that is cut around it, in the surface's millimetres.
 *
 *   spot, layer, step   along the paths that the file has for it (pdf/paths.h): the path itself, whatever it is drawn
 *                       with; ends within 0.1 mm of each other are joined. Paths inside each other are holes and
 *                       islands by turns; a path drawn twice counts once
 *   silhouette          around all that is painted, white too: of PDF by its own shapes, curves as chords within
 *                       0.01 mm; of a picture by its transparency (half opaque and more is inside), else by what
 *                       differs from the background, which is the colour met most often along its edge, by the
 *                       tolerance (CIEDE2000) and more. Traced outlines are smoothed within 0.2 mm; a picture with
 *                       more than 4,000 pixels along a side is looked at in whole parts of that. Edges against a
 *                       background lie up to a pixel outside
 *   box                 the trim box
 *
 * then `offset_mm` outwards, corners of `radius_mm` and holes as the cut says (contour/offset.h). Of a silhouette only
 * what is printed of the page counts: without a BleedBox, where crop marks stand in the bleed, the trim. */
#ifndef ART_OUTLINE_H
#define ART_OUTLINE_H

#include "base/error.h"
#include "base/machine.h"
#include "contour/flaws.h"
#include "geom/region.h"
#include "model/artwork.h"
#include "model/finding.h"
#include "model/shape.h"

/* `outline` lives in the arena of `notes`. Nothing to cut, or something that cannot be followed: the finding
 * cut-missing (a stop), which names what the file has, and an empty outline. A path that is not closed is left out:
 * cut-open. False with `error` only when the machine fails or the file is not there. */
bool art_outline(struct machine *machine, const struct surface *surface, const struct placed_art *placed,
                 const struct cut_spec *cut, const struct notes *notes, struct region *outline,
                 struct error *error);

/* What of an outline cutter and film cannot hold (contour/flaws.h): cut-thin, cut-island, cut-gap, cut-corner, each
 * with the count and the worst place. FAILURE_INPUT when that takes more than a minute. */
bool art_outline_judge(struct machine *machine, const struct surface *surface, const struct region *outline,
                       const struct contour_limits *limits, const struct notes *notes, struct error *error);

#endif
