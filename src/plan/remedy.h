/* Remedies for a surface that cannot be cut into panels: single changes, each tried by planning the surface again. */
#ifndef PLAN_REMEDY_H
#define PLAN_REMEDY_H

#include "candidate.h"

/* "Any one of these would do: ...", naming only changes with which a candidate was found; NULL
 * when no single one helps. */
const char *remedy_words(const struct candidate_search *search);
/* "handle \"rear door\" at 2650 to 3110 mm", measured across the film. */
const char *remedy_feature_words(const struct frame *frame, const struct feature *feature,
                                 struct arena *arena);

#endif
