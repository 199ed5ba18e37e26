/* What does a cutter make of register marks: where is a sheet, and how much has it stretched?
 *
 * A cutter's camera measures the middles of marks; their planned places are known. Fitted is the map that takes
 * planned places to measured ones with the least sum of squared misses; the knife then goes where the map takes the
 * planned path.
 *
 * Which map. Printed film is longer or shorter along the feed and across it by different shares (0.3 % in all is
 * common practice, no source), and lies in the cutter shifted and turned; it is not sheared. That is CONTOUR_STRETCH,
 * five numbers; a similarity (four) cannot say two stretches, an affine map (six) adds a shear that is not there and
 * so more of the camera's noise.
 *
 * How well. With independent noise of `s` on each coordinate of a mark, contour_fit_expected_mm says by how much the
 * cut misses. Six marks, two by three just outside a piece of 1,000 by 600 mm: 0.73 s on average over the piece (root
 * mean square) and 0.96 s at its corners; 0.77 s on average for the affine map. A camera with noise of 0.2 mm (4 pixels
 * of 0.05 mm) so leaves a miss of 0.145 mm, and 0.19 mm at the corners; it falls with the root of the number of marks.
 */
#ifndef CONTOUR_FIT_H
#define CONTOUR_FIT_H

#include "base/error.h"
#include "geom/geom.h"
#include <stddef.h>

enum contour_model {
    CONTOUR_SIMILAR, /* shift, turn, one stretch; from 2 marks */
    CONTOUR_STRETCH, /* shift, turn, a stretch along x and one along y of the plan; from 3 marks */
    CONTOUR_AFFINE   /* any affine map; from 3 marks */
};

enum { CONTOUR_MARKS_MOST = 1000 };

struct contour_fit {
    struct affine map;           /* planned to measured */
    double stretch_x, stretch_y; /* lengths along x and y of the plan come out so many times as long */
    double turn_deg, shear_deg;  /* shear is 0 but for the affine map: how far a right angle opens */
    double residual_mm;          /* root of the mean square of the marks' misses */
    double worst_mm;
    size_t worst;    /* which mark misses most */
    double noise_mm; /* of one coordinate of a mark, as the misses show it; 0 when no mark is spare */
    size_t count;
    enum contour_model model;
    struct point middle; /* of the marks as planned */
    double xx, xy, yy;   /* their scatter about it: sums of squares and products, mm2 */
};

/* False with FAILURE_INPUT when there are too few marks or too many, a number is not finite, or the marks lie on
 * one line (for CONTOUR_SIMILAR: on one place), so that they do not say the map. */
bool contour_fit(const struct point *planned, const struct point *measured, size_t count,
                 enum contour_model model, struct contour_fit *fit, struct error *error);

/* Root mean square of the cut's miss at a planned place, when each coordinate of a mark is measured with independent
 * noise of `noise_mm`. */
double contour_fit_expected_mm(const struct contour_fit *fit, struct point planned, double noise_mm);

#endif
