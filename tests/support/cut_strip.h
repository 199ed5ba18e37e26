/* Strips that are full, cut up: how short a layout can be is known. */
#ifndef SUPPORT_CUT_STRIP_H
#define SUPPORT_CUT_STRIP_H

#include "layout/outline.h"
#include "layout/rolls.h"
#include <math.h>

/* xorshift64, as the layout has it: any generator would do. */
struct cut_dice {
    uint64_t state;
};

static inline int64_t cut_roll(struct cut_dice *dice, int64_t from, int64_t to)
{
    dice->state ^= dice->state << 13, dice->state ^= dice->state >> 7, dice->state ^= dice->state << 17;
    return from + (int64_t)((dice->state >> 11) % (uint64_t)(to - from + 1));
}

/* ---- rectangles in groups ---- */

/* The largest of some pieces is cut straight through until there are `count`. Corners are kept in `at`. */
static inline void cut_rectangles(struct cut_dice *dice, struct layout_piece *pieces, struct layout_point *at,
                                  size_t count)
{
    for (size_t n = 1; n < count; n++) {
        size_t largest = 0;
        for (size_t i = 1; i < n; i++)
            if (pieces[i].across * pieces[i].along > pieces[largest].across * pieces[largest].along)
                largest = i;
        struct layout_piece *p = &pieces[largest];
        pieces[n] = *p, at[n] = at[largest];
        bool across = p->across > p->along;
        int64_t side = across ? p->across : p->along;
        int64_t cut = cut_roll(dice, side / 4 + 1, side - side / 4 - 1);
        *(across ? &p->across : &p->along) = cut;
        *(across ? &pieces[n].across : &pieces[n].along) = side - cut;
        *(across ? &at[n].across : &at[n].along) += cut;
    }
}

/* A stretch of strip in `count` panels of one group, in the order of their beginnings. */
static inline void cut_group(struct cut_dice *dice, const int64_t size[2], size_t group,
                             struct layout_panel *panels, size_t count)
{
    struct layout_piece pieces[30] = {{size[0], size[1], false}};
    struct layout_point at[30] = {{0, 0}};
    cut_rectangles(dice, pieces, at, count);
    for (size_t n = 0; n < count; n++) {
        size_t next = 0;
        while (at[next].along < 0) next++;
        for (size_t i = next + 1; i < count; i++)
            if (at[i].along >= 0 && (at[i].along < at[next].along ||
                                     (at[i].along == at[next].along && at[i].across < at[next].across)))
                next = i;
        panels[n] = (struct layout_panel){pieces[next], group};
        at[next].along = -1;
    }
}

/* A strip in 8 to 30 panels: one surface behind the other, some two side by side, some of panels for themselves.
 * The length of the full strip is in *length. */
static inline size_t cut_groups(struct cut_dice *dice, int64_t width, struct layout_panel *panels,
                                int64_t *length)
{
    size_t wanted = (size_t)cut_roll(dice, 8, 30), count = 0, group = 0;
    *length = 0;
    while (count < wanted) {
        size_t left = wanted - count, some = (size_t)cut_roll(dice, 2, 6);
        int64_t along = cut_roll(dice, 800, 4000);
        if (some > left) some = left;
        bool beside = some > 3 && cut_roll(dice, 0, 2) == 0;
        int64_t first = beside ? cut_roll(dice, width / 3, 2 * width / 3) : width;
        size_t of_first = beside ? some / 2 : some;
        bool loose = cut_roll(dice, 0, 3) == 0;
        cut_group(dice, (int64_t[]){first, along}, loose ? 0 : ++group, panels + count, of_first);
        if (beside)
            cut_group(dice, (int64_t[]){width - first, along}, ++group, panels + count + of_first,
                      some - of_first);
        count += some, *length += along;
    }
    return count;
}

/* ---- outlines ---- */

enum { CUT_POINTS_MOST = 64, CUT_CURVE = 12 };

/* A waving line: the points of a sum of two waves over 0 to 1. */
static inline double cut_wave(const double wave[4], double t)
{
    return wave[0] * sin(6.2831853 * t + wave[1]) + wave[2] * sin(12.5663706 * t + wave[3]);
}

static inline void cut_wave_new(struct cut_dice *dice, double most, double wave[4])
{
    for (int i = 0; i < 4; i++)
        wave[i] = (double)cut_roll(dice, 0, 1000) / 1000 * (i % 2 ? 6.28 : most / (i ? 2 : 1));
}

struct cut_bands {
    double width, y0, y1;      /* of a band between two waving lines across */
    double below[4], above[4]; /* they wave by */
    bool straight[2];          /* the strip's ends do not */
};

static inline double cut_band_y(const struct cut_bands *band, bool above, double x)
{
    if (band->straight[above]) return above ? band->y1 : band->y0;
    return (above ? band->y1 : band->y0) + cut_wave(above ? band->above : band->below, x / band->width);
}

/* x of a waving line along, at a share of the band's height; at the strip's sides straight. */
static inline double cut_line_x(const double line[5], double share)
{
    return line[0] + cut_wave(line + 1, share) * sin(3.14159265 * share);
}

static inline size_t cut_side(const struct cut_bands *band, const double line[5], bool up,
                              struct layout_point *points)
{
    size_t count = 0;
    for (int i = 1; i < CUT_CURVE; i++) {
        double share = (double)(up ? i : CUT_CURVE - i) / CUT_CURVE, x = cut_line_x(line, share);
        double low = cut_band_y(band, false, line[0]), high = cut_band_y(band, true, line[0]);
        points[count++] = (struct layout_point){llround(x), llround(low + (high - low) * share)};
    }
    return count;
}

static inline size_t cut_edge(const struct cut_bands *band, bool above, double from, double to,
                              struct layout_point *points)
{
    size_t count = 0;
    for (int i = 0; i <= CUT_CURVE; i++) {
        double x = from + (to - from) * i / CUT_CURVE;
        points[count++] = (struct layout_point){llround(x), llround(cut_band_y(band, above, x))};
    }
    return count;
}

/* Between two waving lines along; round it goes. */
static inline size_t cut_outline(const struct cut_bands *band, const double left[5], const double right[5],
                                 struct layout_point *points)
{
    size_t count = cut_edge(band, false, left[0], right[0], points);
    count += cut_side(band, right, true, points + count);
    count += cut_edge(band, true, right[0], left[0], points + count);
    count += cut_side(band, left, false, points + count);
    return count;
}

/* Turned about: what was cut has to be turned back to fit. */
static inline void cut_turn(struct layout_point *points, size_t count)
{
    for (size_t i = 0; i < count; i++) points[i] = (struct layout_point){-points[i].across, -points[i].along};
}

/* A strip in bands of waving lines, the bands in pieces: 4 to 16 outlines. `points` has room for 16 x CUT_POINTS_MOST. */
static inline size_t cut_outlines(struct cut_dice *dice, int64_t width, struct layout_outline *outlines,
                                  struct layout_point *points, int64_t *length)
{
    size_t bands = (size_t)cut_roll(dice, 2, 4), count = 0;
    struct cut_bands band = {.width = (double)width, .straight = {true, false}};
    double side[2][5] = {{0}};
    for (size_t b = 0; b < bands; b++) {
        double height = (double)width * (double)cut_roll(dice, 40, 80) / 100;
        size_t across = (size_t)cut_roll(dice, 2, 4);
        band.y1 = band.y0 + height, band.straight[1] = b + 1 == bands;
        cut_wave_new(dice, height / 6, band.above);
        memset(side[0], 0, sizeof side[0]);
        for (size_t i = 0; i < across; i++) {
            memset(side[1], 0, sizeof side[1]);
            side[1][0] = (double)width * (double)(i + 1) / (double)across;
            if (i + 1 < across) cut_wave_new(dice, (double)width / (double)across / 6, side[1] + 1);
            struct layout_point *own = points + count * CUT_POINTS_MOST;
            size_t n = cut_outline(&band, side[0], side[1], own);
            if (cut_roll(dice, 0, 1)) cut_turn(own, n);
            outlines[count++] = (struct layout_outline){own, n, 0};
            memcpy(side[0], side[1], sizeof side[0]);
        }
        memcpy(band.below, band.above, sizeof band.below);
        band.y0 = band.y1, band.straight[0] = false;
    }
    *length = (int64_t)band.y1;
    return count;
}

#endif
