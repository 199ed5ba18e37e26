/* How far a drying print has come, and how thick a roll is: for pictures, never to shorten a time. */
#include "plan/clock.h"
#include <math.h>

static const double pi = 3.14159265358979323846;

double crank_share(double time_factor)
{
    if (time_factor <= 0) return 0;
    /* For short times the series converges slowly; the error-function form's first term is then exact to
     * 1e-9 (Crank eq. 4.20). */
    if (time_factor < 0.04) return 2 * sqrt(time_factor / pi);
    double left = 0;
    for (int n = 0; n < 40; n++) {
        double odd = 2 * n + 1;
        left += exp(-odd * odd * pi * pi * time_factor / 4) / (odd * odd);
    }
    return 1 - 8 / (pi * pi) * left;
}

double crank_time_factor(double share)
{
    if (share <= 0) return 0;
    double low = 0, high = 8;
    for (int i = 0; i < 100; i++) {
        double middle = (low + high) / 2;
        if (crank_share(middle) < share)
            low = middle;
        else
            high = middle;
    }
    return high;
}

double clock_curve(double dry_s, double elapsed_s)
{
    return dry_s > 0 ? crank_share(crank_time_factor(0.9) * elapsed_s / dry_s) : 0;
}

double roll_diameter(double length, double core, double layer)
{
    return sqrt(core * core + 4 * layer * length / pi);
}
