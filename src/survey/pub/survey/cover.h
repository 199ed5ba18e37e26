/* What of a surface is covered, and pieces that lie on it, as regions in the surface's coordinates
 * (model/shape.h, model/surface.h). Sums on plane figures; the room contour does them.
 *
 * Covered is what was asked for within the surface's outline. Printed is more: `bleed` beyond the region's own
 * edge, and where the region meets the surface's edge the bleed of that edge, sideways or up and down as the
 * edge faces (corners by both); an edge with a bleed below 0, as on a pane, prints so far short of it. */
#ifndef SURVEY_COVER_H
#define SURVEY_COVER_H

#include "base/error.h"
#include "base/machine.h"
#include "model/finding.h"
#include "model/job.h"
#include "model/surface.h"
#include <stdbool.h>

/* Settles what `surface` covers by its spec's cover: covered, printed, cut, spans, area, and features and stretches that
 * lie in it alone. Nothing is changed when the spec says nothing, or the silhouette is empty (art has said so).
 *
 * `silhouette`: of its artwork, already offset; only read for COVER_SILHOUETTE, else NULL. A file with an outline
 * is SVG at the scale of the surface's drawing: its closed shapes are covered, with the paper's lower left corner on the
 * surface's; where there are others besides one called "outline", that one is the surface's own edge and says the
 * corner. A name is of a shape or group in the surface's drawing: its id or label.
 *
 * Mistakes go to the report: a name or file that is not there, nothing left of the surface, "behind" where the
 * view is from ahead or behind. That all of the surface is covered is a remark. false: the machine failed. */
bool survey_cover(struct machine *machine, struct surface *surface, const struct region *silhouette,
                  const struct notes *notes, struct error *error);

/* Makes a surface of a piece on `host`: called "left logo", its id "left-logo". `outline` is where it is cut.
 * It shares the host's coordinates, size and front, and has features of it that it lies on. Where it reaches past the host's
 * edge it is cut off there, with the finding piece-past-edge. With `apart`, film ends beside door gaps
 * (piece-gap of model/practice.h).
 *
 * *piece is NULL when nothing of it lies on the host, and then the report has the mistake; or when `outline` is
 * empty (art has said so). false: the machine failed. */
bool survey_piece(const struct surface *host, const struct piece_spec *spec, const struct region *outline,
                  const struct notes *notes, struct surface **piece, struct error *error);

#endif
