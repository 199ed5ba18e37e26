/* Moves outlines apart: two that lie in each other are pushed by the shortest way that is found out of all sums of
 * their convex parts, both by half, until none do (relaxation by projections, as in position based dynamics). The
 * nearest edge of one sum alone often leads into the next. */
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

/* The first sum in which a difference of places lies, how deep, and over which edge it is nearest out. */
static const struct settle_sum *pair_inside(const struct settle_pair *pair, const double at[2], double *depth,
                                            const struct settle_edge **nearest)
{
    for (size_t s = 0; s < pair->count; s++) {
        *depth = sum_depth(&pair->sums[s], at[0], at[1], nearest);
        if (*depth > 0) return &pair->sums[s];
    }
    return NULL;
}

struct settle_exit { /* what to add to the difference of places */
    double by[2], size;
};

/* Out over one edge first, and then over the nearest of whatever it still lies in. */
static void exit_try(const struct settle_pair *pair, const double from[2], const struct settle_edge *edge,
                     double depth, struct settle_exit *best)
{
    enum { EDGES_MOST = 5 };
    const double beyond = 0.1;
    double at[2] = {from[0], from[1]};
    for (int i = 0; i < EDGES_MOST; i++) {
        at[0] += (depth + beyond) * edge->across, at[1] += (depth + beyond) * edge->along;
        double size = hypot(at[0] - from[0], at[1] - from[1]);
        if (size >= best->size) return;
        if (pair_inside(pair, at, &depth, &edge)) continue;
        *best = (struct settle_exit){{at[0] - from[0], at[1] - from[1]}, size};
        return;
    }
}

/* The shortest way out that is found; size 0: it is out already. */
static struct settle_exit pair_exit(const struct settle_pair *pair, const double at[2])
{
    struct settle_exit best = {{0, 0}, HUGE_VAL};
    const struct settle_edge *nearest = NULL;
    double depth = 0;
    const struct settle_sum *first = pair_inside(pair, at, &depth, &nearest);
    if (!first) return (struct settle_exit){{0, 0}, 0};
    struct settle_exit usual = {{depth * nearest->across, depth * nearest->along}, depth};
    for (const struct settle_sum *sum = first; sum < pair->sums + pair->count; sum++) {
        if (sum_depth(sum, at[0], at[1], &nearest) <= 0) continue;
        for (size_t i = 0; i < sum->count; i++) {
            const struct settle_edge *edge = &sum->edges[i];
            depth = edge->reach - edge->across * at[0] - edge->along * at[1];
            if (depth < best.size) exit_try(pair, at, edge, depth, &best);
        }
    }
    return best.size < HUGE_VAL ? best : usual;
}

static double pair_part(struct settle *settle, const struct settle_pair *pair, double length)
{
    struct settle_piece *a = &settle->pieces[pair->first], *b = &settle->pieces[pair->second];
    if (!boxes_are_near(settle, pair->first, pair->second, settle->gap * 1.1)) return 0;
    struct settle_exit out = pair_exit(pair, (double[]){b->across - a->across, b->along - a->along});
    if (out.size <= 0) return 0;
    a->across -= out.by[0] / 2, a->along -= out.by[1] / 2;
    b->across += out.by[0] / 2, b->along += out.by[1] / 2;
    piece_keep_in(settle, a, length), piece_keep_in(settle, b, length);
    return out.size;
}

/* Everything goes on as it went since the last sweep, a little less: where a row is as wide as the strip, halves alone
 * come ever nearer to being clear and never are (the heavy ball of Polyak, 1964; from memory). */
static void settle_coast(struct settle *settle, double length)
{
    const double kept = 0.95;
    for (size_t i = 0; i < settle->count; i++) {
        struct settle_piece *piece = &settle->pieces[i];
        double across = piece->across, along = piece->along;
        piece->across += kept * (across - piece->was_across),
            piece->along += kept * (along - piece->was_along);
        piece->was_across = across, piece->was_along = along;
        piece_keep_in(settle, piece, length);
    }
}

static double settle_sweep(struct settle *settle, double length)
{
    double deepest = 0;
    settle_coast(settle, length);
    for (size_t p = 0; p < settle->pair_count; p++) {
        double depth = pair_part(settle, &settle->pairs[p], length);
        if (depth > deepest) deepest = depth;
    }
    return deepest;
}

bool settle_part(struct settle *settle, double length)
{
    enum { SWEEPS_MOST = 500, LOOKED_AT_EACH = 100 };
    const double small = 0.8, less = 0.9;
    for (size_t i = 0; i < settle->count; i++) {
        struct settle_piece *piece = &settle->pieces[i];
        if ((double)piece->shape->length > length) return false;
        piece_keep_in(settle, piece, length);
        piece->was_across = piece->across, piece->was_along = piece->along;
    }
    double before = HUGE_VAL;
    for (int sweep = 0; sweep < SWEEPS_MOST; sweep++) {
        double deepest = settle_sweep(settle, length);
        if (deepest <= small) return true;
        if (sweep % LOOKED_AT_EACH) continue;
        if (sweep && deepest > less * before) return false;
        before = deepest;
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
