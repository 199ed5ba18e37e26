/* Counts where sides meet, before GEOS makes a node of each: hostile rings have hundreds of millions. A line sweeps
 * from left to right over the sides that it meets. */
#include "inner.h"
#include <math.h>
#include <stdlib.h>

struct swept_side {
    struct point left, right;
    double low, high;
    size_t ring, index, of; /* its number in its ring, and how many that has */
};

static int compare_left(const void *a, const void *b)
{
    const struct swept_side *one = a, *other = b;
    return (one->left.x > other->left.x) - (one->left.x < other->left.x);
}

/* On which side of the line p lies: 1, 0, -1. */
static int side_of(const struct swept_side *line, struct point p)
{
    double cross = (line->right.x - line->left.x) * (p.y - line->left.y) -
                   (line->right.y - line->left.y) * (p.x - line->left.x);
    return (cross > 0) - (cross < 0);
}

static bool sides_are_neighbours(const struct swept_side *a, const struct swept_side *b)
{
    return a->ring == b->ring && ((a->index + 1) % a->of == b->index || (b->index + 1) % b->of == a->index);
}

static bool sides_meet(const struct swept_side *a, const struct swept_side *b)
{
    if (a->low > b->high || b->low > a->high || sides_are_neighbours(a, b)) return false;
    return side_of(a, b->left) * side_of(a, b->right) <= 0 && side_of(b, a->left) * side_of(b, a->right) <= 0;
}

static struct swept_side *sides_of(const struct polygon *rings, size_t count, size_t total,
                                   struct arena *arena)
{
    struct swept_side *sides = arena_take_array(arena, total, sizeof *sides), *side = sides;
    for (size_t r = 0; r < count; r++)
        for (size_t i = 0; i < rings[r].count; i++, side++) {
            struct point p = rings[r].points[i], q = rings[r].points[(i + 1) % rings[r].count];
            bool turned = p.x > q.x;
            *side = (struct swept_side){turned ? q : p, turned ? p : q, fmin(p.y, q.y), fmax(p.y, q.y), r, i,
                                        rings[r].count};
        }
    return sides;
}

size_t rings_crossings(const struct polygon *rings, size_t count, size_t most, struct arena *arena)
{
    const struct region all = {(struct polygon *)rings, count};
    size_t total = region_points(&all), open = 0, found = 0;
    struct swept_side *sides = sides_of(rings, count, total, arena);
    const struct swept_side **swept = arena_take_array(arena, total, sizeof *swept);
    if (total) qsort(sides, total, sizeof *sides, compare_left);
    for (size_t i = 0; i < total && found <= most; i++) {
        size_t kept = 0;
        for (size_t k = 0; k < open; k++) {
            if (swept[k]->right.x < sides[i].left.x) continue;
            found += sides_meet(swept[k], &sides[i]);
            swept[kept++] = swept[k];
        }
        open = kept;
        swept[open++] = &sides[i];
    }
    return found > most ? most + 1 : found;
}
