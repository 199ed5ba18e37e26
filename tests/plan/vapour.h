/* Sums of vapour and diffusion that explain how prints dry: how a hung sheet and a wound roll lose their solvent. SI
 * units, unless a name says. They are an outside check of the order of the ways of drying (doc/clock.md); the program
 * goes by the trade's hours. */
#ifndef TESTS_PLAN_VAPOUR_H
#define TESTS_PLAN_VAPOUR_H

#include <stddef.h>

/* Diffusion of a vapour in a gas, m2/s: Fuller, Schettler, Giddings 1966 with the volumes of Poling,
 * Prausnitz, O'Connell, 5th ed. 2001, table 11-1. Molar masses in g/mol, pressure in bar. */
double fuller_diffusivity(double kelvin, double bar, double mass_a, double volume_a, double mass_b,
                          double volume_b);

/* A solvent of inks: Antoine's ln P[Pa] = a - b / (T[K] + c). */
struct solvent {
    const char *name;
    double mass_g_mol, volume; /* molar mass; Fuller's diffusion volume */
    double a, b, c;
};
extern const struct solvent solvent_table[];
extern const size_t solvent_count;
double solvent_saturation_g_m3(const struct solvent *solvent, double kelvin);
double solvent_diffusivity(const struct solvent *solvent, double kelvin); /* in air at 1.01325 bar */

/* A hung sheet: vapour through a layer of still air, t = m0 delta / (D csat). */
double sheet_time_air(double solvent_g_m2, double layer_m, double diffusivity_m2_s, double saturation_g_m3);
/* Solvent out of a film open on one side, until `share` has left: t = T(share) l^2 / D. */
double sheet_time_film(double share, double thickness_m, double diffusivity_m2_s);

/* Vapour leaving the gap of a wound roll at its two ends. */
struct roll_gap {
    double width_m, gap_m;   /* of the film; between the turns */
    double solvent_g_m2;     /* in the print when it is wound */
    double diffusivity_m2_s; /* of the vapour in air */
    double saturation_g_m3;  /* of the air in the gap */
};
double roll_time_quasi(const struct roll_gap *roll); /* t = m0 W^2 / (8 g D csat) */
double roll_time_exact(const struct roll_gap *roll); /* one-phase Stefan problem (Neumann) */
/* Stood on end: the vapour's weight drains the gap as well; mass lost both ways adds. */
double roll_time_upright(const struct roll_gap *roll, double mass_g_mol);

#endif
