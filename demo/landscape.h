/* The demo's "photograph": hills round a lake in the evening, made of noise. Ours alone, and the same every
 * time. */
#ifndef DEMO_LANDSCAPE_H
#define DEMO_LANDSCAPE_H

#include "base/arena.h"
#include "base/error.h"
#include "base/str.h"
#include "canvas.h"

/* Whatever its size, the same scene; twice as wide as high looks best. In the arena. */
struct photo landscape_make(struct arena *arena, int width, int height);
/* The same as a JPEG file's bytes, in the arena; empty with `error` when it fails. */
struct str landscape_jpeg(struct arena *arena, const struct photo *photo, struct error *error);

#endif
