/* Private to the colour room: which profiles are not made for one printer, film, ink and mode. */
#ifndef COLOUR_PROFILE_GENERIC_H
#define COLOUR_PROFILE_GENERIC_H

#include "colour/profile.h"

/* Why it is a general profile, a phrase, or NULL. `targ` is its characterization data, length 0: none. */
const char *profile_generic_why(const struct profile_facts *facts, struct str targ, struct arena *arena);

/* The published characterisation that a CMYK profile prints as, whatever its name says: its forward tables
 * give the same colours for paper, solids, overprints and tints (published-near in model/practice.h); NULL:
 * none of those known here. */
const char *profile_published(struct machine *machine, struct str profile, struct arena *arena);

#endif
