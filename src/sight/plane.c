/* From the picture to the plane. */
#include "sight/sight.h"
#include <math.h>

bool sight_on_plane(const struct sight_order *order, const struct sighting *sight, struct point picture,
                    struct point *place_mm)
{
    double half = hypot(order->width_px, order->height_px) / 2;
    double x = (picture.x - order->width_px / 2) / half, y = (picture.y - order->height_px / 2) / half;
    double r2 = x * x + y * y, times = 1 + r2 * (sight->camera.k1 + r2 * sight->camera.k2);
    double u = order->width_px / 2 + x * times * half, v = order->height_px / 2 + y * times * half;
    const double *m = sight->map;
    double a = m[0] - u * m[6], b = m[1] - u * m[7], c = u * m[8] - m[2];
    double d = m[3] - v * m[6], e = m[4] - v * m[7], f = v * m[8] - m[5];
    double det = a * e - b * d;
    if (det == 0) return false;
    *place_mm = (struct point){(c * e - b * f) / det, (a * f - c * d) / det};
    return m[6] * place_mm->x + m[7] * place_mm->y + m[8] > 0;
}
