/* From unknowns and their covariance to what people are told: places, lengths as the others have them, the camera. */
#include "inner.h"
#include <math.h>

static double covariance(const struct sight_model *m, const struct sight_solution *s, size_t a, size_t b)
{
    return s->covariance[a * m->count + b];
}

/* Variance of residual `i` as adjusted, in its own standard errors: 1 where it alone says what it says. */
static double leverage(const struct sight_model *m, const struct sight_solution *s, size_t i)
{
    double sum = 0;
    for (size_t a = 0; a < m->count; a++) {
        double ja = s->jacobian[a * m->observed + i], part = 0;
        if (ja == 0) continue;
        for (size_t b = 0; b < m->count; b++)
            part += s->jacobian[b * m->observed + i] * covariance(m, s, a, b);
        sum += ja * part;
    }
    return sum;
}

static double studentised(double residual, double leverage)
{
    return leverage < 1 - 1e-6 ? residual / sqrt(1 - leverage) : NAN;
}

static void judge_places(const struct sight_model *m, const struct sight_solution *s, struct sighting *sight)
{
    double square = m->unit_mm * m->unit_mm;
    for (size_t i = 0; i < m->order->mark_count; i++) {
        struct sight_place *place = &sight->places[i];
        place->place_mm = (struct point){s->unknown[2 * i] * m->unit_mm + m->shift_mm.x,
                                         s->unknown[2 * i + 1] * m->unit_mm + m->shift_mm.y};
        place->xx = covariance(m, s, 2 * i, 2 * i) * square;
        place->xy = covariance(m, s, 2 * i, 2 * i + 1) * square;
        place->yy = covariance(m, s, 2 * i + 1, 2 * i + 1) * square;
        place->sd_mm = sqrt(fmax(place->xx + place->yy, 0));
        double u = studentised(s->residuals[2 * i], leverage(m, s, 2 * i)),
               v = studentised(s->residuals[2 * i + 1], leverage(m, s, 2 * i + 1));
        place->test = fmax(fabs(u), fabs(v)); /* NAN of either is passed over */
    }
}

/* Standard error of a length as adjusted: by the covariance of its two ends. */
static double length_sd(const struct sight_model *m, const struct sight_solution *s, size_t from, size_t to)
{
    double dx = s->unknown[2 * to] - s->unknown[2 * from],
           dy = s->unknown[2 * to + 1] - s->unknown[2 * from + 1];
    double size = fmax(hypot(dx, dy), 1e-12), sum = 0;
    double by[4] = {-dx / size, -dy / size, dx / size, dy / size};
    size_t at[4] = {2 * from, 2 * from + 1, 2 * to, 2 * to + 1};
    for (int a = 0; a < 4; a++)
        for (int b = 0; b < 4; b++) sum += by[a] * by[b] * covariance(m, s, at[a], at[b]);
    return sqrt(fmax(sum, 0)) * m->unit_mm;
}

static void judge_lengths(const struct sight_model *m, const struct sight_solution *s, struct sighting *sight)
{
    for (size_t i = 0; i < m->order->length_count; i++) {
        const struct sight_length *length = &m->order->lengths[i];
        struct sight_checked *checked = &sight->lengths[i];
        double dx = s->unknown[2 * length->to] - s->unknown[2 * length->from],
               dy = s->unknown[2 * length->to + 1] - s->unknown[2 * length->from + 1];
        double sd = length_sd(m, s, length->from, length->to);
        checked->adjusted_mm = checked->predicted_mm = hypot(dx, dy) * m->unit_mm;
        checked->sd_mm = sd, checked->test = NAN;
        if (!sight_is_taped(length)) continue;
        double own = sight_length_sd(length), share = sd * sd / (own * own);
        double off = checked->adjusted_mm - length->taped_mm;
        if (m->left_out[i]) {
            checked->test = off / hypot(own, sd);
            continue;
        }
        checked->test = studentised(off / own, share);
        bool alone = isnan(checked->test);
        checked->predicted_mm = alone ? NAN : length->taped_mm + off / (1 - share);
        checked->sd_mm = alone ? NAN : sd / sqrt(1 - share);
    }
}

/* Of a camera with square pixels whose axis meets the picture's middle: the plane's two directions are at right angles and
 * of one length (Zhang, IEEE PAMI 22, 2000, 1330-1334; from memory, unchecked). */
static double focal_of(const double *h)
{
    double right = h[6] * h[7], one = h[7] * h[7] - h[6] * h[6];
    double by_right = -(h[0] * h[1] + h[3] * h[4]),
           by_one = h[0] * h[0] + h[3] * h[3] - h[1] * h[1] - h[4] * h[4];
    double square = (by_right * right + by_one * one / 4) / (right * right + one * one / 4);
    return right * right + one * one / 4 > 1e-8 && square > 0 ? sqrt(square) : NAN;
}

static void judge_camera(const struct sight_model *m, const struct sight_solution *s, struct sighting *sight)
{
    const double *h = s->unknown + m->map;
    struct sight_camera *camera = &sight->camera;
    double focal = focal_of(h), size = 0;
    camera->k1 = s->unknown[m->lens], camera->k1_sd = sqrt(fmax(covariance(m, s, m->lens, m->lens), 0));
    camera->k2 = m->lens_count > 1 ? s->unknown[m->lens + 1] : 0;
    camera->focal_px = focal * m->half_px, camera->distance_mm = NAN;
    if (isnan(focal)) return;
    const double x[3] = {h[0] / focal, h[3] / focal, h[6]}, y[3] = {h[1] / focal, h[4] / focal, h[7]};
    const double t[3] = {h[2] / focal, h[5] / focal, 1};
    const double n[3] = {x[1] * y[2] - x[2] * y[1], x[2] * y[0] - x[0] * y[2], x[0] * y[1] - x[1] * y[0]};
    for (int i = 0; i < 3; i++) size += n[i] * n[i];
    size = sqrt(size);
    double unit = sqrt(size),
           to_plane = 0; /* x and y are of one length, at right angles: |n| is its square */
    for (int i = 0; i < 3; i++) to_plane += n[i] * t[i];
    if (fabs(n[2]) > 1e-9 * size) camera->distance_mm = fabs(to_plane / n[2] / unit) * m->unit_mm;
}

static void map_write(const struct sight_model *m, const double *h, double map[9])
{
    double rows[9] = {h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1};
    for (int r = 0; r < 3; r++) {
        rows[3 * r] /= m->unit_mm, rows[3 * r + 1] /= m->unit_mm;
        rows[3 * r + 2] -= rows[3 * r] * m->shift_mm.x + rows[3 * r + 1] * m->shift_mm.y;
    }
    for (int k = 0; k < 3; k++) {
        map[k] = rows[k] * m->half_px + rows[6 + k] * m->order->width_px / 2;
        map[3 + k] = -rows[3 + k] * m->half_px + rows[6 + k] * m->order->height_px / 2;
        map[6 + k] = rows[6 + k];
    }
}

void sight_judge(const struct sight_model *m, const struct sight_solution *s, struct arena *arena,
                 struct sighting *sight)
{
    sight->places = arena_take_array(arena, m->order->mark_count, sizeof *sight->places);
    sight->lengths = arena_take_array(arena, m->order->length_count + 1, sizeof *sight->lengths);
    judge_places(m, s, sight);
    judge_lengths(m, s, sight);
    judge_camera(m, s, sight);
    map_write(m, s->unknown + m->map, sight->map);
    sight->misfit = s->misfit;
    struct point a, b, middle = {m->order->width_px / 2, m->order->height_px / 2};
    bool there = sight_on_plane(m->order, sight, middle, &a) &&
                 sight_on_plane(m->order, sight, (struct point){middle.x + 1, middle.y}, &b);
    sight->mm_per_px = there ? hypot(b.x - a.x, b.y - a.y) : NAN;
}

/* One in 2,000 lengths has a test beyond this by chance: a dozen of them in 1 of 160 vehicles. Two whose tests are this near
 * to each other explain the misfit about as well: e^2 to 1. */
static const double test_most = 3.5, test_near = 4;

void sight_find_suspects(const struct sight_order *order, struct sighting *sight)
{
    size_t worst = SIZE_MAX;
    for (size_t i = 0; i < order->length_count; i++) {
        double test = fabs(sight->lengths[i].test);
        if (sight_is_taped(&order->lengths[i]) && test > test_most &&
            (worst == SIZE_MAX || test > fabs(sight->lengths[worst].test)))
            worst = i;
    }
    if (worst == SIZE_MAX) return;
    sight->lengths[worst].suspect = true;
    double most = pow(sight->lengths[worst].test, 2);
    for (size_t i = 0; i < order->length_count; i++) {
        double test = sight->lengths[i].test;
        bool near = i != worst && sight_is_taped(&order->lengths[i]) && test * test > most - test_near;
        if (near) sight->lengths[i].rival = sight->lengths[worst].rival = true;
    }
}
