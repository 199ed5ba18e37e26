/* The reader's side of pdf_layback: the written file against the order and the artwork files. */
#ifndef PDF_LAYBACK_H
#define PDF_LAYBACK_H

#include "sources.h"

struct layback {
    struct order_read read;
    struct sources sources;
    pdf_document *doc; /* the panel file */
    struct arena *arena;
    double ppi;
    struct pdf_layback_result result;
    char trouble[400]; /* the first difference, "" while there is none */
};

/* Notes the first difference; returns false. */
bool layback_differs(struct layback *lay, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* layback_structure.c: pages, boxes, embedded bytes, matrices. False at the first difference. */
bool layback_structure(struct mu *mu, struct layback *lay);
/* The XObject that page `index` draws layer `layer` by, or NULL. */
pdf_obj *layback_artwork(struct mu *mu, struct layback *lay, size_t index, size_t layer);

/* layback_pixels.c: what is seen. */
bool layback_pixels(struct mu *mu, struct layback *lay);

#endif
