/* Whether the next thing may be done to a panel now, judged from what was recorded, not from the plan.
 *
 * Pure. A gate that is shut says what is left to wait or what must be so; a person may go on with a reason,
 * which is put on record. Where no reason can help (laminating what was never printed), it may not. */
#ifndef PLAN_GATE_H
#define PLAN_GATE_H

#include "model/record.h"

struct gate {
    bool open;
    bool may_override;  /* shut, but a reason opens it */
    int64_t from;       /* when it opens by itself; 0: not by waiting */
    const char *why;    /* one sentence: the rule and what it counts from; in the arena or static */
};

/* May this fact be recorded for the panel? `fact` gives kind, time and temperatures. */
struct gate gate_check(const struct panel_terms *terms, const struct panel_state *state,
                       const struct fact *fact, const struct zone *zone, struct arena *arena);

/* The next thing to do to a panel, and from when. */
struct next_step {
    enum fact_kind kind; /* FACT_KIND_COUNT: nothing is left to do */
    int64_t from;        /* ready from then on; 0: at once */
    int64_t needed;      /* planned start of that step: later than this moves the date; 0: not known */
    const char *why;     /* "dries until Thu 4 Mar, 10:40" or "dry since ..." */
};
struct next_step gate_next(const struct panel_terms *terms, const struct panel_state *state, int64_t now,
                           const struct zone *zone, struct arena *arena);

/* How far neighbours will miss each other at a seam when a print came out at `measured_mm` instead of
 * `planned_mm`, and the scale that a reprint needs. Both meet at one end, so all of the difference shows at
 * the other. Limit 1.5 mm: common practice, no source. */
#define LENGTH_MISS_MOST_MM 1.5
struct length_check {
    double miss_mm;       /* signed: longer is positive */
    bool within;
    double feed_percent;  /* what `feed:` should be for a reprint, over what it was */
};
struct length_check gate_length(double planned_mm, double measured_mm, double feed_percent);

#endif
