/* Private to art: is the artwork drawn at the size that the job says? */
#ifndef ART_SIZE_H
#define ART_SIZE_H

#include "art/art.h"

/* artwork-size where the artworks of a surface are more than a third too large or too small for outline and
 * bleed: a stop when one of the usual scales, or a mix-up of units, brings both sides within 10 % and the
 * artwork then lies on the surface; a warning with the figures otherwise. artwork-cropped: what `fit` cuts
 * off. */
void size_judge(const struct surface *surface, const struct surface_art *art, struct findings *findings);

#endif
