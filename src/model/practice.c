#include "model/practice.h"
#include <stdlib.h>
#include <string.h>

#define TRADE  "common practice, no source"
#define MEMORY "from memory, unchecked"

const struct practice practice_table[] = {
    {"overlap", 12, "mm", "Band printed on both panels at a seam; 10 to 25 in the trade.", "print.overlap",
     TRADE},
    {"overlap-box", 25, "mm", "The same on box bodies, trailers and buses.", "print.overlap", TRADE},
    {"bleed", 50, "mm", "Printed beyond the outline, on every outer edge; 50 to 100 in the trade.",
     "print.bleed", TRADE},
    {"seam-trim", 3, "mm", "The over panel prints this much beyond its visible edge and is cut back to it.",
     "print.seam-trim", TRADE},
    {"turn-in", 25, "mm",
     "Printed past a door gap by both panels and turned round the edge; 20 to 30 in the trade.",
     "print.turn-in", TRADE},
    {"meet-tolerance", 1.5, "mm", "Neighbouring panels should meet within this.", "length marks", TRADE},
    {"resolution-floor", 72, "pixels per inch", "Working range 72 to 150 at full size.", "resolution-low",
     TRADE},
    {"seam-margin-handle", 30, "mm", "Seams keep this far from handles, hinges, badges and lights.",
     "features.margin", TRADE},
    {"seam-margin-keep-clear", 20, "mm", "Seams keep this far from areas to keep clear.", "features.margin",
     TRADE},
    {"least-panel", 150, "mm", "A narrower panel is hard to apply.", "panel-narrow", TRADE},
    {"lettering-margin", 15, "mm", "Seams keep this far from lettering.", "seams", TRADE},
    {"lettering-share", 60, "percent",
     "A line of lettering up to this share of what a panel holds is never cut; a longer one may be.", "seams",
     TRADE},
    {"stagger", 150, "mm", "Crossings of neighbouring strips keep so far apart: no four panels meet.", "seams",
     TRADE},
    {"dry-least", 24, "h", "Least drying time in good conditions.", "schedule", TRADE},
    {"dry-eco-solvent", 48, "h", "Least drying time of eco-solvent prints.", "schedule", TRADE},
    {"dry-most", 72, "h", "Drying time with ink at the limit, solvent and eco-solvent.", "schedule", TRADE},
    {"bond", 24, "h", "Rest of the laminate before the piece is applied.", "schedule", TRADE},
    {"install-rest", 24, "h", "Rest after installing before the vehicle is washed or driven fast.",
     "job sheet", TRADE},
    {"laminate-cast-low", 20, "degrees C", "Room for a cast laminate, at least.", "laminate-too-cold", TRADE},
    {"laminate-cast-high", 23, "degrees C", "Room for a cast laminate, at most.", "laminate-too-warm", TRADE},
    {"laminate-calendered-low", 15, "degrees C", "Room for a calendered laminate, at least.",
     "laminate-too-cold", MEMORY},
    {"laminate-calendered-high", 35, "degrees C", "Calendered laminate may take heat assistance up to this.",
     "laminate-too-warm", TRADE},
    {"stretch-cast", 15, "percent", "Working stretch of printed, laminated cast film: 10 to 15.",
     "stretch-over-limit", TRADE},
    {"stretch-calendered", 5, "percent", "Working stretch of calendered film: 2 to 5.", "stretch-over-limit",
     TRADE},
    {"stretch-perforated", 0, "percent", "Perforated window film is not stretched.", "stretch-over-limit",
     TRADE},
    {"stretch-ink-solvent", 15, "percent", "Solvent and eco-solvent ink go with the film.",
     "stretch-over-limit", TRADE},
    {"stretch-ink-latex", 15, "percent", "Latex ink goes with the film.", "stretch-over-limit", TRADE},
    {"stretch-ink-uv", 2, "percent",
     "UV-cured ink, also when sold as flexible: not conformable unless its maker states an elongation.",
     "ink-not-conformable", TRADE},
    {"stretch-warn-share", 50, "percent", "A finding is given from this share of the limit.",
     "stretch-near-limit", TRADE},
    {"ink-limit", 280, "percent", "Total ink a film takes: 220 to 300.", "ink-over-limit", TRADE},
    {"ink-ml", 8, "ml per m2", "Ink laid down at 100 % of one channel.", "ink volume", MEMORY},
    {"flat-durability-share", 50, "percent", "Roofs and bonnets last about half as long as upright surfaces.",
     "durability-short", TRADE},
    {"humidity-saturated", 85, "percent", "From here the air is taken as saturated: nothing dries.",
     "drying-not-possible", MEMORY},
    {"room", 21, "degrees C", "The room when the job does not say.", "schedule", MEMORY},
    {"threading", 1000, "mm", "Film and laminate lost at each run of the laminator.", "rolls", TRADE},
    {"laminator-speed", 2, "m per min", "Speed of a laminator.", "schedule", MEMORY},
    {"print-speed", 10, "m2 per h", "Speed of a printer.", "schedule", MEMORY},
    {"setup", 20, "min", "Setting up printer or laminator.", "schedule", MEMORY},
    {"trim-speed", 12, "m2 per h", "Trimming and labelling.", "schedule", MEMORY},
    {"install-speed", 1.5, "m2 per h", "Applying by one person.", "schedule", MEMORY},
    {"edge", 8, "mm", "Unprintable at each side of the film.", "printers.edge", MEMORY},
    {"max-length", 30000, "mm", "Longest print.", "printers.max-length", MEMORY},
    {"roll-gap", 3, "mm", "Gap between the turns of a loosely wound roll.", "lapstrake clock", TRADE},
    {"roll-core", 76.2, "mm", "Core of a roll (3 in).", "lapstrake clock", TRADE},
    {"hang-apart", 300, "mm", "Between hung lengths, so that air passes.", "lapstrake clock", MEMORY},
    {"hang-clear", 300, "mm", "Above and below a hung length.", "lapstrake clock", MEMORY},
    {"apply-low", 15, "degrees C", "Film and vehicle when applying, at least.", "job sheet", MEMORY},
    {"apply-high", 25, "degrees C", "Film and vehicle when applying, at most.", "job sheet", MEMORY},
};
const size_t practice_count = sizeof practice_table / sizeof *practice_table;

struct measure practice_value(const char *name)
{
    for (size_t i = 0; i < practice_count; i++)
        if (!strcmp(practice_table[i].name, name))
            return (struct measure){practice_table[i].value, ORIGIN_PRACTICE, practice_table[i].mark};
    abort();
}
