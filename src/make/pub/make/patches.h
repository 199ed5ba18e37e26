/* Hand-sized repair pieces on one print: rectangles of a surface's artwork side by side, each with words beneath that
 * say where it comes from. They go through the same writers as a panel: a sheet is a small surface of its own, with
 * the artwork placed once for each piece and clipped to it, so that colours are made in the same way. Flat: along
 * followed corrugations a piece is as long as the view. */
#ifndef MAKE_PATCHES_H
#define MAKE_PATCHES_H

#include "make/make.h"

struct patch {
    struct rect from;     /* on the surface, mm */
    const char *words;    /* "left-2  x 310 to 460, y 0 to 200 mm" */
    struct rect on_sheet; /* filled by patches_lay, mm; y up */
};

/* A surface, its plan and its artwork for make_order: `work` is the surface's with another art and surface. */
struct patch_sheet {
    struct surface surface;
    struct surface_plan plan;
    struct panel panel;
    struct surface_art art;
    struct art_work work;
};
/* Lays the patches on a sheet at most `width_mm` wide. `id` is of the sheet: "left-2-patches"; the file is named by
 * JOB and that. */
void patches_lay(struct patch *patches, size_t count, const struct make_order *order, double width_mm,
                 const char *id, struct arena *arena, struct patch_sheet *sheet);

#endif
