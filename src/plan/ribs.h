/* Private to plan: seams along the ribs of a corrugation. Boxes and places are in u and v of a frame. */
#ifndef PLAN_RIBS_H
#define PLAN_RIBS_H

#include "cuts.h"

/* Width of a crest on which a seam may stand: the flat of a trapezoid, twice `crest-share` (model/practice.h)
 * of the pitch of a round rib. */
double ribs_crest_mm(const struct feature *feature);
/* Whether all from `from` to `to` lies on one crest of the ribs, or beside them. */
bool ribs_hold(const struct framed_feature *ribs, double from, double to);
/* The widest overlap that surely fits on a crest. */
double ribs_overlap_most_mm(const struct framed_feature *ribs);
/* Seams whose overlap reaches off its crest. */
void ribs_judge(const struct field *field, const struct cuts *cuts, struct findings *findings);

#endif
