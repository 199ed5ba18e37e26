/* Keeps what two searches beside the plan found: what a surface's best seams cost, and what would help it. */
#include "cache.h"
#include "help.h"

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
