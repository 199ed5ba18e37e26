/* Private to sight: the unknowns, what is observed of them, and solving for them. */
#ifndef SIGHT_INNER_H
#define SIGHT_INNER_H

#include "base/arena.h"
#include "sight/sight.h"

/* Unknowns, in this order: places of the marks (x, y), the map (8, its ninth entry is 1), k1, k2 (with edges), and of each
 * edge its line (angle, distance). Places are in `unit_mm` from `shift_mm`; the picture is in halves of its diagonal from
 * its middle, up is positive. So all are about 1. */
struct sight_model {
    const struct sight_order *order;
    double unit_mm, half_px, mark_sd;
    struct point shift_mm;
    const bool *left_out; /* lengths that are not observed */
    size_t map, lens, lens_count, edges, count;
    size_t observed; /* residuals */
};

struct sight_model sight_model_of(const struct sight_order *order, const bool *left_out);
struct point sight_normal(const struct sight_model *model, struct point picture);
/* Weighted residuals, `observed` of them: those of the marks first, u and v by turns, then those of the lengths, 0 where a
 * length is not observed. */
void sight_residuals(const struct sight_model *model, const double *unknown, double *residuals);
double sight_length_sd(const struct sight_length *length);
bool sight_is_taped(const struct sight_length *length);

/* begin.c: unknowns to begin with, `starts_most` sets at most, those that agree best with the lengths first. */
size_t sight_begin(const struct sight_model *model, size_t starts_most, double **starts, struct arena *arena);

/* A factor of the normal matrix and the covariance. */
struct sight_solution {
    double *unknown, *covariance, *jacobian, *residuals;
    double misfit;
    bool fixed;   /* false: the observations leave something open */
    size_t loose; /* the unknown that is most so */
};
/* solve.c: from there to the least sum of squares. */
struct sight_solution sight_solve(const struct sight_model *model, const double *begin, struct arena *arena);
/* A symmetric positive definite system in place; false with the row at which it is not. */
bool sight_factor(double *matrix, size_t count, double least, size_t *row);
void sight_back(const double *factor, size_t count, double *values);

/* judge.c: from unknowns to places, lengths and camera. */
void sight_judge(const struct sight_model *model, const struct sight_solution *solution, struct arena *arena,
                 struct sighting *sight);
void sight_find_suspects(const struct sight_order *order, struct sighting *sight);

#endif
