/* Objects of a source PDF taken over as they are, with new numbers. */
#ifndef PDF_COPY_H
#define PDF_COPY_H

#include "mu.h"
#include "out.h"

/* A DeviceN space's tint transform in which colorants that are no ink have no effect; both borrowed from the
 * source. */
struct muted {
    int number; /* its own in the file being written */
    pdf_obj *function, *names;
};

struct copier {
    fz_context *ctx;
    pdf_document *doc;
    struct out *out;
    int *numbers; /* by source number: the new one, 0: not met, -1: left out */
    int length;
    int *queue; /* source numbers met and not copied yet */
    size_t queued, capacity, done;
    const char *const
        *spots_off; /* spot colours that paint nothing (8.6.6.4), nor add to others in one space */
    size_t spot_off_count;
    struct muted *muted;
    size_t muted_count, muted_capacity, muted_done;
};

struct copier copier_new(fz_context *ctx, pdf_document *doc, struct out *out);
/* Writes an object in place; what it refers to is copied by copier_drain. */
void copier_put(struct copier *copier, pdf_obj *obj);
/* Copies all that is waiting, and what that refers to. */
void copier_drain(struct copier *copier);
/* The raw (still filtered) bytes of a stream, in pieces, to the stream being written. */
void copier_raw(struct copier *copier, pdf_obj *stream);

#endif
