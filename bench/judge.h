/* Other ways to the same seams, to be timed and compared: a dynamic programme that looks at every pair of
 * places and knows no shortcut, and 0-1 programmes for glpsol. Costs are sums of seams and, with `prices`, of
 * strips. < 0: there is no answer, or no glpsol. */
#ifndef BENCH_JUDGE_H
#define BENCH_JUDGE_H

#include "plan/seams.h"

/* Where the number of panels counts before cost, one panel is worth so much. */
#define JUDGE_PANEL INT64_C(1000000000)

/* `panels` 0: as many as cost least. */
int64_t judge_naive(const struct seam_problem *problem, const struct strip_prices *prices, int panels);
int64_t judge_glpsol(const struct seam_problem *problem, const struct strip_prices *prices, int panels);
/* Strips side by side, seams of neighbours `apart` places from each other: panels x JUDGE_PANEL + cost. */
int64_t judge_glpsol_stagger(const struct seam_problem *strips, int count, int apart);

#endif
