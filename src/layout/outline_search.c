/* A shorter layout of outlines. The strip is cut off a little sooner, what stood out is put in, and then pieces that
 * lie in others are taken in turns: each goes where it lies least deep in the others, and pairs that stay in each
 * other matter more and more (guided local search: Egeblad, Nielsen and Odgaard, EJOR 183, 2007, 1249-1266; on a
 * grid: Umetani and Murakami, Annals of Operations Research, 2022; from memory, unchecked). */
#include "outline_search.h"
#include <string.h>

struct outline_search *outline_search_new(const struct outline_maps *maps, struct layout_search *clock,
                                          struct arena *arena)
{
    struct outline_search *search = arena_take(arena, sizeof *search);
    size_t count = maps->order->count;
    search->maps = maps, search->clock = clock, search->best_length = INT32_MAX;
    search->spots = arena_take_array(arena, count, sizeof *search->spots);
    search->best = arena_take_array(arena, count, sizeof *search->best);
    search->weights = arena_take_array(arena, count * count, sizeof *search->weights);
    search->turn = arena_take_array(arena, count, sizeof *search->turn);
    search->dice = dice_new(clock->effort->seed);
    return search;
}

/* ---- places ---- */

static int32_t spot_end(const struct outline_search *search, const struct outline_spot *spot)
{
    return spot->along + search->maps->stances[spot->stance].length;
}

static uint16_t spots_depth(const struct outline_search *search, size_t i, size_t k)
{
    const struct outline_spot *a = &search->spots[i], *b = &search->spots[k];
    return depth_at(outline_map(search->maps, a->stance, b->stance), b->across - a->across,
                    b->along - a->along);
}

static int32_t larger(int32_t a, int32_t b)
{
    return a > b ? a : b;
}

static int32_t smaller(int32_t a, int32_t b)
{
    return a < b ? a : b;
}

/* Adds to each place in the field what it would be deep in one that lies at `spot`. */
static void field_add(struct outline_search *search, const struct outline_spot *spot, size_t stance,
                      double weight, int32_t width, int32_t length)
{
    const struct depth_map *map = outline_map(search->maps, spot->stance, stance);
    int32_t x0 = larger(0, spot->across + map->across0), y0 = larger(0, spot->along + map->along0);
    int32_t x1 = smaller(width, spot->across + map->across0 + map->width),
            y1 = smaller(length, spot->along + map->along0 + map->length);
    float by = (float)weight;
    for (int32_t y = y0; y < y1; y++) {
        const uint16_t *from = map->depth + (size_t)(y - spot->along - map->along0) * (size_t)map->width +
                               (x0 - spot->across - map->across0);
        float *to = search->field + (size_t)y * (size_t)width + x0;
        for (int32_t x = 0; x < x1 - x0; x++) to[x] += by * (float)from[x];
    }
}

struct field_choice {
    struct outline_spot spot;
    float depth;
    uint32_t alike; /* places that are as good */
};

/* The least deep place; of those alike any, or the first. */
static void field_choose(struct outline_search *search, size_t stance, int32_t width, int32_t length,
                         bool first, struct field_choice *best)
{
    const float *field = search->field;
    for (int32_t y = 0; y < length; y++)
        for (int32_t x = 0; x < width; x++) {
            float depth = *field++;
            if (depth > best->depth || (first && depth == best->depth)) continue;
            if (depth < best->depth) best->alike = 0;
            best->alike++;
            if (best->alike > 1 && dice_below(&search->dice, best->alike)) continue;
            best->depth = depth;
            best->spot = (struct outline_spot){x, y, stance};
        }
}

/* The least deep place for a piece, among the first `count` of `turn`. False: it is longer than the strip. */
static bool piece_look(struct outline_search *search, size_t piece, size_t count, bool first,
                       struct field_choice *best)
{
    const struct outline_maps *maps = search->maps;
    size_t pieces = maps->order->count;
    *best = (struct field_choice){.depth = 3e38f};
    for (size_t s = maps->first[piece]; s < maps->first[piece] + maps->kinds[piece]; s++) {
        int32_t width = maps->width - maps->stances[s].width + 1,
                length = search->length - maps->stances[s].length + 1;
        if (length < 1) continue;
        memset(search->field, 0, (size_t)width * (size_t)length * sizeof *search->field);
        for (size_t k = 0; k < count; k++) {
            size_t other = search->turn[k];
            if (other != piece)
                field_add(search, &search->spots[other], s, search->weights[piece * pieces + other], width,
                          length);
        }
        field_choose(search, s, width, length, first, best);
    }
    return best->depth < 3e38f;
}

static void field_make(struct outline_search *search, int32_t length)
{
    size_t size = (size_t)(search->maps->width + 1) * (size_t)(length + 1);
    if (size <= search->field_size) return;
    search->field = arena_take_array(search->clock->arena, size, sizeof *search->field);
    search->field_size = size;
}

static void weights_reset(struct outline_search *search)
{
    size_t count = search->maps->order->count;
    for (size_t i = 0; i < count * count; i++) search->weights[i] = 1;
}

static void spots_take(struct outline_search *search)
{
    int32_t end = 0;
    size_t count = search->maps->order->count;
    for (size_t i = 0; i < count; i++) end = larger(end, spot_end(search, &search->spots[i]));
    if (end >= search->best_length) return;
    search->best_length = end;
    memcpy(search->best, search->spots, count * sizeof *search->best);
}

/* ---- a first layout ---- */

static int64_t piece_box(const struct outline_search *search, size_t piece)
{
    const struct shape *shape = &search->maps->stances[search->maps->first[piece]].shape;
    return shape->width * shape->length;
}

static void turns_by_box(struct outline_search *search)
{
    size_t count = search->maps->order->count;
    for (size_t i = 0; i < count; i++) {
        size_t k = i;
        for (; k > 0 && piece_box(search, search->turn[k - 1]) < piece_box(search, i); k--)
            search->turn[k] = search->turn[k - 1];
        search->turn[k] = i;
    }
}

bool outline_search_begin(struct outline_search *search, int32_t length)
{
    size_t count = search->maps->order->count;
    search->length = length;
    field_make(search, length);
    weights_reset(search);
    turns_by_box(search);
    for (size_t i = 0; i < count; i++) {
        struct field_choice choice;
        if (!piece_look(search, search->turn[i], i, true, &choice) || choice.depth > 0) return false;
        search->spots[search->turn[i]] = choice.spot;
    }
    spots_take(search);
    return true;
}

/* ---- shorter ---- */

static void spots_push_in(struct outline_search *search)
{
    for (size_t i = 0; i < search->maps->order->count; i++) {
        struct outline_spot *spot = &search->spots[i];
        const struct outline_stance *stance = &search->maps->stances[spot->stance];
        spot->across = smaller(spot->across, search->maps->width - stance->width);
        spot->along = larger(0, smaller(spot->along, search->length - stance->length));
    }
}

/* The best layout with what stands out pushed in, and now and then some pieces anywhere. */
static void spots_begin(struct outline_search *search, int shuffled)
{
    size_t count = search->maps->order->count;
    memcpy(search->spots, search->best, count * sizeof *search->spots);
    for (int n = 0; n < shuffled; n++) {
        size_t i = dice_below(&search->dice, count), k = dice_below(&search->dice, count);
        int32_t across = search->spots[i].across, along = search->spots[i].along;
        search->spots[i].across = search->spots[k].across, search->spots[i].along = search->spots[k].along;
        search->spots[k].across = across, search->spots[k].along = along;
    }
    spots_push_in(search);
}

static bool piece_is_clear(const struct outline_search *search, size_t piece)
{
    for (size_t k = 0; k < search->maps->order->count; k++)
        if (k != piece && spots_depth(search, piece, k)) return false;
    return spot_end(search, &search->spots[piece]) <= search->length;
}

static void turns_shuffle(struct outline_search *search)
{
    for (size_t i = search->maps->order->count; i-- > 1;) {
        size_t k = dice_below(&search->dice, i + 1), kept = search->turn[i];
        search->turn[i] = search->turn[k], search->turn[k] = kept;
    }
}

/* Pairs that lie in each other matter more, the deepest most. Whether there are any. */
static bool weights_raise(struct outline_search *search)
{
    size_t count = search->maps->order->count;
    uint16_t deepest = 0;
    for (int pass = 0; pass < 2; pass++)
        for (size_t i = 0; i < count; i++)
            for (size_t k = 0; k < i; k++) {
                uint16_t depth = spots_depth(search, i, k);
                if (!pass && depth > deepest) deepest = depth;
                if (!pass || !depth) continue;
                double more = (double)depth / (double)deepest;
                search->weights[i * count + k] += more, search->weights[k * count + i] += more;
            }
    return deepest > 0;
}

/* Every piece that lies in others goes where that is least. False when a piece is longer than the strip. */
static bool pieces_take_turns(struct outline_search *search)
{
    size_t count = search->maps->order->count;
    turns_shuffle(search);
    for (size_t i = 0; i < count && !search->clock->ended; i++) {
        size_t piece = search->turn[i];
        struct field_choice choice;
        if (piece_is_clear(search, piece)) continue;
        if (!piece_look(search, piece, count, false, &choice)) return false;
        search->spots[piece] = choice.spot;
        search_is_over(search->clock, false);
    }
    return true;
}

static bool spots_part(struct outline_search *search, int rounds)
{
    weights_reset(search);
    for (int round = 0; round < rounds && !search->clock->ended; round++) {
        if (!pieces_take_turns(search)) return false;
        if (!search->clock->ended && !weights_raise(search)) {
            spots_take(search);
            return true;
        }
    }
    return false;
}

static void spots_throw(struct outline_search *search)
{
    const struct outline_maps *maps = search->maps;
    for (size_t i = 0; i < maps->order->count; i++) {
        size_t stance = maps->first[i] + dice_below(&search->dice, maps->kinds[i]);
        int32_t across = maps->width - maps->stances[stance].width + 1,
                along = larger(1, search->length - maps->stances[stance].length + 1);
        search->spots[i] = (struct outline_spot){(int32_t)dice_below(&search->dice, (uint64_t)across),
                                                 (int32_t)dice_below(&search->dice, (uint64_t)along), stance};
        search->turn[i] = i;
    }
}

bool outline_search_scatter(struct outline_search *search, int32_t length, int rounds)
{
    search->length = length, search->best_length = INT32_MAX;
    field_make(search, length);
    spots_throw(search);
    return spots_part(search, rounds);
}

bool outline_search_refine(struct outline_search *search, const struct outline_search *coarse)
{
    enum { ROUNDS = 60, LONGER_MOST = 12 };
    size_t count = search->maps->order->count;
    int32_t times = (int32_t)(coarse->maps->step / search->maps->step);
    for (size_t i = 0; i < count; i++) search->turn[i] = i;
    search->best_length = INT32_MAX;
    for (int longer = 0; longer <= LONGER_MOST && !search->clock->ended; longer += 2) {
        search->length = coarse->best_length * times;
        search->length += search->length * longer / 100;
        field_make(search, search->length);
        for (size_t i = 0; i < count; i++) {
            struct outline_spot spot = coarse->best[i];
            search->spots[i] = (struct outline_spot){times * spot.across, times * spot.along, spot.stance};
        }
        spots_push_in(search);
        if (spots_part(search, ROUNDS)) return true;
    }
    return false;
}

/* Halfway to what is needed at least, a quarter of the way, ... a step; and again with more rounds and some pieces
 * exchanged. */
bool outline_search_shorten(struct outline_search *search, int32_t lower, int failures)
{
    enum { ROUNDS = 50, CYCLE = 6 };
    for (int failed = 0; failed < failures && !search_is_over(search->clock, false); failed++) {
        int32_t less = (search->best_length - lower) >> (1 + failed % CYCLE);
        search->length = search->best_length - larger(1, less);
        if (search->length < lower || search->length < 1) return false;
        spots_begin(search, failed < CYCLE ? 0 : failed % 5);
        if (spots_part(search, ROUNDS * (1 + failed / CYCLE))) return true;
    }
    return false;
}
