/* Slivers: film between a lap and a door gap or a finished edge, too narrow to hold. */
#ifndef PLAN_SLIVER_H
#define PLAN_SLIVER_H

#include "seam_cost.h"

/* Sets what of `context` tells of slivers, from its line and its stretches of lap at `at`. A sliver is measured
 * from the visible edge and from the hidden one; the rule stands in doc/seams.md. */
void sliver_measure(const struct field *field, double at, const struct stretches *laps,
                    struct seam_context *context);

#endif
