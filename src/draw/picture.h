/* Private: a picture's bytes as a PNG file in memory, for SVG. */
#ifndef DRAW_PICTURE_H
#define DRAW_PICTURE_H

#include "list.h"
#include <cairo.h>

struct text;

/* The picture as cairo wants it; yours to destroy. Its status says whether there was memory for it. */
cairo_surface_t *picture_surface(const struct command_picture *picture);
/* False when the picture could not be made (memory). */
bool picture_png(const struct command_picture *picture, struct text *png);

#endif
