/* What every candidate keeps to: the width that a roll gives, and the least panel. */
#include "candidate.h"
#include "base/units.h"
#include <math.h>

double candidate_usable_mm(const struct condition *condition, double roll_mm)
{
    return fmin(roll_mm, condition->printer->media_width_mm) - 2 * condition->printer->edge_mm;
}

double candidate_register_mm(const struct surface *surface, const struct job *job)
{
    return surface->contour_cut && job->cutter ? register_room_mm(&job->cutter->marks) : 0;
}

/* Pixels of a TIFF are rounded outward: up to one at each side. */
double candidate_planned_mm(const struct candidate_search *search, double roll_mm)
{
    const struct job *job = search->job;
    double usable = candidate_usable_mm(search->input->surface->condition, roll_mm);
    usable -= 2 * candidate_register_mm(search->input->surface, job);
    bool pixels = job_makes_pixels(job) && job->resolution_ppi > 0;
    return pixels ? usable - 2 * MM_PER_INCH / job->resolution_ppi : usable;
}

double candidate_least_panel(const struct candidate_search *search)
{
    return search->input->surface->spec->least_panel_mm.value;
}
