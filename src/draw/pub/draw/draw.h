/* A drawing is a list of commands: shapes, letters and pictures. It is made once and written as SVG, PNG or
 * PDF, as a one-channel mask for raster panels, or as PDF operators for the marks on panel pages.
 *
 * Millimetres on paper; origin at the UPPER left, x to the right, y DOWN, as pages are read. A surface (y up)
 * is put on it with drawing_surface_transform. Everything lives in the arena given to drawing_new and goes
 * with it. The same commands give the same bytes on the same machine.
 *
 * Letters are DejaVu Sans, found through fontconfig. */
#ifndef DRAW_DRAW_H
#define DRAW_DRAW_H

#include "base/error.h"
#include "geom/geom.h"
#include "model/maps.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;
struct machine;
struct text;
struct drawing;

/* ---- colour ---- */

enum paint_kind { PAINT_GREY, PAINT_RGB };
/* A zeroed paint draws nothing. Grey is printed with black ink only; 0 is black, 1 is white. All 0..1. */
struct paint {
    enum paint_kind kind;
    double red, green, blue; /* PAINT_GREY: all three the same */
    double alpha;
};
struct paint paint_grey(double grey);
struct paint paint_rgb(unsigned rgb); /* 0xRRGGBB, sRGB */
struct paint paint_faint(struct paint paint, double alpha);

/* How a shape looks. Zeroed members are left out: no fill, no line, no dashes. */
struct look {
    struct paint fill, line;
    double line_mm;
    double dash_mm, gap_mm; /* dash_mm 0: a whole line */
    bool even_odd;          /* fill rule; otherwise nonzero */
};

/* ---- the drawing ---- */

struct drawing *drawing_new(struct arena *arena, double width_mm, double height_mm, const char *title);
double drawing_height(const struct drawing *drawing);
struct arena *drawing_arena(const struct drawing *drawing);
/* For drawings whose height is known only when all is drawn. */
void drawing_set_height(struct drawing *drawing, double height_mm);

/* ---- shapes ---- */

/* A path under way; start with path_new. Subpaths begin with path_move. */
struct path_step {
    enum path_verb { PATH_MOVE, PATH_LINE, PATH_CURVE, PATH_CLOSE } verb;
    struct point points[3]; /* move and line use [0]; curve: two controls and the end */
};
struct path {
    struct arena *arena;
    struct path_step *steps;
    size_t count, capacity;
};
struct path path_new(struct arena *arena);
void path_move(struct path *path, double x, double y);
void path_line(struct path *path, double x, double y);
void path_curve(struct path *path, struct point c1, struct point c2, struct point end);
void path_close(struct path *path);
void path_rect(struct path *path, struct rect rect);
void path_polygon(struct path *path, const struct polygon *polygon);
/* Around all its points, controls of curves too; all zero when it is empty. */
struct rect path_box(const struct path *path);

/* Steps are not copied: do not add to a path after it was drawn. */
void draw_path(struct drawing *drawing, struct path path, struct look look);
void draw_rect(struct drawing *drawing, struct rect rect, struct look look);
void draw_rounded(struct drawing *drawing, struct rect rect, double radius_mm, struct look look);
void draw_circle(struct drawing *drawing, struct point centre, double radius_mm, struct look look);
void draw_line(struct drawing *drawing, struct point from, struct point to, struct look look);

/* ---- letters ---- */

enum align { ALIGN_LEFT, ALIGN_CENTRE, ALIGN_RIGHT };
struct letters {
    double size_mm; /* of the em; capitals are 0.73 of it */
    bool bold;
    enum align align;   /* of the line about its x; of a paragraph's lines inside most_mm */
    double most_mm;     /* widest allowed; 0: no limit. Longer lines end in an ellipsis */
    struct paint paint; /* zeroed: black */
};
/* Line to line, for paragraphs. */
double letters_leading(struct letters letters);
/* Words are UTF-8, at most WORDS_MOST bytes, the rest is left out; ill-formed bytes are shown as '?', control
 * characters as blanks (a newline ends a line of a paragraph). */
enum { WORDS_MOST = 4000 };
double draw_text_width(struct letters letters, const char *words);
/* One line; `at` is on its base line. Returns the width drawn. */
double draw_text(struct drawing *drawing, struct point at, struct letters letters, const char *words);
/* Lines broken to fit most_mm, at most `most_lines` (0: as many as needed; the last ends in an ellipsis when
 * words are left). `at` is the upper left corner. Returns the height taken. */
double draw_paragraph(struct drawing *drawing, struct point at, struct letters letters, size_t most_lines,
                      const char *words);
/* The height that draw_paragraph would take. */
double draw_paragraph_height(struct letters letters, size_t most_lines, const char *words);

/* ---- pictures, clipping, groups ---- */

/* RGB bytes, row 0 at the top, stretched to `into`. Borrowed until the drawing is written. */
void draw_picture(struct drawing *drawing, struct rect into, int width, int height, const uint8_t *rgb,
                  double alpha);
/* Until the matching draw_end, only what is inside the path is drawn. Only fill rule even_odd is taken. */
void draw_begin_clip(struct drawing *drawing, struct path path, bool even_odd);
/* Until the matching draw_end, coordinates go through `transform`. */
void draw_begin_group(struct drawing *drawing, struct affine transform);
void draw_end(struct drawing *drawing);
/* All of `what`, through `transform`. Borrowed; it may not contain `drawing`. */
void draw_drawing(struct drawing *drawing, const struct drawing *what, struct affine transform);

/* Surface millimetres (y up) to paper: `origin` is where the surface's (0, 0) lands, `scale` paper
 * millimetres for each surface millimetre. */
struct affine drawing_surface_transform(struct point origin, double scale);

/* ---- writing ---- */

/* A whole SVG document; letters stay text. */
bool drawing_svg(const struct drawing *drawing, struct text *out);
/* On white. Refuses more than 20000 pixels a side or 100 million in all. */
bool drawing_png(const struct drawing *drawing, double ppi, struct machine *machine, const char *path,
                 struct error *error);
/* A picture alone as a PNG file in memory. False when there is no memory for it. */
bool picture_to_png(const struct picture *picture, struct text *png);
/* A page for each drawing, of its size; letters stay text in embedded subsets. `date` (UTC seconds) becomes
 * its creation date. */
bool drawings_pdf(const struct drawing *const *pages, size_t count, const char *title, int64_t date,
                  struct machine *machine, const char *path, struct error *error);
/* Lays the letters out as outlines once and for all, so that masks of the drawing can be made strip by strip and
 * in any thread. */
void drawing_outline(struct drawing *drawing);
/* Coverage with black ink, 0 none .. 255 full, of the pixels x0..x0+width, y0..y0+height (rows downwards from
 * the drawing's top) of the drawing at `ppi`; `out` holds width x height bytes. For drawings of PAINT_GREY
 * without pictures (others are a bug). */
void drawing_mask(const struct drawing *drawing, double ppi, int x0, int y0, int width, int height,
                  uint8_t *out);
/* PDF operators in millimetres, y UP, origin at the drawing's lower left: vectors in DeviceCMYK with black
 * only (white is no ink and covers), letters as outlines, graphics state saved and restored. False when the
 * drawing holds what this cannot say: RGB, transparency, a picture. */
bool drawing_operators(const struct drawing *drawing, struct text *out);

#endif
