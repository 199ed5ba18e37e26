/* Levenberg-Marquardt with the normal matrix (Marquardt, J. SIAM 11, 1963, 431-441; from memory, unchecked): tens of
 * unknowns, and the covariance needs the matrix anyway. */
#include "inner.h"
#include <math.h>
#include <string.h>

bool sight_factor(double *a, size_t n, double least, size_t *row)
{
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k <= i; k++) {
            double sum = a[i * n + k];
            for (size_t j = 0; j < k; j++) sum -= a[i * n + j] * a[k * n + j];
            if (k < i) {
                a[i * n + k] = sum / a[k * n + k];
                continue;
            }
            *row = i;
            if (!(sum > least)) return false;
            a[i * n + i] = sqrt(sum);
        }
    return true;
}

void sight_back(const double *factor, size_t n, double *x)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++) x[i] -= factor[i * n + k] * x[k];
        x[i] /= factor[i * n + i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++) x[i] -= factor[k * n + i] * x[k];
        x[i] /= factor[i * n + i];
    }
}

struct solving {
    const struct sight_model *model;
    double *unknown, *tried, *residuals, *other, *jacobian, *normal, *factor, *step;
};

static double squares(const double *values, size_t count)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++) sum += values[i] * values[i];
    return sum;
}

/* By differences both ways; column by column. */
static void derive(struct solving *s)
{
    const double by = 1e-6;
    size_t m = s->model->observed, n = s->model->count;
    memcpy(s->tried, s->unknown, n * sizeof *s->tried);
    for (size_t k = 0; k < n; k++) {
        double *column = s->jacobian + k * m;
        s->tried[k] = s->unknown[k] + by;
        sight_residuals(s->model, s->tried, column);
        s->tried[k] = s->unknown[k] - by;
        sight_residuals(s->model, s->tried, s->other);
        s->tried[k] = s->unknown[k];
        for (size_t i = 0; i < m; i++) column[i] = (column[i] - s->other[i]) / (2 * by);
    }
}

static void normal_fill(struct solving *s)
{
    size_t m = s->model->observed, n = s->model->count;
    for (size_t a = 0; a < n; a++)
        for (size_t b = 0; b <= a; b++) {
            double sum = 0;
            for (size_t i = 0; i < m; i++) sum += s->jacobian[a * m + i] * s->jacobian[b * m + i];
            s->normal[a * n + b] = s->normal[b * n + a] = sum;
        }
}

/* What is left after the step that the damping allows; HUGE_VAL: there is none. */
static double solving_step(struct solving *s, double damping)
{
    size_t m = s->model->observed, n = s->model->count, row;
    memcpy(s->factor, s->normal, n * n * sizeof *s->factor);
    for (size_t k = 0; k < n; k++) {
        s->factor[k * n + k] = s->normal[k * n + k] * (1 + damping) + 1e-12;
        s->step[k] = 0;
        for (size_t i = 0; i < m; i++) s->step[k] -= s->jacobian[k * m + i] * s->residuals[i];
    }
    if (!sight_factor(s->factor, n, 0, &row)) return HUGE_VAL;
    sight_back(s->factor, n, s->step);
    for (size_t k = 0; k < n; k++) s->tried[k] = s->unknown[k] + s->step[k];
    sight_residuals(s->model, s->tried, s->other);
    double left = squares(s->other, m);
    return isfinite(left) ? left : HUGE_VAL;
}

static double descend(struct solving *s)
{
    enum { STEPS_MOST = 60 };
    size_t m = s->model->observed, n = s->model->count;
    double damping = 1e-3;
    sight_residuals(s->model, s->unknown, s->residuals);
    double misfit = squares(s->residuals, m);
    for (int step = 0; step < STEPS_MOST && damping < 1e12; step++) {
        derive(s), normal_fill(s);
        double left = solving_step(s, damping);
        while (!(left < misfit) && damping < 1e12) left = solving_step(s, damping *= 10);
        if (!(left < misfit)) break;
        bool done = misfit - left < 1e-9 * (1 + misfit);
        memcpy(s->unknown, s->tried, n * sizeof *s->unknown);
        memcpy(s->residuals, s->other, m * sizeof *s->residuals);
        misfit = left, damping = fmax(damping / 10, 1e-12);
        if (done) break;
    }
    return misfit;
}

/* The inverse of the normal matrix, by columns scaled to 1, so that what is open shows whatever its unit. */
static void covariance_of(struct solving *s, struct sight_solution *solution)
{
    const double least = 1e-11;
    size_t n = s->model->count;
    double *scale = s->step, *c = solution->covariance;
    derive(s), normal_fill(s);
    for (size_t k = 0; k < n; k++) scale[k] = s->normal[k * n + k] > 0 ? 1 / sqrt(s->normal[k * n + k]) : 0;
    for (size_t a = 0; a < n; a++)
        for (size_t b = 0; b < n; b++) s->factor[a * n + b] = s->normal[a * n + b] * scale[a] * scale[b];
    solution->fixed = sight_factor(s->factor, n, least, &solution->loose);
    for (size_t k = 0; k < n && solution->fixed; k++) {
        memset(s->tried, 0, n * sizeof *s->tried);
        s->tried[k] = 1;
        sight_back(s->factor, n, s->tried);
        for (size_t i = 0; i < n; i++) c[i * n + k] = s->tried[i] * scale[i] * scale[k];
    }
}

struct sight_solution sight_solve(const struct sight_model *model, const double *begin, struct arena *arena)
{
    size_t m = model->observed, n = model->count, square = n * n;
    struct sight_solution solution = {.unknown = arena_take_array(arena, n, sizeof(double)),
                                      .covariance = arena_take_array(arena, square, sizeof(double)),
                                      .jacobian = arena_take_array(arena, m * n, sizeof(double)),
                                      .residuals = arena_take_array(arena, m, sizeof(double))};
    struct solving s = {.model = model,
                        .unknown = solution.unknown,
                        .residuals = solution.residuals,
                        .jacobian = solution.jacobian,
                        .tried = arena_take_array(arena, n, sizeof(double)),
                        .other = arena_take_array(arena, m, sizeof(double)),
                        .normal = arena_take_array(arena, square, sizeof(double)),
                        .factor = arena_take_array(arena, square, sizeof(double)),
                        .step = arena_take_array(arena, n, sizeof(double))};
    memcpy(s.unknown, begin, n * sizeof *begin);
    solution.misfit = descend(&s);
    covariance_of(&s, &solution);
    return solution;
}
