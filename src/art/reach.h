/* Private to art: does the artwork reach the bleed on every side? */
#ifndef ART_REACH_H
#define ART_REACH_H

#include "art/art.h"

/* artwork-short: one that names each side of outline and bleed that the artworks together do not reach, to
 * 0.1 mm, and one for holes between them. */
void reach_judge(const struct surface *surface, const struct surface_art *art, struct findings *findings);

#endif
