/* Register marks fitted by least squares; sums are taken about the marks' middles, where shift parts from the rest. */
#include "contour/fit.h"
#include <math.h>

static const struct {
    size_t marks;
    double numbers;
} fit_needs[] = {[CONTOUR_SIMILAR] = {2, 4}, [CONTOUR_STRETCH] = {3, 5}, [CONTOUR_AFFINE] = {3, 6}};

struct fit_sums { /* x, y planned; u, v measured; each about its middle */
    struct point planned, measured;
    double xx, xy, yy, xu, xv, yu, yv;
};

static struct fit_sums fit_sums_of(const struct point *planned, const struct point *measured, size_t count)
{
    struct fit_sums s = {{0, 0}, {0, 0}, 0, 0, 0, 0, 0, 0, 0};
    for (size_t i = 0; i < count; i++) {
        s.planned.x += planned[i].x / (double)count, s.planned.y += planned[i].y / (double)count;
        s.measured.x += measured[i].x / (double)count, s.measured.y += measured[i].y / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        double x = planned[i].x - s.planned.x, y = planned[i].y - s.planned.y;
        double u = measured[i].x - s.measured.x, v = measured[i].y - s.measured.y;
        s.xx += x * x, s.xy += x * y, s.yy += y * y;
        s.xu += x * u, s.xv += x * v, s.yu += y * u, s.yv += y * v;
    }
    return s;
}

/* ---- the three maps, without their shift ---- */

static struct affine fit_similar(const struct fit_sums *s)
{
    double a = (s->xu + s->yv) / (s->xx + s->yy), b = (s->xv - s->yu) / (s->xx + s->yy);
    return (struct affine){a, b, -b, a, 0, 0};
}

static struct affine fit_affine(const struct fit_sums *s)
{
    double det = s->xx * s->yy - s->xy * s->xy;
    return (struct affine){(s->xu * s->yy - s->yu * s->xy) / det,
                           (s->xv * s->yy - s->yv * s->xy) / det,
                           (s->yu * s->xx - s->xu * s->xy) / det,
                           (s->yv * s->xx - s->xv * s->xy) / det,
                           0,
                           0};
}

/* Turned by an angle with cosine c and sine s, the best stretches leave the more unexplained the less
 * (c xu + s xv)2 / xx + (c yv - s yu)2 / yy is: a quadratic form in c and s, greatest along its main axis. */
static struct affine fit_stretch(const struct fit_sums *s)
{
    double cc = s->xu * s->xu / s->xx + s->yv * s->yv / s->yy,
           ss = s->xv * s->xv / s->xx + s->yu * s->yu / s->yy;
    double cs = s->xu * s->xv / s->xx - s->yu * s->yv / s->yy, angle = atan2(2 * cs, cc - ss) / 2;
    double c = cos(angle), n = sin(angle);
    if (c * s->xu + n * s->xv < 0) c = -c, n = -n;
    double along_x = (c * s->xu + n * s->xv) / s->xx, along_y = (c * s->yv - n * s->yu) / s->yy;
    return (struct affine){c * along_x, n * along_x, -n * along_y, c * along_y, 0, 0};
}

/* ---- what the map says ---- */

static void fit_describe(struct contour_fit *fit)
{
    const struct affine *m = &fit->map;
    const double degrees = 180 / M_PI;
    fit->stretch_x = hypot(m->a, m->b), fit->stretch_y = hypot(m->c, m->d);
    fit->turn_deg = degrees * atan2(m->b, m->a);
    fit->shear_deg = degrees * atan2(m->a * m->c + m->b * m->d, m->a * m->d - m->b * m->c);
}

static void fit_judge(struct contour_fit *fit, const struct point *planned, const struct point *measured)
{
    double sum = 0, spare = 2 * (double)fit->count - fit_needs[fit->model].numbers;
    for (size_t i = 0; i < fit->count; i++) {
        struct point p = affine_apply(fit->map, planned[i]);
        double miss = hypot(p.x - measured[i].x, p.y - measured[i].y);
        if (miss > fit->worst_mm) fit->worst_mm = miss, fit->worst = i;
        sum += miss * miss;
    }
    fit->residual_mm = sqrt(sum / (double)fit->count);
    fit->noise_mm = spare > 0 ? sqrt(sum / spare) : 0;
}

static bool marks_check(const struct point *planned, const struct point *measured, size_t count,
                        enum contour_model model, struct error *error)
{
    const double most = 1e6;
    if (count < fit_needs[model].marks || count > CONTOUR_MARKS_MOST)
        return error_set(error, FAILURE_INPUT, "contour-fit-count",
                         ARGUMENTS(arg_count("least", (int64_t)fit_needs[model].marks),
                                   arg_count("most", CONTOUR_MARKS_MOST)));
    for (size_t i = 0; i < count; i++)
        if (!(fabs(planned[i].x) <= most && fabs(planned[i].y) <= most && fabs(measured[i].x) <= most &&
              fabs(measured[i].y) <= most))
            return error_set(error, FAILURE_INPUT, "contour-fit-number",
                             ARGUMENTS(arg_count("mark", (int64_t)i + 1)));
    return true;
}

/* Marks on a line 1 mm wide and 1 m long say nothing of what is across. */
static bool fit_is_fixed(const struct fit_sums *s, enum contour_model model)
{
    double sum = s->xx + s->yy;
    return sum > 1 && (model == CONTOUR_SIMILAR || s->xx * s->yy - s->xy * s->xy > 1e-6 * sum * sum);
}

bool contour_fit(const struct point *planned, const struct point *measured, size_t count,
                 enum contour_model model, struct contour_fit *fit, struct error *error)
{
    if (!marks_check(planned, measured, count, model, error)) return false;
    const struct fit_sums s = fit_sums_of(planned, measured, count);
    if (!fit_is_fixed(&s, model)) return error_set(error, FAILURE_INPUT, "contour-fit-line", NULL);
    struct affine map = model == CONTOUR_SIMILAR   ? fit_similar(&s)
                        : model == CONTOUR_STRETCH ? fit_stretch(&s)
                                                   : fit_affine(&s);
    if (map.a * map.d - map.b * map.c <= 0)
        return error_set(error, FAILURE_INPUT, "contour-fit-mirrored", NULL);
    map = affine_then(affine_shift(-s.planned.x, -s.planned.y), map);
    map = affine_then(map, affine_shift(s.measured.x, s.measured.y));
    *fit = (struct contour_fit){
        .map = map, .count = count, .model = model, .middle = s.planned, .xx = s.xx, .xy = s.xy, .yy = s.yy};
    fit_describe(fit);
    fit_judge(fit, planned, measured);
    return true;
}

/* ---- how well ---- */

/* Of turn and both stretches together, for a place at (x, y) from the middle: what one unit of noise makes of the
 * shift there, squared and summed over both directions. The normal matrix of (stretch x, stretch y, turn) is
 * {{xx, 0, -xy}, {0, yy, xy}, {-xy, xy, xx + yy}}; the place moves by (x, 0; 0, y; -y, x). */
static double stretch_leverage(const struct contour_fit *fit, double x, double y)
{
    double schur = fit->xx + fit->yy - fit->xy * fit->xy * (1 / fit->xx + 1 / fit->yy);
    double u = -y + x * fit->xy / fit->xx, v = x - y * fit->xy / fit->yy;
    return x * x / fit->xx + y * y / fit->yy + (u * u + v * v) / schur;
}

double contour_fit_expected_mm(const struct contour_fit *fit, struct point planned, double noise_mm)
{
    double x = planned.x - fit->middle.x, y = planned.y - fit->middle.y, leverage;
    if (fit->model == CONTOUR_SIMILAR)
        leverage = 2 * (x * x + y * y) / (fit->xx + fit->yy);
    else if (fit->model == CONTOUR_STRETCH)
        leverage = stretch_leverage(fit, x, y);
    else
        leverage = 2 * (x * x * fit->yy - 2 * x * y * fit->xy + y * y * fit->xx) /
                   (fit->xx * fit->yy - fit->xy * fit->xy);
    return noise_mm * sqrt(2 / (double)fit->count + leverage);
}
