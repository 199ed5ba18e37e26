/* Keeps what two searches beside the plan found: what a surface's best seams cost, and its remedies. */
#include "cache.h"
#include "remedy.h"

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

const char *cache_remedy(struct plan_cache *cache, const struct candidate_search *search)
{
    if (cache->no_remedies) return NULL;
    for (size_t i = 0; i < cache->remedy_count; i++)
        if (cache->remedies[i].surface == search->input->surface) return cache->remedies[i].words;
    struct kept_remedy remedy = {search->input->surface, remedy_words(search)};
    *(struct kept_remedy *)arena_append(cache->now, &cache->remedies, &cache->remedy_count,
                                        &cache->remedy_capacity, sizeof remedy) = remedy;
    return remedy.words;
}
