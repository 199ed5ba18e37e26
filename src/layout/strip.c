/* Lays rectangles on a strip: greedy, then search and proof by turns until the two meet or it is enough. */
#include "exact.h"
#include "inner.h"
#include "sweep.h"
#include <assert.h>

static const int64_t AREA_MOST = (int64_t)1 << 60;

static bool side_is_good(int64_t side)
{
    return side >= 1 && side <= LAYOUT_SIDE_MOST;
}

static bool piece_fits(const struct layout_piece *piece, int64_t width)
{
    return piece->across <= width || (piece->may_turn && piece->along <= width);
}

bool strip_check(const struct layout_order *order, struct error *error)
{
    int64_t area = 0;
    if (order->count > LAYOUT_PIECES_MOST)
        return error_set(
            error, FAILURE_INPUT, "layout-too-many",
            ARGUMENTS(arg_count("count", (int64_t)order->count), arg_count("most", LAYOUT_PIECES_MOST)));
    if (!side_is_good(order->width)) return error_set(error, FAILURE_INPUT, "layout-width", NULL);
    for (size_t i = 0; i < order->count; i++) {
        const struct layout_piece *piece = &order->pieces[i];
        if (!side_is_good(piece->across) || !side_is_good(piece->along))
            return error_set(error, FAILURE_INPUT, "layout-side",
                             ARGUMENTS(arg_count("piece", (int64_t)i + 1)));
        if (!piece_fits(piece, order->width))
            return error_set(error, FAILURE_INPUT, "layout-wide",
                             ARGUMENTS(arg_count("piece", (int64_t)i + 1)));
        if (piece->across * piece->along > AREA_MOST - area)
            return error_set(error, FAILURE_INPUT, "layout-area", NULL);
        area += piece->across * piece->along;
    }
    return true;
}

/* Longer than any packing needs. */
static int64_t strip_end(const struct layout_order *order)
{
    int64_t end = 0;
    for (size_t i = 0; i < order->count; i++) {
        const struct layout_piece *piece = &order->pieces[i];
        end += piece->may_turn && piece->across > piece->along ? piece->across : piece->along;
    }
    return end;
}

/* Halves what lies between bound and packing; a length not reached with these tries is left for this round. */
static void strip_round(struct layout_search *search, int64_t tries, uint64_t seed)
{
    int64_t low = search->best->lower;
    while (low < search->best->used && !search->ended) {
        int64_t middle = low + (search->best->used - low) / 2;
        if (!anneal(search, middle, tries, seed)) low = middle + 1;
    }
}

/* Is there a packing no longer than `limit`? Each search within that many nodes. */
static enum exact_answer strip_ask(struct layout_search *search, int64_t limit, int64_t nodes)
{
    return sweep_rules_out(search, limit, nodes) ? EXACT_NONE : exact_pack(search, limit, nodes);
}

/* That nothing is shorter than what was found, or something that is. */
static bool strip_prove_best(struct layout_search *search, int64_t nodes)
{
    struct layout_strip *best = search->best;
    enum exact_answer answer = EXACT_FOUND;
    while (best->lower < best->used && answer == EXACT_FOUND)
        answer = strip_ask(search, best->used - 1, nodes);
    if (answer == EXACT_NONE) best->lower = best->used;
    return answer != EXACT_OPEN;
}

/* Else the bound is raised by growing steps, as far as they are shown to be too short. */
static void strip_prove(struct layout_search *search, int64_t nodes)
{
    struct layout_strip *best = search->best;
    enum exact_answer answer = strip_prove_best(search, nodes) ? EXACT_OPEN : EXACT_NONE;
    for (int64_t step = 1; best->lower + step < best->used && answer == EXACT_NONE; step *= 2) {
        answer = strip_ask(search, best->lower + step - 1, nodes);
        if (answer == EXACT_NONE) best->lower += step;
    }
}

static void strip_search(struct layout_search *search)
{
    enum { TRIES_FIRST = 64, NODES_A_TRY = 2 };
    struct layout_strip *best = search->best;
    const int64_t end = strip_end(search->order);
    anneal(search, end, 1, search->effort->seed);
    assert(best->used <= end);
    for (int64_t tries = TRIES_FIRST, round = 1; best->lower < best->used && !search->ended;
         tries *= 2, round++) {
        strip_round(search, tries, search->effort->seed + (uint64_t)round);
        strip_prove(search, tries * NODES_A_TRY);
    }
}

bool layout_strip(const struct layout_order *order, const struct layout_effort *effort, struct arena *arena,
                  struct layout_strip *strip, struct error *error)
{
    if (!strip_check(order, error)) return false;
    *strip = (struct layout_strip){.places = arena_take_array(arena, order->count, sizeof *strip->places),
                                   .used = INT64_MAX};
    if (!order->count) {
        strip->used = 0;
        return true;
    }
    strip->lower = layout_lower_bound(order);
    struct layout_search search = {.order = order, .effort = effort, .best = strip, .arena = arena};
    search.greedy = greedy_new(order, arena);
    strip_search(&search);
    strip->tries = search.tries;
    assert(strip->lower <= strip->used);
    return true;
}
