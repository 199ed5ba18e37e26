/* What contour says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_contour[] = {
    {"contour-crossings", "the lines of the outline cross more than {most} times; draw it simpler"},
    {"contour-failed", "the outline cannot be worked out: {words}"},
    {"contour-fit-count", "register marks can be fitted from {least} to {most} of them"},
    {"contour-fit-line",
     "the register marks lie on one line or one place, so that they do not say how the sheet lies"},
    {"contour-fit-mirrored",
     "the register marks lie mirrored; turn the sheet over, or measure them in their sequence"},
    {"contour-fit-number", "register mark {mark} has a place that is not a number up to 1,000,000 mm"},
    {"contour-join", "a mitre limit must be from 1 to 10,000 and a tolerance from 0.0001 mm"},
    {"contour-knife",
     "a knife needs an overcut from 0 to 50 mm, speeds up to 100,000 mm/s and up to an hour to lift"},
    {"contour-limits",
     "least width, gap and radius must be from 0.05 to 100 mm, the least area up to 1,000,000 mm2"},
    {"contour-long", "the outline takes too long to work out; draw it simpler"},
    {"contour-marks-entry", "register marks need a size from 1 to 100 mm, a line up to that, a distance up "
                            "to 500 mm and a count up to 500"},
    {"contour-marks-every", "register marks may be apart by their size and more, and a cut section is at "
                            "least twice as long as a mark"},
    {"contour-marks-many", "the sheet would need more than {most} register marks; put them further apart"},
    {"contour-marks-room", "there is no room for the register mark on the {side} at {y_mm} mm; it needs "
                           "{room_mm} mm beside the pieces"},
    {"contour-marks-sheet", "a sheet for register marks must have a width and a height, within 100,000 mm"},
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
    {"contour-rings", "more than {most} rings cannot be cut at once; cut them as several jobs"},
    {"contour-seam", "a seam needs two different places within 100,000 mm"},
};
const size_t english_contour_count = sizeof english_contour / sizeof *english_contour;
