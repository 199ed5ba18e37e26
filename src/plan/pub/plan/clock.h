/* How long a print dries. Times in seconds.
 *
 * The established times of the trade decide. The sums of vapour and diffusion (tests/plan/vapour.h) reproduce the
 * ranking of the methods of drying but not the trade's hours, which solvent inside the film governs. See doc/clock.md. */
#ifndef PLAN_CLOCK_H
#define PLAN_CLOCK_H

#include "base/arena.h"
#include "model/job.h"

struct dry_case {
    const struct ink *ink;
    double hand_percent;            /* total ink over the heaviest hand-sized area */
    struct measure most_at_percent; /* of the condition */
    enum drying method;
    struct measure humidity_percent, celsius; /* of the room */
};

/* The room as drying meets it. Inside the drying window (practice dry-low, dry-humid) the established times hold.
 * Colder, they double every dry-doubling degrees, down to dry-coldest; more humid, they grow in a straight line
 * to dry-humid-most times at humidity-saturated; both factors multiply. Beyond, nothing dries reliably. Our own
 * judgement: the vapour pressure of such solvents halves over about 9 degrees (tests/plan/vapour.h). */
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
    struct reason why;      /* the rule, with its source */
    struct measure decided; /* the value that decided, with its source */
};

struct dry_time clock_dry(const struct dry_case *dry, struct arena *arena);

/* ---- for pictures ---- */

/* Share of the solvent that has left a plane sheet; time factor D t / a^2, a: half the thickness with both
 * faces open, all of it with one. Crank, The Mathematics of Diffusion, 2nd ed. 1975, eq. 4.18. */
double crank_share(double time_factor);
/* Time factor at which `share` (0 .. 0.9999) has left. */
double crank_time_factor(double share);
/* Share gone after `elapsed_s` from a sheet that is 90 % dry after `dry_s`: the curve for a picture. */
double clock_curve(double dry_s, double elapsed_s);

/* Outer diameter of a roll: L = pi (D^2 - d^2) / (4 t), any one unit. */
double roll_diameter(double length, double core, double layer);

#endif
