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
    {"cut-cannot-be-followed", "{file}: its outline cannot be followed: {has}"},
    {"cut-corner", "{subject}: {count} hollow corners are tighter than the {limit} mm of radius that film "
                   "holds; the tightest, {figure} mm, is at x {x_mm}, y {y_mm} mm"},
    {"cut-gap", "{subject}: {count} gaps are narrower than the {limit} mm that can be weeded; the narrowest, "
                "{figure} mm, is at x {x_mm}, y {y_mm} mm"},
    {"cut-in-a-picture", "{file} is a picture and has no paths; cut it by its silhouette or its box"},
    {"cut-island", "{subject}: {count} islands are smaller than the {limit} mm2 that stay on their liner; "
                   "the smallest, {figure} mm2, is at x {x_mm}, y {y_mm} mm"},
    {"cut-layers-there", "layers "},
    {"cut-name-missing", "{file} has no path to cut along called `{name}`; it has {has}"},
    {"cut-nothing-there", "no spot colour, layer or processing step"},
    {"cut-open", "{file}: {count} {count?paths are|path is|paths are} not closed; the widest gap, {gap_mm} "
                 "mm, is from x {x_mm}, y {y_mm} to x {end_x_mm}, y {end_y_mm} mm"},
    {"cut-shows-nothing", "{file} shows nothing to go around"},
    {"cut-spots-there", "spot colours "},
    {"cut-steps-there", "processing steps "},
    {"cut-thin", "{subject}: {count} parts are narrower than the {limit} mm that cutter and film hold; the "
                 "narrowest, {figure} mm, is at x {x_mm}, y {y_mm} mm"},
    {"cut-unchecked", "Thin parts and tight corners were not looked for: {fault}"},
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
