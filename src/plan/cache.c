/* Keeps what was worked out for a surface, so that another goal or a dragged seam does not start from
 * nothing. Called by plan.c and the held-open jobs. */
#include "cache.h"
#include "base/str.h"
#include "choose.h"
#include "help.h"
#include "plan/plan.h"
#include <assert.h>
#include <string.h>

struct plan_cache *plan_cache_new(struct arena *arena)
{
    struct plan_cache *cache = arena_take(arena, sizeof *cache);
    *cache = (struct plan_cache){.arena = arena};
    return cache;
}

void cache_begin(struct plan_cache *cache, const struct plan_input *input, struct arena *now)
{
    cache->now = now;
    cache->windows = (struct kept_fields){0};
    cache->no_help = input->no_help;
    cache->helps = NULL, cache->help_count = cache->help_capacity = 0;
    if (cache->plans) return;
    cache->plans = arena_take_array(cache->arena, input->surface_count * GOAL_COUNT, sizeof *cache->plans);
}

/* ---- fields ---- */

static bool is_for(const struct kept_field *kept, const struct field_wish *wish)
{
    struct window window = wish->window ? *wish->window : (struct window){0};
    return kept->spans == wish->input->surface->up && kept->upright == wish->upright &&
           kept->slivers_may_be == wish->slivers_may_be &&
           kept->letters_may_be_cut == wish->letters_may_be_cut && kept->panel_mm == wish->panel_mm &&
           kept->window.low == window.low && kept->window.high == window.high;
}

static const struct kept_field *kept_field(struct plan_cache *cache, const struct field_wish *wish)
{
    struct kept_fields *fields = wish->window ? &cache->windows : &cache->whole;
    struct arena *arena = wish->window ? cache->now : cache->arena;
    for (size_t i = 0; i < fields->count; i++)
        if (is_for(&fields->items[i], wish)) return &fields->items[i];
    struct kept_field *kept =
        arena_append(arena, &fields->items, &fields->count, &fields->capacity, sizeof *kept);
    *kept = (struct kept_field){.spans = wish->input->surface->up,
                                .upright = wish->upright,
                                .slivers_may_be = wish->slivers_may_be,
                                .letters_may_be_cut = wish->letters_may_be_cut,
                                .panel_mm = wish->panel_mm,
                                .window = wish->window ? *wish->window : (struct window){0},
                                .field = field_new(wish, arena)};
    return kept;
}

struct field cache_field(struct plan_cache *cache, const struct field_wish *wish, struct arena *arena)
{
    if (!cache) return field_new(wish, arena);
    struct field field = kept_field(cache, wish)->field;
    assert(field.frame.positions ==
           (int)(wish->upright ? wish->input->surface->up_count : wish->input->surface->along_count));
    size_t size = ((size_t)field.frame.positions + 1) * sizeof *field.cost;
    int64_t *cost = arena_take(arena, size);
    field.cost = memcpy(cost, field.cost, size);
    field.frame.surface = wish->input->surface;
    field.arena = arena;
    return field;
}

/* ---- whole surfaces ---- */

/* Its seams do not depend on those of other surfaces. */
static bool cache_stands_alone(const struct job *job, const struct surface *surface)
{
    for (size_t i = 0; i < job->align_count; i++)
        if (string_equal(job->align[i].one, surface->name) ||
            string_equal(job->align[i].other, surface->name))
            return false;
    return true;
}

static void *copy(struct arena *arena, const void *items, size_t count, size_t size)
{
    void *copied = arena_take_array(arena, count, size);
    return count ? memcpy(copied, items, count * size) : copied;
}

/* Panels and seams are changed by whoever uses the plan. */
static void use_kept(const struct kept_plan *kept, struct surface_plan *plan, struct findings *findings)
{
    struct arena *arena = findings->arena;
    *plan = kept->plan;
    plan->panels = copy(arena, plan->panels, surface_print_count(plan), sizeof *plan->panels);
    plan->seams = copy(arena, plan->seams, plan->seam_count, sizeof *plan->seams);
    for (size_t i = 0; i < kept->findings.count; i++) {
        struct finding *place =
            arena_append(arena, &findings->items, &findings->count, &findings->capacity, sizeof *place);
        *place = kept->findings.items[i];
    }
}

void cache_choose(struct plan_cache *cache, const struct plan_input *input, size_t index, enum goal goal,
                  struct surface_plan *plans, struct findings *findings)
{
    const struct surface *surface = input->surfaces[index].surface;
    struct kept_plan *kept = &cache->plans[index * GOAL_COUNT + goal];
    bool alone = cache_stands_alone(input->job, surface);
    if (!alone || (kept->surface && kept->surface != surface)) {
        choose_surface(input, index, goal, cache, plans, findings);
        return;
    }
    if (!kept->surface) {
        kept->findings = findings_new(cache->arena);
        choose_surface(input, index, goal, cache, plans, &kept->findings);
        kept->surface = surface, kept->plan = plans[index];
    }
    use_kept(kept, &plans[index], findings);
}

struct kept_price cache_free_price(struct plan_cache *cache, const struct candidate_search *search)
{
    const struct surface *surface = search->input->surface;
    for (size_t i = 0; i < cache->price_count; i++)
        if (cache->prices[i].spans == surface->up) return cache->prices[i];
    struct candidate_search free_search = {.input = search->input,
                                           .job = search->job,
                                           .goal = GOAL_COST,
                                           .neighbours = search->neighbours,
                                           .cache = cache,
                                           .arena = cache->now,
                                           .ignore_fixed = true};
    struct candidate best = candidate_find(&free_search);
    struct kept_price price = {surface->up, best.possible, best.possible ? candidate_money(&best) : 0};
    if (cache_stands_alone(search->job, surface))
        *(struct kept_price *)arena_append(cache->arena, &cache->prices, &cache->price_count,
                                           &cache->price_capacity, sizeof price) = price;
    return price;
}

const char *cache_help(struct plan_cache *cache, const struct candidate_search *search)
{
    if (cache->no_help) return NULL;
    for (size_t i = 0; i < cache->help_count; i++)
        if (cache->helps[i].surface == search->input->surface) return cache->helps[i].words;
    struct kept_help help = {search->input->surface, help_words(search)};
    *(struct kept_help *)arena_append(cache->now, &cache->helps, &cache->help_count, &cache->help_capacity,
                                      sizeof help) = help;
    return help.words;
}
