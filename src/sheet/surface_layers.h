/* Private: what is drawn on a surface, layer by layer, on the paper. */
#ifndef SHEET_SURFACE_LAYERS_H
#define SHEET_SURFACE_LAYERS_H

#include "sheet/pictures.h"
#include "style.h"

/* Where a surface lies on the paper. */
struct surface_view {
    struct drawing *drawing;
    const struct surface_plan *plan;
    const struct surface *surface;
    struct point origin; /* paper place of the surface's (0, 0) */
    double scale;        /* paper mm for each surface mm */
    bool mirrored;       /* as seen from inside, x running to the left from `origin` */
    bool inches;
    bool plain; /* for the customer: of features only what is seen on the vehicle, without names */
    bool small; /* an overview: no names of features, no steps at the seams */
};

struct rect view_rect(const struct surface_view *view, struct rect on_surface);

void layer_artwork(const struct surface_view *view, const struct picture *preview);
void layer_pieces(const struct surface_view *view, const struct picture_pieces *pieces);
void layer_art_edges(const struct surface_view *view, const struct surface_art *art);
void layer_openings(const struct surface_view *view);
void layer_seams(const struct surface_view *view);
/* Fine dots round each line of lettering that was found in the artwork. */
void layer_lettering(const struct surface_view *view);
void layer_features(const struct surface_view *view);
void layer_corners(const struct surface_view *view); /* who wraps round each corner, said along the edge */
void layer_outline(const struct surface_view *view);
void layer_level(const struct surface_view *view); /* the level line */
void layer_panels(const struct surface_view *view);
/* Where a panel's number stands on the paper; empty: it has none. */
struct rect layer_number_box(const struct surface_view *view, const struct panel *panel);
/* An arrow to the vehicle's front and its word; `corner` is the upper right corner of the room for it. */
void layer_front(const struct surface_view *view, struct point corner);

#endif
