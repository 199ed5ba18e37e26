/* The child's side of facts: what gathers them while a page is walked. */
#ifndef PDF_FACTS_BUILD_H
#define PDF_FACTS_BUILD_H

#include "facts_wire.h"
#include "mu.h"
#include "names.h"

struct arena;
struct text;

/* What a colour space is. */
struct space {
    enum colour_kind kind;
    bool tagged, pattern;
    bool process_only; /* spot: nothing but process inks */
};

/* Profiles already looked into, by object number. */
struct seen_profile {
    int number;
    struct space space;
};
enum { SEEN_PROFILES = 64 };

struct builder {
    struct arena *arena;
    struct artwork_facts facts; /* its lists stay empty until they are moved there at the end */
    struct names spots, fonts, layers, steps, remarks;
    struct image_facts *images;
    size_t image_count, image_capacity;
    struct text_line *lines;
    size_t line_count, line_capacity;
    struct annotation_facts *annotations;
    size_t annotation_count, annotation_capacity;
    bool images_cut, lines_cut;
    struct seen_profile profiles[SEEN_PROFILES];
    size_t profile_count;
};

/* facts_colour.c. `resources` resolves names and Default spaces; the spots in it are added to the builder. */
struct space space_read(fz_context *ctx, struct builder *builder, pdf_obj *space, pdf_obj *resources);
/* The same of a device space's name. */
struct space space_named(fz_context *ctx, const char *name, pdf_obj *resources);
/* Marks it as used. */
void space_use(struct builder *builder, struct space space);

/* facts_walk.c: walks what the page draws. */
void walk_page(struct mu *mu, pdf_document *doc, const struct mu_page *page, struct builder *builder);
/* facts_text.c: lines of lettering. */
void text_read(struct mu *mu, pdf_document *doc, int number, const struct mu_page *page,
               struct builder *builder);
fz_matrix text_to_turned_mm(fz_context *ctx, pdf_page *loaded, const struct mu_page *page);
/* facts_outlines.c: lettering that was made into outlines, after the lines of text. */
void outlines_read(struct mu *mu, pdf_document *doc, int number, const struct mu_page *page,
                   struct builder *builder);
/* facts_doc.c: notes and form fields that have the print flag. */
void annotations_read(struct mu *mu, const struct mu_page *page, struct builder *builder);
/* facts_doc.c: layers and output intent. */
void document_read(struct mu *mu, pdf_document *doc, struct builder *builder);

/* facts_marks.c: whether crop marks stand outside the trim of a page without a BleedBox. */
void marks_read(struct mu *mu, pdf_document *doc, int number, const struct mu_page *page,
                struct builder *builder);

#endif
