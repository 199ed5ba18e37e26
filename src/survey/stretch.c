/* Formulas for how far film must stretch over corrugations, recesses, domes and bends. Called by
 * stretches.c and corrugation.c; pure sums with their sources in the header. */
#include "survey/stretch.h"
#include "bend.h"
#include "model/practice.h"
#include <float.h>
#include <math.h>

static double stretch_radians(double degrees)
{
    return degrees * (M_PI / 180);
}

/* E = K (1 - sum 2^(n-1) c_n^2), where K = pi / (2 agm) and c_n is half the difference of the n-th pair. */
double elliptic_complete(double m)
{
    if (m >= 1) return 1;
    double a = 1, b = sqrt(1 - m), sum = m / 2, weight = 1;
    while (fabs(a - b) > 4 * DBL_EPSILON * a) {
        double c = (a - b) / 2, mean = (a + b) / 2;
        b = sqrt(a * b), a = mean;
        sum += weight * c * c;
        weight *= 2;
    }
    return M_PI / (2 * a) * (1 - sum);
}

/* Carlson's duplication: R_F into *first, R_D into *second; the arguments draw together by 4 a turn. */
static void carlson(double x, double y, double z, double *first, double *second)
{
    double sum = 0, weight = 1;
    for (int i = 0; i < 40; i++) {
        double sx = sqrt(x), sy = sqrt(y), sz = sqrt(z), step = sx * sy + sx * sz + sy * sz;
        sum += weight / (sz * (z + step));
        weight /= 4;
        x = (x + step) / 4, y = (y + step) / 4, z = (z + step) / 4;
        double mean = (x + y + z) / 3;
        if (fabs(x - mean) + fabs(y - mean) + fabs(z - mean) < 1e-9 * mean) break;
    }
    double mean = (x + y + z) / 3;
    *first = 1 / sqrt(mean);
    *second = 3 * sum + weight / (mean * sqrt(mean));
}

double elliptic_incomplete(double phi, double m)
{
    double s = sin(phi), c = cos(phi), first, second;
    carlson(c * c, 1 - m * s * s, 1, &first, &second);
    return s * first - m / 3 * s * s * s * second;
}

double factor_sinusoid(double depth, double pitch)
{
    double k = M_PI * depth / pitch;
    return 2 / M_PI * sqrt(1 + k * k) * elliptic_complete(k * k / (1 + k * k));
}

double factor_trapezoid(double depth, double pitch, double wall)
{
    return 1 + 2 * depth * tan(stretch_radians(wall) / 2) / pitch;
}

double factor_arcs(double depth, double pitch)
{
    double t = 2 * atan(2 * depth / pitch);
    return t == 0 ? 1 : t / sin(t);
}

static bool bend_plain(double depth, double h, struct bend *bend)
{
    double angle = 2 * atan(depth / h);
    *bend = (struct bend){depth == 0 ? 0 : h / (2 * sin(angle)), angle, depth == 0 ? h : 0};
    return depth <= h;
}

bool bend_solve(double depth, double pitch, double radius, struct bend *bend)
{
    double h = pitch / 2, reach = hypot(h, 2 * radius - depth);
    if (depth == 0 || radius == 0) return bend_plain(depth, h, bend);
    if (!(2 * radius <= reach)) return false;
    double angle = asin(2 * radius / reach) - atan2(2 * radius - depth, h);
    double tangent = (h - 2 * radius * sin(angle)) / cos(angle);
    *bend = (struct bend){radius, angle, tangent};
    return angle > 0 && angle < stretch_radians(89.9) && tangent >= 0;
}

double factor_arc_tangent(double depth, double pitch, double radius)
{
    struct bend bend;
    if (!bend_solve(depth, pitch, radius, &bend)) return 0;
    return (2 * radius * bend.angle + bend.tangent) / (pitch / 2);
}

double factor_polyline(const struct point *points, size_t count)
{
    double length = 0;
    for (size_t i = 1; i < count; i++) {
        if (points[i].x < points[i - 1].x) return 0;
        length += hypot(points[i].x - points[i - 1].x, points[i].y - points[i - 1].y);
    }
    double extent = count ? points[count - 1].x - points[0].x : 0;
    return extent > 0 ? length / extent : 0;
}

double strain_recess(double width, double depth, double wall, double radius)
{
    double a = stretch_radians(wall), half = tan(a / 2), s = sin(a / 2);
    radius = fmin(radius, depth / (4 * s * s)); /* rim and floor bends then meet on the wall */
    return (2 * depth * half - 4 * radius * (2 * half - a)) / width;
}

double factor_cap(double chord, double rise)
{
    return factor_arcs(rise, chord); /* the same sum: tan(t/2) = 2 rise / chord, t / sin t */
}

double factor_dome(double length, double width, double rise)
{
    double a = length / 2, b = width / 2, round = sqrt((a * a + a * b + b * b) / 3);
    double aside = 1 - fmin(a, b) / fmax(a, b), flat = 1 - rise / fmax(a, b);
    double margin =
        practice_value("dome-margin").value / 100 * flat; /* a steep one's sum is high by itself */
    return 1 + (factor_cap(2 * round, rise) - 1) * (1 + fmin(margin, aside / 2));
}

double strain_stuck(double wall)
{
    static const double most = 1e7;
    return wall >= 90 ? most : fmin(most, 1 / cos(stretch_radians(wall)) - 1);
}

double strain_local(double strain, double pitch, double tacked)
{
    if (strain == 0) return 0;
    return tacked < pitch ? strain * pitch / (pitch - tacked) : INFINITY;
}

/* ---- corrugations: see corrugation.c for where a rib's points are printed ---- */

double corrugation_factor(const struct corrugation *shape)
{
    double d = shape->depth_mm, p = shape->pitch_mm;
    switch (shape->profile) {
    case PROFILE_SINUSOID:
        return factor_sinusoid(d, p);
    case PROFILE_TRAPEZOID:
        return factor_trapezoid(d, p, shape->wall_deg);
    case PROFILE_ARCS:
        return shape->radius_mm > 0 ? factor_arc_tangent(d, p, shape->radius_mm) : factor_arcs(d, p);
    case PROFILE_POLYLINE:
        return factor_polyline(shape->polyline, shape->polyline_count);
    }
    return 1;
}
