#include "judge.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

/* What the panel from `a` to `b` costs on the roll that suits it, the seam at `b` included; < 0: not a panel.
 */
static int64_t panel_cost(const struct seam_problem *p, const struct strip_prices *prices, int a, int b)
{
    bool last = b == p->positions;
    if ((a && p->cost[a] == SEAM_FORBIDDEN) || (!last && p->cost[b] == SEAM_FORBIDDEN)) return -1;
    int64_t seam = last ? 0 : p->cost[b], best = -1;
    if (!prices) return seams_fit(p, a, b) ? seam : -1;
    int from = (int)floor((double)(p->place_um[a] - (a ? p->classes[0].high_um : 0)) / 1000);
    int to = (int)ceil((double)(p->place_um[b] + (last ? 0 : p->classes[0].low_um)) / 1000);
    double low = INFINITY, high = -INFINITY;
    for (int i = from < 0 ? 0 : from; i < to && i < p->positions; i++) {
        if ((double)prices->spans[i].low_mm < low) low = (double)prices->spans[i].low_mm;
        if ((double)prices->spans[i].high_mm > high) high = (double)prices->spans[i].high_mm;
    }
    for (size_t r = 0; r < prices->roll_count; r++) {
        struct seam_problem on_roll = *p;
        on_roll.usable_um = prices->rolls[r].usable_um;
        int64_t cost = (int64_t)((high - low + prices->ends_mm) * prices->rolls[r].micro_per_mm + 0.5) + seam;
        if (seams_fit(&on_roll, a, b) && (best < 0 || cost < best)) best = cost;
    }
    return best;
}

/* No panel is longer. */
static int reach_of(const struct seam_problem *p, const struct strip_prices *prices)
{
    int64_t most = p->usable_um;
    for (size_t r = 0; prices && r < prices->roll_count; r++)
        if (prices->rolls[r].usable_um > most) most = prices->rolls[r].usable_um;
    return (int)(most / 1000) + 1;
}

int64_t judge_naive(const struct seam_problem *p, const struct strip_prices *prices, int panels)
{
    size_t count = (size_t)p->positions + 1;
    int reach = reach_of(p, prices), rounds = panels ? panels : 1;
    int64_t *after = calloc(count, sizeof *after), *here = calloc(count, sizeof *here);
    for (int k = 1; k <= rounds; k++) {
        for (int a = p->positions; a >= 0; a--) {
            here[a] = a == p->positions && !panels ? 0 : INT64_MAX;
            const int64_t *next = panels ? after : here; /* any number: what lies behind is known already */
            for (int b = a + 1; b <= p->positions && b - a <= reach; b++) {
                int64_t rest = panels && k == 1              ? (b == p->positions ? 0 : INT64_MAX)
                               : panels && b == p->positions ? INT64_MAX
                                                             : next[b];
                int64_t cost = rest == INT64_MAX ? -1 : panel_cost(p, prices, a, b);
                if (cost >= 0 && cost + rest < here[a]) here[a] = cost + rest;
            }
        }
        int64_t *swap = after;
        after = here, here = swap;
    }
    int64_t least = after[0];
    free(after), free(here);
    return least == INT64_MAX ? -1 : least;
}

/* ---- glpsol ---- */

#define EVERY_PANEL(p, prices, reach, a, b, cost)                                                            \
    for (int a = 0; a < (p)->positions; a++)                                                                 \
        for (int b = a + 1; b <= (p)->positions && b - a <= (reach); b++)                                    \
            for (int64_t cost = panel_cost(p, prices, a, b), once = cost >= 0; once; once = 0)

/* One unit flows from the low edge to the high edge of strip `k`. */
static void write_flow(FILE *f, const struct seam_problem *p, const struct strip_prices *prices, int k,
                       int panels)
{
    int reach = reach_of(p, prices);
    for (int at = 0; at < p->positions; at++) {
        fprintf(f, " f%d_%d: 0 none", k, at);
        for (int b = at + 1; b <= p->positions && b - at <= reach; b++)
            if (panel_cost(p, prices, at, b) >= 0) fprintf(f, " + x%d_%d_%d\n", k, at, b);
        for (int a = at > reach ? at - reach : 0; a < at; a++)
            if (panel_cost(p, prices, a, at) >= 0) fprintf(f, " - x%d_%d_%d\n", k, a, at);
        fprintf(f, " = %d\n", at ? 0 : 1);
    }
    if (!panels) return;
    fprintf(f, " n%d: 0 none", k);
    EVERY_PANEL (p, prices, reach, a, b, cost) fprintf(f, " + x%d_%d_%d\n", k, a, b);
    fprintf(f, " = %d\n", panels);
}

/* Not both: a seam of strip k at `a` and one of the next at `b`. */
static void write_apart(FILE *f, const struct seam_problem *strips, int k, int a, int b)
{
    const int at[] = {a, b};
    fprintf(f, " a%d_%d_%d: 0 none", k, a, b);
    for (int i = 0; i < 2; i++)
        for (int from = 0; from < at[i]; from++)
            if (panel_cost(&strips[k + i], NULL, from, at[i]) >= 0)
                fprintf(f, " + x%d_%d_%d\n", k + i, from, at[i]);
    fprintf(f, " <= 1\n");
}

static void write_model(FILE *f, const struct seam_problem *strips, int count,
                        const struct strip_prices *prices, int panels, int apart)
{
    fprintf(f, "Minimize\n cost: 0 none\n");
    for (int k = 0; k < count; k++)
        EVERY_PANEL (&strips[k], prices, reach_of(&strips[k], prices), a, b, cost)
            fprintf(f, " + %lld x%d_%d_%d\n", (long long)cost + (apart ? JUDGE_PANEL : 0), k, a, b);
    fprintf(f, "Subject To\n");
    for (int k = 0; k < count; k++) write_flow(f, &strips[k], prices, k, panels);
    for (int k = 0; k + 1 < count; k++)
        for (int a = 1; a < strips[k].positions; a++)
            for (int b = a - apart + 1; b < a + apart && b < strips[k].positions; b++)
                if (b > 0 && strips[k].cost[a] != SEAM_FORBIDDEN && strips[k + 1].cost[b] != SEAM_FORBIDDEN)
                    write_apart(f, strips, k, a, b);
    fprintf(f, "Bounds\n none = 0\nBinary\n");
    for (int k = 0; k < count; k++)
        EVERY_PANEL (&strips[k], prices, reach_of(&strips[k], prices), a, b, cost)
            fprintf(f, " x%d_%d_%d\n", k, a, b);
    fprintf(f, "End\n");
}

static int64_t read_answer(const char *path)
{
    char line[300], status = '?';
    double cost = 0;
    FILE *f = fopen(path, "r");
    while (f && fgets(line, sizeof line, f))
        if (sscanf(line, "s mip %*d %*d %c %lf", &status, &cost) == 2) break;
    if (f) fclose(f);
    return status == 'o' ? llround(cost) : -1;
}

static int64_t ask_glpsol(const struct seam_problem *strips, int count, const struct strip_prices *prices,
                          int panels, int apart)
{
    char folder[] = "/tmp/lapstrake-bench-XXXXXX", model[100], answer[100], command[300];
    if (system("glpsol --version >/dev/null 2>&1") != 0 || !mkdtemp(folder)) return -1;
    snprintf(model, sizeof model, "%s/model.lp", folder);
    snprintf(answer, sizeof answer, "%s/answer.txt", folder);
    snprintf(command, sizeof command, "glpsol --lp %s -w %s --tmlim 300 >/dev/null 2>&1", model, answer);
    FILE *f = fopen(model, "w");
    if (f) write_model(f, strips, count, prices, panels, apart);
    int64_t cost = f && fclose(f) == 0 && system(command) == 0 ? read_answer(answer) : -1;
    unlink(model), unlink(answer), rmdir(folder);
    return cost;
}

int64_t judge_glpsol(const struct seam_problem *problem, const struct strip_prices *prices, int panels)
{
    return ask_glpsol(problem, 1, prices, panels, 0);
}

int64_t judge_glpsol_stagger(const struct seam_problem *strips, int count, int apart)
{
    return ask_glpsol(strips, count, NULL, 0, apart);
}
