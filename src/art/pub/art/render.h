/* A surface's artwork as layers for panel pages, and as CMYK pixels on one grid. */
#ifndef ART_RENDER_H
#define ART_RENDER_H

#include "base/machine.h"
#include "base/progress.h"
#include "model/artwork.h"
#include "model/pixels.h"
#include "pdf/panels.h"

/* The pixels of a surface: one grid, so that panels cut from it agree at every overlap. */
struct pixel_grid {
    struct rect box; /* mm on the surface, exactly what the pixels cover; at least the bleed box */
    double ppi;
    int width, height;
};

/* The grid at `ppi`, anchored on the artwork where its own resolution is that (then nothing is resampled),
 * else on the upper left corner of the bleed box. */
struct pixel_grid art_grid(const struct surface *surface, const struct surface_art *art, double ppi);
/* A grid for the coarse rendering: at most `most_ppi`, of a single picture a whole part of its resolution. */
struct pixel_grid art_coarse_grid(const struct surface *surface, const struct surface_art *art,
                                  double most_ppi);

/* The colour conversion used last, kept for the next rendering: its table takes a while to fill. Begins as
 * zeros; to be dropped at the end. */
struct colour_transform;
struct art_colours {
    struct colour_transform *latest;
};
void art_colours_drop(struct art_colours *colours);

struct art_work { /* what rendering works with */
    const struct surface *surface;
    const struct surface_art *art;
    struct str profile; /* of the condition, bytes; length 0: none */
    const char *profile_path;
    const char *folder;          /* for temporary files; exists */
    unsigned cpu_seconds;        /* of each reader, as in base/reader.h; 0: the usual */
    bool exact;                  /* colour by Little CMS without optimisation; slow */
    struct pool *pool;           /* NULL: the caller's thread alone */
    struct art_colours *colours; /* may be NULL: nothing is kept */
    const struct cancel *cancel;
    const struct progress *progress;
};

/* The artwork as layers of PDF pages, later over earlier. Pictures other than plain JPEG are packed into
 * temporary files in `folder`, which art_layers_drop removes. */
struct art_layers {
    struct pdf_layer *layers;
    size_t count;
    const char **temporaries;
    size_t temporary_count;
    const char **spots_off; /* spot colours that are no ink: for files that are only rendered */
    size_t spot_off_count;
    struct pdf_left_out left_out; /* of all files: what a piece is cut along */
};
bool art_layers_make(struct machine *machine, const struct art_work *work, struct arena *arena,
                     struct art_layers *layers, struct error *error);
/* The profile that a job states for a picture; one that is empty or damaged is FAILURE_INPUT. */
bool art_stated_profile(struct machine *machine, const struct artwork_spec *spec, struct arena *arena,
                        struct str *profile, struct error *error);
void art_layers_drop(struct machine *machine, const struct art_layers *layers);

/* The surface in CMYK8 on the grid, given to `sink` from the top. One picture alone streams through
 * resampling and colour in flat memory; anything else is laid out as a PDF page and rendered. Nothing to do
 * without artwork. */
bool art_render(struct machine *machine, const struct art_work *work, const struct pixel_grid *grid,
                struct arena *arena, struct strip_sink sink, struct error *error);

#endif
