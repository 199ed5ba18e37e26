/* What the demo's artwork is drawn on: paths, fills, gradients, pictures and lettering, in millimetres with y
 * up. Two makers: a PDF page (canvas_pdf.c) and a cairo surface for pictures (canvas_cairo.c), so that one
 * design goes on the sides as vectors and on the rear as pixels. */
#ifndef DEMO_CANVAS_H
#define DEMO_CANVAS_H

#include "base/arena.h"
#include "base/error.h"
#include "base/str.h"
#include "geom/geom.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* One colour, said twice: as printed (0..1 of C, M, Y, K) and as seen (sRGB, 0..1). */
struct tint {
    double cmyk[4];
    double rgb[3];
};

struct path_step {
    char kind; /* m move, l line, c curve, h close: as PDF's operators */
    struct point p[3];
};
struct path {
    struct arena *arena;
    struct path_step *steps;
    size_t count, capacity;
};

struct path path_new(struct arena *arena);
void path_move(struct path *path, double x, double y);
void path_line(struct path *path, double x, double y);
void path_curve(struct path *path, double x1, double y1, double x2, double y2, double x, double y);
void path_close(struct path *path);
void path_rect(struct path *path, double x, double y, double width, double height);
void path_ellipse(struct path *path, double x, double y, double radius_x, double radius_y);

/* An sRGB picture, row 0 at the top. */
struct photo {
    int width, height;
    uint8_t *rgb;
};

/* `opacity` is 0..1. Lettering takes printable ASCII. */
struct canvas {
    void *self;
    struct arena *arena;
    void (*fill)(void *self, const struct path *path, const struct tint *tint, double opacity);
    void (*stroke)(void *self, const struct path *path, const struct tint *tint, double width);
    /* From one tint at `from` to another at `to`, going on beyond both. */
    void (*shade)(void *self, const struct path *path, struct point from, struct point to,
                  const struct tint *first, const struct tint *last);
    void (*picture)(void *self, const struct path *clip, struct rect box); /* the canvas's photograph */
    void (*text)(void *self, const char *string, double x, double y, double size, const struct tint *tint);
    double (*text_width)(void *self, const char *string, double size);
    void (*push)(void *self, double scale_x, double scale_y, double x, double y); /* scaled, then moved */
    void (*pop)(void *self);
};

/* The lettering's font file (DejaVu Sans Bold), asked of fontconfig. */
const char *canvas_font_file(struct arena *arena);

/* ---- a PDF page ---- */

/* The artwork's trim in millimetres on the vehicle, drawn at 1:scale. */
struct page_shape {
    struct rect trim;
    double scale;
    const char *title;
};
struct canvas *canvas_pdf_new(struct arena *arena, const struct page_shape *shape, struct error *error);
/* Puts `photo` (a JPEG file's bytes, `width` x `height` pixels of sRGB) behind canvas->picture. */
void canvas_pdf_photo(struct canvas *canvas, struct str jpeg, int width, int height);
/* Writes the document. The canvas is done with afterwards. */
bool canvas_pdf_write(struct canvas *canvas, const char *path, struct error *error);

/* ---- a picture ---- */

/* `box` on the vehicle at `ppi`; `photo` may be NULL. */
struct canvas *canvas_cairo_new(struct arena *arena, struct rect box, double ppi, const struct photo *photo,
                                struct error *error);
/* Writes the picture as LZW TIFF with an sRGB profile. The canvas is done with afterwards. */
bool canvas_cairo_write(struct canvas *canvas, const char *path, struct error *error);

#endif
