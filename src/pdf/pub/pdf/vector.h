/* Writes a page of filled shapes, as artwork to be put on a surface: DeviceCMYK, or a spot colour with its process
 * values (Separation, ISO 32000-1, 8.6.6.4). One millimetre of the page is one on the surface; over 5.08 m its units are
 * larger (UserUnit). The same order gives the same bytes: there is no date in it. */
#ifndef PDF_VECTOR_H
#define PDF_VECTOR_H

#include "base/error.h"
#include "base/str.h"
#include "geom/geom.h"
#include <stddef.h>
#include <stdint.h>

struct arena;
struct machine;

struct pdf_fill {
    struct str path;        /* operators of paths in mm of the page, without painting; filled nonzero */
    double cmyk_percent[4]; /* of the spot too */
    const char *spot;       /* UTF-8; NULL: process colour */
};

struct pdf_vector {
    struct rect media, trim;      /* mm, y up; the lower left need not be 0 */
    const struct pdf_fill *fills; /* later over earlier */
    size_t fill_count;
};

/* Of all that the page shows, for the name of its file. */
uint64_t pdf_vector_fingerprint(const struct pdf_vector *vector);
bool pdf_vector_write(struct machine *machine, const struct pdf_vector *vector, const char *path,
                      struct arena *arena, struct error *error);

#endif
