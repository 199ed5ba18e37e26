/* The paths of a PDF page: those that somebody drew to be cut along, or the shapes of all that is visible.
 *
 * Cut paths are the paths themselves, not what a stroke paints around them, in the sequence in which they are drawn;
 * clips do not touch them, and a layer that is off or does not print is looked into all the same. The silhouette's
 * shapes are what prints (layers by their print state): fills with their rule, strokes as their widened outline with
 * caps, joins and dashes, letters by their outlines, pictures by their box or the mask that they have, patterns and
 * shadings by the area that they fill. What is painted counts, white too; lines of no width do not, nor what is fully
 * transparent.
 *
 * Curves are chords within the tolerance. MuPDF works in single precision: a place is off by its seventh digit. All in
 * displayed page millimetres (pdf/facts.h). */
#ifndef PDF_PATHS_H
#define PDF_PATHS_H

#include "base/error.h"
#include "geom/geom.h"
#include "model/artwork.h"

struct arena;
struct machine;

/* What a page may have; more is refused. */
enum {
    PDF_PATH_POINTS_MOST = 1000000,
    PDF_PATH_SHAPES_MOST = 100000,
    PDF_PATH_CLIPS_MOST = 20000,
    PDF_PATH_MASK_SIDE_MOST = 4100,      /* larger masks come smaller, by a power of two */
    PDF_PATH_MASK_BYTES_MOST = 40 << 20, /* of all masks */
};

enum pdf_paths_of {
    PDF_PATHS_SPOT,  /* painted in the spot colour `name`: Separation, or DeviceN with some of that ink */
    PDF_PATHS_LAYER, /* in the layer (optional content) `name` */
    PDF_PATHS_STEP, /* in a layer whose metadata says the processing step `name` (ISO 19593-1): its type, its group
                         where it has no type, or both; capitals, spaces and hyphens do not matter */
    PDF_PATHS_VISIBLE /* all that prints but `spots_off` and processing steps */
};

struct pdf_paths_order {
    const char *path, *subject; /* the file, and what a person calls it */
    int page;                   /* from 1 */
    enum pdf_paths_of of;
    const char *name; /* where nothing has exactly this name, one that differs in capitals only */
    const char *const *spots_off;
    size_t spot_off_count;
    double tolerance_mm; /* on the page, over 0 */
};

struct pdf_line {
    struct polygon points; /* 2 points and more */
    bool closed;           /* by the file; the first point is not repeated */
};

/* How much of a picture's places is painted, 0 to 255, rows from the top. */
struct pdf_mask {
    const uint8_t *values; /* width x height */
    size_t width, height;
    struct affine place; /* unit square, y up -> page mm */
};

struct pdf_shape {
    struct pdf_line *lines;
    size_t count;
    bool even_odd;
    const struct pdf_mask *mask; /* instead of lines; else NULL */
    size_t under;                /* number of the clip that it lies under, from 1; 0: none */
    size_t into; /* it is no paint but part of that clip, whose number is higher than `under` */
};

struct pdf_paths {
    enum artwork_state state; /* other than fine: nothing but `trouble` is to be used */
    const char *trouble;
    struct pdf_shape *shapes;
    size_t count;
    size_t *
        clips; /* of clip k the one around it is clips[k - 1], lower than k; 0: none. A clip is what its shapes
                      cover together, within the one around it */
    size_t clip_count;
    const char **spots, **layers, **steps; /* what the page's drawing and the file have of these */
    size_t spot_count, layer_count, step_count;
};

/* Read in a child as pdf/facts.h says, with the same limits. All that `paths` points to lives in the arena. A page
 * that cannot be read gives true with its state; FAILURE_INPUT: it is too much. */
bool pdf_paths_load(struct machine *machine, const struct pdf_paths_order *order, struct arena *arena,
                    struct pdf_paths *paths, struct error *error);

#endif
