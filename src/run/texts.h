/* Text set on surfaces: outlines by draw, a PDF page by pdf, and from there on artwork like any other, the last of its
 * surface. A fleet's texts are set for every vehicle; the plan, its pictures and its ink are those of the first, with
 * each line's box around the words of all. Private to run. */
#ifndef RUN_TEXTS_H
#define RUN_TEXTS_H

#include "run/run.h"

struct typeface;

/* One font of the job. */
struct text_face {
    const char *font, *path;   /* as in struct text_spec */
    struct typeface *typeface; /* NULL: it cannot be used, which a finding said */
};

/* The texts of one surface. */
struct surface_texts {
    struct typeface **faces; /* one a text of the spec; NULL: cannot be set */
    size_t vehicle_count;    /* rows of the fleet, else 1 */
    uint64_t *words;         /* one a vehicle: of all words on this surface that differ by vehicle */
    size_t *like;       /* one a vehicle: the first with the same words here; itself where there is none */
    struct rect *boxes; /* one a text: around its outlines on all vehicles */
};

/* After all artwork was read and pieces were opened: sets the texts of surfaces, says what is wrong with them, and adds
 * them to the artwork. A text whose place lies on a piece is on the piece. */
bool texts_set(struct run *run, struct error *error);
/* Their files in OUT/cache, those that are not there; others of before are removed when the lock is held. */
bool texts_write(struct run *run, struct error *error);
bool texts_are_written(const struct run *run); /* so that nothing has to be */
void texts_drop(struct run *run);
/* The surface's artwork with the words of these vehicles, one artwork each at its end, with files of their own in
 * OUT/cache until texts_drop_vehicles. */
bool texts_for_vehicles(struct run *run, const struct run_surface *surface, const size_t *vehicles,
                        size_t count, struct surface_art *art, struct error *error);
void texts_drop_vehicles(struct run *run, const struct run_surface *surface, const struct surface_art *art);

#endif
