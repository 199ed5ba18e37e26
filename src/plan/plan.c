/* The course of planning: surfaces for each goal, rolls, tasks, schedule, cost, and which answer was asked
 * for. Called by run; each part has its own file. */
#include "plan/plan.h"
#include "align.h"
#include "base/str.h"
#include "base/text.h"
#include "choose.h"
#include "cost.h"
#include "doubt.h"
#include "cache.h"
#include "plan/promise.h"
#include "plan/suit.h"
#include "rolls.h"
#include "schedule.h"
#include "tasks.h"
#include <assert.h>
#include <math.h>

/* A measured vehicle has more surfaces than a job letters: one without artwork beside others with some is left
 * out, unless the job says that its artwork follows. */
static bool is_left_out(const struct job *job, const struct surface *surface)
{
    const struct surface_spec *spec = surface->spec;
    bool any = false;
    for (size_t i = 0; i < job->surface_count; i++)
        any |= job->surfaces[i].artwork_count || job->surfaces[i].text_count || job->surfaces[i].piece_count;
    return spec && any && !spec->artwork_count && !spec->text_count && !spec->artwork_follows;
}

static void plan_surface(struct plan *plan, size_t i, enum goal goal, struct plan_cache *cache)
{
    const struct plan_input *input = plan->input;
    const struct surface *surface = input->surfaces[i].surface;
    if (is_left_out(input->job, surface)) {
        double feed = feed_percent_of(input->job, surface->condition);
        plan->surfaces[i] = (struct surface_plan){.surface = surface,
                                                  .feed_percent = feed,
                                                  .no_artwork = true,
                                                  .pieces_alone = surface->spec->bears_pieces};
        return;
    }
    suit_check(surface, input->job, &plan->findings);
    cache_choose(cache, input, i, goal, plan->surfaces, &plan->findings);
}

static struct plan *make_for(const struct plan_input *input, enum goal goal, struct plan_cache *cache,
                             struct arena *arena)
{
    struct plan *plan = arena_take(arena, sizeof *plan);
    const struct job *job = input->job;
    plan->input = input;
    plan->findings = findings_new(arena);
    plan->surface_count = input->surface_count;
    plan->surfaces = arena_take_array(arena, input->surface_count, sizeof *plan->surfaces);
    for (size_t i = 0; i < input->surface_count; i++) plan_surface(plan, i, goal, cache);
    align_tell(plan);
    rolls_make(plan, arena);
    tasks_make(plan, arena);
    struct workloads workloads = workloads_of(plan, arena);
    schedule_make(plan, &workloads, arena);
    plan->promise = promise_of(job->due.given ? zone_utc(input->zone, &job->due) : 0,
                               plan->has_install ? plan->finished : 0, 0);
    cost_make(plan, &workloads, arena);
    plan->asked = plan->price;
    plan->quoted = input->ask && input->ask(plan, arena, &plan->asked);
    doubt_sizes(plan, &workloads);
    return plan;
}

/* ---- several answers ---- */

static bool same_seams(const struct surface_plan *one, const struct surface_plan *other)
{
    if (one->direction != other->direction || one->roll_width_mm != other->roll_width_mm ||
        one->seam_count != other->seam_count || one->panel_count != other->panel_count)
        return false;
    for (size_t i = 0; i < one->seam_count; i++) {
        const struct seam *a = &one->seams[i], *b = &other->seams[i];
        if (a->axis != b->axis || a->at_mm != b->at_mm || a->from_mm != b->from_mm) return false;
    }
    return true;
}

static bool same_plan(const struct plan *one, const struct plan *other)
{
    for (size_t i = 0; i < one->surface_count; i++)
        if (!same_seams(&one->surfaces[i], &other->surfaces[i])) return false;
    return true;
}

_Static_assert((int)GOAL_COUNT == (int)ALTERNATIVES_MOST, "an alternative may be best in everything");
static const char *const goal_names[GOAL_COUNT] = {"least cost", "fewest panels", "least material",
                                                   "least visible"};

static struct alternative sum_up(const struct plan *plan, enum goal goal)
{
    struct alternative sum = {
        .name = goal_names[goal], .names = {goal_names[goal]}, .name_count = 1, .price = plan->asked};
    for (size_t i = 0; i < plan->roll_count; i++) sum.film_mm += plan->rolls[i].used_mm;
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface_plan *surface = &plan->surfaces[i];
        sum.panel_count += surface->panel_count;
        for (size_t k = 0; k < surface->seam_count; k++)
            sum.shown += surface->seams[k].shown,
                sum.worst_detail = fmax(sum.worst_detail, surface->seams[k].detail);
    }
    return sum;
}

/* The one that was asked for, by its place or by what it is best in; `place_of`: of each goal. "best" is what
 * the least cost was once called. */
static bool find_chosen(const struct plan_input *input, const size_t *place_of, size_t count, size_t *chosen)
{
    *chosen = input->choose > 0 && (size_t)input->choose < count ? (size_t)input->choose : 0;
    if (input->choose > 0) return *chosen > 0;
    const char *choice = input->job->choice;
    if (!choice || string_equal(choice, "best")) return true;
    for (size_t goal = 0; goal < GOAL_COUNT; goal++) {
        if (!string_equal(choice, goal_names[goal])) continue;
        *chosen = place_of[goal];
        return true;
    }
    return false;
}

static void say_no_such(const struct plan_input *input, struct plan *plan, struct arena *arena)
{
    struct text names = text_new(arena);
    for (size_t i = 0; i < plan->alternative_count; i++)
        text_addf(&names, "%s%zu %s", i ? ", " : "", i, plan->alternatives[i].name);
    const char *asked = input->choose > 0 ? arena_format(arena, "%d", input->choose) : input->job->choice;
    finding_add(&plan->findings, "value-assumed", input->job->number, "value-assumed-there-is-no-alternative",
                ARGUMENTS(arg_words("asked", asked)))
        ->remedy =
        sentence_words(arena, "this-job-has-names", ARGUMENTS(arg_words("names", text_string(&names))));
}

/* A customer pays less for another than for the plan of least cost. */
static bool alternatives_cheaper(const struct plan *plan)
{
    for (size_t i = 1; i < plan->alternative_count; i++)
        if (plan->alternatives[i].price < plan->alternatives[0].price) return true;
    return false;
}

struct plan *plan_make(const struct plan_input *input, struct arena *arena)
{
    return plan_make_with(input, plan_cache_new(arena), arena);
}

struct plan *plan_make_with(const struct plan_input *input, struct plan_cache *cache, struct arena *arena)
{
    cache_begin(cache, input, arena);
    struct plan *plans[GOAL_COUNT];
    struct alternative *alternatives = arena_take_array(arena, GOAL_COUNT, sizeof *alternatives);
    size_t count = 0, place_of[GOAL_COUNT], chosen;
    for (enum goal goal = 0; goal < GOAL_COUNT; goal++) {
        struct plan *plan = make_for(input, goal, cache, arena);
        size_t place = 0;
        while (place < count && !same_plan(plans[place], plan)) place++;
        place_of[goal] = place;
        if (place < count) {
            alternatives[place].names[alternatives[place].name_count++] = goal_names[goal];
            continue;
        }
        plans[count] = plan;
        alternatives[count++] = sum_up(plan, goal);
    }
    bool found = find_chosen(input, place_of, count, &chosen);
    assert(chosen < count);
    struct plan *plan = plans[chosen];
    plan->alternatives = alternatives, plan->alternative_count = count, plan->chosen = chosen;
    if (alternatives_cheaper(plan)) plan->price_note = reason_say(arena, "least-cost-counts-seams", NULL);
    if (!found) say_no_such(input, plan, arena);
    return plan;
}
