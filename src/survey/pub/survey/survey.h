/* A measured surface of a vehicle, from its plain size or from a drawing at a scale: outline, features, and
 * what recesses, corrugations and domes do to the film. doc/drawings.md says how a surface is drawn. */
#ifndef SURVEY_SURVEY_H
#define SURVEY_SURVEY_H

#include "base/error.h"
#include "base/machine.h"
#include "base/report.h"
#include "model/finding.h"
#include "model/job.h"
#include "model/surface.h"
#include <stdbool.h>

struct arena;

/* Limits on a surface and its drawing; what is beyond them is refused with a mistake that names the limit. */
enum {
    SURVEY_DRAWING_BYTES_MOST = 20 << 20,
    SURVEY_OUTLINE_POINTS_MOST = 20000, /* of the outline, and of any one feature, after flattening */
    SURVEY_POINTS_MOST = 500000,        /* of all shapes read from one drawing */
    SURVEY_ELEMENTS_MOST = 100000, /* met on the way through a drawing; what `use` repeats counts again */
    SURVEY_DEPTH_MOST = 64,        /* groups in groups, nested drawings and `use` */
    SURVEY_FEATURES_MOST = 5000,
    SURVEY_LENGTH_MOST_MM = 100000, /* width and height of a surface: 100 m; the least is 1 mm */
};

/* Makes the surface that `spec` of `job` describes. Everything in it lives in the notes' arena, or belongs to `job`.
 *
 * Curves are flattened to 0.05 mm on the vehicle, points kept to a millionth of a millimetre. Features are
 * the spec's followed by the drawing's. Where the job leaves it open, the front comes from the surface's
 * name ("left", "right", "rear", "front", "roof", "bonnet"), bleed and overlap from model/practice.h.
 *
 * Mistakes in the drawing go to the report with file and line; things worth a look to the findings
 * (laid-unsaid, surface-difference), under the surface's name.
 *
 * true: the surface was read; *surface is NULL when it cannot be used, and then the report has at least one
 * error (exit status 2). false: the machine failed; `error` says how. */
bool survey_surface(struct machine *machine, const struct job *job, const struct surface_spec *spec,
                    const struct notes *notes, struct surface **surface, struct error *error);

#endif
