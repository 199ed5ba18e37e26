/* Private to the colour room: which profiles are not made for one printer, film, ink and mode. */
#ifndef COLOUR_PROFILE_GENERIC_H
#define COLOUR_PROFILE_GENERIC_H

#include "colour/profile.h"

/* Why it is a general profile, a phrase, or NULL. `targ` is its characterization data, length 0: none. */
const char *profile_generic_why(const struct profile_facts *facts, struct str targ, struct arena *arena);

#endif
