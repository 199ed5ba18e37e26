/* Follows the line of a level through a mask, inside to the left, from every place where it has not been yet. */
#include "contour/trace.h"
#include "inner.h"
#include "smooth.h"
#include <math.h>

struct pixel_spot { /* a pixel's middle; y up, from the lowest row; may be outside the picture */
    int x, y;
};

struct crossing { /* the line passes between two neighbours */
    struct pixel_spot in, out;
};

struct tracer {
    const struct contour_mask *mask;
    const struct contour_means *means;
    double level;
    uint8_t *seen; /* a bit for each pixel: the line has passed to the right of it */
    struct polygon *rings;
    size_t count, capacity, points;
};

static int spot_value(const struct tracer *tracer, struct pixel_spot spot)
{
    const struct contour_mask *mask = tracer->mask;
    if (spot.x < 0 || spot.y < 0 || spot.x >= (int)mask->width || spot.y >= (int)mask->height) return 0;
    return mask->values[(mask->height - 1 - (size_t)spot.y) * mask->stride + (size_t)spot.x];
}

static bool spot_is_in(const struct tracer *tracer, struct pixel_spot spot)
{
    return spot_value(tracer, spot) > tracer->level;
}

/* With the inside to the left: ahead is a quarter left of the way from `in` to `out`. */
static struct crossing crossing_next(const struct tracer *tracer, struct crossing at)
{
    int ahead_x = at.in.y - at.out.y, ahead_y = at.out.x - at.in.x;
    struct pixel_spot left = {at.in.x + ahead_x, at.in.y + ahead_y},
                      right = {at.out.x + ahead_x, at.out.y + ahead_y};
    bool left_in = spot_is_in(tracer, left), right_in = spot_is_in(tracer, right);
    if (!left_in && right_in) { /* the two inside touch by a corner */
        int sum = spot_value(tracer, at.in) + spot_value(tracer, at.out) + spot_value(tracer, left) +
                  spot_value(tracer, right);
        right_in = sum >= 4 * tracer->level;
        return right_in ? (struct crossing){right, at.out} : (struct crossing){at.in, left};
    }
    if (!left_in) return (struct crossing){at.in, left};
    return right_in ? (struct crossing){right, at.out} : (struct crossing){left, right};
}

static struct point crossing_place(const struct tracer *tracer, struct crossing at)
{
    const struct contour_mask *mask = tracer->mask;
    double in = spot_value(tracer, at.in), out = spot_value(tracer, at.out);
    double share = (in - tracer->level) / (in - out);
    return (struct point){mask->corner.x + (at.in.x + 0.5 + share * (at.out.x - at.in.x)) / mask->px_per_mm,
                          mask->corner.y + (at.in.y + 0.5 + share * (at.out.y - at.in.y)) / mask->px_per_mm};
}

/* Whether it was marked before. */
static bool crossing_mark(const struct tracer *tracer, struct crossing at)
{
    size_t bit = (size_t)at.in.y * tracer->mask->width + (size_t)at.in.x;
    uint8_t mask = (uint8_t)(1u << bit % 8);
    bool before = tracer->seen[bit / 8] & mask;
    if (at.out.x == at.in.x + 1) tracer->seen[bit / 8] |= mask;
    return before;
}

static bool trace_ring(struct tracer *tracer, struct crossing start)
{
    struct outline_builder line = {.arena = tracer->means->arena};
    struct crossing at = start;
    do {
        outline_add(&line, crossing_place(tracer, at));
        crossing_mark(tracer, at);
        at = crossing_next(tracer, at);
        if (++tracer->points > CONTOUR_TRACE_POINTS_MOST) return false;
    } while (at.in.x != start.in.x || at.in.y != start.in.y || at.out.x != start.out.x ||
             at.out.y != start.out.y);
    struct polygon *ring =
        arena_append(tracer->means->arena, &tracer->rings, &tracer->count, &tracer->capacity, sizeof *ring);
    *ring = (struct polygon){line.points, line.count};
    return true;
}

static bool trace_rings(struct tracer *tracer, struct error *error)
{
    for (int y = 0; y < (int)tracer->mask->height; y++) {
        if (tracer->means->enough && tracer->means->enough(tracer->means->self))
            return error_set(error, FAILURE_INPUT, "contour-long", NULL);
        for (int x = 0; x < (int)tracer->mask->width; x++) {
            struct crossing start = {{x, y}, {x + 1, y}};
            if (!spot_is_in(tracer, start.in) || spot_is_in(tracer, start.out)) continue;
            if (crossing_mark(tracer, start) || trace_ring(tracer, start)) continue;
            return error_set(error, FAILURE_INPUT, "contour-mask-points",
                             ARGUMENTS(arg_count("most", CONTOUR_TRACE_POINTS_MOST)));
        }
    }
    return true;
}

static bool mask_check(const struct contour_mask *mask, const struct contour_trace *how, struct error *error)
{
    bool sides = mask->width >= 1 && mask->width <= CONTOUR_MASK_SIDE_MOST && mask->height >= 1 &&
                 mask->height <= CONTOUR_MASK_SIDE_MOST && mask->stride >= mask->width;
    if (!sides)
        return error_set(error, FAILURE_INPUT, "contour-mask-side",
                         ARGUMENTS(arg_count("most", CONTOUR_MASK_SIDE_MOST)));
    bool scale = mask->px_per_mm >= 0.01 && mask->px_per_mm <= 1000 && how->level >= 1 &&
                 how->smooth_mm >= 0 && how->smooth_mm <= CONTOUR_SMOOTH_MOST_MM;
    return scale || error_set(error, FAILURE_INPUT, "contour-mask-scale", NULL);
}

bool contour_trace(const struct contour_mask *mask, const struct contour_trace *how,
                   const struct contour_means *means, struct region *region, struct error *error)
{
    if (!mask_check(mask, how, error)) return false;
    struct tracer tracer = {.mask = mask, .means = means, .level = how->level - 0.5};
    tracer.seen = arena_take_array(means->arena, mask->width * mask->height / 8 + 1, 1);
    if (!trace_rings(&tracer, error)) return false;
    for (size_t i = 0; i < tracer.count; i++)
        if (!ring_smooth(&tracer.rings[i], how->smooth_mm, 1 / mask->px_per_mm, means))
            return error_set(error, FAILURE_INPUT, "contour-long", NULL);
    const struct region traced = {tracer.rings, tracer.count};
    return region_check(&traced, error) &&
           rings_clean(tracer.rings, tracer.count, CONTOUR_POSITIVE, means, region, error);
}
