/* Widens strokes into rings (ISO 32000-1, 8.4.3: width, caps, joins, mitre limit, dashes).
 *
 * A pen going along a line and back paints what lies to its left on the way: an open line becomes one ring that turns
 * by its caps, a closed one two, each along it in one direction. Where it turns to the left the ring goes by the
 * corner itself, so that the ring is the sum of a strip for each side and a wedge for each corner, all of one
 * direction: it winds around just what any of them covers. */
#include "paths_build.h"
#include "base/arena.h"
#include <math.h>

enum { DASHES_MOST = 20000 };

struct stroke_work {
    fz_context *ctx;
    const struct stroke_pen *pen;
    struct outline_builder ring;
};

/* Ways in and out of a corner are of length 1. */
static struct point stroke_left(struct point corner, struct point way, double half)
{
    return (struct point){corner.x - way.y * half, corner.y + way.x * half};
}

/* Around the corner by the right, from the left of one way to that of the other. */
static void stroke_round(struct stroke_work *work, struct point corner, struct point in, double turn)
{
    double half = work->pen->half, share = fmin(1, work->pen->tolerance / half);
    int count = (int)ceil(turn / (2 * acos(1 - share)));
    if (count > 1000) count = 1000;
    for (int i = 0; i <= count; i++) {
        double angle = -turn * i / (count ? count : 1), c = cos(angle), s = sin(angle);
        struct point way = {in.x * c - in.y * s, in.x * s + in.y * c};
        outline_add(&work->ring, stroke_left(corner, way, half));
    }
}

static void stroke_mitre(struct stroke_work *work, struct point corner, struct point in, struct point out)
{
    double half = work->pen->half,
           cosine = fmin(1, in.x * out.x + in.y * out.y); /* straight on, it may come out above 1 */
    double longer =
        sqrt(2 / (1 + cosine)); /* mitre over width: 1 / sin of half the angle between both lines */
    outline_add(&work->ring, stroke_left(corner, in, half));
    if (longer <= work->pen->state->miterlimit) {
        double along = half * sqrt((1 - cosine) / (1 + cosine));
        struct point left = stroke_left(corner, in, half);
        outline_add(&work->ring, (struct point){left.x + in.x * along, left.y + in.y * along});
    }
    outline_add(&work->ring, stroke_left(corner, out, half));
}

static void stroke_corner(struct stroke_work *work, struct point corner, struct point in, struct point out)
{
    double half = work->pen->half, cross = in.x * out.y - in.y * out.x, dot = in.x * out.x + in.y * out.y;
    if (cross > 0) { /* to the left */
        outline_add(&work->ring, stroke_left(corner, in, half));
        outline_add(&work->ring, corner);
        outline_add(&work->ring, stroke_left(corner, out, half));
    } else if (work->pen->state->linejoin == FZ_LINEJOIN_ROUND) {
        stroke_round(work, corner, in, fabs(atan2(cross, dot)));
    } else if (work->pen->state->linejoin == FZ_LINEJOIN_BEVEL || dot < -0.9999999) {
        outline_add(&work->ring, stroke_left(corner, in, half));
        outline_add(&work->ring, stroke_left(corner, out, half));
    } else {
        stroke_mitre(work, corner, in, out);
    }
}

static void stroke_cap(struct stroke_work *work, struct point end, struct point in, fz_linecap cap)
{
    double half = work->pen->half, past = cap == FZ_LINECAP_SQUARE ? half : 0;
    struct point out = {-in.x, -in.y}, stop = {end.x + in.x * past, end.y + in.y * past};
    if (cap == FZ_LINECAP_ROUND) {
        stroke_round(work, end, in, M_PI);
        return;
    }
    outline_add(&work->ring, stroke_left(stop, in, half));
    if (cap == FZ_LINECAP_TRIANGLE)
        outline_add(&work->ring, (struct point){end.x + in.x * half, end.y + in.y * half});
    outline_add(&work->ring, stroke_left(stop, out, half));
}

static struct point stroke_way(struct point from, struct point to)
{
    double length = hypot(to.x - from.x, to.y - from.y);
    return (struct point){(to.x - from.x) / length, (to.y - from.y) / length};
}

static void stroke_end(struct stroke_work *work, struct path_lines *rings)
{
    if (work->ring.count > 2)
        path_lines_add(work->ctx, rings, (struct pdf_line){{work->ring.points, work->ring.count}, true});
    work->ring = (struct outline_builder){.arena = rings->arena};
}

/* One side of a closed line: on the left of it, or the other way round. */
static void stroke_along(struct stroke_work *work, const struct polygon *line, bool back)
{
    size_t n = line->count;
    for (size_t i = 0; i < n; i++) {
        size_t at = back ? n - 1 - i : i, before = back ? (at + 1) % n : (at + n - 1) % n,
               after = back ? (at + n - 1) % n : (at + 1) % n;
        struct point corner = line->points[at];
        stroke_corner(work, corner, stroke_way(line->points[before], corner),
                      stroke_way(corner, line->points[after]));
    }
}

static void stroke_closed(struct stroke_work *work, const struct polygon *line, struct path_lines *rings)
{
    stroke_along(work, line, false);
    stroke_end(work, rings);
    stroke_along(work, line, true);
    stroke_end(work, rings);
}

struct stroke_caps {
    fz_linecap start, end;
};

static void stroke_open(struct stroke_work *work, const struct polygon *line, struct stroke_caps caps,
                        struct path_lines *rings)
{
    const struct point *p = line->points;
    size_t n = line->count;
    for (size_t i = 1; i + 1 < n; i++)
        stroke_corner(work, p[i], stroke_way(p[i - 1], p[i]), stroke_way(p[i], p[i + 1]));
    stroke_cap(work, p[n - 1], stroke_way(p[n - 2], p[n - 1]), caps.end);
    for (size_t i = n - 2; i > 0; i--)
        stroke_corner(work, p[i], stroke_way(p[i + 1], p[i]), stroke_way(p[i], p[i - 1]));
    stroke_cap(work, p[0], stroke_way(p[1], p[0]), caps.start);
    stroke_end(work, rings);
}

/* ---- dashes ---- */

struct dash_at { /* in the pattern */
    int index;
    double left; /* of its dash or gap */
};

static struct dash_at dash_begin(const fz_stroke_state *state, double whole)
{
    struct dash_at at = {0, fmod(fmax(0, state->dash_phase), whole)};
    double past = at.left;
    while (past >= state->dash_list[at.index % state->dash_len]) {
        past -= state->dash_list[at.index % state->dash_len];
        at.index++;
    }
    at.left = state->dash_list[at.index % state->dash_len] - past;
    return at;
}

static void dash_cut(struct stroke_work *work, struct outline_builder *dash, struct path_lines *rings)
{
    const fz_stroke_state *state = work->pen->state;
    if (dash->count > 1)
        stroke_open(work, &(struct polygon){dash->points, dash->count},
                    (struct stroke_caps){state->dash_cap, state->dash_cap}, rings);
    *dash = (struct outline_builder){.arena = rings->arena};
}

/* The pattern's length twice where it has an odd count of entries; 0: it is none to draw by. */
static double dash_whole(const fz_stroke_state *state, const struct polygon *line)
{
    double whole = 0, length = 0;
    for (int i = 0; i < state->dash_len; i++) {
        if (!(state->dash_list[i] >= 0)) return 0;
        whole += state->dash_list[i];
    }
    if (state->dash_len % 2) whole *= 2;
    for (size_t i = 1; i < line->count; i++)
        length += hypot(line->points[i].x - line->points[i - 1].x, line->points[i].y - line->points[i - 1].y);
    return whole > 0 && length / whole * state->dash_len < DASHES_MOST ? whole : 0;
}

static void stroke_dashed(struct stroke_work *work, const struct polygon *line, double whole,
                          struct path_lines *rings)
{
    const fz_stroke_state *state = work->pen->state;
    struct dash_at at = dash_begin(state, whole);
    struct outline_builder dash = {.arena = rings->arena};
    if (at.index % 2 == 0) outline_add(&dash, line->points[0]);
    for (size_t i = 1; i < line->count; i++) {
        struct point a = line->points[i - 1], b = line->points[i];
        double length = hypot(b.x - a.x, b.y - a.y), gone = 0;
        while (length - gone > at.left) {
            gone += at.left;
            struct point p = {a.x + (b.x - a.x) * gone / length, a.y + (b.y - a.y) * gone / length};
            if (at.index % 2 == 0) {
                if (at.left > 0) outline_add(&dash, p);
                dash_cut(work, &dash, rings);
            } else {
                outline_add(&dash, p);
            }
            at.index++;
            at.left = state->dash_list[at.index % state->dash_len];
        }
        at.left -= length - gone;
        if (at.index % 2 == 0 && length > gone) outline_add(&dash, b);
    }
    dash_cut(work, &dash, rings);
}

/* ---- */

/* Without places that follow themselves; a closed line that is to be dashed comes back to its start. */
static struct polygon stroke_line(const struct pdf_line *line, bool dashed, struct arena *arena)
{
    struct outline_builder out = {.arena = arena};
    const struct polygon *p = &line->points;
    for (size_t i = 0; i < p->count; i++)
        if (!out.count || hypot(p->points[i].x - out.points[out.count - 1].x,
                                p->points[i].y - out.points[out.count - 1].y) > 0)
            outline_add(&out, p->points[i]);
    while (line->closed && out.count > 1 && out.points[0].x == out.points[out.count - 1].x &&
           out.points[0].y == out.points[out.count - 1].y)
        out.count--;
    if (line->closed && dashed && out.count > 1) outline_add(&out, out.points[0]);
    return (struct polygon){out.points, out.count};
}

void path_stroke(fz_context *ctx, const struct stroke_pen *pen, const struct pdf_line *line,
                 struct path_lines *rings)
{
    struct stroke_work work = {ctx, pen, {.arena = rings->arena}};
    const fz_stroke_state *state = pen->state;
    bool dashed = state->dash_len > 0 && dash_whole(state, &line->points) > 0;
    struct polygon clean = stroke_line(line, dashed, rings->arena);
    if (clean.count < 2) return;
    double whole = dashed ? dash_whole(state, &clean) : 0;
    if (whole > 0)
        stroke_dashed(&work, &clean, whole, rings);
    else if (line->closed && clean.count > 2)
        stroke_closed(&work, &clean, rings);
    else
        stroke_open(&work, &clean, (struct stroke_caps){state->start_cap, state->end_cap}, rings);
}
