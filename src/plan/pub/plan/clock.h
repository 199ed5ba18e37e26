/* How long a print dries, and the sums that explain it. Times in seconds.
 *
 * The established times of the trade are the floor. The sums of vapour and diffusion below reproduce the
 * order of the ways of drying but not the trade's hours, which solvent inside the film governs: they may
 * lengthen a time and explain it, never shorten one. See doc/clock.md. */
#ifndef PLAN_CLOCK_H
#define PLAN_CLOCK_H

#include "base/arena.h"
#include "model/job.h"

struct dry_case {
    const struct ink *ink;
    double hand_percent;            /* total ink over the heaviest hand-sized area */
    struct measure most_at_percent; /* of the condition */
    enum drying way;
    struct measure humidity_percent, celsius; /* of the room */
};

/* The room as drying meets it. Inside the drying window (practice dry-low, dry-humid) the established times hold.
 * Colder, they double every dry-doubling degrees, down to dry-coldest; more humid, they grow in a straight line
 * to dry-humid-most times at humidity-saturated; both factors multiply. Beyond, nothing dries reliably. Our own
 * judgement: the vapour pressure of such solvents halves over about 9 degrees (solvent_saturation_g_m3). */
struct dry_room {
    double celsius, humidity_percent;
    bool dries;
    double factor; /* 1 or more */
};
struct dry_room clock_room(struct measure celsius, struct measure humidity_percent);

struct dry_time {
    double seconds;         /* < 0: does not dry this way */
    double floor_s;         /* with little ink */
    bool heavy;             /* ink made it longer than the floor */
    const char *why;        /* the rule in words, with its mark */
    struct measure decided; /* the value that decided, with its source */
};

struct dry_time clock_dry(const struct dry_case *dry, struct arena *arena);

/* ---- the sums ---- */

/* Share of the solvent that has left a plane sheet; time factor D t / a^2, a: half the thickness with both
 * faces open, all of it with one. Crank, The Mathematics of Diffusion, 2nd ed. 1975, eq. 4.18. */
double crank_share(double time_factor);
/* Time factor at which `share` (0 .. 0.9999) has left. */
double crank_time_factor(double share);
/* Share gone after `elapsed_s` from a sheet that is 90 % dry after `dry_s`: the curve for a picture. */
double clock_curve(double dry_s, double elapsed_s);

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

/* Outer diameter of a roll: L = pi (D^2 - d^2) / (4 t), any one unit. */
double roll_diameter(double length, double core, double layer);

#endif
