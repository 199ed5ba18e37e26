/* The sums of vapour and diffusion, beside which the ways of drying are held. */
#include "vapour.h"
#include "plan/clock.h"
#include <math.h>

static const double pi = 3.14159265358979323846;
static const double gas = 8.31446261815324;   /* J/(mol K), CODATA 2018 */
static const double gravity = 9.80665;        /* m/s2, standard */
static const double air_mass = 28.964;        /* g/mol */
static const double air_volume = 19.7;        /* Fuller's diffusion volume of air, Poling table 11-1 */
static const double air_viscosity = 1.849e-5; /* Pa s at 25 degrees C */
static const double atmosphere = 1.01325;     /* bar */

/* Antoine constants: Landolt-Boernstein as collected in the open database "chemicals"; diffusion volumes from
 * Fuller's atoms C 15.9, H 2.31, O 6.11, ring -18.3. Where 25 degrees C lies outside the fitted range
 * (diethylene glycol diethyl ether, gamma-butyrolactone) the pressure is good to half or worse. */
const struct solvent solvent_table[] = {
    {"diethylene glycol diethyl ether", 162.229, 187.11, 25.566040, 6970.4109, 35.4350},
    {"2-butoxyethyl acetate", 160.213, 182.49, 22.753893, 4673.3566, -48.0900},
    {"dipropylene glycol methyl ether", 148.202, 166.59, 25.207293, 6330.9773, 0},
    {"gamma-butyrolactone", 86.090, 71.38, 27.429683, 9341.1341, 110.1410},
    {"cyclohexanone", 98.145, 106.31, 21.005148, 3474.4858, -61.9860},
};
const size_t solvent_count = sizeof solvent_table / sizeof *solvent_table;

double fuller_diffusivity(double kelvin, double bar, double mass_a, double volume_a, double mass_b,
                          double volume_b)
{
    double mass = 2 / (1 / mass_a + 1 / mass_b), size = cbrt(volume_a) + cbrt(volume_b);
    return 0.00143 * pow(kelvin, 1.75) / (bar * sqrt(mass) * size * size) * 1e-4; /* cm2/s -> m2/s */
}

double solvent_saturation_g_m3(const struct solvent *solvent, double kelvin)
{
    double pascal = exp(solvent->a - solvent->b / (kelvin + solvent->c));
    return pascal * solvent->mass_g_mol / (gas * kelvin);
}

double solvent_diffusivity(const struct solvent *solvent, double kelvin)
{
    return fuller_diffusivity(kelvin, atmosphere, solvent->mass_g_mol, solvent->volume, air_mass, air_volume);
}

double sheet_time_air(double solvent_g_m2, double layer_m, double diffusivity_m2_s, double saturation_g_m3)
{
    return solvent_g_m2 * layer_m / (diffusivity_m2_s * saturation_g_m3);
}

double sheet_time_film(double share, double thickness_m, double diffusivity_m2_s)
{
    return crank_time_factor(share) * thickness_m * thickness_m / diffusivity_m2_s;
}

double roll_time_quasi(const struct roll_gap *r)
{
    return r->solvent_g_m2 * r->width_m * r->width_m /
           (8 * r->gap_m * r->diffusivity_m2_s * r->saturation_g_m3);
}

/* The dry front moves in from both ends as 2 k sqrt(D t); Neumann: sqrt(pi) k exp(k^2) erf(k) = Ste. */
double roll_time_exact(const struct roll_gap *r)
{
    double stefan = r->saturation_g_m3 * r->gap_m / r->solvent_g_m2, low = 0, high = 6;
    for (int i = 0; i < 200; i++) {
        double k = (low + high) / 2;
        if (sqrt(pi) * k * exp(k * k) * erf(k) < stefan)
            low = k;
        else
            high = k;
    }
    return r->width_m * r->width_m / (16 * r->diffusivity_m2_s * high * high);
}

/* Laminar drainage of a plane channel by the vapour's weight: u = drho g b^2 / (12 mu). */
double roll_time_upright(const struct roll_gap *r, double mass_g_mol)
{
    double heavier = r->saturation_g_m3 / 1000 * (1 - air_mass / mass_g_mol);
    double speed = heavier * gravity * r->gap_m * r->gap_m / (12 * air_viscosity);
    double drained = r->solvent_g_m2 * r->width_m / (speed * r->gap_m * r->saturation_g_m3);
    return 1 / (1 / drained + 1 / roll_time_exact(r));
}
