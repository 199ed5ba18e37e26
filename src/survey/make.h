/* The steps of survey_surface. Private. */
#ifndef SURVEY_MAKE_H
#define SURVEY_MAKE_H

#include "base/error.h"
#include "base/report.h"
#include "model/finding.h"
#include "model/surface.h"
#include <stdbool.h>
#include <stddef.h>

struct arena;

/* A cover that names a shape of the surface's own drawing. */
static inline bool cover_is_a_shape(const struct cover_spec *cover)
{
    return cover->kind == COVER_OUTLINE && !cover->points.count && !cover->outline_path && cover->outline;
}

struct survey {
    struct arena *arena;
    struct report *report;
    struct findings *findings;
    struct surface *surface;
    bool *followed; /* for each feature: the print follows it, so its film does not stretch */
};

/* surface-difference: it lies off the surface; a box that reads well as two corners is a warning. */
void slips_judge_place(const struct feature *feature, struct survey *survey);
/* size-doubtful: a vehicle's whole side as small as its centimetres. */
void slips_judge_size(struct survey *survey, const char *vehicle_type);
/* Stations of the corrugations that the print follows; marks them in `followed`. */
void survey_stations(struct survey *survey);
/* What recesses, corrugations and domes ask of the film. A shape that cannot exist goes to the report. */
void survey_stretches(struct survey *survey);

/* From what is covered (within the outline): printed, cut, spans, area, and features and stretches of it. The surface has its
 * bleeds, features and covered_bleed_mm. */
bool cover_settle(struct surface *surface, const struct region *covered, const struct notes *notes,
                  struct error *error);
/* The surface's outline as a region. */
bool cover_outline_of(const struct surface *surface, const struct notes *notes, struct region *outline,
                      struct error *error);

/* "corrugation", or "corrugation \"side ribs\"", for messages. */
const char *feature_words(const struct feature *feature, struct arena *arena);

#endif
