/* MuPDF as this room uses it: in a reader child, with one document open, its memory bounded and its messages
 * kept. MuPDF reports errors by its own fz_try; each verb has one at its top (mu_run), below it functions
 * simply throw. */
#ifndef PDF_MU_H
#define PDF_MU_H

#include "base/error.h"
#include "geom/geom.h"
#include "model/artwork.h"
#include <mupdf/fitz.h>
#include <mupdf/pdf.h>

struct mu {
    fz_context *ctx;
    int warning_count;
    char first_warning[160];
};

/* Opens a context, runs `work` and closes it. False with `error` when work returned false or MuPDF
 * threw ("%s: ..." with the subject). What `work` keeps must be dropped by itself or by `always`. */
struct mu_work {
    const char *subject;
    void *self;
    bool (*perform)(struct mu *mu, void *self, struct error *error);
    void (*always)(struct mu *mu, void *self);
};
bool mu_run(const struct mu_work *work, struct error *error);

/* Opens the PDF at a descriptor. Other than fine: `trouble` says why, and *doc may still be set (drop it). */
enum artwork_state mu_open(struct mu *mu, int fd, pdf_document **doc, char *trouble, size_t trouble_size);
/* Whether the document had to be repaired up to now, said in `trouble`. */
bool mu_repaired(struct mu *mu, pdf_document *doc, char *trouble, size_t trouble_size);

enum { MU_PAGES_MOST = 100000 };

/* A page, with its boxes in user space, and the way from there to displayed page millimetres. */
struct mu_page {
    pdf_obj *object; /* borrowed from the document */
    struct rect media, crop, trim, bleed;
    bool odd_crop, odd_trim; /* outside the media box, or with no area: not used as written */
    bool has_bleed;          /* a BleedBox is written */
    double unit;
    int rotate; /* 0, 90, 180, 270 clockwise */
    struct affine to_mm;
};
/* Finds page `number` (from 1) by walking the page tree; *count becomes the number of pages. False
 * when there is none of that number. Throws when the tree is a loop or states other counts than it has, or
 * the page has no usable media box or unit. */
bool mu_page_find(struct mu *mu, pdf_document *doc, int number, struct mu_page *page, int *count);

fz_matrix mu_matrix(struct affine m);
struct affine mu_affine(fz_matrix m);

#endif
