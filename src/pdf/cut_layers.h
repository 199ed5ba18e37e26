/* Cut lines in the file being written: their layers, spot colours, and what a page says of them. */
#ifndef PDF_CUT_LAYERS_H
#define PDF_CUT_LAYERS_H

#include "out.h"
#include "pdf/panels.h"

/* Objects of the order's cut layers. */
struct cut_objects {
    int layers[PDF_CUT_LAYERS_MOST], spaces[PDF_CUT_LAYERS_MOST];
    int state; /* graphics state: lines overprint, so that no other plate is left out beneath them */
};

/* Full tint of a cut layer's spot colour in DeviceCMYK, where there is no such plate: seen on a screen. Told apart by
 * the kind of cut (our choice). */
const double *cut_layer_tint(const struct pdf_cut_layer *layer);

void cut_layers_write(struct out *out, const struct pdf_panels_order *order, struct cut_objects *objects);
/* References to the layers: in OCGs; in AS, where viewing and printing switch them by their usage (8.11.4.4). */
void cut_layers_put(struct out *out, const struct pdf_panels_order *order, const struct cut_objects *objects);
void cut_layers_put_automatic(struct out *out, const struct pdf_panels_order *order,
                              const struct cut_objects *objects);

/* Entries of the page's resources; nothing where it has no lines. */
void cut_layers_put_resources(struct out *out, const struct pdf_panels_order *order,
                              const struct pdf_panel_page *page, const struct cut_objects *objects);
/* The page's lines as operators. `line_units`: their width. */
void cut_layers_draw(struct text *content, const struct pdf_panel_page *page, struct affine to_units,
                     double line_units);

/* The page's clip as a path that clips (W n, non-zero winding: holes run the other way). */
void cut_clip_draw(struct text *content, const struct region *clip, struct affine to_units);

#endif
