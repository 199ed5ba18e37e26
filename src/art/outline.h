/* Private to art: how an outline is made. */
#ifndef ART_OUTLINE_INNER_H
#define ART_OUTLINE_INNER_H

#include "art/outline.h"
#include "contour/means.h"
#include "pdf/paths.h"

/* Longer than this a file is refused, as a reader of files would be (base/reader.h). */
struct outline_clock {
    struct machine *machine;
    int64_t until; /* seconds: then it is enough */
};

struct outline_work {
    struct machine *machine;
    const struct surface *surface;
    const struct placed_art *placed;
    const struct cut_spec *cut;
    const struct notes *notes;
    struct contour_means means;
    struct outline_clock clock;
};

#define OUTLINE_FLAT_MM 0.01 /* chords to curves, on the vehicle: the issue's own */
#define OUTLINE_NEAR_MM 0.1  /* ends of paths so near are one place: our judgement */

/* outline.c: a clock that starts now, and the means that ask it. */
struct outline_clock outline_clock_new(struct machine *machine);
struct contour_means outline_means(struct outline_clock *clock, struct arena *arena);
/* outline_paths.c: what cut paths enclose; empty: nothing does. */
bool outline_of_paths(struct outline_work *work, const struct pdf_paths *paths, struct region *outline,
                      struct error *error);
/* outline_shapes.c: what shapes cover together. */
bool outline_of_shapes(struct outline_work *work, const struct pdf_paths *paths, struct region *outline,
                       struct error *error);
/* outline_mask.c: what a mask covers, its unit square (y up) laid on the surface. */
bool outline_of_mask(struct outline_work *work, const struct pdf_mask *mask, struct region *outline,
                     struct error *error);
/* outline_picture.c: the silhouette of a picture file. */
bool outline_of_picture(struct outline_work *work, struct region *outline, struct error *error);

#endif
