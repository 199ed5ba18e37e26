/* Places seams at least cost on plain arrays, exactly, by dynamic programming. Called by candidate.c and
 * stagger.c; strips.c does it where film counts with each strip's length and roll. */
#include "plan/seams.h"
#include <assert.h>
#include <stdlib.h>
#include <string.h>

#define NEVER INT64_MAX

/* Allowed positions by class, and the least cost from each position to the high edge with 1, 2, ... panels:
 * to_go[k][a] is that of cutting what lies above a into k panels. */
struct seams_solver {
    const struct seam_problem *problem;
    int *members[SEAM_CLASSES_MOST];
    size_t member_count[SEAM_CLASSES_MOST];
    int *queue;
    int64_t *value; /* of a seam here: its cost and all that follows */
    int64_t **to_go;
};

static bool seams_allowed(const struct seam_problem *p, int at)
{
    return at > 0 && at < p->positions && p->cost[at] != SEAM_FORBIDDEN;
}

/* Where the print of the panel above `at` begins, and where that of the panel below it ends. */
static int64_t print_begin_um(const struct seam_problem *p, int at)
{
    return p->place_um[at] - (at ? p->classes[p->class_of[at]].high_um : p->low_bleed_um);
}

static int64_t print_end_um(const struct seam_problem *p, int at)
{
    return p->place_um[at] + (at < p->positions ? p->classes[p->class_of[at]].low_um : p->high_bleed_um);
}

bool seams_fit(const struct seam_problem *p, int from, int to)
{
    return print_end_um(p, to) - print_begin_um(p, from) <= p->usable_um;
}

static bool may_follow(const struct seam_problem *p, int from, int to)
{
    return to - from >= (p->least > 1 ? p->least : 1) && seams_fit(p, from, to);
}

/* In one pass: of all positions that panels can reach, the one whose next panel prints furthest. */
bool seams_blocked(const struct seam_problem *p, int *from, int *to)
{
    int best = 0, last = 0;
    for (int at = 1; at < p->positions; at++) {
        if (!seams_allowed(p, at) || !seams_fit(p, best, at)) continue;
        last = at;
        if (print_begin_um(p, at) > print_begin_um(p, best)) best = at;
    }
    if (seams_fit(p, best, p->positions)) return false;
    *from = last;
    *to = p->positions;
    for (int at = p->positions - 1; at > last && !seams_fit(p, best, at); at--) *to = at;
    assert(*from < *to);
    return true;
}

/* No more panels than this are ever needed: of any two neighbours in a plan with the fewest panels, both
 * together are too wide for the film, or one of them could go. */
static int panels_most(const struct seam_problem *p)
{
    int64_t beyond = p->low_bleed_um > p->high_bleed_um ? p->low_bleed_um : p->high_bleed_um;
    for (size_t c = 0; c < p->class_count; c++) {
        if (p->classes[c].low_um > beyond) beyond = p->classes[c].low_um;
        if (p->classes[c].high_um > beyond) beyond = p->classes[c].high_um;
    }
    int64_t pair = p->usable_um - 2 * beyond, length = p->place_um[p->positions] - p->place_um[0];
    assert(length >= 0); /* places rise */
    if (pair < 1000) return p->positions;
    int64_t most = 2 * (length / pair) + 3;
    return most < p->positions ? (int)most : p->positions;
}

static struct seams_solver seams_solver_new(const struct seam_problem *p, int panels, struct arena *arena)
{
    size_t count = (size_t)p->positions + 1;
    struct seams_solver s = {.problem = p};
    s.queue = arena_take_array(arena, count, sizeof *s.queue);
    s.value = arena_take_array(arena, count, sizeof *s.value);
    s.to_go = arena_take_array(arena, (size_t)panels + 1, sizeof *s.to_go);
    for (int at = 1; at < p->positions; at++) {
        if (!seams_allowed(p, at)) continue;
        assert(p->cost[at] >= 0 && p->class_of[at] < p->class_count);
        size_t c = p->class_of[at];
        if (!s.members[c]) s.members[c] = arena_take_array(arena, count, sizeof(int));
        s.members[c][s.member_count[c]++] = at;
    }
    return s;
}

/* For seams of class `a`, the least value of a next seam of class `b`: both ends of the window of places
 * that fit move up with the seam, so a queue of rising values holds the least at its front. */
static void seams_slide(struct seams_solver *s, size_t a, size_t b, int64_t *to_go)
{
    const struct seam_problem *p = s->problem;
    const int *next = s->members[b];
    size_t taken = 0, front = 0, back = 0;
    int least = p->least > 1 ? p->least : 1;
    if (!s->member_count[b]) return;
    for (size_t i = 0; i < s->member_count[a]; i++) {
        int at = s->members[a][i];
        int64_t reach = print_begin_um(p, at) + p->usable_um;
        for (; taken < s->member_count[b] && print_end_um(p, next[taken]) <= reach; taken++) {
            int64_t value = s->value[next[taken]];
            if (value == NEVER) continue;
            while (back > front && s->value[s->queue[back - 1]] >= value) back--;
            s->queue[back++] = next[taken];
        }
        while (front < back && s->queue[front] - at < least) front++;
        if (front < back && s->value[s->queue[front]] < to_go[at]) to_go[at] = s->value[s->queue[front]];
    }
}

static int64_t *layer_new(const struct seam_problem *p, struct arena *arena)
{
    int64_t *layer = arena_take_array(arena, (size_t)p->positions + 1, sizeof *layer);
    for (int at = 0; at <= p->positions; at++) layer[at] = NEVER;
    return layer;
}

/* One panel from `at` to the high edge. */
static void last_layer(struct seams_solver *s, struct arena *arena)
{
    const struct seam_problem *p = s->problem;
    s->to_go[1] = layer_new(p, arena);
    for (int at = 0; at < p->positions; at++)
        if ((!at || seams_allowed(p, at)) && may_follow(p, at, p->positions)) s->to_go[1][at] = 0;
}

static void next_layer(struct seams_solver *s, int panels, struct arena *arena)
{
    const struct seam_problem *p = s->problem;
    const int64_t *after = s->to_go[panels - 1];
    int64_t *to_go = s->to_go[panels] = layer_new(p, arena);
    for (int at = 1; at < p->positions; at++)
        s->value[at] = seams_allowed(p, at) && after[at] != NEVER ? p->cost[at] + after[at] : NEVER;
    for (size_t a = 0; a < p->class_count; a++)
        for (size_t b = 0; b < p->class_count; b++) seams_slide(s, a, b, to_go);
    for (int at = 1; at < p->positions; at++)
        if (s->value[at] < to_go[0] && may_follow(p, 0, at)) to_go[0] = s->value[at];
}

/* Of the next seams that keep the least cost, the one nearest to an even share of what is left. */
static int seams_choose_next(const struct seams_solver *s, int from, int panels)
{
    const struct seam_problem *p = s->problem;
    int64_t wanted = s->to_go[panels][from], nearest = INT64_MAX;
    int64_t aim = (int64_t)from * panels + p->positions - from; /* times the number of panels */
    int chosen = 0;
    for (int at = from + 1; at < p->positions; at++) {
        int64_t after = s->to_go[panels - 1][at];
        if (!seams_allowed(p, at) || after == NEVER || p->cost[at] + after != wanted ||
            !may_follow(p, from, at))
            continue;
        int64_t distance = llabs((int64_t)at * panels - aim);
        if (distance < nearest) nearest = distance, chosen = at;
    }
    assert(chosen);
    return chosen;
}

static struct seam_answer solve(const struct seam_problem *p, int most, struct arena *scratch,
                                struct arena *arena)
{
    struct seams_solver s = seams_solver_new(p, most, scratch);
    struct seam_answer answer = {0};
    int panels;
    last_layer(&s, scratch);
    for (panels = 1; panels < most && (p->panels || s.to_go[panels][0] == NEVER); panels++)
        next_layer(&s, panels + 1, scratch);
    if (s.to_go[panels][0] == NEVER) return answer;
    answer = (struct seam_answer){.possible = true, .panels = panels, .cost = s.to_go[panels][0]};
    answer.at = arena_take_array(arena, (size_t)panels, sizeof *answer.at);
    for (int i = 0, at = 0; i + 1 < panels; i++) answer.at[i] = at = seams_choose_next(&s, at, panels - i);
    assert(may_follow(p, panels > 1 ? answer.at[panels - 2] : 0, p->positions)); /* the last one fits, too */
    return answer;
}

/* Solving has an arena of its own, which nobody needs afterwards. */
struct seam_answer seams_solve(const struct seam_problem *p, struct arena *arena)
{
    assert(p->positions >= 1 && p->class_count <= SEAM_CLASSES_MOST);
    int most = p->panels ? p->panels : panels_most(p), from, to;
    if (most > p->positions || seams_blocked(p, &from, &to)) return (struct seam_answer){0};
    struct arena *scratch = arena_new(arena_machine(arena));
    struct seam_answer answer = solve(p, most, scratch, arena);
    arena_free(scratch);
    return answer;
}
