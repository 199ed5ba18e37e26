/* Simulated photographs of a side with marks: a pinhole camera with a lens, by its own formulas. */
#ifndef TEST_CAMERA_H
#define TEST_CAMERA_H

#include "sight/sight.h"

enum { SCENE_MARKS_MOST = 12, SCENE_LENGTHS_MOST = 40 };

struct scene {
    uint64_t dice;
    size_t mark_count, length_count;
    struct point truth[SCENE_MARKS_MOST]; /* mm */
    struct point seen[SCENE_MARKS_MOST];  /* pixels */
    struct sight_length lengths[SCENE_LENGTHS_MOST];
    const char *names[SCENE_MARKS_MOST];
    double focal_px, distance_mm, k1;
    struct sight_order order;
};

double dice_uniform(uint64_t *dice);
double dice_normal(uint64_t *dice);
/* 4000 x 3000 pixels, `marks` of them spread over 5.2 x 1.9 m, from 5 to 9 m away, turned by up to 35 degrees; the first
 * `taped` pairs are taped within `tape_sd_mm`, others only to be predicted; marks are pointed at within `mark_px`. */
void scene_make(struct scene *scene, uint64_t seed, size_t marks, size_t taped, double tape_sd_mm,
                double mark_px);
double scene_length(const struct scene *scene, size_t length); /* the true one */

#endif
