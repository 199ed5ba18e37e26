/* From cut paths as a file has them to what they enclose: joins lines that meet, tells of those that stay open.
 * Called by outline.c. */
#include "outline.h"
#include "base/arena.h"
#include "contour/shape.h"
#include <math.h>

enum { OPEN_MOST = 3000 };           /* of more the rest is not joined */
static const double SAME_MM = 0.005; /* a path drawn twice */

struct paths_join {
    struct arena *arena;
    struct polygon *rings; /* closed */
    size_t ring_count, ring_capacity;
    struct polygon *lines; /* open */
    size_t line_count, line_capacity;
};

static bool paths_near(struct point a, struct point b, double within)
{
    return hypot(a.x - b.x, a.y - b.y) <= within;
}

static bool ring_is_same(const struct polygon *one, const struct polygon *other)
{
    if (one->count != other->count) return false;
    for (size_t i = 0; i < one->count; i++)
        if (!paths_near(one->points[i], other->points[i], SAME_MM)) return false;
    return true;
}

static void paths_add_ring(struct paths_join *join, struct polygon ring)
{
    if (ring.count > 1 && paths_near(ring.points[0], ring.points[ring.count - 1], OUTLINE_NEAR_MM))
        ring.count--;
    if (ring.count < 3) return;
    for (size_t i = 0; i < join->ring_count; i++)
        if (ring_is_same(&join->rings[i], &ring)) return;
    *(struct polygon *)arena_append(join->arena, &join->rings, &join->ring_count, &join->ring_capacity,
                                    sizeof ring) = ring;
}

static void paths_add(struct paths_join *join, const struct pdf_line *line, struct affine to_surface)
{
    struct polygon on = {arena_take_array(join->arena, line->points.count, sizeof *on.points),
                         line->points.count};
    for (size_t i = 0; i < on.count; i++) on.points[i] = affine_apply(to_surface, line->points.points[i]);
    if (line->closed ||
        (on.count > 2 && paths_near(on.points[0], on.points[on.count - 1], OUTLINE_NEAR_MM))) {
        paths_add_ring(join, on);
        return;
    }
    for (size_t i = 0; i < join->line_count; i++)
        if (ring_is_same(&join->lines[i], &on)) return;
    *(struct polygon *)arena_append(join->arena, &join->lines, &join->line_count, &join->line_capacity,
                                    sizeof on) = on;
}

/* ---- open lines ---- */

/* `one` and after it `other`, or that backwards. */
static struct polygon paths_joined(struct paths_join *join, struct polygon one, struct polygon other,
                                   bool back)
{
    struct polygon whole = {arena_take_array(join->arena, one.count + other.count, sizeof *whole.points), 0};
    for (size_t i = 0; i < one.count; i++) whole.points[whole.count++] = one.points[i];
    for (size_t i = 1; i < other.count; i++)
        whole.points[whole.count++] = other.points[back ? other.count - 1 - i : i];
    return whole;
}

/* The line that begins or ends nearest to the end of line `at`, within reach. */
static bool paths_next(const struct paths_join *join, size_t at, size_t *next, bool *back)
{
    struct point end = join->lines[at].points[join->lines[at].count - 1];
    double nearest = OUTLINE_NEAR_MM;
    bool found = false;
    for (size_t i = 0; i < join->line_count; i++) {
        const struct polygon *line = &join->lines[i];
        if (i == at || !line->count) continue;
        for (int last = 0; last < 2; last++) {
            struct point p = line->points[last ? line->count - 1 : 0];
            double far = hypot(p.x - end.x, p.y - end.y);
            if (far > nearest) continue;
            nearest = far, *next = i, *back = last, found = true;
        }
    }
    return found;
}

static void paths_turn(struct polygon *line)
{
    for (size_t i = 0, k = line->count; i + 1 < k--; i++) {
        struct point swap = line->points[i];
        line->points[i] = line->points[k], line->points[k] = swap;
    }
}

/* Goes on from its end, then from its beginning, until it closes or nothing meets it. */
static void paths_follow(struct paths_join *join, size_t at)
{
    for (int side = 0; side < 2; side++) {
        size_t next;
        bool back;
        while (paths_next(join, at, &next, &back)) {
            join->lines[at] = paths_joined(join, join->lines[at], join->lines[next], back);
            join->lines[next].count = 0;
            const struct polygon *line = &join->lines[at];
            if (!paths_near(line->points[0], line->points[line->count - 1], OUTLINE_NEAR_MM)) continue;
            paths_add_ring(join, *line);
            join->lines[at].count = 0;
            return;
        }
        paths_turn(&join->lines[at]);
    }
}

static void paths_join_lines(struct paths_join *join)
{
    if (join->line_count > OPEN_MOST) return;
    for (size_t i = 0; i < join->line_count; i++)
        if (join->lines[i].count) paths_follow(join, i);
}

static void paths_tell_open(const struct outline_work *work, const struct paths_join *join)
{
    size_t count = 0;
    const struct polygon *worst = NULL;
    double widest = 0;
    for (size_t i = 0; i < join->line_count; i++) {
        const struct polygon *line = &join->lines[i];
        if (!line->count) continue;
        struct point a = line->points[0], b = line->points[line->count - 1];
        double gap = hypot(a.x - b.x, a.y - b.y);
        count++;
        if (!worst || gap > widest) worst = line, widest = gap;
    }
    if (!worst) return;
    struct point a = worst->points[0], b = worst->points[worst->count - 1];
    struct finding *f = finding_add(
        work->notes->findings, "cut-open", work->surface->name, "cut-open",
        ARGUMENTS(arg_words("file", work->placed->spec->file), arg_count("count", (int64_t)count),
                  arg_fixed("gap_mm", widest, 1), arg_fixed("x_mm", a.x, 0), arg_fixed("y_mm", a.y, 0),
                  arg_fixed("end_x_mm", b.x, 0), arg_fixed("end_y_mm", b.y, 0)));
    f->has_box = true, f->box = polygon_bounds(worst);
    f->about = work->placed->spec->file, f->on_artwork = true;
}

bool outline_of_paths(struct outline_work *work, const struct pdf_paths *paths, struct region *outline,
                      struct error *error)
{
    struct paths_join join = {.arena = work->notes->arena};
    for (size_t i = 0; i < paths->count; i++)
        for (size_t k = 0; k < paths->shapes[i].count; k++)
            paths_add(&join, &paths->shapes[i].lines[k], work->placed->to_surface);
    paths_join_lines(&join);
    paths_tell_open(work, &join);
    return contour_clean(join.rings, join.ring_count, CONTOUR_EVEN_ODD, &work->means, outline, error);
}
