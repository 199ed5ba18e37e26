#include "motifs.h"
#include <math.h>

const struct tint night = {{1.00, 0.72, 0.28, 0.30}, {0.07, 0.16, 0.32}};
const struct tint deep = {{0.95, 0.45, 0.30, 0.12}, {0.05, 0.36, 0.49}};
const struct tint teal = {{0.80, 0.15, 0.42, 0.00}, {0.11, 0.61, 0.60}};
const struct tint mint = {{0.45, 0.00, 0.28, 0.00}, {0.56, 0.83, 0.76}};
const struct tint cream = {{0.02, 0.04, 0.14, 0.00}, {0.98, 0.95, 0.87}};
const struct tint paper = {{0.00, 0.00, 0.03, 0.00}, {1.00, 0.99, 0.97}};
const struct tint sun = {{0.00, 0.22, 0.85, 0.00}, {0.99, 0.79, 0.20}};
const struct tint orange = {{0.00, 0.52, 0.92, 0.00}, {0.95, 0.53, 0.13}};
const struct tint coral = {{0.00, 0.76, 0.66, 0.00}, {0.91, 0.36, 0.31}};
const struct tint plum = {{0.45, 0.85, 0.25, 0.20}, {0.48, 0.20, 0.40}};
const struct tint brown = {{0.35, 0.62, 0.75, 0.35}, {0.45, 0.30, 0.20}};
const struct tint ink_black = {{0.60, 0.50, 0.40, 0.90}, {0.08, 0.09, 0.12}};

static const struct tint feather = {{0.25, 0.50, 0.72, 0.12}, {0.70, 0.50, 0.29}};
static const struct tint down = {{0.04, 0.16, 0.38, 0.00}, {0.96, 0.85, 0.64}};
static const struct tint shade = {{0.10, 0.10, 0.22, 0.05}, {0.86, 0.82, 0.72}};

/* ---- short words for common shapes ---- */

static void disc(struct canvas *canvas, double x, double y, double rx, double ry, const struct tint *tint)
{
    struct path path = path_new(canvas->arena);
    path_ellipse(&path, x, y, rx, ry);
    canvas->fill(canvas->self, &path, tint, 1);
}

static void ring(struct canvas *canvas, double x, double y, double radius, double width,
                 const struct tint *tint)
{
    struct path path = path_new(canvas->arena);
    path_ellipse(&path, x, y, radius, radius);
    canvas->stroke(canvas->self, &path, tint, width);
}

static void slab(struct canvas *canvas, double x, double y, double width, double height,
                 const struct tint *tint)
{
    struct path path = path_new(canvas->arena);
    double r = fmin(height * 0.3, width * 0.3);
    path_move(&path, x + r, y);
    path_line(&path, x + width - r, y);
    path_curve(&path, x + width, y, x + width, y, x + width, y + r);
    path_line(&path, x + width, y + height - r);
    path_curve(&path, x + width, y + height, x + width, y + height, x + width - r, y + height);
    path_line(&path, x + r, y + height);
    path_curve(&path, x, y + height, x, y + height, x, y + height - r);
    path_line(&path, x, y + r);
    path_curve(&path, x, y, x, y, x + r, y);
    path_close(&path);
    canvas->fill(canvas->self, &path, tint, 1);
}

/* ---- the owl: one unit high, foot at the origin ---- */

static void lying_book(struct canvas *canvas, double x, double y, double width, double height,
                       const struct tint *tint)
{
    slab(canvas, x, y, width, height, tint);
    slab(canvas, x + width * 0.72, y + height * 0.16, width * 0.3, height * 0.68, &paper);
    struct path band = path_new(canvas->arena);
    path_rect(&band, x + width * 0.08, y, width * 0.03, height);
    path_rect(&band, x + width * 0.14, y, width * 0.012, height);
    canvas->fill(canvas->self, &band, &sun, 1);
}

static void owl_pile(struct canvas *canvas)
{
    lying_book(canvas, -0.41, 0.00, 0.80, 0.075, &coral);
    lying_book(canvas, -0.36, 0.075, 0.74, 0.065, &teal);
    lying_book(canvas, -0.39, 0.14, 0.72, 0.07, &plum);
}

static void owl_body(struct canvas *canvas)
{
    struct path body = path_new(canvas->arena);
    path_move(&body, 0, 0.205);
    path_curve(&body, 0.22, 0.205, 0.32, 0.36, 0.315, 0.58);
    path_curve(&body, 0.31, 0.72, 0.30, 0.84, 0.325, 1.00);
    path_curve(&body, 0.25, 0.955, 0.19, 0.915, 0.13, 0.905);
    path_curve(&body, 0.05, 0.89, -0.05, 0.89, -0.13, 0.905);
    path_curve(&body, -0.19, 0.915, -0.25, 0.955, -0.325, 1.00);
    path_curve(&body, -0.30, 0.84, -0.31, 0.72, -0.315, 0.58);
    path_curve(&body, -0.32, 0.36, -0.22, 0.205, 0, 0.205);
    path_close(&body);
    canvas->shade(canvas->self, &body, (struct point){0, 0.95}, (struct point){0, 0.2}, &feather, &brown);
    disc(canvas, 0, 0.40, 0.20, 0.21, &down);
    for (int row = 0; row < 4; row++)
        for (int i = -2; i <= 2; i++) {
            double x = (i + (row & 1 ? 0.5 : 0)) * 0.072, y = 0.545 - row * 0.062;
            if (fabs(x) > 0.165) continue;
            struct path tuft = path_new(canvas->arena);
            path_move(&tuft, x - 0.026, y);
            path_curve(&tuft, x - 0.02, y - 0.034, x + 0.02, y - 0.034, x + 0.026, y);
            canvas->stroke(canvas->self, &tuft, &feather, 0.011);
        }
}

static void owl_face(struct canvas *canvas)
{
    for (int side = -1; side <= 1; side += 2) {
        disc(canvas, side * 0.132, 0.735, 0.150, 0.150, &down);
        disc(canvas, side * 0.126, 0.735, 0.104, 0.104, &paper);
        disc(canvas, side * 0.112, 0.728, 0.062, 0.062, &orange);
        disc(canvas, side * 0.106, 0.725, 0.042, 0.042, &ink_black);
        disc(canvas, side * 0.106 + 0.017, 0.745, 0.014, 0.014, &paper);
        ring(canvas, side * 0.128, 0.735, 0.118, 0.020, &night);
    }
    struct path bridge = path_new(canvas->arena);
    path_move(&bridge, -0.022, 0.76);
    path_curve(&bridge, -0.010, 0.785, 0.010, 0.785, 0.022, 0.76);
    path_move(&bridge, -0.245, 0.745);
    path_line(&bridge, -0.308, 0.775);
    path_move(&bridge, 0.245, 0.745);
    path_line(&bridge, 0.308, 0.775);
    canvas->stroke(canvas->self, &bridge, &night, 0.018);
    struct path beak = path_new(canvas->arena);
    path_move(&beak, -0.036, 0.672);
    path_curve(&beak, -0.015, 0.70, 0.015, 0.70, 0.036, 0.672);
    path_curve(&beak, 0.028, 0.63, 0.012, 0.605, 0, 0.59);
    path_curve(&beak, -0.012, 0.605, -0.028, 0.63, -0.036, 0.672);
    path_close(&beak);
    canvas->fill(canvas->self, &beak, &sun, 1);
}

static void owl_wings_and_feet(struct canvas *canvas)
{
    for (int side = -1; side <= 1; side += 2) {
        struct path wing = path_new(canvas->arena);
        path_move(&wing, side * 0.31, 0.60);
        path_curve(&wing, side * 0.40, 0.50, side * 0.39, 0.34, side * 0.27, 0.27);
        path_curve(&wing, side * 0.20, 0.25, side * 0.12, 0.29, side * 0.13, 0.33);
        path_curve(&wing, side * 0.20, 0.36, side * 0.24, 0.46, side * 0.31, 0.60);
        path_close(&wing);
        canvas->fill(canvas->self, &wing, &brown, 1);
        for (int toe = 0; toe < 3; toe++)
            disc(canvas, side * (0.075 + 0.042 * toe), 0.213, 0.022, 0.026, &orange);
    }
}

void motif_owl(struct canvas *canvas, double x, double y, double height)
{
    canvas->push(canvas->self, height, height, x, y);
    owl_pile(canvas);
    owl_body(canvas);
    owl_face(canvas);
    owl_wings_and_feet(canvas);
    canvas->push(canvas->self, 0.34, 0.34, 0, 0.255);
    motif_open_book(canvas, 0, 0, 1, false);
    canvas->pop(canvas->self);
    canvas->pop(canvas->self);
}

/* ---- books ---- */

/* Both pages of an open book one unit wide, grown by `by` at the outer edges and let down by `drop`. */
static struct path book_outline(struct canvas *canvas, double by, double drop)
{
    struct path path = path_new(canvas->arena);
    path_move(&path, 0, 0.02 - drop);
    path_curve(&path, 0.10, 0.085 - drop, 0.32, 0.085 - drop, 0.5 + by, 0.03 - drop);
    path_line(&path, 0.5 + by, 0.56 + by);
    path_curve(&path, 0.32, 0.625 + by, 0.10, 0.62 + by, 0, 0.555 + by);
    path_curve(&path, -0.10, 0.62 + by, -0.32, 0.625 + by, -0.5 - by, 0.56 + by);
    path_line(&path, -0.5 - by, 0.03 - drop);
    path_curve(&path, -0.32, 0.085 - drop, -0.10, 0.085 - drop, 0, 0.02 - drop);
    path_close(&path);
    return path;
}

/* Six lines on each page, the last one shorter. */
static void page_lines(struct canvas *canvas)
{
    for (int i = 0; i < 12; i++) {
        int step = i / 2;
        double y = 0.15 + 0.065 * step, length = i < 2 ? 0.22 : 0.36;
        double from = i & 1 ? 0.07 : -0.43;
        struct path line = path_new(canvas->arena);
        path_move(&line, from, y);
        path_curve(&line, from + length * 0.3, y + 0.02, from + length * 0.7, y + 0.02, from + length, y);
        canvas->stroke(canvas->self, &line, &shade, 0.018);
    }
}

void motif_open_book(struct canvas *canvas, double x, double y, double width, bool photo)
{
    canvas->push(canvas->self, width, width, x, y);
    struct path cover = book_outline(canvas, 0.025, 0.035), block = book_outline(canvas, 0.008, 0.014);
    struct path pages = book_outline(canvas, 0, 0);
    canvas->fill(canvas->self, &cover, &coral, 1);
    canvas->fill(canvas->self, &block, &shade, 1);
    canvas->fill(canvas->self, &pages, &paper, 1);
    if (photo)
        canvas->picture(canvas->self, &pages, (struct rect){-0.5, 0.02, 0.5, 0.62});
    else
        page_lines(canvas);
    /* the pages turn down into the spine */
    for (int i = 0; i < 8; i++) {
        struct path fold = path_new(canvas->arena);
        double half = 0.060 - 0.0072 * i;
        path_move(&fold, 0, 0.02);
        path_curve(&fold, half * 0.4, 0.05, half * 0.7, 0.055, half, 0.058);
        path_line(&fold, half, 0.594);
        path_curve(&fold, half * 0.7, 0.585, half * 0.4, 0.58, 0, 0.555);
        path_curve(&fold, -half * 0.4, 0.58, -half * 0.7, 0.585, -half, 0.594);
        path_line(&fold, -half, 0.058);
        path_curve(&fold, -half * 0.7, 0.055, -half * 0.4, 0.05, 0, 0.02);
        path_close(&fold);
        canvas->fill(canvas->self, &fold, &night, 0.045);
    }
    canvas->pop(canvas->self);
}

void motif_flying_book(struct canvas *canvas, double x, double y, double span, double lift,
                       const struct tint *tint)
{
    canvas->push(canvas->self, span, span, x, y);
    for (int side = -1; side <= 1; side += 2) {
        double up = 0.10 + 0.22 * lift;
        struct path wing = path_new(canvas->arena);
        path_move(&wing, 0, 0);
        path_curve(&wing, side * 0.14, 0.14 + up * 0.4, side * 0.32, 0.10 + up, side * 0.5, up);
        path_line(&wing, side * 0.44, up + 0.20);
        path_curve(&wing, side * 0.28, up + 0.30, side * 0.12, up * 0.4 + 0.34, 0, 0.19);
        path_close(&wing);
        canvas->fill(canvas->self, &wing, side < 0 ? &cream : &paper, 1);
        struct path edge = path_new(canvas->arena);
        path_move(&edge, 0, 0);
        path_curve(&edge, side * 0.14, 0.14 + up * 0.4, side * 0.32, 0.10 + up, side * 0.5, up);
        canvas->stroke(canvas->self, &edge, tint, 0.035);
    }
    canvas->pop(canvas->self);
}

void motif_shelf(struct canvas *canvas, double x, double y, double width, double height)
{
    static const struct tint *const tints[] = {&coral, &sun, &teal, &plum, &cream, &orange, &mint, &deep};
    static const double widths[] = {0.16, 0.11, 0.20, 0.13, 0.09, 0.17, 0.12, 0.15, 0.10};
    static const double heights[] = {0.92, 0.78, 1.00, 0.84, 0.70, 0.95, 0.80};
    double at = x;
    for (size_t i = 0; at < x + width; i++) {
        double wide = widths[i * 5 % 9] * height, tall = heights[i * 3 % 7] * height;
        slab(canvas, at, y, wide * 0.96, tall, tints[(i * 3 + i / 8) % 8]);
        struct path band = path_new(canvas->arena);
        path_rect(&band, at, y + tall * 0.80, wide * 0.96, tall * 0.035);
        path_rect(&band, at, y + tall * 0.14, wide * 0.96, tall * 0.035);
        canvas->fill(canvas->self, &band, i % 3 ? &night : &paper, 0.55);
        at += wide;
    }
}

void motif_glow(struct canvas *canvas, double x, double y, double radius, const struct tint *tint,
                double opacity)
{
    struct path path = path_new(canvas->arena);
    path_ellipse(&path, x, y, radius, radius);
    canvas->fill(canvas->self, &path, tint, opacity);
}

/* ---- lettering ---- */

void letter(struct canvas *canvas, const char *string, double x, double y, double size,
            const struct tint *tint)
{
    canvas->text(canvas->self, string, x, y, size, tint);
}

void letter_centred(struct canvas *canvas, const char *string, double x, double y, double size,
                    const struct tint *tint)
{
    letter(canvas, string, x - canvas->text_width(canvas->self, string, size) / 2, y, size, tint);
}

double letter_size(struct canvas *canvas, const char *string, double width)
{
    return width / canvas->text_width(canvas->self, string, 1000) * 1000;
}
