/* Views of the plane to begin with: a camera with a square grid of pixels, its focal length and the way the plane is turned
 * to it from a grid of their own; those whose plane agrees best with the measures. */
#include "inner.h"
#include <math.h>
#include <string.h>

struct view {
    double focal, across, up; /* in halves of the diagonal; the plane's tilt, radians */
    double misfit;            /* of the measures, each over its standard error */
    double times;             /* unit_mm in a unit of the view's plane */
};

/* A pair of marks with what is known between them. */
struct measured_pair {
    size_t from, to;
    double mm, sd_mm;
};

struct beginning {
    const struct sight_model *model;
    struct measured_pair *pairs;
    size_t pair_count;
    struct point *plane; /* of the marks, in the view's unit */
};

static void begin_pairs(struct beginning *b, struct arena *arena)
{
    const struct sight_order *order = b->model->order;
    size_t most = order->length_count + order->known_count * order->known_count;
    b->pairs = arena_take_array(arena, most + 1, sizeof *b->pairs);
    for (size_t i = 0; i < order->length_count; i++) {
        const struct sight_length *length = &order->lengths[i];
        if (sight_is_taped(length) && !b->model->left_out[i])
            b->pairs[b->pair_count++] =
                (struct measured_pair){length->from, length->to, length->taped_mm, sight_length_sd(length)};
    }
    for (size_t i = 0; i < order->known_count; i++)
        for (size_t k = 0; k < i; k++) {
            struct point p = order->knowns[i].place_mm, q = order->knowns[k].place_mm;
            b->pairs[b->pair_count++] = (struct measured_pair){order->knowns[i].mark, order->knowns[k].mark,
                                                               hypot(p.x - q.x, p.y - q.y), 1};
        }
}

/* Where the ray of a place of the picture meets the plane at distance 1 along the axis; false: it does not. */
static bool view_meets(const struct view *view, struct point picture, struct point *plane)
{
    double ca = cos(view->across), sa = sin(view->across), cu = cos(view->up), su = sin(view->up);
    /* axes of the plane, seen from the camera (x right, y up, z ahead), and its normal */
    double x[3] = {ca, 0, sa}, y[3] = {-sa * su, cu, ca * su}, normal[3] = {-sa * cu, -su, ca * cu};
    double ray[3] = {picture.x, picture.y, view->focal};
    double far = 0, reach = normal[2];
    for (int i = 0; i < 3; i++) far += ray[i] * normal[i];
    if (far < 1e-3 * view->focal) return false;
    *plane = (struct point){0, 0};
    for (int i = 0; i < 3; i++) {
        double at = ray[i] * reach / far - (i == 2);
        plane->x += at * x[i], plane->y += at * y[i];
    }
    return true;
}

static double corners_misfit(const struct beginning *b)
{
    const struct sight_order *order = b->model->order;
    double sum = 0;
    for (size_t i = 0; i < order->corner_count; i++) {
        const struct sight_corner *c = &order->corners[i];
        double ax = b->plane[c->from].x - b->plane[c->at].x, ay = b->plane[c->from].y - b->plane[c->at].y;
        double bx = b->plane[c->to].x - b->plane[c->at].x, by = b->plane[c->to].y - b->plane[c->at].y;
        double off = (ax * bx + ay * by) / fmax(hypot(ax, ay) * hypot(bx, by), 1e-12);
        sum += off * off * 1e5;
    }
    return sum;
}

/* Level lines all lie one way, upright ones across that. */
static double lines_misfit(const struct beginning *b)
{
    const struct sight_order *order = b->model->order;
    double sum = 0, c = 0, s = 0;
    for (int pass = 0; pass < 2; pass++)
        for (size_t i = 0; i < order->line_count; i++) {
            const struct sight_line *line = &order->lines[i];
            struct point p = b->plane[line->from], q = b->plane[line->to];
            double angle = 2 * (atan2(q.y - p.y, q.x - p.x) - (line->kind == SIGHT_UPRIGHT ? M_PI / 2 : 0));
            if (!pass)
                c += cos(angle), s += sin(angle);
            else
                sum += (1 - cos(angle - atan2(s, c))) * 1e5;
        }
    return sum;
}

static bool view_judge(struct beginning *b, struct view *view)
{
    const struct sight_order *order = b->model->order;
    double long_by_taped = 0, long_by_long = 0;
    for (size_t i = 0; i < order->mark_count; i++)
        if (!view_meets(view, sight_normal(b->model, order->marks[i]), &b->plane[i])) return false;
    for (int pass = 0; pass < 2; pass++)
        for (size_t i = 0; i < b->pair_count; i++) {
            const struct measured_pair *pair = &b->pairs[i];
            struct point p = b->plane[pair->from], q = b->plane[pair->to];
            double one = hypot(q.x - p.x, q.y - p.y) / pair->sd_mm, taped = pair->mm / pair->sd_mm;
            if (!pass)
                long_by_taped += one * taped, long_by_long += one * one;
            else
                view->misfit += pow(one * view->times - taped, 2);
            if (!pass) view->times = long_by_long > 0 ? long_by_taped / long_by_long : 1;
        }
    view->misfit += corners_misfit(b) + lines_misfit(b);
    view->times /= b->model->unit_mm;
    return true;
}

/* ---- from a view to unknowns ---- */

/* The angle by which the view's plane is turned against the job's: by known places, lines, or the picture's horizontal. */
static double view_angle(const struct beginning *b, const struct view *view)
{
    const struct sight_order *order = b->model->order;
    double c = 0, s = 0;
    for (size_t i = 1; i < order->known_count; i++) {
        const struct sight_known *one = &order->knowns[i], *first = &order->knowns[0];
        struct point p = b->plane[one->mark], q = b->plane[first->mark];
        double x = one->place_mm.x - first->place_mm.x, y = one->place_mm.y - first->place_mm.y;
        double px = p.x - q.x, py = p.y - q.y;
        c += px * x + py * y, s += py * x - px * y;
    }
    if (order->known_count > 1) return atan2(s, c);
    for (size_t i = 0; i < order->line_count; i++) {
        const struct sight_line *line = &order->lines[i];
        struct point p = b->plane[line->from], q = b->plane[line->to];
        double angle = atan2(q.y - p.y, q.x - p.x) - (line->kind == SIGHT_UPRIGHT ? M_PI / 2 : 0);
        c += cos(2 * angle), s += sin(2 * angle);
    }
    if (order->line_count) return atan2(s, c) / 2; /* within a quarter turn of the picture's own */
    struct point at = sight_normal(b->model, order->marks[order->origin]), here, there;
    if (!view_meets(view, at, &here) || !view_meets(view, (struct point){at.x + 1e-4, at.y}, &there))
        return 0;
    return atan2(there.y - here.y, there.x - here.x);
}

static void begin_places(const struct beginning *b, const struct view *view, double *unknown)
{
    const struct sight_order *order = b->model->order;
    double angle = view_angle(b, view), c = cos(angle) * view->times, s = sin(angle) * view->times;
    struct point zero = b->plane[order->known_count ? order->knowns[0].mark : order->origin];
    for (size_t i = 0; i < order->mark_count; i++) {
        double x = b->plane[i].x - zero.x, y = b->plane[i].y - zero.y;
        unknown[2 * i] = c * x + s * y, unknown[2 * i + 1] = c * y - s * x;
    }
}

/* The map that brings the places to their marks: linear, by least squares. */
static bool begin_map(const struct beginning *b, double *unknown)
{
    const struct sight_order *order = b->model->order;
    double normal[64] = {0}, right[8] = {0};
    size_t row;
    for (size_t i = 0; i < order->mark_count; i++) {
        struct point seen = sight_normal(b->model, order->marks[i]);
        double x = unknown[2 * i], y = unknown[2 * i + 1];
        double rows[2][8] = {{x, y, 1, 0, 0, 0, -seen.x * x, -seen.x * y},
                             {0, 0, 0, x, y, 1, -seen.y * x, -seen.y * y}};
        double values[2] = {seen.x, seen.y};
        for (int r = 0; r < 2; r++)
            for (int k = 0; k < 8; k++) {
                for (int j = 0; j < 8; j++) normal[8 * k + j] += rows[r][k] * rows[r][j];
                right[k] += rows[r][k] * values[r];
            }
    }
    if (!sight_factor(normal, 8, 1e-14, &row)) return false;
    sight_back(normal, 8, right);
    memcpy(unknown + b->model->map, right, sizeof right);
    return true;
}

/* The line through an edge's first and last point. */
static void begin_edges(const struct beginning *b, double *unknown)
{
    for (size_t i = 0; i < b->model->order->edge_count; i++) {
        const struct sight_edge *edge = &b->model->order->edges[i];
        struct point p = sight_normal(b->model, edge->points[0]),
                     q = sight_normal(b->model, edge->points[edge->count - 1]);
        double angle = atan2(q.x - p.x, p.y - q.y);
        unknown[b->model->edges + 2 * i] = angle;
        unknown[b->model->edges + 2 * i + 1] = p.x * cos(angle) + p.y * sin(angle);
    }
}

static void views_keep(struct view *best, size_t *count, size_t most, const struct view *view)
{
    size_t k = *count < most ? (*count)++ : most;
    if (k == most) {
        if (view->misfit >= best[most - 1].misfit) return;
        k = most - 1;
    }
    for (; k > 0 && best[k - 1].misfit > view->misfit; k--) best[k] = best[k - 1];
    best[k] = *view;
}

size_t sight_begin(const struct sight_model *model, size_t starts_most, double **starts, struct arena *arena)
{
    static const double focals[] = {0.8, 1.2, 1.8, 3}, tilts[] = {-65, -45, -30, -15, 0, 15, 30, 45, 65};
    enum { FOCALS = sizeof focals / sizeof *focals, TILTS = sizeof tilts / sizeof *tilts };
    struct beginning b = {.model = model,
                          .plane = arena_take_array(arena, model->order->mark_count, sizeof *b.plane)};
    struct view *best = arena_take_array(arena, starts_most, sizeof *best);
    size_t count = 0, made = 0;
    begin_pairs(&b, arena);
    for (int i = 0; i < FOCALS * TILTS * TILTS; i++) {
        struct view view = {.focal = focals[i % FOCALS],
                            .across = tilts[i / FOCALS % TILTS] * M_PI / 180,
                            .up = tilts[i / FOCALS / TILTS] * M_PI / 180};
        if (view_judge(&b, &view)) views_keep(best, &count, starts_most, &view);
    }
    for (size_t i = 0; i < count; i++) {
        double *unknown = arena_take_array(arena, model->count, sizeof *unknown);
        struct view view = {.focal = best[i].focal, .across = best[i].across, .up = best[i].up};
        view_judge(&b, &view);
        begin_places(&b, &view, unknown);
        begin_edges(&b, unknown);
        if (begin_map(&b, unknown)) starts[made++] = unknown;
    }
    return made;
}
