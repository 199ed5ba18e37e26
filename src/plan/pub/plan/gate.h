/* Gates: may the next thing be done to a panel now? Pure; the structs are in model/record.h. */
#ifndef PLAN_GATE_H
#define PLAN_GATE_H

#include "model/record.h"

/* May this fact be recorded for the panel? `fact` gives kind, time and temperatures. A figure that a rule
 * needs is asked for. terms and state NULL: not of a panel. */
struct gate gate_check(const struct print_hold *hold, const struct panel_terms *terms,
                       const struct panel_state *state, const struct fact *fact, int64_t now,
                       const struct zone *zone, struct arena *arena);

/* What is to be done to the panel next, by the same rules, and from when; FACT_KIND_COUNT when it is installed.
 * `now` is UTC seconds; sentences show times in `zone` and live in the arena. */
struct next_step gate_next(const struct print_hold *hold, const struct panel_terms *terms,
                           const struct panel_state *state, int64_t now, const struct zone *zone,
                           struct arena *arena);

/* Both lengths are of the same stretch of the print along the film, measured dry, in mm, the measured one
 * more than 0. `feed_percent`: the job's when the piece was printed. */
struct length_check gate_length(double planned_mm, double measured_mm, double feed_percent);

#endif
