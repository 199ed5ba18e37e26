/* Sizes that a person should look at twice. */
#include "doubt.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>

static void judge_size(const struct surface_plan *plan, const struct effort *effort,
                       struct findings *findings)
{
    const struct surface *s = plan->surface;
    double film = 0;
    struct point likely;
    if (surface_is_on_the_road(s->width_mm, s->height_mm)) return;
    const char *less = surface_without_slip(s->width_mm, s->height_mm, &likely)
                           ? arena_format(findings->arena, " With a digit less it would be %.0f x %.0f mm.",
                                          likely.x, likely.y)
                           : "";
    for (size_t i = 0; i < plan->panel_count; i++) film += plan->panels[i].print_length_mm;
    finding_add(
        findings, "size-doubtful", s->name,
        "%s is %.1f x %.1f m: that comes to %.0f m of film, %.0f h of printing and %.0f h of installing.%s",
        s->name, s->width_mm / 1000, s->height_mm / 1000, film / 1000, (double)effort_print_s(effort) / 3600,
        (double)effort->install_s / 3600, less);
}

/* What is to be seen in the printer's queue, by the form that the job gives large panels. */
static const char *queue_sentence(const struct job *job, const struct panel *panel, struct arena *arena)
{
    double width = rect_width(panel->file), height = rect_height(panel->file), units = 14400;
    double unit = ceil(fmax(width, height) * 72 / MM_PER_INCH / units);
    if (job->large == LARGE_SCALE_10)
        return arena_format(
            arena,
            "come at 1:10 in a file of their own, to be printed at 1000 %%: %s shows as %.0f x "
            "%.0f mm in the printer's queue and must then be %.0f x %.0f mm.",
            panel->id, width / 10, height / 10, width, height);
    if (job->large == LARGE_TIFF)
        return arena_format(arena,
                            "come as TIFF in the printer's profile: %s must show as %.0f x %.0f mm in the "
                            "printer's queue.",
                            panel->id, width, height);
    return arena_format(
        arena,
        "count in UserUnit %.0f. %s must show as %.0f x %.0f mm in the printer's queue; one that "
        "shows %.0f x %.0f mm prints it too small.",
        unit, panel->id, width, height, width / unit, height / unit);
}

/* One finding for a surface. */
static void judge_pages(const struct job *job, const struct surface_plan *plan, struct findings *findings)
{
    const struct panel *longest = NULL;
    size_t count = 0;
    double most = 0;
    for (size_t i = 0; i < plan->panel_count; i++) {
        const struct panel *panel = &plan->panels[i];
        double side = fmax(rect_width(panel->file), rect_height(panel->file));
        if (!panel_is_large(panel)) continue;
        count++;
        if (side > most) most = side, longest = panel;
    }
    if (!longest) return;
    finding_add(findings, "panel-large", plan->surface->name, "Panels over 5.08 m, %zu here, %s", count,
                queue_sentence(job, longest, findings->arena));
}

void doubt_sizes(struct plan *plan, const struct efforts *efforts)
{
    for (size_t i = 0; i < efforts->count; i++) {
        const struct effort *effort = &efforts->items[i];
        judge_size(effort->surface, effort, &plan->findings);
        if (plan->input->job->format == FORMAT_PDF)
            judge_pages(plan->input->job, effort->surface, &plan->findings);
    }
}
