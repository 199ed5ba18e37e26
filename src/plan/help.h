/* What would help a surface that has no way: single changes, each tried by planning the surface again. */
#ifndef PLAN_HELP_H
#define PLAN_HELP_H

#include "candidate.h"

/* "Any one of these would do: ...", naming only changes with which the surface was found to have a way; NULL
 * when no single one helps. */
const char *help_words(const struct candidate_search *search);
/* "handle \"rear door\" at 2650 to 3110 mm", measured across the film. */
const char *help_feature_words(const struct frame *frame, const struct feature *feature, struct arena *arena);

#endif
