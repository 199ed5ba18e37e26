/* Outlines as they lie. Coordinates are below 2^28 or so: products of two differences fit into 64 bits. */
#include "outline_shape.h"

unsigned outline_turns(const struct layout_outline *outline)
{
    return outline->turns ? outline->turns : (unsigned)(LAYOUT_AS_DRAWN | LAYOUT_HALF);
}

struct layout_point layout_outline_point(struct layout_point point, const struct layout_outline_place *place)
{
    for (int i = 0; i < place->quarters; i++) point = (struct layout_point){-point.along, point.across};
    return (struct layout_point){point.across + place->across, point.along + place->along};
}

static struct shape_box box_of_points(const struct layout_point *points, size_t count)
{
    struct shape_box box = {INT64_MAX, INT64_MAX, INT64_MIN, INT64_MIN};
    for (size_t i = 0; i < count; i++) {
        const struct layout_point *p = &points[i];
        if (p->across < box.across0) box.across0 = p->across;
        if (p->across > box.across1) box.across1 = p->across;
        if (p->along < box.along0) box.along0 = p->along;
        if (p->along > box.along1) box.along1 = p->along;
    }
    return box;
}

struct shape shape_of(const struct layout_outline *outline, int quarters, struct arena *arena)
{
    struct shape shape = {
        arena_take_array(arena, outline->count, sizeof *shape.points), outline->count, 0, 0, {0, 0}};
    const struct layout_outline_place turn = {0, 0, quarters};
    for (size_t i = 0; i < outline->count; i++)
        shape.points[i] = layout_outline_point(outline->points[i], &turn);
    struct shape_box box = box_of_points(shape.points, shape.count);
    for (size_t i = 0; i < outline->count; i++)
        shape.points[i].across -= box.across0, shape.points[i].along -= box.along0;
    shape.width = box.across1 - box.across0, shape.length = box.along1 - box.along0;
    shape.corner = (struct layout_point){box.across0, box.along0};
    return shape;
}

/* ---- lines ---- */

/* Twice the area of a triangle, positive when it goes round from across towards along. */
static int64_t triangle_twice(struct layout_point a, struct layout_point b, struct layout_point c)
{
    return (b.across - a.across) * (c.along - a.along) - (b.along - a.along) * (c.across - a.across);
}

static int line_side(int64_t value)
{
    return (value > 0) - (value < 0);
}

static bool is_between(int64_t a, int64_t b, int64_t value)
{
    return a < b ? a <= value && value <= b : b <= value && value <= a;
}

/* A point that is in line with a and b lies between them. */
static bool lies_on(struct layout_point a, struct layout_point b, struct layout_point p)
{
    return is_between(a.across, b.across, p.across) && is_between(a.along, b.along, p.along);
}

/* The lines from a to b and from c to d have a point in common. */
static bool lines_meet(struct layout_point a, struct layout_point b, struct layout_point c,
                       struct layout_point d)
{
    int abc = line_side(triangle_twice(a, b, c)), abd = line_side(triangle_twice(a, b, d));
    int cda = line_side(triangle_twice(c, d, a)), cdb = line_side(triangle_twice(c, d, b));
    if (abc * abd < 0 && cda * cdb < 0) return true;
    return (!abc && lies_on(a, b, c)) || (!abd && lies_on(a, b, d)) || (!cda && lies_on(c, d, a)) ||
           (!cdb && lies_on(c, d, b));
}

int64_t outline_area_twice(const struct layout_outline *outline)
{
    int64_t twice = 0;
    for (size_t i = 1; i + 1 < outline->count; i++)
        twice += triangle_twice(outline->points[0], outline->points[i], outline->points[i + 1]);
    return twice < 0 ? -twice : twice;
}

/* Behind a point the line does not turn straight back. */
static bool turns_back(struct layout_point a, struct layout_point b, struct layout_point c)
{
    return triangle_twice(a, b, c) == 0 && (lies_on(a, b, c) || lies_on(b, c, a));
}

bool outline_is_simple(const struct layout_outline *outline)
{
    size_t n = outline->count;
    const struct layout_point *p = outline->points;
    for (size_t i = 0; i < n; i++) {
        if (turns_back(p[i], p[(i + 1) % n], p[(i + 2) % n])) return false;
        for (size_t k = i + 2; k < n; k++)
            if ((k + 1) % n != i && lines_meet(p[i], p[i + 1], p[k], p[(k + 1) % n])) return false;
    }
    return outline_area_twice(outline) > 0;
}
