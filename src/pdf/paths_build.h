/* The child's side of paths: what gathers them while a page is drawn. */
#ifndef PDF_PATHS_BUILD_H
#define PDF_PATHS_BUILD_H

#include "mu.h"
#include "names.h"
#include "pdf/paths.h"

struct text;
struct wire_in;

/* Lines on their way from a path to a shape. They throw (MuPDF's fz_throw) beyond the limits of pdf/paths.h. */
struct path_lines {
    struct arena *arena;
    struct pdf_line *lines;
    size_t count, capacity;
    size_t points; /* in all lines that were ever added here */
};
void path_lines_add(fz_context *ctx, struct path_lines *lines, struct pdf_line line);

/* paths_flatten.c: the path's lines in its own space, chords within the tolerance there. */
void path_flatten(fz_context *ctx, const fz_path *path, double tolerance, struct path_lines *lines);
/* Moves lines `from` and on by the matrix. */
void path_lines_move(struct path_lines *lines, size_t from, struct affine ctm);
/* How much longer a length becomes at most. */
double matrix_stretch(fz_matrix m);

/* paths_stroke.c: the rings around what a pen paints along a line, to be filled by the non-zero rule. */
struct stroke_pen {
    const fz_stroke_state *state;
    double half; /* of its width, over 0 */
    double tolerance;
};
void path_stroke(fz_context *ctx, const struct stroke_pen *pen, const struct pdf_line *line,
                 struct path_lines *rings);

/* paths_device.c: draws the page into shapes. */
struct paths_gather {
    struct arena *arena;
    enum pdf_paths_of of;
    const char *name;
    bool loosely; /* capitals do not matter */
    const char **spots_off;
    size_t spot_off_count;
    const char **wanted_layers; /* layer, step: names of the layers to look into */
    size_t wanted_layer_count;
    double tolerance;
    struct rect media; /* page mm: what a shading without an end fills */
    struct pdf_shape *shapes;
    size_t count, capacity;
    size_t *clips, clip_count, clip_capacity;
    size_t points, mask_bytes;
    struct names spots, layers, steps;
};
void paths_draw(fz_context *ctx, pdf_page *page, fz_matrix to_mm, struct paths_gather *gather);

/* paths_wire.c: the message in which the child tells its parent. The parent checks it like any other input. */
void paths_put(struct text *out, const struct pdf_paths *paths);
bool paths_get(struct wire_in *in, struct arena *arena, struct pdf_paths *paths);

#endif
