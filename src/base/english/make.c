/* What make says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_make[] = {
    {"artwork-rendered-whole-has-another-size", "the artwork rendered whole has another size than its grid"},
    {"differs-from-artwork-at-pixel-it",
     "{path} differs from the artwork at pixel {x}, {y}; it was not kept"},
    {"edge-over-cut-back", "{name} edge OVER {other}, cut back {trim_mm} mm"},
    {"edge-turns-into-gap-to", "{name} edge turns {turn_in_mm} mm into the gap to {other}"},
    {"edge-under-by", "{name} edge UNDER {other} by {overlap_mm} mm"},
    {"else-over-it-cut-back-to", " mm, else OVER it, cut back to the line"},
    {"else-under-it-cut-to-past", " mm, else UNDER it, cut to {overlap_mm} mm past the line"},
    {"ends-at-corner-under", "ends at the corner UNDER {other}"},
    {"ends-inside-panes-edge-round-corners",
     "{bytes?; |}ends {cut_short} mm inside the pane's edge: round the corners"},
    {"film-laminate-condition-profile",
     "film {film}   laminate {laminate}   condition {condition}   profile {profile_description}"},
    {"inlay-for-at-to-y-to", "inlay for {feature} at x {box_x0} to {box_x1}, y {box_y0} to {box_y1}: lay it "
                             "first; the panel over it ends at the rim, {limit} mm over its edge"},
    {"install-before-panels", "install before the panels"},
    {"install-no-sequence-of-panels", "install no. {order} of {panels}"},
    {"label-any-vehicle", "   any vehicle of the fleet"},
    {"label-mirrored", "MIRRORED, for the inside of glass: reads right from outside   {edges}"},
    {"label-vehicle", "   vehicle {name}"},
    {"laying-panels-back", "{surface}: laying the panels back"},
    {"mark-to-mark-when-dry", "mark {first} to mark {last}: {apart} {inches?in|mm} when dry"},
    {"marks-of-cannot-be-written", "the marks of {panel} cannot be written"},
    {"no-length-marks-at-cut", "no length marks, for the cutter's camera"},
    {"one-piece-no-seam", "one piece, no seam"},
    {"panels-are-cut-from-cmyk-pixels", "panels are cut from CMYK pixels of 8 bits only"},
    {"panels-of-could-not-be-proved",
     "The panels of {surface} could not be proved by Ghostscript, the second renderer ({trouble}), and were "
     "not kept. MuPDF, the first, compared every pixel and found no difference."},
    {"panels-of-laid-back-on-vehicle", "The panels of {surface}, laid back on the vehicle, do not give the "
                                       "artwork again ({trouble}); they were not kept."},
    {"printed-despite-stop", "   PRINTED DESPITE A STOP"},
    {"read-again-does-not-show-artwork", "{path}, read again, does not show the artwork that belongs there "
                                         "at rows {first_row} to {last_row}; it was not kept"},
    {"read-again-is-pixels-and-not", "{path}, read again, is {width} x {height} pixels and not "
                                     "{wanted_width} x {wanted_height}; it was not kept"},
    {"too-short-for-length-marks", "too short for length marks"},
    {"wraps-round-corner-over", "wraps {wrap_mm} mm round the corner OVER {other}"},
};
const size_t english_make_count = sizeof english_make / sizeof *english_make;
