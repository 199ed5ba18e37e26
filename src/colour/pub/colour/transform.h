/* Pixels from one colour space to another through ICC profiles.
 *
 * EXACT is Little CMS without its optimisation: equal to what its own command computes, a few million pixels
 * a second. FAST interpolates a table of our own that EXACT filled (tetrahedral, 65 nodes a side for RGB and
 * Lab; simplices, 37 nodes for CMYK; grey is exact) and gives the same bytes on every machine. Towards inks,
 * where profiles bend sharply, cells that the table misses are computed exactly, colour by colour. FAST is
 * for 8 bit output and for pictures with more pixels than filling a table takes; for the rest it is EXACT.
 * How near it comes is measured in doc/colour.md: at most 0.2 % of samples are off by more than 1 of 255,
 * none by more than 6. For previews (CMYK to sRGB) 0.08 %, 8. */
#ifndef COLOUR_TRANSFORM_H
#define COLOUR_TRANSFORM_H

#include "base/pool.h"
#include "base/str.h"
#include "model/job.h"
#include "model/pixels.h"
#include <stdbool.h>

/* COARSE is FAST with a small table that is quickly made, for estimates and previews. */
enum colour_speed { COLOUR_FAST, COLOUR_EXACT, COLOUR_COARSE };

struct colour_order {
    struct str source; /* profile bytes; length 0: sRGB for RGB, grey with sRGB's tone curve for grey, and for
                          Lab nothing is needed. CMYK needs one */
    enum pixel_format in;
    struct str destination; /* likewise */
    enum pixel_format out;
    enum intent intent;
    bool black_point; /* black point compensation (not with absolute) */
    enum colour_speed speed;
    struct pool *pool; /* to fill the table with; NULL: the caller's thread alone */
    uint64_t pixels;   /* about how many will come; 0: very many */
};

/* The profiles' bytes are not needed afterwards. When both are CMYK with the same bytes, numbers pass
 * untouched (16 bit to 8 rounded). NULL with FAILURE_INPUT when a profile cannot be used for its pixels; the
 * sentence begins "the profile of the artwork" or "the profile of the printing condition". Yours to free. */
struct colour_transform;
struct colour_transform *colour_transform_new(struct machine *machine, const struct colour_order *order,
                                              struct error *error);
void colour_transform_free(struct colour_transform *transform); /* NULL is allowed */
/* Whether it does what a transform of this order would, whatever its pool. */
bool colour_transform_is_for(const struct colour_transform *transform, const struct colour_order *order);

/* Whether the tables of a whole CMYK output profile can be used both ways: towards the inks with this intent,
 * and back to what inks look like. NULL, or what is wrong as part of a sentence. */
const char *colour_profile_trouble(struct str profile, enum intent intent);

/* `count` pixels from `in` to `out`, in the formats of the order; the two may not overlap. May run in several
 * threads at once. */
void colour_transform_rows(const struct colour_transform *transform, const void *in, void *out, size_t count);

/* A sink that transforms strips of the order's in-format into its out-format on their way to `next`, rows
 * shared out among the pool (NULL: none); runs of equal pixels are exact also where FAST runs a table. In the
 * arena; the transform and the pool must live as long. */
struct strip_sink colour_transform_sink(struct arena *arena, const struct colour_transform *transform,
                                        struct pool *pool, struct strip_sink next);

#endif
