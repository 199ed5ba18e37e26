/* What is measured on a printed panel: marks along its long edges at whole distances from the surface's lower
 * (upright panels) or left edge, and the level line. Neighbours carry the same distances, so their marks meet
 * at the seam. */
#ifndef MODEL_LENGTH_MARKS_H
#define MODEL_LENGTH_MARKS_H

#include "model/plan.h"

/* Marks take this much film across it at a long edge, and none where less than the least is hidden: there
 * they stand beside the print, where the roll has room. */
#define RIM_MM       4.0
#define RIM_LEAST_MM 1.5

/* Distances in mm on the vehicle, on the developed film where the print follows a corrugation; the feed
 * correction is not in them: a dry print has these distances. */
struct length_marks {
    double first_mm, last_mm, step_mm;
    size_t count; /* 0: the panel is too short, or cut to its shape by a cutter that looks for other marks */
};

/* Every length-mark-step (model/practice.h); every length-mark-short on a print that is too short for two. */
struct length_marks panel_length_marks(const struct surface_plan *surface, const struct panel *panel);
/* Height of the surface's level line above its lower edge: the middle, on a whole 100 mm. */
double surface_level_mm(const struct surface *surface);
/* Height of a lying panel's own level line: its middle, on a whole 10 mm. */
double panel_level_mm(const struct panel *panel);

#endif
