/* How much longer film must be than the view shows, over shapes that are pressed, rolled or cast into a
 * vehicle. Pure sums. Lengths in any one unit (millimetres here), angles in degrees unless said.
 *
 * A factor is developed length divided by the length in the view, 1 for flat; a strain is factor - 1. Film
 * laid across the crests and pushed in stretches by the strain; film that follows the shape does not stretch
 * but must be printed longer by the factor. Cylinders and cones can be unrolled and ask for nothing. */
#ifndef SURVEY_STRETCH_H
#define SURVEY_STRETCH_H

#include "model/job.h"
#include <stdbool.h>
#include <stddef.h>

/* ---- elliptic integrals, parameter m = k^2 ---- */

/* Complete, second kind: E(m), m <= 1, by the arithmetic-geometric mean (Abramowitz and Stegun 17.6), to
 * rounding. */
double elliptic_complete(double m);
/* Incomplete, second kind: E(phi | m), |phi| <= pi/2 in radians, m <= 1, by Carlson's symmetric forms
 * (Carlson 1995, "Numerical computation of real or complex elliptic integrals"; DLMF 19.25.9). */
double elliptic_incomplete(double phi, double m);

/* ---- one shape ---- */

/* y = A sin(2 pi x / p) with A = depth/2: (2/pi) sqrt(1+k^2) E(k^2/(1+k^2)), k = 2 pi A / p.
 * Arc length of the sine curve; textbook form. */
double factor_sinusoid(double depth, double pitch);
/* Crest flat, wall, valley flat, wall; walls at `wall` (0..90) to the sheet: 1 + 2 d tan(a/2) / p.
 * Elementary: a wall d / sin a long replaces a run of d / tan a. */
double factor_trapezoid(double depth, double pitch, double wall);
/* Alternating circular arcs of chord p/2 and sagitta d/2: t / sin t with tan(t/2) = 2 d / p; d <= p/2. */
double factor_arcs(double depth, double pitch);
/* Arcs of one radius (of the sheet's middle) joined by straight tangents, as in corrugated steel. 0 when no
 * such shape exists: the radius is too large for this depth and pitch. */
double factor_arc_tangent(double depth, double pitch, double radius);
/* A profile measured point by point, x rising or equal: its length over its extent in x. 0 when it has no
 * extent or x falls. */
double factor_polyline(const struct point *points, size_t count);
/* A channel or pocket of opening `width` with walls at `wall` to the sheet: (2 d / w) tan(a/2), for upright
 * walls 2 d / w. All four bends rounded with `radius` take off 4 r (2 tan(a/2) - a) of length; 0 is sharp,
 * and no radius counts for more than fits on the wall. Elementary; the film is taken to slip evenly, where it
 * sticks the corners stretch more. */
double strain_recess(double width, double depth, double wall, double radius);
/* A spherical cap over `chord` rising by `rise`: angular radius t = 2 atan(2 rise / chord), and no flat piece
 * covers it with a smaller ratio of lengths than t / sin t (Milnor 1969, "A problem in cartography"). */
double factor_cap(double chord, double rise);
/* A dome z = rise (1 - (x/a)^2 - (y/b)^2) over the ellipse of a box `length` x `width`. The cap's sum, t /
 * sin t, over the round dome that asks for as much when it is shallow: its radius squared is (a^2 + a b +
 * b^2) / 3. It comes of a map that exists: with Gaussian curvature K all over the ellipse, the film's strain
 * m I - v v' with v = (y sqrt(m)/b, -x sqrt(m)/a) fits K, is nowhere below 0, and m = K a^2 b^2 / (2 (a^2 +
 * a b + b^2)); the least there is lies at most an eighth below. Where it is not round, dome-margin
 * (model/practice.h) is added: all of it to a flat dome, none where it rises by half its longer side, since
 * there the sum is high by itself. Held against a numeric search (tests/survey/dome_optimum.py) up to 20 times
 * as long as wide and from flat to a rise of half the length: never below what the search finds, and at most
 * 1.5 times it. Round: the cap of that rise, which is above the least for this shape. */
double factor_dome(double length, double width, double rise);
/* Walls at `wall` of a recess whose floor was pressed first: 1 / cos a - 1; 1e7 for upright walls, over which
 * no film is left. */
double strain_stuck(double wall);
/* Film tacked on `tacked` of each `pitch` takes the whole lengthening over the rest: strain x pitch /
 * (pitch - tacked). Infinite when nothing is free and there is something to take. */
double strain_local(double strain, double pitch, double tacked);

/* ---- corrugations ---- */

/* One rib after another. A sinusoid, trapezoid or arcs start in the middle of a crest, a polyline at its
 * first point. Trapezoids have crest and valley flats of equal width. radius_mm > 0 makes arcs
 * arc-and-tangent. */
struct corrugation {
    enum corrugation_profile profile;
    double pitch_mm, depth_mm, wall_deg, radius_mm;
    const struct point *polyline; /* mm; x from 0 or anywhere, over one pitch */
    size_t polyline_count;
};

/* NULL when the shape exists, else a phrase saying why it cannot ("the walls need 41.6 mm of a 30 mm pitch"
 * kind of thing), in the arena. */
const char *corrugation_fault(const struct corrugation *shape, struct arena *arena);
/* The shape of a corrugation feature. A trapezoid without a wall angle has walls of 90 degrees. */
struct corrugation corrugation_of(const struct feature *feature);

/* The rest is for shapes without a fault. */
double corrugation_factor(const struct corrugation *shape);
/* Width of one crest on which film laid across the ribs is tacked: its flat. Round crests touch on a line: 0.
 */
double corrugation_tacked_mm(const struct corrugation *shape);
/* Developed length from the start of a rib to `view_mm` (>= 0) in the view, over any number of ribs: from
 * what is seen to where it must be printed. Walls steeper than the view can tell apart (upright) are
 * spread over 0.01 mm. Rising. */
double corrugation_print_mm(const struct corrugation *shape, double view_mm);
/* View positions within one pitch, from 0 to the pitch, between which corrugation_print_mm is straight to
 * `tolerance_mm`; count in *count. */
double *corrugation_samples(const struct corrugation *shape, double tolerance_mm, struct arena *arena,
                            size_t *count);

#endif
