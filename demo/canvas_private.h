/* Shared by the two makers. */
#ifndef DEMO_CANVAS_PRIVATE_H
#define DEMO_CANVAS_PRIVATE_H

#include "base/arena.h"
#include "base/str.h"

/* An sRGB profile, the same bytes every time. In the arena. */
struct str srgb_profile(struct arena *arena);

#endif
