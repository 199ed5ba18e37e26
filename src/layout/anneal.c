/* Simulated annealing over the sequence that the greedy packing takes pieces in, for a length asked for: what is made
 * less is the area that finds no place. */
#include "inner.h"
#include <math.h>
#include <string.h>

bool search_is_over(struct layout_search *search, bool is_short)
{
    const struct layout_effort *effort = search->effort;
    enum { ASKED_EVERY = 256 };
    search->tries++;
    if (effort->most_tries && search->tries >= effort->most_tries) search->ended = true;
    if ((!is_short || search->tries % ASKED_EVERY == 0) && effort->enough && effort->enough(effort->self))
        search->ended = true;
    return search->ended;
}

static void take_packing(struct layout_search *search, int64_t used)
{
    struct layout_strip *best = search->best;
    if (used >= best->used) return;
    best->used = used;
    memcpy(best->places, search->greedy->places, search->order->count * sizeof *best->places);
}

/* The area without a place; a whole packing is taken. */
static int64_t try_sequence(struct layout_search *search, const int32_t *sequence, int64_t limit)
{
    int64_t used, left = greedy_pack(search->greedy, sequence, limit, &used);
    if (!left) take_packing(search, used);
    return left;
}

/* Of the sorted sequences the best. */
static int64_t begin_sequence(struct layout_search *search, int64_t limit, int32_t *sequence, int32_t *other)
{
    int64_t best = INT64_MAX;
    for (int by = 0; by < GREEDY_SEQUENCES && best; by++) {
        greedy_sequence(search->order, by, other);
        int64_t left = try_sequence(search, other, limit);
        if (left >= best) continue;
        best = left;
        memcpy(sequence, other, search->order->count * sizeof *sequence);
    }
    return best;
}

static void exchange(int32_t *sequence, size_t a, size_t b)
{
    int32_t kept = sequence[a];
    sequence[a] = sequence[b], sequence[b] = kept;
}

bool anneal(struct layout_search *search, int64_t limit, int64_t tries, uint64_t seed)
{
    size_t count = search->order->count;
    const struct layout_piece *pieces = search->order->pieces;
    struct arena *arena = search->arena;
    int32_t *sequence = arena_take_array(arena, count, sizeof *sequence);
    int32_t *other = arena_take_array(arena, count, sizeof *other);
    uint64_t dice = dice_new(seed);
    int64_t left = begin_sequence(search, limit, sequence, other);
    double heat = (double)search->greedy->area / (double)count * 0.1,
           cooling = pow(0.01, 1.0 / (double)tries);
    for (int64_t i = 0; left && i < tries && !search_is_over(search, false); i++, heat *= cooling) {
        size_t a = dice_below(&dice, count), b = dice_below(&dice, count);
        if (pieces_alike(&pieces[sequence[a]], &pieces[sequence[b]])) continue;
        exchange(sequence, a, b);
        int64_t now = try_sequence(search, sequence, limit);
        if (now <= left || dice_share(&dice) < exp((double)(left - now) / heat))
            left = now;
        else
            exchange(sequence, a, b);
    }
    return !left;
}
