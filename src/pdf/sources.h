/* The PDF artworks of an order, opened: each file and each page once. */
#ifndef PDF_SOURCES_H
#define PDF_SOURCES_H

#include "mu.h"
#include "order.h"

struct source { /* a file */
    int fd;
    pdf_document *doc;
};

struct source_page {
    const struct source *source;
    int number;
    struct mu_page page;
    bool blends; /* blend_used */
};

struct sources {
    struct source files[PDF_LAYERS_MOST];
    size_t file_count;
    struct source_page pages[PDF_LAYERS_MOST];
    size_t page_count;
    struct source_page *of_layer[PDF_LAYERS_MOST]; /* NULL for pictures */
};

/* What the order leaves out is muted in them. False with `error` naming the layer's subject when a file is damaged, locked, or has no such page. */
bool sources_open(struct mu *mu, const struct order_read *read, struct sources *sources, struct error *error);
void sources_drop(struct mu *mu, struct sources *sources);

#endif
