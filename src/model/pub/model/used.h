/* After the job: what was planned against what was used, and what that says of the shop's rates. Pure.
 *
 * Of each kind of material and work a job gives one ratio, used / planned. Ratios multiply, so they are judged by
 * their logarithms: with x = ln(used / planned) of n jobs, mean m and standard deviation s,
 *
 *     median    the middle ratio; of an even number the geometric mean of the middle two
 *     low, high exp(m -+ t s / sqrt(n)), t the 97.5 % point of Student's t with n - 1 degrees of freedom: the
 *               95 % confidence interval of the typical ratio (confidence limits for the mean: NIST/SEMATECH
 *               e-Handbook of Statistical Methods, 1.3.5.2, from memory; taken of logarithms since ratios are
 *               skewed). NAN for fewer than two jobs.
 *
 * How sure that is, our own judgement: fewer than USED_JOBS_LEAST jobs say nothing; an interval that holds 1
 * leaves the rate as it is; else the rate is off, and sure from USED_JOBS_SURE jobs on. */
#ifndef MODEL_USED_H
#define MODEL_USED_H

#include "base/str.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { USED_JOBS_LEAST = 3, USED_JOBS_SURE = 6 };

enum used_unit { USED_MM, USED_ML, USED_H };
const char *used_unit_name(enum used_unit unit); /* "mm", "ml", "h" */

/* What an entry `used` may be of. */
struct used_kind {
    const char *name; /* "film", "installing" */
    enum used_unit unit;
    bool material;    /* has a name in the shop (`of`) */
    const char *rate; /* the key of the shop file that the ratio speaks of; NULL: none */
    bool divides;     /* a speed: more hours than planned make it less */
};
const struct used_kind *used_kind_find(const char *name); /* NULL: none, or NULL given */

/* "8.2 m", "120 ml", "4 h 30 min", or a bare number in the kind's unit. */
bool used_read(const struct used_kind *kind, struct str text, double *amount);

/* One kind and name of a job. */
struct used_line {
    const struct used_kind *kind;
    const char *of;       /* name in the shop; NULL: work */
    double planned, used; /* NAN: not known */
    bool written;         /* an entry `used` says it; else it follows from the entries `printed` */
};
struct used_job {
    const char *job, *title;
    int64_t made; /* when the plan was made that it was printed by, UTC seconds */
    bool whole;   /* every panel was printed: what follows from the prints is all there is */
    struct used_line *lines;
    size_t line_count, line_capacity;
};

enum used_sure { USED_TOO_FEW, USED_STANDS, USED_PERHAPS, USED_SURE };
const char *used_sure_name(enum used_sure sure); /* "too few jobs", "as planned", "perhaps", "sure" */

struct used_ratio {
    size_t jobs;
    double median, low, high;
    enum used_sure sure;
};
/* Of `count` ratios, each more than 0; sorts them. */
struct used_ratio used_judge(double *ratios, size_t count);

/* What a rate should be by a ratio; the share of waste by the ratio of film, percent, not below 0. */
double used_suggest(const struct used_kind *kind, double now, double ratio);

/* A kind and name over all jobs. */
struct used_rate {
    const struct used_kind *kind;
    const char *of;
    struct used_ratio ratio;
    double now, suggested; /* NAN: not known, or no rate speaks of it; of ink the factor on ml-per-m2 */
    double low, high;      /* what the interval makes of it */
};

struct used_report {
    struct used_job *jobs;
    size_t job_count;
    struct used_rate *rates;
    size_t rate_count, rate_capacity;
};

#endif
