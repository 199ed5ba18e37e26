/* Sizes that a person should look at twice. */
#include "doubt.h"
#include "base/text.h"
#include "base/units.h"
#include "model/practice.h"
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

/* Surfaces with the job's overlap are told with it. */
static bool is_told(const struct plan *plan, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (plan->surfaces[i].surface->overlap_mm == plan->surfaces[index].surface->overlap_mm) return true;
    return false;
}

static void judge_overlaps(struct plan *plan)
{
    const struct job *job = plan->input->job;
    double least = practice_value("overlap-least").value, most = practice_value("overlap-most").value;
    for (size_t i = 0; i < plan->surface_count; i++) {
        const struct surface *s = plan->surfaces[i].surface;
        double overlap = s->overlap_mm;
        bool unusual = overlap > most || (overlap > 0 && overlap < least);
        if (!unusual || is_told(plan, i)) continue;
        finding_add(&plan->findings, "overlap-unusual", overlap == job->overlap_mm.value ? "job" : s->name,
                    "The overlap is %g mm; %s. The trade has 10 to 25 mm.", overlap,
                    overlap > most ? "so wide a lap is wanted nowhere"
                                   : "so narrow a lap is less than a trimming hand can hold");
    }
}

void doubt_sizes(struct plan *plan, const struct efforts *efforts)
{
    judge_overlaps(plan);
    for (size_t i = 0; i < efforts->count; i++) {
        const struct effort *effort = &efforts->items[i];
        judge_size(effort->surface, effort, &plan->findings);
        if (plan->input->job->format == FORMAT_PDF)
            judge_pages(plan->input->job, effort->surface, &plan->findings);
    }
}
