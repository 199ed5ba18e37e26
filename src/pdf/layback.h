/* The reader's side of pdf_layback: the written file against the order and the artwork files. */
#ifndef PDF_LAYBACK_H
#define PDF_LAYBACK_H

#include "sources.h"

/* One drawing of a layer on a panel. */
struct layback_draw {
    size_t layer;
    struct rect clip;       /* print mm */
    struct affine to_print; /* from the artwork's own space (a page's user space, a picture's unit square as
                               stored) to print mm */
    struct rect own;        /* what it fills in its own space */
};

struct layback_draws {
    struct layback_draw *items;
    size_t count, capacity;
    struct region shape; /* all are clipped to it besides, print mm; no ring: they are not */
};

struct layback {
    struct order_read read;
    struct sources sources;
    pdf_document *doc; /* the panel file */
    struct arena *arena;
    double ppi;
    int *partners[PDF_LAYERS_MOST];    /* of each source file's objects, those of the panel file; 0: none */
    pdf_obj *artwork[PDF_LAYERS_MOST]; /* the XObject of each layer, NULL where no page draws it; borrowed */
    struct layback_draws *found;       /* of each page, once its content was read */
    struct pdf_layback_result result;
    char trouble[400]; /* the first difference, "" while there is none */
};

/* layback_differs.c: notes the first difference; returns false. */
bool layback_differs(struct layback *lay, const char *id, const struct argument *arguments);

/* layback_structure.c: pages, boxes, what each page draws and where. False at the first difference. */
bool layback_structure(struct mu *mu, struct layback *lay);

/* layback_content.c: what a page's content stream draws, by its own words; the marks at its end must be
 * the order's. */
bool layback_content(struct mu *mu, struct layback *lay, size_t index, const struct mu_page *page,
                     struct layback_draws *found);

/* layback_cuts.c: whether the content that is left begins with the order's cut lines of this page, in spot colours and
 * layers that are as ordered (differences are noted); `left` goes on after them. */
bool layback_cuts(struct mu *mu, struct layback *lay, size_t index, const struct mu_page *page,
                  struct str *left);
/* No point lies further than 0.01 mm from where it must be. */
bool layback_points_right(const struct point *found, size_t count, const struct point *wanted,
                          size_t wanted_count);
/* Those that print, as ordered. */
void layback_draw_cuts(fz_context *ctx, fz_device *device, const struct pdf_panels_order *order,
                       const struct pdf_panel_page *panel, struct affine to_pixels);
/* The next word of a content stream; "" at its end. */
struct str layback_next_word(struct str *left);

/* layback_wanted.c: from a page's user space to print millimetres. */
struct affine layback_to_print(const struct pdf_panel_page *panel, const struct mu_page *page);

/* layback_wanted.c: what it should draw, from the order's millimetres. */
struct layback_draws layback_wanted(const struct layback *lay, const struct pdf_panel_page *panel);

/* layback_objects.c: the embedded artworks and all they refer to are those of the files. */
bool layback_objects(struct mu *mu, struct layback *lay);

/* layback_stand_in.c: pictures whose bytes were compared are replaced by four grey fields on both sides.
 * `embedded`: those inside the artworks too. */
void layback_stand_ins(struct mu *mu, struct layback *lay, bool embedded);
void layback_draw_stand_in(fz_context *ctx, fz_device *device, struct affine to_pixels);

/* layback_compare.c */
void layback_open_crops(struct mu *mu, struct layback *lay);
/* MuPDF leaves a page's knockout aside; a form's, which stands for it and was compared, must not count
 * either. */
void layback_forget_knockout(struct mu *mu, struct layback *lay);
void layback_draw_page(fz_context *ctx, fz_device *device, pdf_document *doc, int number,
                       struct affine to_pixels); /* from its user space */
void layback_clip_shape(fz_context *ctx, fz_device *device, const struct region *shape,
                        struct affine to_pixels); /* no ring: pushes nothing */
void layback_clip(fz_context *ctx, fz_device *device, struct rect clip, struct affine to_pixels);
/* Compares the rows first..end of two pictures of one size, and counts in lay->result. */
void layback_compare(struct layback *lay, const fz_pixmap *wanted, const fz_pixmap *found, int first,
                     int end);
/* Judges what is counted up to now: away from edges after each panel, at edges when all are done. */
bool layback_inside_same(struct layback *lay, const struct pdf_panel_page *panel);
bool layback_edges_same(struct layback *lay);

/* layback_patches.c, layback_pixels.c: small places of each panel; all of them at `ppi`. */
bool layback_patches(struct mu *mu, struct layback *lay);
bool layback_pixels(struct mu *mu, struct layback *lay);

#endif
