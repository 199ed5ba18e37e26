/* The arcs of a corrugation. Over half a pitch h the sheet turns by `angle` on two arcs of radius R and runs
 * straight between them: h = 2 R sin a + t cos a and d = 2 R (1 - cos a) + t sin a, so that
 * 2 R = h sin a + (2 R - d) cos a. */
#ifndef SURVEY_BEND_H
#define SURVEY_BEND_H

#include <stdbool.h>

struct bend {
    double radius, angle, tangent; /* radians */
};

/* Radius 0: plain arcs, no tangent. False when no such shape exists. */
bool bend_solve(double depth, double pitch, double radius, struct bend *bend);

#endif
