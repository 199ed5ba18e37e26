/* The cache itself, and the fields of seams that it keeps: what a search for seams takes from it. */
#include "cache.h"
#include "base/str.h"
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
    cache->no_remedies = input->no_remedies;
    cache->remedies = NULL, cache->remedy_count = cache->remedy_capacity = 0;
    if (cache->plans) return;
    cache->plans = arena_take_array(cache->arena, input->surface_count * GOAL_COUNT, sizeof *cache->plans);
}

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

bool cache_stands_alone(const struct job *job, const struct surface *surface)
{
    for (size_t i = 0; i < job->align_count; i++)
        if (string_equal(job->align[i].one, surface->name) ||
            string_equal(job->align[i].other, surface->name))
            return false;
    return true;
}
