/* Keeps the cross cuts of neighbouring strips apart, at least cost over all strips. Called by cross.c; each
 * strip alone is solved by seams.c. */
#include "plan/seams.h"
#include <assert.h>
#include <string.h>

/* Every strip is solved alone; that is never dearer than strips that heed each other. Where seams of two
 * neighbours come too near, a window holds both, and no answer has a seam of each strip in it: so one strip
 * or the other goes without that window. Both branches are searched, and left as soon as they are no
 * better than the best that is known. */

enum { STEPS_MOST = 600 };

struct search {
    struct seam_problem *strips;
    int64_t **cost; /* each strip's own copy, in which windows are forbidden */
    struct seam_answer *now, *best;
    size_t count;
    int apart, steps;
    bool found, cut_short;
    int best_panels;
    int64_t best_cost;
    struct arena *arena;
};

struct stagger_conflict {
    size_t strip; /* and the next */
    int from, to; /* the window, both ends within */
};

static int64_t capped_sum(int64_t a, int64_t b)
{
    return a > INT64_MAX - b ? INT64_MAX : a + b;
}

static bool first_conflict(const struct search *s, struct stagger_conflict *conflict)
{
    for (size_t i = 0; i + 1 < s->count; i++)
        for (int k = 0; k + 1 < s->now[i].panels; k++)
            for (int m = 0; m + 1 < s->now[i + 1].panels; m++) {
                int a = s->now[i].at[k], b = s->now[i + 1].at[m], low = a < b ? a : b, high = a < b ? b : a;
                int room = s->apart - 1 - (high - low); /* what the window may reach beyond both */
                if (room < 0) continue;
                *conflict = (struct stagger_conflict){i, low - room / 2, high + room - room / 2};
                return true;
            }
    return false;
}

static bool branch_may_improve(const struct search *s)
{
    int panels = 0;
    int64_t cost = 0;
    for (size_t i = 0; i < s->count; i++) {
        if (!s->now[i].possible) return false;
        panels += s->now[i].panels, cost = capped_sum(cost, s->now[i].cost);
    }
    return !s->found || panels < s->best_panels || (panels == s->best_panels && cost < s->best_cost);
}

static void keep_best(struct search *s)
{
    s->found = true, s->best_panels = 0, s->best_cost = 0;
    memcpy(s->best, s->now, s->count * sizeof *s->best);
    for (size_t i = 0; i < s->count; i++)
        s->best_panels += s->now[i].panels, s->best_cost = capped_sum(s->best_cost, s->now[i].cost);
    assert(s->best_panels >= (int)s->count);
}

static void branch_search(struct search *s);

/* The strip goes without the window; then everything is as it was. */
static void branch_without(struct search *s, size_t strip, const struct stagger_conflict *c)
{
    struct seam_answer before = s->now[strip];
    int from = c->from < 0 ? 0 : c->from, end = s->strips[strip].positions;
    int to = c->to > end ? end : c->to;
    if (from > to) return;
    int64_t *cost = s->cost[strip] + from;
    size_t size = (size_t)(to - from) + 1;
    int64_t *kept = arena_take_array(s->arena, size, sizeof *kept);
    memcpy(kept, cost, size * sizeof *kept);
    for (size_t i = 0; i < size; i++) cost[i] = SEAM_FORBIDDEN;
    s->now[strip] = seams_solve(&s->strips[strip], s->arena);
    branch_search(s);
    memcpy(cost, kept, size * sizeof *kept);
    s->now[strip] = before;
}

static void branch_search(struct search *s)
{
    struct stagger_conflict conflict;
    if (!branch_may_improve(s)) return;
    if (!first_conflict(s, &conflict)) {
        keep_best(s);
        return;
    }
    if (++s->steps > STEPS_MOST) {
        s->cut_short = true;
        return;
    }
    branch_without(s, conflict.strip + 1, &conflict);
    branch_without(s, conflict.strip, &conflict);
}

static struct search search_new(const struct seam_problem *strips, size_t count, int apart,
                                struct arena *arena)
{
    struct search s = {.count = count, .apart = apart, .arena = arena};
    s.strips = arena_take_array(arena, count, sizeof *s.strips);
    s.cost = arena_take_array(arena, count, sizeof *s.cost);
    s.now = arena_take_array(arena, count, sizeof *s.now);
    s.best = arena_take_array(arena, count, sizeof *s.best);
    for (size_t i = 0; i < count; i++) {
        size_t size = (size_t)strips[i].positions + 1;
        assert(!strips[i].panels);
        s.strips[i] = strips[i];
        s.cost[i] = arena_take_array(arena, size, sizeof **s.cost);
        memcpy(s.cost[i], strips[i].cost, size * sizeof **s.cost);
        s.strips[i].cost = s.cost[i];
        s.now[i] = seams_solve(&s.strips[i], arena);
    }
    return s;
}

struct stagger_answer seams_stagger(const struct seam_problem *strips, size_t count, int apart,
                                    struct arena *arena)
{
    struct search s = search_new(strips, count, apart, arena);
    branch_search(&s);
    return (struct stagger_answer){s.found, !s.cut_short, s.best, s.best_panels, s.best_cost};
}
