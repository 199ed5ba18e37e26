/* Lengths that no packing can fall below. */
#include "inner.h"

static int64_t bounds_up(int64_t area, int64_t width)
{
    return (area + width - 1) / width;
}

/* U^(epsilon), epsilon being k of the strip: a piece wider than the strip less k counts as wide as the strip, one narrower than k not at all: beside
 * the first kind nothing as wide as k can lie. */
static int64_t bounds_width(int64_t strip, int64_t k, int64_t width)
{
    return width > strip - k ? strip : width < k ? 0 : width;
}

static int64_t bounds_area(const struct layout_piece *piece, int64_t strip, int64_t k)
{
    int64_t area = INT64_MAX;
    if (piece->across <= strip) area = piece->along * bounds_width(strip, k, piece->across);
    if (piece->may_turn && piece->along <= strip) {
        int64_t turned = piece->across * bounds_width(strip, k, piece->along);
        if (turned < area) area = turned;
    }
    return area;
}

static int64_t bounds_of(const struct layout_order *order, int64_t k)
{
    int64_t area = 0;
    for (size_t i = 0; i < order->count; i++) area += bounds_area(&order->pieces[i], order->width, k);
    return bounds_up(area, order->width);
}

static int64_t shortest_along(const struct layout_piece *piece, int64_t strip)
{
    bool turns = piece->may_turn && piece->along <= strip && piece->across < piece->along;
    return turns || piece->across > strip ? piece->across : piece->along;
}

/* The value of k that decides for a side: 0 where it changes nothing. */
static int64_t bounds_k(int64_t strip, int64_t side)
{
    int64_t k = side <= strip / 2 ? side : strip - side + 1;
    return k < 1 || k > strip / 2 ? 0 : k;
}

static int64_t bounds_by_width(const struct layout_order *order)
{
    int64_t lower = bounds_of(order, 0);
    for (size_t i = 0; i < order->count; i++) {
        const struct layout_piece *piece = &order->pieces[i];
        int64_t along = shortest_along(piece, order->width),
                bound = bounds_of(order, bounds_k(order->width, piece->across));
        if (piece->may_turn) {
            int64_t turned = bounds_of(order, bounds_k(order->width, piece->along));
            if (turned > bound) bound = turned;
        }
        if (along > lower) lower = along;
        if (bound > lower) lower = bound;
    }
    return lower;
}

/* ---- both sides at once, for a length asked for ---- */

struct bounds_pair {
    int64_t width, length, across_k, along_k;
};

static int64_t pair_area(const struct bounds_pair *pair, int64_t across, int64_t along)
{
    if (across > pair->width || along > pair->length) return INT64_MAX;
    return bounds_width(pair->width, pair->across_k, across) *
           bounds_width(pair->length, pair->along_k, along);
}

static bool pair_exceeds(const struct layout_order *order, const struct bounds_pair *pair)
{
    int64_t area = 0, all = pair->width * pair->length;
    for (size_t i = 0; i < order->count && area <= all; i++) {
        const struct layout_piece *piece = &order->pieces[i];
        int64_t one = pair_area(pair, piece->across, piece->along);
        int64_t turned = piece->may_turn ? pair_area(pair, piece->along, piece->across) : INT64_MAX;
        int64_t least = turned < one ? turned : one;
        if (least > all - area) return true;
        area += least;
    }
    return area > all;
}

/* No packing is as short as `length`: shown by products of the functions of both sides. */
static bool bounds_exceed(const struct layout_order *order, int64_t length)
{
    for (size_t i = 0; i < order->count; i++)
        for (size_t k = 0; k < order->count; k++) {
            struct bounds_pair pair = {order->width, length, bounds_k(order->width, order->pieces[i].across),
                                       bounds_k(length, order->pieces[k].along)};
            if (pair_exceeds(order, &pair)) return true;
        }
    return false;
}

/* Lengths that are too short are looked for in growing steps, and then between the last two. */
static int64_t bounds_raise(const struct layout_order *order, int64_t lower)
{
    int64_t step = 1;
    while (bounds_exceed(order, lower + step - 1)) lower += step, step *= 2;
    for (step /= 2; step >= 1; step /= 2)
        if (bounds_exceed(order, lower + step - 1)) lower += step;
    return lower;
}

int64_t layout_lower_bound(const struct layout_order *order)
{
    enum { PAIRS_FOR = 60 }; /* the work grows with the third power */
    int64_t lower = order->count ? bounds_by_width(order) : 0;
    return order->count && order->count <= PAIRS_FOR ? bounds_raise(order, lower) : lower;
}
