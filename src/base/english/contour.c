/* What contour says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_contour[] = {
    {"contour-crossings", "the lines of the outline cross more than {most} times; draw it simpler"},
    {"contour-failed", "the outline cannot be worked out: {words}"},
    {"contour-join", "a mitre limit must be from 1 to 10,000 and a tolerance from 0.0001 mm"},
    {"contour-long", "the outline takes too long to work out; draw it simpler"},
    {"contour-mask-points",
     "the picture's shape has more than {most} steps along its outline; use a coarser picture"},
    {"contour-mask-scale",
     "a mask needs 0.01 to 1,000 pixels per mm, a level from 1 to 255 and smoothing from 0 to 0.2 mm"},
    {"contour-mask-side", "a mask's sides must be from 1 to {most} pixels"},
    {"contour-memory", "there is not enough memory to work out an outline"},
    {"contour-number",
     "point {point} of line {ring} of the outline is not a number from -100,000 to 100,000 mm"},
    {"contour-offset",
     "offset, corner radius and areas must be lengths up to {most} mm, and areas not below 0"},
    {"contour-points", "the outline has more than {most} points; draw it simpler"},
    {"contour-seam", "a seam needs two different places within 100,000 mm"},
};
const size_t english_contour_count = sizeof english_contour / sizeof *english_contour;
