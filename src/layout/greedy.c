/* One packing: the lowest step of the skyline gets the piece that fits its walls best. */
#include "inner.h"
#include <assert.h>
#include <stdlib.h>
#include <string.h>

/* ---- the pieces by their sides ---- */

static int values_compare(const void *a, const void *b)
{
    int64_t one = *(const int64_t *)a, other = *(const int64_t *)b;
    return (one > other) - (one < other);
}

static size_t lists_find(const struct side_lists *lists, int64_t side)
{
    size_t low = 0, high = lists->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (lists->sides[middle] < side)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* A list for each length that stances have on that side. */
static void lists_make(struct greedy *greedy, struct side_lists *lists, bool along, struct arena *arena)
{
    size_t count = greedy->stance_count;
    lists->sides = arena_take_array(arena, count, sizeof *lists->sides);
    for (size_t i = 0; i < count; i++)
        lists->sides[i] = along ? greedy->stances[i].along : greedy->stances[i].across;
    qsort(lists->sides, count, sizeof *lists->sides, values_compare);
    for (size_t i = 0; i < count; i++)
        if (!lists->count || lists->sides[i] != lists->sides[lists->count - 1])
            lists->sides[lists->count++] = lists->sides[i];
    lists->heads = arena_take_array(arena, lists->count, sizeof *lists->heads);
    lists->next = arena_take_array(arena, count, sizeof *lists->next);
    lists->of = arena_take_array(arena, count, sizeof *lists->of);
    for (size_t i = 0; i < count; i++)
        lists->of[i] = lists_find(lists, along ? greedy->stances[i].along : greedy->stances[i].across);
}

static void stances_add(struct greedy *greedy, size_t piece)
{
    const struct layout_piece *p = &greedy->order->pieces[piece];
    struct stance *stance = &greedy->stances[greedy->stance_count++];
    *stance = (struct stance){p->across, p->along, (int32_t)piece, false};
    if (p->may_turn && p->across != p->along)
        greedy->stances[greedy->stance_count++] = (struct stance){p->along, p->across, (int32_t)piece, true};
}

struct greedy *greedy_new(const struct layout_order *order, struct arena *arena)
{
    struct greedy *greedy = arena_take(arena, sizeof *greedy);
    greedy->order = order;
    greedy->skyline.steps = arena_take_array(arena, order->count + 2, sizeof *greedy->skyline.steps);
    greedy->stances = arena_take_array(arena, 2 * order->count, sizeof *greedy->stances);
    greedy->first = arena_take_array(arena, order->count + 1, sizeof *greedy->first);
    greedy->next = arena_take_array(arena, 2 * order->count, sizeof *greedy->next);
    greedy->gone = arena_take_array(arena, order->count, sizeof *greedy->gone);
    greedy->places = arena_take_array(arena, order->count, sizeof *greedy->places);
    for (size_t i = 0; i < order->count; i++) {
        greedy->first[i] = greedy->stance_count;
        stances_add(greedy, i);
        greedy->area += order->pieces[i].across * order->pieces[i].along;
    }
    greedy->first[order->count] = greedy->stance_count;
    lists_make(greedy, &greedy->by_across, false, arena);
    lists_make(greedy, &greedy->by_along, true, arena);
    return greedy;
}

static void lists_clear(struct side_lists *lists)
{
    for (size_t i = 0; i < lists->count; i++) lists->heads[i] = -1;
}

static void lists_put(struct side_lists *lists, int32_t stance)
{
    int32_t *head = &lists->heads[lists->of[stance]];
    lists->next[stance] = *head, *head = stance;
}

/* Every list has its stances in the sequence's order. */
static void lists_fill(struct greedy *greedy, const int32_t *sequence)
{
    lists_clear(&greedy->by_across), lists_clear(&greedy->by_along);
    greedy->head = -1;
    memset(greedy->gone, 0, greedy->order->count * sizeof *greedy->gone);
    for (size_t i = greedy->order->count; i-- > 0;)
        for (size_t s = greedy->first[sequence[i] + 1]; s-- > greedy->first[sequence[i]];) {
            lists_put(&greedy->by_across, (int32_t)s), lists_put(&greedy->by_along, (int32_t)s);
            greedy->next[s] = greedy->head, greedy->head = (int32_t)s;
        }
}

/* ---- choosing ---- */

struct choice {
    int fit; /* 0: nothing goes in */
    int32_t stance;
};

/* The first that fits at least as well as `wanted`, or better than `best`, and then the best of the list. Those that
 * are gone are taken out on the way. */
static struct choice choose_from(const struct greedy *greedy, const struct niche *niche, int32_t *link,
                                 int32_t *next, struct choice best, int wanted)
{
    while (*link >= 0 && best.fit < wanted) {
        int32_t s = *link;
        const struct stance *stance = &greedy->stances[s];
        if (greedy->gone[stance->piece]) {
            *link = next[s];
            continue;
        }
        int fits = niche_fit(niche, stance->across, stance->along);
        if (fits > best.fit) best = (struct choice){fits, s};
        link = &next[s];
    }
    return best;
}

static struct choice choose_side(const struct greedy *greedy, const struct niche *niche,
                                 const struct side_lists *lists, int64_t side, struct choice best, int wanted)
{
    size_t list = lists_find(lists, side);
    if (list == lists->count || lists->sides[list] != side) return best;
    return choose_from(greedy, niche, &lists->heads[list], lists->next, best, wanted);
}

/* Those that fill the width, those that end with a wall, and then any: lists in which nothing better can be are not
 * gone through. */
static struct choice choose_stance(struct greedy *greedy, const struct niche *niche)
{
    struct choice best =
        choose_side(greedy, niche, &greedy->by_across, niche->width, (struct choice){0, -1}, FIT_WHOLE);
    if (best.fit < FIT_HIGH_WALL)
        best = choose_side(greedy, niche, &greedy->by_along, niche->high, best, FIT_HIGH_WALL);
    if (best.fit < FIT_LOW_WALL)
        best = choose_side(greedy, niche, &greedy->by_along, niche->low, best, FIT_LOW_WALL);
    if (!best.fit) best = choose_from(greedy, niche, &greedy->head, greedy->next, best, 1);
    return best;
}

static int64_t greedy_put(struct greedy *greedy, const struct niche *niche, const struct choice *choice)
{
    const struct stance *stance = &greedy->stances[choice->stance];
    int64_t across = stance->across, end = niche->level + stance->along;
    int64_t at = greedy->skyline.steps[niche->step].at;
    bool at_left = niche_at_left(niche, choice->fit);
    greedy->gone[stance->piece] = true;
    greedy->places[stance->piece] =
        (struct layout_place){at_left ? at : at + niche->width - across, niche->level, stance->turned};
    if (at_left)
        skyline_raise_left(&greedy->skyline, niche->step, across, end);
    else
        skyline_raise_right(&greedy->skyline, niche->step, across, end);
    return end;
}

int64_t greedy_pack(struct greedy *greedy, const int32_t *sequence, int64_t limit, int64_t *used)
{
    int64_t left = greedy->area;
    lists_fill(greedy, sequence);
    skyline_start(&greedy->skyline, greedy->order->width);
    *used = 0;
    while (left > 0) {
        struct niche niche = niche_of(&greedy->skyline, limit);
        if (niche.room <= 0) break;
        struct choice choice = choose_stance(greedy, &niche);
        if (!choice.fit) { /* filled up to the lower wall, or to the limit where it has none */
            skyline_raise_left(&greedy->skyline, niche.step, niche.width, niche.level + niche.low);
            continue;
        }
        int64_t end = greedy_put(greedy, &niche, &choice);
        if (end > *used) *used = end;
        left -= greedy->stances[choice.stance].across * greedy->stances[choice.stance].along;
    }
    return left;
}

/* ---- sequences to begin with ---- */

static int64_t sort_value(const struct layout_piece *piece, int by)
{
    switch (by) {
    case 0:
        return piece->along;
    case 1:
        return piece->across;
    case 2:
        return piece->along * piece->across;
    default:
        return piece->along + piece->across;
    }
}

struct sorted {
    int64_t value, across;
    int32_t piece;
};

static int sorted_compare(const void *a, const void *b)
{
    const struct sorted *one = a, *other = b;
    if (one->value != other->value) return one->value < other->value ? 1 : -1;
    if (one->across != other->across) return one->across < other->across ? 1 : -1;
    return one->piece < other->piece ? -1 : 1;
}

void greedy_sequence(const struct layout_order *order, int by, int32_t *sequence)
{
    struct sorted sorted[LAYOUT_PIECES_MOST];
    assert(order->count <= LAYOUT_PIECES_MOST && by < GREEDY_SEQUENCES);
    for (size_t i = 0; i < order->count; i++)
        sorted[i] = (struct sorted){sort_value(&order->pieces[i], by), order->pieces[i].across, (int32_t)i};
    qsort(sorted, order->count, sizeof *sorted, sorted_compare);
    for (size_t i = 0; i < order->count; i++) sequence[i] = sorted[i].piece;
}
