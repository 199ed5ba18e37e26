/* Moves outlines apart: two convex parts that lie in each other are pushed out over the nearest edge of their sum,
 * both by half, until none do (relaxation by projections, as in position based dynamics). */
#include "outline_settle.h"
#include <math.h>

static void sum_of_parts(const struct convex *a, const struct convex *mirrored, struct settle_sum *sum,
                         struct arena *arena)
{
    struct convex c = convex_sum(a, mirrored, arena);
    sum->edges = arena_take_array(arena, c.count, sizeof *sum->edges);
    sum->count = 0;
    for (size_t i = 0; i < c.count; i++) {
        struct layout_point p = c.points[i], q = c.points[(i + 1) % c.count];
        double x = (double)(q.along - p.along), y = (double)(p.across - q.across), size = hypot(x, y);
        if (size == 0) continue;
        x /= size, y /= size;
        sum->edges[sum->count++] = (struct settle_edge){x, y, x * (double)p.across + y * (double)p.along};
    }
}

/* Sums of every part of one with every part of the other, and a disc for the gap. */
static void pair_fill(struct settle *settle, struct settle_pair *pair, const struct convex *disc,
                      struct arena *arena)
{
    const struct convex_parts *a = settle->pieces[pair->first].parts;
    struct convex_parts b = convex_parts_mirror(settle->pieces[pair->second].parts, arena);
    pair->sums = arena_take_array(arena, a->count * b.count, sizeof *pair->sums);
    for (size_t k = 0; k < b.count; k++) {
        struct convex grown = convex_sum(&b.parts[k], disc, arena);
        for (size_t i = 0; i < a->count; i++)
            sum_of_parts(&a->parts[i], &grown, &pair->sums[pair->count++], arena);
    }
}

static bool boxes_are_near(const struct settle *settle, size_t i, size_t k, double reach)
{
    const struct settle_piece *a = &settle->pieces[i], *b = &settle->pieces[k];
    double x = b->across - a->across, y = b->along - a->along;
    return x < (double)a->shape->width + reach && -x < (double)b->shape->width + reach &&
           y < (double)a->shape->length + reach && -y < (double)b->shape->length + reach;
}

static void pairs_find(struct settle *settle, int64_t gap, double reach, struct arena *arena)
{
    struct convex disc = convex_disc(gap, arena);
    settle->pairs = arena_take_array(arena, settle->count * settle->count, sizeof *settle->pairs);
    settle->pair_count = 0, settle->gap = (double)gap;
    for (size_t i = 0; i < settle->count; i++)
        for (size_t k = 0; k < i; k++) {
            if (!boxes_are_near(settle, i, k, reach)) continue;
            struct settle_pair *pair = &settle->pairs[settle->pair_count++];
            *pair = (struct settle_pair){i, k, NULL, 0};
            pair_fill(settle, pair, &disc, arena);
        }
}

void settle_begin(struct settle *settle, int64_t gap, struct arena *arena)
{
    pairs_find(settle, gap, (double)gap * 1.1 + settle->width / 10, arena);
}

/* The edge over which it is nearest to get out, and how far; below 0: it is out. */
static double sum_depth(const struct settle_sum *sum, double across, double along,
                        const struct settle_edge **nearest)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < sum->count; i++) {
        const struct settle_edge *edge = &sum->edges[i];
        double depth = edge->reach - edge->across * across - edge->along * along;
        if (depth >= least) continue;
        least = depth, *nearest = edge;
        if (depth < 0) break;
    }
    return least;
}

static void piece_keep_in(const struct settle *settle, struct settle_piece *piece, double length)
{
    piece->across = fmax(0, fmin(piece->across, settle->width - (double)piece->shape->width));
    piece->along = fmax(0, fmin(piece->along, length - (double)piece->shape->length));
}

static double pair_part(struct settle *settle, const struct settle_pair *pair, double length)
{
    struct settle_piece *a = &settle->pieces[pair->first], *b = &settle->pieces[pair->second];
    double deepest = 0;
    if (!boxes_are_near(settle, pair->first, pair->second, settle->gap * 1.1)) return 0;
    for (size_t s = 0; s < pair->count; s++) {
        const struct settle_edge *edge = NULL;
        double depth = sum_depth(&pair->sums[s], b->across - a->across, b->along - a->along, &edge);
        if (depth <= 0) continue;
        if (depth > deepest) deepest = depth;
        double by = (depth + 0.1) / 2;
        a->across -= by * edge->across, a->along -= by * edge->along;
        b->across += by * edge->across, b->along += by * edge->along;
        piece_keep_in(settle, a, length), piece_keep_in(settle, b, length);
    }
    return deepest;
}

bool settle_part(struct settle *settle, double length)
{
    enum { SWEEPS_MOST = 500 };
    const double small = 0.8;
    for (size_t i = 0; i < settle->count; i++) {
        piece_keep_in(settle, &settle->pieces[i], length);
        if ((double)settle->pieces[i].shape->length > length) return false;
    }
    for (int sweep = 0; sweep < SWEEPS_MOST; sweep++) {
        double deepest = 0;
        for (size_t p = 0; p < settle->pair_count; p++) {
            double depth = pair_part(settle, &settle->pairs[p], length);
            if (depth > deepest) deepest = depth;
        }
        if (deepest <= small) return true;
    }
    return false;
}

double settle_depth(const struct settle *settle, int64_t gap, struct arena *arena)
{
    struct settle all = *settle;
    double deepest = 0;
    pairs_find(&all, gap, (double)gap * 1.1, arena);
    for (size_t p = 0; p < all.pair_count; p++) {
        const struct settle_pair *pair = &all.pairs[p];
        const struct settle_piece *a = &all.pieces[pair->first], *b = &all.pieces[pair->second];
        for (size_t s = 0; s < pair->count; s++) {
            const struct settle_edge *edge = NULL;
            double depth = sum_depth(&pair->sums[s], b->across - a->across, b->along - a->along, &edge);
            if (depth > deepest) deepest = depth;
        }
    }
    return deepest;
}
