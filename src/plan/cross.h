/* Strips that are longer than the longest print, cut again across the film. */
#ifndef PLAN_CROSS_H
#define PLAN_CROSS_H

#include "panels.h"
#include "candidate.h"

/* One for each strip between cuts, or NULL when a strip cannot be cut: then none is. */
struct cut_crossing *cross_strips(const struct candidate_search *search, const struct field *field,
                                  const struct cuts *cuts);

#endif
