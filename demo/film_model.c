#include "film_model.h"
#include <math.h>

static const double d50[3] = {0.9642, 1.0, 0.8249}; /* ICC.1, PCS illuminant */

/* ---- CIELAB ---- */

static double cube_root(double t)
{
    return t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}

static double cubed(double f)
{
    double t = f * f * f;
    return t > 216.0 / 24389 ? t : (116 * f - 16) * 27 / 24389;
}

static void lab_to_xyz(const double lab[3], double xyz[3])
{
    double f = (lab[0] + 16) / 116;
    xyz[0] = d50[0] * cubed(f + lab[1] / 500);
    xyz[1] = d50[1] * cubed(f);
    xyz[2] = d50[2] * cubed(f - lab[2] / 200);
}

static void xyz_to_lab(const double xyz[3], double lab[3])
{
    double x = cube_root(xyz[0] / d50[0]), y = cube_root(xyz[1] / d50[1]), z = cube_root(xyz[2] / d50[2]);
    lab[0] = 116 * y - 16;
    lab[1] = 500 * (x - y);
    lab[2] = 200 * (y - z);
}

/* ---- the print ---- */

struct film_model film_model_new(void)
{
    /* Invented. Index: cyan 1, magenta 2, yellow 4. Over black only a trace of them is seen. */
    static const double overprints[8][3] = {{95, 0.3, -2.2}, {54, -38, -47}, {49, 73, 4},  {25, 24, -48},
                                            {90, -8, 96},    {48, -68, 30},  {48, 67, 47}, {24, 1, 1}};
    struct film_model model;
    lab_to_xyz(overprints[0], model.white);
    for (int i = 0; i < 16; i++) {
        const double *plain = overprints[i & 7];
        double black[3] = {3 + 0.13 * plain[0], 0.1 * plain[1], 0.1 * plain[2]}, xyz[3];
        lab_to_xyz(i & 8 ? black : plain, xyz);
        for (int c = 0; c < 3; c++) model.roots[i][c] = sqrt(xyz[c] / model.white[c] * d50[c]);
    }
    return model;
}

/* Drops spread: what is printed as half covers more. */
static double spread(double ink)
{
    return ink + 0.36 * ink * (1 - ink);
}

void film_model_lab(const struct film_model *model, const double ink[4], double lab[3])
{
    double area[4], xyz[3] = {0, 0, 0};
    for (int c = 0; c < 4; c++) area[c] = spread(ink[c]);
    for (int i = 0; i < 16; i++) { /* Demichel: the share of the area that has just these inks */
        double share = 1;
        for (int c = 0; c < 4; c++) share *= i >> c & 1 ? area[c] : 1 - area[c];
        for (int c = 0; c < 3; c++) xyz[c] += share * model->roots[i][c];
    }
    for (int c = 0; c < 3; c++) xyz[c] *= xyz[c];
    xyz_to_lab(xyz, lab);
}

/* ---- the other way: Levenberg and Marquardt's least squares ---- */

enum { UNKNOWNS = 4, RESIDUALS = 8, ROUNDS = 24 };

struct aim {
    double lab[3], black, limit;
};

/* How much black is wanted: none above the middle tones and in strong colours. */
static double wanted_black(const double lab[3])
{
    double dark = fmin(fmax((72 - lab[0]) / 62, 0), 1), strong = fmin(hypot(lab[1], lab[2]) / 75, 1);
    return dark * dark * (1 - 0.75 * strong);
}

static double total(const double ink[4])
{
    return ink[0] + ink[1] + ink[2] + ink[3];
}

static const double undercolour[3] = {0.64, 0.52, 0.46};

static void residuals(const struct film_model *model, const struct aim *aim, const double ink[4],
                      double out[RESIDUALS])
{
    double lab[3];
    film_model_lab(model, ink, lab);
    for (int i = 0; i < 3; i++) out[i] = lab[i] - aim->lab[i];
    out[3] = 4 * (ink[3] - aim->black);
    out[4] = 300 * fmax(total(ink) - aim->limit, 0);
    /* Under much black the other inks hardly show; a pull towards a plain grey keeps them from jumping. */
    for (int c = 0; c < 3; c++) out[5 + c] = 10 * aim->black * (ink[c] - undercolour[c]);
}

static double squares(const double r[RESIDUALS])
{
    double sum = 0;
    for (int i = 0; i < RESIDUALS; i++) sum += r[i] * r[i];
    return sum;
}

/* Solves the symmetric, positive system in place by Gauss without exchange. */
static void solve(double m[UNKNOWNS][UNKNOWNS], double v[UNKNOWNS])
{
    for (int i = 0; i < UNKNOWNS; i++)
        for (int k = i + 1; k < UNKNOWNS; k++) {
            double f = m[k][i] / m[i][i];
            for (int j = i; j < UNKNOWNS; j++) m[k][j] -= f * m[i][j];
            v[k] -= f * v[i];
        }
    for (int i = UNKNOWNS - 1; i >= 0; i--) {
        for (int j = i + 1; j < UNKNOWNS; j++) v[i] -= m[i][j] * v[j];
        v[i] /= m[i][i];
    }
}

static void slopes(const struct film_model *model, const struct aim *aim, const double ink[4],
                   const double r[RESIDUALS], double slope[UNKNOWNS][RESIDUALS])
{
    for (int c = 0; c < UNKNOWNS; c++) {
        double moved[4] = {ink[0], ink[1], ink[2], ink[3]}, h = ink[c] > 0.5 ? -1e-4 : 1e-4, there[RESIDUALS];
        moved[c] += h;
        residuals(model, aim, moved, there);
        for (int i = 0; i < RESIDUALS; i++) slope[c][i] = (there[i] - r[i]) / h;
    }
}

/* One try with this damping: fills `next`. An ink at its end that would go on is left out. */
static void step(const struct film_model *model, const struct aim *aim, const double ink[4],
                 const double r[RESIDUALS], double damping, double next[4])
{
    double slope[UNKNOWNS][RESIDUALS], m[UNKNOWNS][UNKNOWNS] = {{0}}, v[UNKNOWNS] = {0};
    slopes(model, aim, ink, r, slope);
    for (int a = 0; a < UNKNOWNS; a++)
        for (int i = 0; i < RESIDUALS; i++) {
            v[a] -= slope[a][i] * r[i];
            for (int b = 0; b < UNKNOWNS; b++) m[a][b] += slope[a][i] * slope[b][i];
        }
    for (int a = 0; a < UNKNOWNS; a++) {
        int stuck = (ink[a] <= 0 && v[a] < 0) || (ink[a] >= 1 && v[a] > 0);
        m[a][a] = m[a][a] * (1 + damping) + 1e-6;
        if (!stuck) continue;
        for (int b = 0; b < UNKNOWNS; b++) m[a][b] = m[b][a] = a == b;
        v[a] = 0;
    }
    solve(m, v);
    for (int c = 0; c < UNKNOWNS; c++) next[c] = fmin(fmax(ink[c] + v[c], 0), 1);
}

void film_model_ink(const struct film_model *model, const double lab[3], double limit, double ink[4])
{
    struct aim aim = {{lab[0], lab[1], lab[2]}, wanted_black(lab), limit - 0.002};
    double r[RESIDUALS], damping = 1e-2;
    residuals(model, &aim, ink, r);
    for (int round = 0; round < ROUNDS; round++) {
        double next[4], there[RESIDUALS];
        step(model, &aim, ink, r, damping, next);
        residuals(model, &aim, next, there);
        double gain = squares(r) - squares(there);
        damping = gain > 0 ? damping * 0.3 : damping * 6;
        if (gain <= 0) continue;
        for (int c = 0; c < 4; c++) ink[c] = next[c];
        for (int i = 0; i < RESIDUALS; i++) r[i] = there[i];
        if (gain < 1e-5) break;
    }
    double sum = ink[0] + ink[1] + ink[2], room = limit - ink[3];
    for (int c = 0; c < 3 && sum > room; c++) ink[c] *= room / sum;
}
