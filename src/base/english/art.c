/* What art says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_art[] = {
    {"annotation-left-out", "{file}: a {kind}{says? \"|}{words}{says?\"|} at x {box_x0} to {box_x1} mm, y "
                            "{box_y0} to {box_y1} mm is laid over the page and is not on the panels."},
    {"artwork-cropped", "{file}: filling the surface cuts off {text}: {cut} % of it."},
    {"artwork-missing", "No artwork is named for this surface."},
    {"artwork-short-artwork-ends-short-of", "The artwork ends short of outline and bleed: {text}."},
    {"artwork-short-inside-surface-have-no",
     "Inside the surface {width_mm} x {height_mm} mm have no artwork."},
    {"artwork-size-lies-wholly-beside-surface", "{file}: lies wholly beside the surface (it would reach from "
                                                "{trim_x0}, {trim_y0} to {trim_x1}, {trim_y1} mm)."},
    {"artwork-size-on-surface-of", "{subject} {is} mm on a surface of {width_mm} x {height_mm} mm{rest}"},
    {"artwork-trouble", "the artwork {trouble}"},
    {"artworks-together-are", "The {row_count} artworks together are"},
    {"ask-for-file-with-bleedbox-or", "Ask for the file with a BleedBox, or without marks."},
    {"carries-transfer-functions-or-halftones", "carries transfer functions or halftones."},
    {"cmyk-without-profile-its-numbers-are", "CMYK without a profile; its numbers are printed as they are."},
    {"does-not-say-its-resolution-so", "does not say its resolution, so it was fitted to outline and bleed."},
    {"fonts-not-embedded-joined", "fonts not embedded: {joined}."},
    {"has-crop-marks-and-no-bleedbox", "has crop marks and no BleedBox: all of the page is printed, and the "
                                       "marks with it where they stand in the bleed."},
    {"has-pages-page-is-used", "has {pages} pages; page {page} is used."},
    {"inches-for-mm", "25.4 times larger it fits: inches were taken for millimetres"},
    {"inches-for-points", "72 times larger it fits: inches were taken for points"},
    {"its-transparent-parts-are-mixed-in",
     "its transparent parts are mixed in {space}, those of other artwork here are not.{several? All of it "
     "may print in other colours than alone.|}"},
    {"layers-switched-off-joined", "layers switched off: {joined}."},
    {"layers-that-are-processing-steps-and",
     "layers that are processing steps: {joined}; {kept}, and {not_ink}."},
    {"line-of-lettering-read-backwards",
     "{count} line{count||s} of lettering read{count|s|} backwards: \"{mistake}\"{count_2? ...|}."},
    {"mm-for-inches", "25.4 times smaller it fits: millimetres were taken for inches"},
    {"no-colour-profile-it-is-taken", "no colour profile; it is taken as sRGB."},
    {"or-surface-was-written-in-and",
     ", or the surface was written in {units} and is {width_mm} x {height_mm} mm"},
    {"output-intent-differs",
     "{file}: was made for the printing condition \"{output_intent}\", the job prints with \"{condition}\"."},
    {"points-for-inches", "72 times smaller it fits: points were taken for inches"},
    {"profile-of-name-whole-icc-profile",
     "{profile}: `profile` of {file}: {trouble}; name a whole ICC profile"},
    {"resolution-low", "{file}: {count} picture{count| is|s are} below {floor_ppi} pixels per inch on the "
                       "vehicle, the coarsest has {lowest} ({width_px} x {height_px} pixels)."},
    {"spot-colours-for-cutting-varnish-or",
     "spot colours for cutting, varnish or the like: {joined}; {kept}, and {not_ink}."},
    {"spot-not-ink", "not counted as ink here"},
    {"subject-and-sentence", "{file}: {sentence}"},
    {"subject-and-sentence-2", "{file}{named?|: }{trouble}"},
    {"they-are-left-out-of-panels", "they are left out of the panels"},
    {"they-stay-in-pdf-panels", "they stay in the PDF panels"},
    {"uses-both-rgb-and-cmyk", "uses both RGB and CMYK."},
    {"uses-rgb-without-profile-it-is", "uses RGB without a profile; it is taken as sRGB."},
    {"white-object-is-set-to-overprint", "a white object is set to overprint."},
    {"write-for-this-artwork-in-job",
     "Write `{what}` for this artwork in the job file, or fill the surface with `fit: bleed`."},
};
const size_t english_art_count = sizeof english_art / sizeof *english_art;
