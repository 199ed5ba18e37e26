/* What planning has worked out about surfaces and may use again: within one planning for its several goals,
 * and in the next where only seams fixed by hand differ. A surface is known by its spans, which copies of it
 * with other seams share; a whole plan of a surface by the surface itself. */
#ifndef PLAN_CACHE_H
#define PLAN_CACHE_H

#include "candidate.h"

struct kept_field {
    const struct span *spans; /* of the surface, upright */
    bool upright, slivers_may_be, letters_may_be_cut;
    double panel_mm;
    struct window window; /* 0, 0: the whole */
    struct field field;
};
struct kept_fields {
    struct kept_field *items;
    size_t count, capacity;
};
struct kept_plan {
    const struct surface *surface; /* NULL: not planned yet */
    struct surface_plan plan;
    struct findings findings;
};
struct kept_price {
    const struct span *spans;
    bool possible;
    int64_t money;
};

struct kept_remedy {
    const struct surface *surface;
    const char *words;
};

struct plan_cache {
    struct arena *arena, *now;  /* for what is kept; for the planning under way */
    struct kept_fields whole;   /* of whole surfaces: kept */
    struct kept_fields windows; /* of strips, which move with the seams: of this planning only */
    struct kept_plan *plans;    /* GOAL_COUNT for each surface */
    struct kept_price *prices;
    size_t price_count, price_capacity;
    bool no_remedies;
    struct kept_remedy *remedies; /* of this planning */
    size_t remedy_count, remedy_capacity;
};

/* cache.c */
/* To be called first in each planning. */
void cache_begin(struct plan_cache *cache, const struct plan_input *input, struct arena *now);
/* field_new, or the same from before. `cache` may be NULL. The field is yours to change. */
struct field cache_field(struct plan_cache *cache, const struct field_wish *wish, struct arena *arena);
/* The seams of the surface do not depend on those of other surfaces. */
bool cache_stands_alone(const struct job *job, const struct surface *surface);

/* cache_surfaces.c */
/* choose_surface, or the same from before. */
void cache_choose(struct plan_cache *cache, const struct plan_input *input, size_t index, enum goal goal,
                  struct surface_plan *plans, struct findings *findings);

/* cache_answers.c */
/* remedy_words, once for all goals of a planning; NULL when no remedies are wanted. */
const char *cache_remedy(struct plan_cache *cache, const struct candidate_search *search);
/* What the best seams of the surface cost, as if none were fixed. */
struct kept_price cache_free_price(struct plan_cache *cache, const struct candidate_search *search);

#endif
