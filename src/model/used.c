/* Judges what was used against what was planned. Called by the floor, which reads both from the record, and where an
 * entry's amount is read. */
#include "model/used.h"
#include "base/units.h"
#include <math.h>
#include <stdlib.h>

/* ---- kinds ---- */

static const struct used_kind used_kinds[] = {
    {"film", USED_MM, true, "waste", false},    {"laminate", USED_MM, true, NULL, false},
    {"ink", USED_ML, true, "ml-per-m2", false}, {"design", USED_H, false, NULL, false},
    {"printing", USED_H, false, "speed", true}, {"laminating", USED_H, false, "laminate-speed", true},
    {"trimming", USED_H, false, NULL, true},    {"installing", USED_H, false, "install-speed", true},
    {"preparing", USED_H, false, NULL, false},
};

const struct used_kind *used_kind_find(const char *name)
{
    for (size_t i = 0; i < sizeof used_kinds / sizeof *used_kinds; i++)
        if (string_equal(used_kinds[i].name, name)) return &used_kinds[i];
    return NULL;
}

const char *used_unit_name(enum used_unit unit)
{
    static const char *const names[] = {"mm", "ml", "h"};
    return names[unit];
}

bool used_read(const struct used_kind *kind, struct str text, double *amount)
{
    double seconds;
    if (kind->unit == USED_MM) return units_length_mm(text, amount);
    if (kind->unit == USED_ML) return units_volume_ml(text, amount);
    if (units_number(text, amount)) return true;
    if (!units_duration_s(text, &seconds)) return false;
    *amount = seconds / 3600;
    return true;
}

/* ---- judging ---- */

const char *used_sure_name(enum used_sure sure)
{
    static const char *const names[] = {"too few jobs", "as planned", "perhaps", "sure"};
    return names[sure];
}

/* The 97.5 % point of Student's t: exact to 5 digits up to 10 degrees of freedom (any table, such as NIST/SEMATECH
 * e-Handbook 1.3.6.7.2), from there by the expansion of Abramowitz and Stegun, 26.7.5. */
static double used_t(size_t degrees)
{
    static const double table[] = {12.70620, 4.30265, 3.18245, 2.77645, 2.57058,
                                   2.44691,  2.36462, 2.30600, 2.26216, 2.22814};
    if (!degrees) return INFINITY;
    if (degrees <= sizeof table / sizeof *table) return table[degrees - 1];
    const double z = 1.959963985, n = (double)degrees;
    double z3 = z * z * z, z5 = z3 * z * z, z7 = z5 * z * z;
    return z + (z3 + z) / (4 * n) + (5 * z5 + 16 * z3 + 3 * z) / (96 * n * n) +
           (3 * z7 + 19 * z5 + 17 * z3 - 15 * z) / (384 * n * n * n);
}

static int used_compare(const void *a, const void *b)
{
    double one = *(const double *)a, other = *(const double *)b;
    return one < other ? -1 : one > other;
}

static double used_median(const double *sorted, size_t count)
{
    return count % 2 ? sorted[count / 2] : sqrt(sorted[count / 2 - 1] * sorted[count / 2]);
}

static void used_interval(const double *ratios, size_t count, struct used_ratio *ratio)
{
    double mean = 0, squares = 0;
    for (size_t i = 0; i < count; i++) mean += log(ratios[i]) / (double)count;
    for (size_t i = 0; i < count; i++) squares += pow(log(ratios[i]) - mean, 2);
    double half = used_t(count - 1) * sqrt(squares / (double)(count - 1) / (double)count);
    ratio->low = exp(mean - half), ratio->high = exp(mean + half);
}

struct used_ratio used_judge(double *ratios, size_t count)
{
    struct used_ratio ratio = {count, NAN, NAN, NAN, USED_TOO_FEW};
    if (!count) return ratio;
    qsort(ratios, count, sizeof *ratios, used_compare);
    ratio.median = used_median(ratios, count);
    if (count > 1) used_interval(ratios, count, &ratio);
    if (count < USED_JOBS_LEAST) return ratio;
    bool off = ratio.low > 1 || ratio.high < 1;
    ratio.sure = !off ? USED_STANDS : count < USED_JOBS_SURE ? USED_PERHAPS : USED_SURE;
    return ratio;
}

double used_suggest(const struct used_kind *kind, double now, double ratio)
{
    if (!kind->rate) return NAN;
    if (string_equal(kind->rate, "waste")) return fmax((ratio - 1) * 100, 0);
    return kind->divides ? now / ratio : now * ratio;
}
