/* Flattens curves and arcs into chords within a tolerance. Called for drawn outlines and for round corners
 * on pictures. */
#include "geom/geom.h"
#include "base/arena.h"
#include <math.h>

enum { CHORDS_MOST = 2000 };

void outline_add(struct outline_builder *builder, struct point p)
{
    struct point *place =
        arena_append(builder->arena, &builder->points, &builder->count, &builder->capacity, sizeof *place);
    *place = p;
}

static int chords(double wanted)
{
    if (!(wanted > 1)) return 1;
    return wanted < CHORDS_MOST ? (int)ceil(wanted) : CHORDS_MOST;
}

/* A chord of a curve with second derivative at most m over 1/n misses it by at most m / (8 n^2). */
void outline_cubic(struct outline_builder *builder, struct point c1, struct point c2, struct point end,
                   double tolerance)
{
    struct point start = builder->points[builder->count - 1];
    double bend1 = hypot(start.x - 2 * c1.x + c2.x, start.y - 2 * c1.y + c2.y);
    double bend2 = hypot(c1.x - 2 * c2.x + end.x, c1.y - 2 * c2.y + end.y);
    int n = chords(sqrt(6 * fmax(bend1, bend2) / (8 * tolerance)));
    for (int i = 1; i < n; i++) {
        double t = (double)i / n, u = 1 - t;
        double k0 = u * u * u, k1 = 3 * u * u * t, k2 = 3 * u * t * t, k3 = t * t * t;
        outline_add(builder, (struct point){k0 * start.x + k1 * c1.x + k2 * c2.x + k3 * end.x,
                                            k0 * start.y + k1 * c1.y + k2 * c2.y + k3 * end.y});
    }
    outline_add(builder, end);
}

void outline_quadratic(struct outline_builder *builder, struct point control, struct point end,
                       double tolerance)
{
    struct point start = builder->points[builder->count - 1];
    struct point c1 = {start.x + 2.0 / 3 * (control.x - start.x), start.y + 2.0 / 3 * (control.y - start.y)};
    struct point c2 = {end.x + 2.0 / 3 * (control.x - end.x), end.y + 2.0 / 3 * (control.y - end.y)};
    outline_cubic(builder, c1, c2, end, tolerance);
}

static double angle_between(double ux, double uy, double vx, double vy)
{
    return atan2(ux * vy - uy * vx, ux * vx + uy * vy);
}

/* SVG 1.1, appendix F.6.5 and F.6.6. */
void outline_arc(struct outline_builder *builder, const struct arc *arc, double tolerance)
{
    struct point start = builder->points[builder->count - 1], end = arc->end;
    double rx = fabs(arc->rx), ry = fabs(arc->ry);
    if (rx == 0 || ry == 0 || (start.x == end.x && start.y == end.y)) {
        outline_add(builder, end);
        return;
    }
    double phi = arc->rotation_deg * (M_PI / 180), c = cos(phi), s = sin(phi);
    double hx = (start.x - end.x) / 2, hy = (start.y - end.y) / 2;
    double x = c * hx + s * hy, y = -s * hx + c * hy;
    double too_small = x * x / (rx * rx) + y * y / (ry * ry);
    if (too_small > 1) rx *= sqrt(too_small), ry *= sqrt(too_small);
    double under = rx * rx * y * y + ry * ry * x * x;
    double root = sqrt(fmax(0, rx * rx * ry * ry / under - 1));
    if (arc->large == arc->sweep) root = -root;
    double cx = root * rx * y / ry, cy = -root * ry * x / rx;
    double first = angle_between(1, 0, (x - cx) / rx, (y - cy) / ry);
    double turn = angle_between((x - cx) / rx, (y - cy) / ry, (-x - cx) / rx, (-y - cy) / ry);
    if (!arc->sweep && turn > 0) turn -= 2 * M_PI;
    if (arc->sweep && turn < 0) turn += 2 * M_PI;
    struct point centre = {c * cx - s * cy + (start.x + end.x) / 2, s * cx + c * cy + (start.y + end.y) / 2};
    int n = chords(fabs(turn) / (2 * acos(1 - fmin(0.5, tolerance / fmax(rx, ry)))));
    for (int i = 1; i < n; i++) {
        double at = first + turn * i / n, ex = rx * cos(at), ey = ry * sin(at);
        outline_add(builder, (struct point){centre.x + c * ex - s * ey, centre.y + s * ex + c * ey});
    }
    outline_add(builder, end);
}
