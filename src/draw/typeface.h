/* Private: an open font. */
#ifndef DRAW_TYPEFACE_H
#define DRAW_TYPEFACE_H

#include "draw/typeset.h"
#include <pango/pangocairo.h>

/* Words are laid out with an em of so many of cairo's units: its 1/256 of one is then 0.003 mm on capitals of 1 m. */
#define TYPEFACE_EM 2000.0

struct typeface {
    PangoFontMap *map;
    PangoContext *context;
    PangoFontDescription *description;
    double capital; /* height of the H's outline, of an em of TYPEFACE_EM */
};

/* One line in that font alone, at TYPEFACE_EM; yours to g_object_unref. */
PangoLayout *typeface_layout(struct typeface *typeface, const char *words);
/* Adds the line's outline, y up, units of TYPEFACE_EM. */
void typeface_add_outline(PangoLayout *layout, struct path *path, struct affine to);

#endif
