/* Rewrites lengths in findings and plan sentences to inches for a shop that asks for them. Called by the
 * verbs after planning; figures in the plan stay millimetres. */
#include "inches.h"
#include "base/units.h"

void inches_in_findings(struct findings *findings)
{
    for (size_t i = 0; i < findings->count; i++) {
        struct finding *f = &findings->items[i];
        f->text = units_in_inches(f->text, findings->arena);
        f->remedy = units_in_inches(f->remedy, findings->arena);
    }
}

static void in_seam(struct seam *seam, struct arena *arena)
{
    seam->why.words = units_in_inches(seam->why.words, arena);
    for (size_t i = 0; i < seam->crosses_count; i++)
        seam->crosses[i] = units_in_inches(seam->crosses[i], arena);
}

void inches_in_plan(struct plan *plan, struct arena *arena)
{
    plan->decides.words = units_in_inches(plan->decides.words, arena);
    for (size_t i = 0; i < plan->surface_count; i++)
        for (size_t k = 0; k < plan->surfaces[i].seam_count; k++) in_seam(&plan->surfaces[i].seams[k], arena);
    for (size_t i = 0; i < plan->step_count; i++)
        plan->steps[i].why.words = units_in_inches(plan->steps[i].why.words, arena);
    for (size_t i = 0; i < plan->task_count; i++)
        plan->tasks[i].parts = units_in_inches(plan->tasks[i].parts, arena);
}
