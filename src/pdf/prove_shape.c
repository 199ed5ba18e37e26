/* Leaves out of the proof what a panel's shape takes off the artwork, and the pixels at its edge and at cut lines:
 * row by row, by the sides that meet it. Called by prove.c. */
#include "prove_shape.h"
#include "base/arena.h"
#include <math.h>
#include <string.h>

static const double margin_px = 1.5; /* an edge shades its own pixel, and the two renderings round */

static void prove_add_side(struct prove_shape *shape, struct affine to_pixels, struct point from,
                           struct point to, bool of_shape)
{
    shape->sides[shape->count++] =
        (struct prove_side){affine_apply(to_pixels, from), affine_apply(to_pixels, to), of_shape};
}

struct prove_shape prove_shape_of(const struct pdf_panel_page *page, struct affine to_pixels, int width,
                                  struct arena *arena)
{
    size_t most = page->clip ? region_points(page->clip) : 0;
    for (size_t i = 0; i < page->cut_count; i++) most += page->cuts[i].count;
    double scale = fmax(hypot(to_pixels.a, to_pixels.b), hypot(to_pixels.c, to_pixels.d));
    struct prove_shape shape = {.sides = arena_take_array(arena, most, sizeof *shape.sides),
                                .shaped = page->clip && page->clip->count,
                                .near = margin_px + scale * PDF_CUT_LINE_MM / 2,
                                .flips = arena_take(arena, (size_t)width + 1)};
    for (size_t i = 0; shape.shaped && i < page->clip->count; i++) {
        const struct polygon *ring = &page->clip->rings[i];
        for (size_t k = 0; k < ring->count; k++)
            prove_add_side(&shape, to_pixels, ring->points[k], ring->points[(k + 1) % ring->count], true);
    }
    for (size_t i = 0; i < page->cut_count; i++)
        for (size_t k = 0; k + 1 < page->cuts[i].count; k++)
            prove_add_side(&shape, to_pixels, page->cuts[i].points[k], page->cuts[i].points[k + 1], false);
    return shape;
}

static int prove_column(double x, int width)
{
    return x < 0 ? 0 : x > width ? width : (int)x;
}

/* The pixels that the side passes in rows low..high, and those near them. */
static void prove_mark_side(const struct prove_side *side, double low, double high, double near, int width,
                            uint8_t *skipped)
{
    struct point a = side->from, b = side->to;
    if (a.y > b.y) a = side->to, b = side->from;
    if (b.y < low || a.y > high) return;
    double slope = b.y > a.y ? (b.x - a.x) / (b.y - a.y) : 0;
    double x0 = a.y < low ? a.x + (low - a.y) * slope : a.x,
           x1 = b.y > high ? b.x - (b.y - high) * slope : b.x;
    int from = prove_column(floor(fmin(x0, x1) - near), width),
        to = prove_column(ceil(fmax(x0, x1) + near), width);
    if (to > from) memset(skipped + from, 1, (size_t)(to - from));
}

/* Pixels with a whole even number of sides left of their middles are outside. */
static void prove_mark_outside(const struct prove_shape *shape, double middle, int width, uint8_t *skipped)
{
    memset(shape->flips, 0, (size_t)width + 1);
    for (const struct prove_side *side = shape->sides; side < shape->sides + shape->count; side++) {
        struct point a = side->from, b = side->to;
        if (!side->of_shape || (a.y > middle) == (b.y > middle)) continue;
        double x = a.x + (middle - a.y) / (b.y - a.y) * (b.x - a.x);
        shape->flips[prove_column(ceil(x - 0.5), width)] ^= 1;
    }
    for (int x = 0, inside = 0; x < width; x++) {
        inside ^= shape->flips[x];
        if (!inside) skipped[x] = 1;
    }
}

void prove_shape_mark(const struct prove_shape *shape, int y, int width, uint8_t *skipped)
{
    for (const struct prove_side *side = shape->sides; side < shape->sides + shape->count; side++)
        prove_mark_side(side, y - shape->near, y + 1 + shape->near, shape->near, width, skipped);
    if (shape->shaped) prove_mark_outside(shape, y + 0.5, width, skipped);
}
