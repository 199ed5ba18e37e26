/* Where the points of a rib are printed. The profiles with a formula are the same from the middle of a crest
 * to either side and from crest to valley, so a quarter of a pitch says it all. */
#include "bend.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "survey/stretch.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* A wall that the view shows thinner than this is spread to it, so that positions rise. */
static const double wall_least_mm = 0.01;
/* Points of a measured crest within this of its top are its flat. */
static const double crest_level_mm = 0.05;

static double corrugation_radians(double degrees)
{
    return degrees * (M_PI / 180);
}

/* The run of a trapezoid's wall in the view, before spreading. */
static double wall_run(const struct corrugation *shape)
{
    return shape->wall_deg >= 90 ? 0 : shape->depth_mm / tan(corrugation_radians(shape->wall_deg));
}

static void polyline_range(const struct corrugation *shape, double *low, double *high)
{
    *low = INFINITY, *high = -INFINITY;
    for (size_t i = 0; i < shape->polyline_count; i++) {
        *low = fmin(*low, shape->polyline[i].y);
        *high = fmax(*high, shape->polyline[i].y);
    }
}

struct corrugation corrugation_of(const struct feature *feature)
{
    struct corrugation shape = {.profile = feature->profile,
                                .pitch_mm = feature->pitch_mm,
                                .depth_mm = feature->depth_mm,
                                .wall_deg = feature->wall_deg > 0 ? feature->wall_deg : 90,
                                .radius_mm = feature->radius_mm,
                                .polyline = feature->polyline,
                                .polyline_count = feature->polyline_count};
    if (shape.profile == PROFILE_POLYLINE && shape.polyline_count >= 2) {
        double low, high;
        polyline_range(&shape, &low, &high);
        shape.pitch_mm = shape.polyline[shape.polyline_count - 1].x - shape.polyline[0].x;
        shape.depth_mm = high - low;
    }
    return shape;
}

static const char *polyline_fault(const struct corrugation *shape)
{
    if (shape->polyline_count < 2) return sentence_plain("its-measured-profile-needs-at-least");
    if (factor_polyline(shape->polyline, shape->polyline_count) == 0)
        return sentence_plain("its-measured-profile-must-run-from");
    return NULL;
}

static const char *arcs_fault(const struct corrugation *shape, struct arena *arena)
{
    double d = shape->depth_mm, p = shape->pitch_mm, r = shape->radius_mm;
    if (r > 0 && factor_arc_tangent(d, p, r) == 0)
        return sentence_words(
            arena, "bends-of-radius-do-not-fit",
            ARGUMENTS(arg_number("radius_mm", r), arg_number("depth_mm", d), arg_number("pitch_mm", p)));
    if (!(r > 0) && d > p / 2)
        return sentence_words(
            arena, "arcs-deep-need-pitch-of-at",
            ARGUMENTS(arg_number("depth_mm", d), arg_number("least_mm", 2 * d), arg_number("pitch_mm", p)));
    return NULL;
}

const char *corrugation_fault(const struct corrugation *shape, struct arena *arena)
{
    if (shape->profile == PROFILE_POLYLINE) return polyline_fault(shape);
    if (!(shape->pitch_mm > 0)) return sentence_plain("it-needs-pitch-distance-from-crest");
    if (!(shape->depth_mm >= 0)) return sentence_plain("its-depth-crest-to-trough-must");
    if (shape->profile == PROFILE_ARCS) return arcs_fault(shape, arena);
    if (shape->profile != PROFILE_TRAPEZOID) return NULL;
    if (!(shape->wall_deg > 0 && shape->wall_deg <= 90)) return sentence_plain("its-wall-angle-must-be-over");
    double need = 2 * fmax(wall_run(shape), wall_least_mm);
    if (need <= shape->pitch_mm) return NULL;
    return sentence_words(arena, "walls-of-degrees-need-of-each",
                          ARGUMENTS(arg_number("wall_deg", shape->wall_deg), arg_number("need", need),
                                    arg_number("pitch_mm", shape->pitch_mm)));
}

/* Width of crest and valley flat of a trapezoid, walls spread. */
static double flat_width(const struct corrugation *shape)
{
    return shape->pitch_mm / 2 - fmax(wall_run(shape), wall_least_mm);
}

static double polyline_tacked(const struct corrugation *shape)
{
    double low, high, level = 0;
    polyline_range(shape, &low, &high);
    if (high - low <= crest_level_mm) return 0;
    for (size_t i = 1; i < shape->polyline_count; i++) {
        struct point p = shape->polyline[i - 1], q = shape->polyline[i];
        if (fmin(p.y, q.y) >= high - crest_level_mm) level += q.x - p.x;
    }
    return level;
}

double corrugation_tacked_mm(const struct corrugation *shape)
{
    switch (shape->profile) {
    case PROFILE_TRAPEZOID:
        return shape->pitch_mm / 2 - wall_run(shape);
    case PROFILE_POLYLINE:
        return polyline_tacked(shape);
    default:
        return 0;
    }
}

/* ---- a quarter of a pitch, from the middle of a crest down to half the depth ---- */

/* Arc length of A cos(2 pi x / p): (p / 2 pi) times the integral of sqrt(1 + k^2 sin^2). */
static double sinusoid_quarter(const struct corrugation *shape, double x)
{
    double turn = 2 * M_PI / shape->pitch_mm, k = turn * shape->depth_mm / 2;
    return elliptic_incomplete(turn * x, -k * k) / turn;
}

static double trapezoid_quarter(const struct corrugation *shape, double x)
{
    double flat = flat_width(shape) / 2, level = fmax(wall_run(shape), wall_least_mm);
    double wall = shape->depth_mm / sin(corrugation_radians(shape->wall_deg)) + level - wall_run(shape);
    assert(flat >= 0); /* the walls leave room for themselves */
    return x <= flat ? x : flat + (x - flat) * wall / level;
}

static double arcs_quarter(const struct corrugation *shape, double x)
{
    struct bend bend;
    bool solved = bend_solve(shape->depth_mm, shape->pitch_mm, shape->radius_mm, &bend);
    assert(solved); /* corrugation_fault was asked before */
    (void)solved;
    double bent = bend.radius * sin(bend.angle);
    if (x < bent) return bend.radius * asin(x / bend.radius);
    return bend.radius * bend.angle + (x - bent) / cos(bend.angle);
}

static double corrugation_quarter(const struct corrugation *shape, double x)
{
    switch (shape->profile) {
    case PROFILE_SINUSOID:
        return sinusoid_quarter(shape, x);
    case PROFILE_TRAPEZOID:
        return trapezoid_quarter(shape, x);
    default:
        return arcs_quarter(shape, x);
    }
}

/* The extent of a polyline's segment in the view, from its first point on, spread where it is upright. */
static void segment_extent(const struct corrugation *shape, size_t i, double *from, double *to)
{
    double start = shape->polyline[0].x;
    *from = shape->polyline[i - 1].x - start;
    *to = shape->polyline[i].x - start;
    if (*to - *from >= wall_least_mm) return;
    *from = fmin(*from, shape->pitch_mm - wall_least_mm);
    *to = *from + wall_least_mm;
}

static double polyline_print(const struct corrugation *shape, double x)
{
    double sum = 0;
    for (size_t i = 1; i < shape->polyline_count; i++) {
        struct point p = shape->polyline[i - 1], q = shape->polyline[i];
        double from, to;
        segment_extent(shape, i, &from, &to);
        sum += hypot(q.x - p.x, q.y - p.y) * fmin(1, fmax(0, (x - from) / (to - from)));
    }
    return sum;
}

/* Within one pitch. */
static double rib_print(const struct corrugation *shape, double x, double whole)
{
    if (shape->profile == PROFILE_POLYLINE) return polyline_print(shape, x);
    double p = shape->pitch_mm;
    assert(x >= 0 && x <= p);
    if (x > p / 2) return whole - rib_print(shape, p - x, whole);
    return x > p / 4 ? whole / 2 - corrugation_quarter(shape, p / 2 - x) : corrugation_quarter(shape, x);
}

double corrugation_print_mm(const struct corrugation *shape, double view_mm)
{
    double whole = corrugation_factor(shape) * shape->pitch_mm, ribs = floor(view_mm / shape->pitch_mm);
    double rest = fmin(fmax(0, view_mm - ribs * shape->pitch_mm), shape->pitch_mm);
    return ribs * whole + rib_print(shape, rest, whole);
}

/* ---- samples ---- */

struct rib_samples {
    const struct corrugation *shape;
    struct arena *arena;
    double *at;
    size_t count, capacity;
    double tolerance, whole;
};

static void sample_add(struct rib_samples *samples, double x)
{
    double *place =
        arena_append(samples->arena, &samples->at, &samples->count, &samples->capacity, sizeof *place);
    *place = x;
}

static int rising(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

/* Corners and turning points: between two of them the print position bends one way only. */
static void add_breaks(struct rib_samples *samples)
{
    const struct corrugation *shape = samples->shape;
    double p = shape->pitch_mm, corner = p / 8, from, to;
    sample_add(samples, 0);
    sample_add(samples, p);
    for (size_t i = 1; shape->profile == PROFILE_POLYLINE && i < shape->polyline_count; i++) {
        segment_extent(shape, i, &from, &to);
        sample_add(samples, from);
        sample_add(samples, to);
    }
    if (shape->profile == PROFILE_POLYLINE) return;
    if (shape->profile == PROFILE_TRAPEZOID) corner = flat_width(shape) / 2;
    struct bend bend;
    if (shape->profile == PROFILE_ARCS && bend_solve(shape->depth_mm, p, shape->radius_mm, &bend))
        corner = bend.radius * sin(bend.angle);
    double quarters[] = {corner, p / 4, p / 2 - corner, p / 2, p / 2 + corner, 3 * p / 4, p - corner};
    for (size_t i = 0; i < sizeof quarters / sizeof *quarters; i++) sample_add(samples, quarters[i]);
}

/* The farthest that a curve bending one way lies from its chord is at most twice what it is in the middle. */
static void halve(struct rib_samples *samples, double x0, double y0, double x1, double y1, int depth)
{
    double x = (x0 + x1) / 2, y = rib_print(samples->shape, x, samples->whole);
    if (depth == 0 || 2 * fabs(y - (y0 + y1) / 2) <= samples->tolerance) return;
    halve(samples, x0, y0, x, y, depth - 1);
    sample_add(samples, x);
    halve(samples, x, y, x1, y1, depth - 1);
}

double *corrugation_samples(const struct corrugation *shape, double tolerance_mm, struct arena *arena,
                            size_t *count)
{
    enum { HALVINGS_MOST = 12 };
    struct rib_samples samples = {.shape = shape, .arena = arena, .tolerance = tolerance_mm};
    samples.whole = corrugation_factor(shape) * shape->pitch_mm;
    add_breaks(&samples);
    size_t breaks = samples.count;
    qsort(samples.at, breaks, sizeof *samples.at, rising);
    for (size_t i = 1; i < breaks; i++) {
        double x0 = samples.at[i - 1], x1 = samples.at[i];
        if (x1 <= x0) continue;
        halve(&samples, x0, rib_print(shape, x0, samples.whole), x1, rib_print(shape, x1, samples.whole),
              HALVINGS_MOST);
    }
    qsort(samples.at, samples.count, sizeof *samples.at, rising);
    size_t kept = 1;
    for (size_t i = 1; i < samples.count; i++)
        if (samples.at[i] > samples.at[kept - 1]) samples.at[kept++] = samples.at[i];
    *count = kept;
    return samples.at;
}
