/* What run says to people. See base/sentence.h. */
#include "../english.h"

const struct sentence english_run[] = {
    {"artwork-changed", "{what} changed after {panels} {several?were|was} printed"},
    {"artwork-changed-after-printing", "Artwork changed after printing"},
    {"artwork-changed-since-made",
     "{files} changed after {panel} was made: other bytes, another page or another place"},
    {"artwork-damaged", "{files}{named?|: }{why}"},
    {"artwork-newer", "{file} is used, and {newest} lies beside it."},
    {"artwork-other-surface-lies-on-and-artwork",
     "{file} lies on {surface}, and the artwork of {other} here: they were exchanged."},
    {"artwork-other-surface-lies-on-by-its", "{file} lies on {surface}; by its name it is for {other}."},
    {"artwork-saved-again",
     "{files}: not the bytes that were printed, but the same pixels on every printed panel."},
    {"artwork-twice", "{file} lies twice at the same place of {surface}."},
    {"artwork-twice-by-two-names",
     "{file} lies twice at the same place of {surface}: {other} is the same file."},
    {"artworks-place-page-or-order", "The artwork's place, page or order"},
    {"as-artwork-is-now", "{name}: as the artwork is now"},
    {"decides-with-of-ink-over-hand",
     "{surface}: {panel} decides, with {hand_peak_percent} % of ink over a hand-sized area: "},
    {"different-from-to-y-to-see",
     "{feature}: different from x {b_x0} to {b_x1} mm, y {b_y0} to {b_y1} mm, see {out}/{picture}"},
    {"different-on-in-frame", "Different on {panels}, in the frame"},
    {"dries-in", "{dry_h} h from cutting and hanging ({drying}).\n"},
    {"dries-not", "does not dry this way ({drying}).\n"},
    {"feed-kept", "{panel} is made with a feed of {was} %, as it was printed; it would be {now} % now."},
    {"feed-recorded", "Condition {condition} prints with a feed of {percent} %, {printed?as this job was "
                      "printed|as measured} on {day} (job {job}; {feed_condition})."},
    {"ink-over-limit-carries-more-ink-than", "{panel} carries more ink than the film takes, {limit} % "
                                             "({limit_source}), counted on its print file: {places}."},
    {"is-measurement-profile-comes-first-lapstrake",
     "{path} is a measurement; the profile comes first: lapstrake profile PROFILE --against {path}"},
    {"is-neither-icc-profile-nor-measurement",
     "{path} is neither an ICC profile nor a measurement file (text after ISO 28178, CGATS.17)"},
    {"is-not-there-did-you-mean", "{what} {file} is not there; did you mean `{as_written}`?"},
    {"is-not-there-name-job-folder-or",
     "{path} is not there; name a job folder or a job.yaml, or make one with `lapstrake init {path}`"},
    {"is-not-zone-table-of-version", "{path} is not a zone table of version 2"},
    {"it-is-not-picture-that-was", "it is not the picture that was kept"},
    {"keeping-what-is-printed", "{surface}: keeping what is printed"},
    {"leads-out-of-folder-that-is",
     "{path} leads out of the folder that is served; put a folder in place of the link"},
    {"looking-artwork-through", "{surface}: looking the artwork through"},
    {"measured-for-observer-of-10-degrees", "Measured for the observer of 10 degrees. Profiles are for 2 "
                                            "degrees: measure again with that before you compare.\n"},
    {"measured-on-print-which-is-longer", " (measured on the print, which is longer than the surface)"},
    {"measurement-cmyk", "It can stand beside a CMYK condition: `lapstrake profile PROFILE --against {path}` "
                         "says how near a profile comes to it.\n"},
    {"measurement-not-cmyk", "It cannot stand beside a CMYK condition: {trouble}.\n"},
    {"measurement-tables", "The file has {tables} tables; this is the first with data.\n"},
    {"never-made", "{panel}: this panel was never made."},
    {"nheights-gaps-and-cores-common-practice",
     "\nHeights, gaps and cores: common practice or from memory, see doc/practice.md. Solvent vapour: "
     "ventilate, no ignition source.\n\n"},
    {"no-memory-for-picture-of", "no memory for the picture of {surface}"},
    {"not-to-be-ordered-stop", "NOT TO BE ORDERED: {stops} stop{stops||s}"},
    {"not-to-be-printed-stop", "NOT TO BE PRINTED: {stops} stop{stops||s}"},
    {"number-peak-percent-near-at-x0", "{number?; |}{peak_percent} % near x {at_x0} mm, y {at_y0} mm"},
    {"only-job-has-no-such-surface", "--only {only}: the job has no such surface; its first is {surface}"},
    {"panels-not-made", "No panels of {surface} were written: TIFF panels are made of the condition's inks, "
                        "which takes its profile. {trouble}"},
    {"panels-old", "The files in {out}/panels are of another plan than this one."},
    {"panels-own-colours",
     "The PDF panels of {surface} carry the artwork's own colours and no output intent. {trouble}"},
    {"panels-proved",
     "Ghostscript drew {pages} panel page{pages||s} as it drew the own page{layers||s} of {layers} PDF "
     "artwork{layers||s}, after MuPDF did: of {pixels} pixels {off} are more than 2 of 255 off away from "
     "edges (largest difference {worst}), and {share} % at edges (largest {worst_at_edges}).{overlaid}"},
    {"path-cannot-be-drawn", "{path} cannot be drawn"},
    {"printed-otherwise-was-printed-for-plan",
     "{panel} was printed for plan version {version}; the plan has no such piece now."},
    {"printed-otherwise-was-printed-for-plan-2",
     "{panel} was printed for plan version {version}, where it covers x {was_x0} to {was_x1}, y {was_y0} to "
     "{was_y1} mm; now it would cover x {is_x0} to {is_x1}, y {is_y0} to {is_y1} mm."},
    {"printing-is-bought-in-printers-own", "Printing is bought in: the printer's own profile is used there."},
    {"profile-changed-condition-has-fingerprint-panels",
     "Condition {condition}: {profile} has the fingerprint {profile_fingerprint}; the panels in {path} were "
     "made with {bytes}."},
    {"profile-damaged", "Condition {condition}: {profile} cannot be used: {trouble}."},
    {"profile-differs", "Profile and measurement differ by {mean} on average (CIEDE2000); 95 of 100 patches "
                        "by up to {most}, the furthest by {largest}.\n"},
    {"profile-does-not-fit-this-print",
     "The profile does not fit this print: it is of another film, ink or mode, or the printer has changed "
     "since. Bring the printer back to its state or make a new profile before you promise a colour.\n"},
    {"profile-fit-limits", "(It fits up to a mean of {mean} and {most} for 95 of 100 patches: {source}.)\n"},
    {"profile-fits-this-print-colours-come", "The profile fits this print: colours come out as it says.\n"},
    {"profile-fits-this-print-on-whole", "The profile fits this print on the whole, but not in the colours "
                                         "above: print a proof of artwork that uses them.\n"},
    {"profile-in-printer", "Condition {condition}: the profile is kept in the printer's own software. That "
                           "it belongs to this film, ink and mode cannot be checked here; ink, its limit and "
                           "drying times are estimated without it, and no TIFF panels can be made."},
    {"profile-is-kept-in-printers-own", "The profile is kept in the printer's own software."},
    {"proof-awaited", "Printing waits for the customer: proof {letters} is not approved on record."},
    {"proof-bare-cut-out", "Left bare: the film is cut out round it."},
    {"proof-bare-nothing", "There is nothing to cover here."},
    {"proof-bare-pane", "A pane: the film ends at its edge, and its seal stays bare."},
    {"proof-changed", "{who}{who_2? approved proof|Approved was proof} {approved} ({day}); what would be "
                      "printed now is proof {letters}."},
    {"proof-surface", "{surface}: colours for the proof"},
    {"put-earlier-profile-back-or-make", "Put the earlier profile back, or make every panel again: panels of "
                                         "two profiles do not match on one vehicle."},
    {"quotes-too-many", "{out} holds {most} earlier quotes; move quote-1.json and the others elsewhere"},
    {"reprint-condition", "{panel} was printed with {was}; the job says {is} now."},
    {"reprint-name-one-panel", "name one panel: {written}/2 or {written}/ID"},
    {"reprint-no-profile", "none"},
    {"reprint-no-such-panel", "{surface} has no panel {panel}; it has {names}"},
    {"reprint-plan",
     "{panel} covered x {was_x0} to {was_x1}, y {was_y0} to {was_y1} mm when it was printed; the plan "
     "{there?has it elsewhere, or prints another margin round it|has no such panel} now."},
    {"reprint-profile",
     "{panel} was printed with the profile of fingerprint {was}; the condition has {is} now."},
    {"reprint-put-artwork-back",
     "Put the file that was printed back, or print it as it is now with `--anyway`."},
    {"reprint-unknown",
     "The record does not say what artwork {panel} was printed from, and OUT does not keep it."},
    {"room-hung", "  hung: {count} {count|length needs|lengths need} {height_m} m of height and {width_m} x "
                  "{depth_m} m of floor, {apart_mm} mm apart\n"},
    {"room-wound", "  wound loosely: {length_m} m with gaps of {gap_mm} mm are a roll of {diameter_mm} mm, "
                   "stood upright {height_m} m high\n"},
    {"surface-has-no-artwork-to-show", "the surface \"{surface}\" has no artwork to show"},
    {"surface-has-no-printing-condition", "The surface has no printing condition."},
    {"there-is-no-shop-yaml-here-yet",
     "There is no shop.yaml here yet; the first new job makes one to begin with."},
    {"was-changed-meanwhile-by-someone-else", "{path} was changed meanwhile by someone else"},
    {"was-changed-while-it-was-being",
     "{changed_file} was changed while it was being worked on, so plan and panels may be of different files; "
     "no panel files were kept: run it again"},
    {"what-file-is-not-there-path", "{what} {file} is not there: {path}"},
    {"what-was-printed-or-what-is",
     "{feature}; what was printed, or what is there now, has no picture in {out}/printed to compare"},
    {"where-artworks-lie-over-each-other",
     " Where artworks lie over each other ({overlaid} pixels) MuPDF alone compared them."},
    {"without-usable-profile-no-tiff-panels",
     "{trouble} Without a usable profile no TIFF panels can be made, not even with this stop overridden."},
    {"writing-job-sheet", "writing the job sheet"},
    {"zone-is-not-known-on-this", "{file}: `zone: {name}` is not known on this machine; a right one is "
                                  "Europe/Lisbon (the zone tables come with Debian's package tzdata)"},
    {"zone-is-not-name-of-zone", "`zone: {name}` is not the name of a zone; a right one is Europe/Lisbon"},
};
const size_t english_run_count = sizeof english_run / sizeof *english_run;
