/* Colour differences in CIELAB: CIEDE2000. Called when a measurement is compared with a
 * profile. */
#include "colour/difference.h"
#include <math.h>

#define DEGREE (M_PI / 180)

/* ---- CIEDE2000, in the order of the paper's equations (2) to (22) ---- */

struct polar {
    double c, h; /* h in degrees, 0..360 */
};

static struct polar polar_of(struct lab colour, double g)
{
    double a = (1 + g) * colour.a;
    double h = a == 0 && colour.b == 0 ? 0 : atan2(colour.b, a) / DEGREE;
    return (struct polar){hypot(a, colour.b), h < 0 ? h + 360 : h};
}

static double hue_difference(struct polar one, struct polar other)
{
    if (one.c * other.c == 0) return 0;
    double d = other.h - one.h;
    if (d > 180) d -= 360;
    if (d < -180) d += 360;
    return 2 * sqrt(one.c * other.c) * sin(d / 2 * DEGREE);
}

static double hue_mean(struct polar one, struct polar other)
{
    double sum = one.h + other.h;
    if (one.c * other.c == 0) return sum;
    if (fabs(one.h - other.h) <= 180) return sum / 2;
    return sum < 360 ? (sum + 360) / 2 : (sum - 360) / 2;
}

static double seventh(double c)
{
    double c7 = pow(c, 7);
    return sqrt(c7 / (c7 + 6103515625.0)); /* 25^7 */
}

double difference_2000(struct lab one, struct lab other)
{
    double g = 0.5 * (1 - seventh((hypot(one.a, one.b) + hypot(other.a, other.b)) / 2));
    struct polar first = polar_of(one, g), second = polar_of(other, g);
    double dl = other.L - one.L, dc = second.c - first.c, dh = hue_difference(first, second);
    double l = (one.L + other.L) / 2, c = (first.c + second.c) / 2, h = hue_mean(first, second);
    double t = 1 - 0.17 * cos((h - 30) * DEGREE) + 0.24 * cos(2 * h * DEGREE) +
               0.32 * cos((3 * h + 6) * DEGREE) - 0.20 * cos((4 * h - 63) * DEGREE);
    double turn = 30 * exp(-pow((h - 275) / 25, 2));
    double sl = 1 + 0.015 * (l - 50) * (l - 50) / sqrt(20 + (l - 50) * (l - 50));
    double sc = 1 + 0.045 * c, sh = 1 + 0.015 * c * t;
    double rt = -sin(2 * turn * DEGREE) * 2 * seventh(c);
    double x = dl / sl, y = dc / sc, z = dh / sh;
    return sqrt(x * x + y * y + z * z + rt * y * z);
}
