/* Keeps whole plans of surfaces, so that another goal or a dragged seam does not start from nothing. Called by
 * plan.c. */
#include "cache.h"
#include "choose.h"
#include <string.h>

static void *cache_copy(struct arena *arena, const void *items, size_t count, size_t size)
{
    void *copied = arena_take_array(arena, count, size);
    return count ? memcpy(copied, items, count * size) : copied;
}

/* Panels and seams are changed by whoever uses the plan. */
static void use_kept(const struct kept_plan *kept, struct surface_plan *plan, struct findings *findings)
{
    struct arena *arena = findings->arena;
    *plan = kept->plan;
    plan->panels = cache_copy(arena, plan->panels, surface_print_count(plan), sizeof *plan->panels);
    plan->seams = cache_copy(arena, plan->seams, plan->seam_count, sizeof *plan->seams);
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
