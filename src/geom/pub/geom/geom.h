/* Plane geometry in double precision. Millimetres unless said; y up. */
#ifndef GEOM_GEOM_H
#define GEOM_GEOM_H

#include <stdbool.h>
#include <stddef.h>

struct arena;

struct point {
    double x, y;
};

struct rect { /* x0 <= x1, y0 <= y1; empty when equal */
    double x0, y0, x1, y1;
};

/* (x, y) -> (a x + c y + e, b x + d y + f), as in PDF and SVG. */
struct affine {
    double a, b, c, d, e, f;
};

struct polygon { /* closed; the last point is not the first again */
    struct point *points;
    size_t count;
};

/* Lower left corner and size, not negative. */
struct rect rect_of(double x, double y, double width, double height);
double rect_width(struct rect r);
double rect_height(struct rect r);
double rect_area(struct rect r);
bool rect_is_empty(struct rect r);
struct rect rect_grow(struct rect r, double by);          /* on all sides; less than 0 shrinks, unchecked */
struct rect rect_intersect(struct rect a, struct rect b); /* empty (all zero) when they do not meet */
struct rect rect_union(struct rect a, struct rect b);     /* the box around both, an empty one too */
/* `inner` may stand out by `tolerance` on any side. */
bool rect_contains(struct rect outer, struct rect inner, double tolerance);
bool rect_overlaps(struct rect a, struct rect b); /* with positive area */
/* Area of the part of `in` that the rectangles cover together. */
double rects_area_in(const struct rect *rects, size_t count, struct rect in);
/* From two opposite corners in any order. */
struct rect rect_normal(struct point a, struct point b);

extern const struct affine affine_identity;
struct affine affine_scale(double x, double y);
struct affine affine_shift(double x, double y);
/* First `first`, then `then`. */
struct affine affine_then(struct affine first, struct affine then);
bool affine_invert(struct affine m, struct affine *inverse); /* false when it is singular or not finite */
struct point affine_apply(struct affine m, struct point p);
struct rect affine_apply_rect(struct affine m, struct rect r); /* bounding box of the image */
bool affine_is_finite(struct affine m);

/* Points of a path being flattened; they live in the arena. */
struct outline_builder {
    struct arena *arena;
    struct point *points;
    size_t count, capacity;
};
void outline_add(struct outline_builder *builder, struct point p);
/* Curves as chords that stay within `tolerance` of the true curve. The start is the last point added. */
void outline_quadratic(struct outline_builder *builder, struct point control, struct point end,
                       double tolerance);
void outline_cubic(struct outline_builder *builder, struct point c1, struct point c2, struct point end,
                   double tolerance);
/* SVG elliptical arc (SVG 1.1, F.6): radii, rotation of the x axis, flags, end point. */
struct arc {
    double rx, ry, rotation_deg;
    bool large, sweep;
    struct point end;
};
void outline_arc(struct outline_builder *builder, const struct arc *arc, double tolerance);

struct rect polygon_bounds(const struct polygon *polygon);            /* all zero without points */
double polygon_area(const struct polygon *polygon);                   /* positive when counter-clockwise */
bool polygon_contains(const struct polygon *polygon, struct point p); /* even-odd; on the edge: either */
/* Lowest and highest y of the polygon between x0 and x1 (edges included); false when it is not there. */
bool polygon_span_y(const struct polygon *polygon, double x0, double x1, double *low, double *high);
/* The same with the axes exchanged. */
bool polygon_span_x(const struct polygon *polygon, double y0, double y1, double *low, double *high);
/* Area of the part of the polygon inside the rectangle. */
double polygon_area_in(const struct polygon *polygon, struct rect r);
struct polygon polygon_of_rect(struct rect r, struct arena *arena);
/* All within `by` of a counter-clockwise polygon that does not cross itself, corners rounded by chords that
 * stay within `tolerance` of the arc; hollows that close are filled. Takes time with the square of the
 * points. */
struct polygon polygon_grow(const struct polygon *polygon, double by, double tolerance, struct arena *arena);
/* All of it that is `by` and more inside its edge, its convex corners rounded with `radius` where there is
 * room for it; count 0: nothing is. For shapes with one middle, such as panes: where a neck is too narrow, what
 * lies beyond it may be lost. */
struct polygon polygon_shrink(const struct polygon *polygon, double by, double radius, double tolerance,
                              struct arena *arena);

#endif
