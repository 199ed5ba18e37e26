/* Private: letters by pango. */
#ifndef DRAW_LETTERS_H
#define DRAW_LETTERS_H

#include "list.h"
#include <pango/pangocairo.h>

/* Letters are laid out this much larger than drawn, so that pango's whole units do not show. */
#define LETTERS_SCALE 16.0

/* Where words are laid out, in the fonts of that map; yours to g_object_unref. */
PangoContext *letters_context(PangoFontMap *map);
/* Adds a path of cairo's. */
void letters_add_path(struct path *path, const cairo_path_t *from, struct affine back);
/* One clean line laid out; yours to g_object_unref. `cairo` may be NULL when only measuring. */
PangoLayout *letters_layout(cairo_t *cairo, double size_mm, bool bold, const char *words);
/* The outline of the words, in the drawing's millimetres. */
struct path letters_outline(struct arena *arena, const struct command_words *words);

#endif
