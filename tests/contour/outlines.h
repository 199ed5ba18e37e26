/* Random outlines with holes, always the same for a number, and what tests ask of a region in their own way. */
#ifndef TEST_OUTLINES_H
#define TEST_OUTLINES_H

#include "base/machine.h"
#include "contour/offset.h"
#include <math.h>
#include <stdlib.h>

enum { OUTLINES = 200 };

static inline double roll(uint64_t *dice, double from, double to)
{
    *dice ^= *dice << 13, *dice ^= *dice >> 7, *dice ^= *dice << 17;
    return from + (to - from) * (double)(*dice >> 11) / 9007199254740992.0;
}

static inline struct polygon ring_new(size_t count, struct arena *own)
{
    return (struct polygon){arena_take_array(own, count, sizeof(struct point)), count};
}

/* Points around a middle at random distances: spikes. */
static inline struct polygon ring_star(uint64_t *dice, struct point middle, double size, struct arena *own)
{
    struct polygon ring = ring_new((size_t)roll(dice, 5, 60), own);
    for (size_t i = 0; i < ring.count; i++) {
        double angle = 2 * M_PI * (double)i / (double)ring.count, away = size * roll(dice, 0.3, 1);
        ring.points[i] = (struct point){middle.x + away * cos(angle), middle.y + away * sin(angle)};
    }
    return ring;
}

/* A smooth outline of short chords, with bays. */
static inline struct polygon ring_blob(uint64_t *dice, struct point middle, double size, struct arena *own)
{
    struct polygon ring = ring_new((size_t)roll(dice, 80, 500), own);
    double wave[3], phase[3];
    for (int k = 0; k < 3; k++) wave[k] = roll(dice, 0, 0.25), phase[k] = roll(dice, 0, 6);
    for (size_t i = 0; i < ring.count; i++) {
        double angle = 2 * M_PI * (double)i / (double)ring.count, away = size * 0.75;
        for (int k = 0; k < 3; k++) away += 0.75 * size * wave[k] * cos((2 * k + 2) * angle + phase[k]);
        ring.points[i] = (struct point){middle.x + away * cos(angle), middle.y + away * sin(angle)};
    }
    return ring;
}

/* Any points in a row: the line crosses itself. */
static inline struct polygon ring_tangle(uint64_t *dice, struct point middle, double size, struct arena *own)
{
    struct polygon ring = ring_new((size_t)roll(dice, 4, 14), own);
    for (size_t i = 0; i < ring.count; i++)
        ring.points[i] =
            (struct point){middle.x + roll(dice, -size, size), middle.y + roll(dice, -size, size)};
    return ring;
}

/* Teeth with straight sides. */
static inline struct polygon ring_comb(uint64_t *dice, struct point middle, double size, struct arena *own)
{
    const size_t teeth = (size_t)roll(dice, 2, 9);
    struct polygon ring = ring_new(4 * teeth, own);
    double step = 2 * size / (double)teeth, slot = step * roll(dice, 0.1, 0.9);
    for (size_t i = 0; i < teeth; i++) {
        double x = middle.x + size - step * (double)i, depth = middle.y - size * roll(dice, 0, 0.8);
        struct point *p = &ring.points[4 * i];
        p[0] = (struct point){x, middle.y}, p[1] = (struct point){x - step + slot, middle.y};
        p[2] = (struct point){x - step + slot, depth}, p[3] = (struct point){x - step, depth};
    }
    ring.points[0].y = ring.points[4 * teeth - 1].y = middle.y - size;
    ring.points[4 * teeth - 2].y = middle.y - size;
    return ring;
}

static inline struct polygon ring_random(uint64_t *dice, struct point middle, double size, struct arena *own)
{
    struct polygon (*const kinds[])(uint64_t *, struct point, double,
                                    struct arena *) = {ring_star, ring_blob, ring_tangle, ring_comb};
    return kinds[(size_t)roll(dice, 0, 4)](dice, middle, size, own);
}

/* Raw rings to be filled even-odd: an outline, and up to three others inside or across it. */
static inline size_t rings_random(size_t number, struct polygon rings[4], struct arena *own)
{
    uint64_t dice = 88172645463325252u + 7919 * number;
    for (int i = 0; i < 20; i++) roll(&dice, 0, 1);
    double size = roll(&dice, 10, 300);
    size_t count = 1 + (size_t)roll(&dice, 0, 4);
    rings[0] = ring_random(&dice, (struct point){roll(&dice, -500, 500), 0}, size, own);
    for (size_t i = 1; i < count; i++) {
        struct point middle = rings[0].points[0];
        middle.x -= size * roll(&dice, 0, 1), middle.y += size * roll(&dice, -0.5, 0.5);
        rings[i] = ring_random(&dice, middle, size * roll(&dice, 0.05, 0.4), own);
    }
    return count;
}

/* What is asked of that outline: a distance out or in, of a size that matters to it. */
static inline struct contour_offset offset_random(size_t number)
{
    uint64_t dice = 1181783497276652981u + 104729 * number;
    for (int i = 0; i < 20; i++) roll(&dice, 0, 1);
    double by = roll(&dice, 0.3, 12);
    return (struct contour_offset){.by_mm = number % 3 == 2 ? -by / 2 : by};
}

/* Whether two sides of the region's rings cross, or lie on each other, by whole steps of the grid: exact. */
struct whole_point {
    int64_t x, y;
};

static inline struct whole_point whole_of(struct point p)
{
    return (struct whole_point){llround(p.x * 10000), llround(p.y * 10000)};
}

static inline int whole_side(struct whole_point a, struct whole_point b, struct whole_point p)
{
    int64_t cross = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
    return (cross > 0) - (cross < 0);
}

static inline bool whole_between(int64_t a, int64_t b, int64_t p)
{
    return (a < p && p < b) || (b < p && p < a);
}

static inline bool whole_cross(struct whole_point a, struct whole_point b, struct whole_point c,
                               struct whole_point d)
{
    int s1 = whole_side(a, b, c), s2 = whole_side(a, b, d), s3 = whole_side(c, d, a),
        s4 = whole_side(c, d, b);
    if (s1 * s2 < 0 && s3 * s4 < 0) return true;
    if (s1 || s2) return false; /* meets in an end at most */
    return whole_between(a.x, b.x, c.x) || whole_between(a.x, b.x, d.x) || whole_between(c.x, d.x, a.x) ||
           whole_between(a.y, b.y, c.y) || whole_between(a.y, b.y, d.y) || whole_between(c.y, d.y, a.y);
}

struct whole_line {
    struct whole_point from, to;
};

static inline int whole_compare(const void *a, const void *b)
{
    int64_t one = ((const struct whole_line *)a)->from.x, other = ((const struct whole_line *)b)->from.x;
    return (one > other) - (one < other);
}

static inline size_t region_crossings(const struct region *region, struct arena *own)
{
    size_t count = 0, crossings = 0;
    struct whole_line *lines = arena_take_array(own, region_points(region), sizeof *lines);
    for (size_t r = 0; r < region->count; r++)
        for (size_t i = 0; i < region->rings[r].count; i++) {
            const struct polygon *ring = &region->rings[r];
            struct whole_point p = whole_of(ring->points[i]),
                               q = whole_of(ring->points[(i + 1) % ring->count]);
            lines[count++] = p.x < q.x ? (struct whole_line){p, q} : (struct whole_line){q, p};
        }
    qsort(lines, count, sizeof *lines, whole_compare);
    for (size_t i = 0; i < count; i++)
        for (size_t k = i + 1; k < count && lines[k].from.x <= lines[i].to.x; k++)
            crossings += whole_cross(lines[i].from, lines[i].to, lines[k].from, lines[k].to);
    return crossings;
}

#endif
