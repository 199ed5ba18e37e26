/* Where seams go: the optimiser, on plain arrays, so that it can be judged alone.
 *
 * A surface is cut across one axis. Seams stand on whole positions 1 .. positions - 1 (millimetres from its
 * low end); position 0 is the low edge, `positions` the high edge. A panel between two seams must fit the
 * film with everything it prints beyond them. How far panels print beyond a seam depends on the seam's
 * class only (who lies over, or a door gap), so that within a class the film needed rises with the position:
 * this is what makes sliding windows exact. Time is proportional to panels x positions. */
#ifndef PLAN_SEAMS_H
#define PLAN_SEAMS_H

#include "base/arena.h"
#include "model/surface.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* No seam here, at any price. */
#define SEAM_FORBIDDEN INT64_MAX

/* What both panels print beyond a seam's line, in micrometres. */
struct seam_class {
    int64_t low_um;  /* the panel on the low side prints so far past the line */
    int64_t high_um; /* the panel on the high side prints so far before it */
};
enum { SEAM_CLASSES_MOST = 5 };

struct seam_problem {
    int positions;           /* 1 .. 100000 */
    const int64_t *place_um; /* positions + 1 values, rising: where each lies on the print */
    const int64_t *cost;     /* positions + 1 values, millionths of the currency, 0 .. 1e12 or SEAM_FORBIDDEN;
                                the first and last are not used */
    const uint8_t *class_of; /* positions + 1 values, the first and last are not used */
    struct seam_class classes[SEAM_CLASSES_MOST];
    size_t class_count;
    int64_t low_bleed_um, high_bleed_um; /* printed beyond the edges */
    int64_t usable_um;                   /* what the film holds */
    int least;                           /* positions between neighbouring seams and edges, at least */
    int panels;                          /* exactly so many; 0: the fewest that fit */
};

struct seam_answer {
    bool possible;
    int panels;
    int *at;      /* panels - 1 positions, rising; in the arena */
    int *roll;    /* seams_solve_strips: each panel's, counted in the prices' rolls; else NULL */
    int64_t cost; /* the sum of theirs, the least there is for this number of panels */
};

/* Exact. Among answers of equal cost each seam in turn, from the low end, stands as near as it can to where
 * it would divide what is left evenly; of two equally near ones, the lower. */
struct seam_answer seams_solve(const struct seam_problem *problem, struct arena *arena);

/* A roll that panels may be printed on. */
struct strip_roll {
    int64_t usable_um;   /* what it holds */
    double micro_per_mm; /* of its length: film and laminate, the whole roll's width */
};

/* What strips of an outline of varying height cost: each is only as long as its part needs, its print past
 * the seams counted, and lies on the roll that costs least among those that hold it. */
struct strip_prices {
    const struct span *spans; /* the problem's positions values, mm; empty where low > high */
    double ends_mm;           /* added to each length: bleed and marks */
    const struct strip_roll *rolls;
    size_t roll_count;
};

/* Exact, strips and seams counted; places are whole millimetres and place_um is not used for lengths,
 * nor usable_um: the rolls say what fits. `panels` 0: any number of them, whichever costs least, of equal
 * cost the fewest. Ties as in seams_solve. In the worst case time is proportional to panels x positions x
 * the positions that a panel spans; blocks of places that cannot be better are passed over, which leaves a
 * small part of that. */
struct seam_answer seams_solve_strips(const struct seam_problem *problem, const struct strip_prices *prices,
                                      struct arena *arena);

/* Strips that lie side by side, each to be cut along its own length by its own problem (`panels` 0), so that
 * seams of neighbours are at least `apart` positions from each other: else four panels would meet in a point.
 * The fewest panels over all strips, and of these the least cost. Exact where `proved`; else the search was
 * cut short at a great many steps and this is the best it had met. */
struct stagger_answer {
    bool possible, proved;
    struct seam_answer *strips; /* one for each problem */
    int panels;
    int64_t cost;
};
struct stagger_answer seams_stagger(const struct seam_problem *strips, size_t count, int apart,
                                    struct arena *arena);

/* Where seams are blocked: from the last position that panels can end at to the first that they would
 * have to reach. False when panels reach the end (`least` is not regarded). */
bool seams_blocked(const struct seam_problem *problem, int *from, int *to);

/* Whether the panel from position `from` to `to` fits the film. */
bool seams_fit(const struct seam_problem *problem, int from, int to);

#endif
