/* Sizes that a person should look at twice. */
#include "doubt.h"
#include "base/text.h"
#include "base/units.h"
#include "model/practice.h"
#include <math.h>

static void judge_size(const struct surface_plan *plan, const struct workload *workload,
                       struct findings *findings)
{
    const struct surface *s = plan->surface;
    double film = 0;
    struct point likely;
    if (surface_is_on_the_road(s->width_mm, s->height_mm)) return;
    const char *less = surface_without_slip(s->width_mm, s->height_mm, &likely)
                           ? sentence_words(findings->arena, "with-digit-less-it-would-be",
                                            ARGUMENTS(arg_fixed("likely_x", likely.x, 0),
                                                      arg_fixed("likely_y", likely.y, 0)))
                           : "";
    for (size_t i = 0; i < plan->panel_count; i++) film += plan->panels[i].print_length_mm;
    finding_add(findings, "size-doubtful", s->name, "size-doubtful-is-m-that-comes",
                ARGUMENTS(arg_words("surface", s->name), arg_fixed("width_m", s->width_mm / 1000, 1),
                          arg_fixed("height_m", s->height_mm / 1000, 1), arg_fixed("film_m", film / 1000, 0),
                          arg_fixed("print_h", (double)workload_printing_s(workload) / 3600, 0),
                          arg_fixed("install_h", (double)workload->install_s / 3600, 0),
                          arg_words("less", less)));
}

/* What is to be seen in the printer's queue, by the form that the job gives large panels. */
static const char *queue_sentence(const struct job *job, const struct panel *panel, struct arena *arena)
{
    const struct panel_form_type *form = &panel_forms[job->large];
    double width = rect_width(panel->file), height = rect_height(panel->file), units = 14400;
    double unit = ceil(fmax(width, height) * 72 / MM_PER_INCH / units);
    if (form->drawn_at > 1)
        return sentence_words(arena, "come-at-1-10-in-file",
                              ARGUMENTS(arg_words("panel", panel->id),
                                        arg_fixed("width", width / form->drawn_at, 0),
                                        arg_fixed("height", height / form->drawn_at, 0),
                                        arg_fixed("width_2", width, 0), arg_fixed("height_2", height, 0)));
    if (form->pixels)
        return sentence_words(arena, "come-as-tiff-in-printers-profile",
                              ARGUMENTS(arg_words("panel", panel->id), arg_fixed("width", width, 0),
                                        arg_fixed("height", height, 0)));
    return sentence_words(arena, "count-in-userunit-must-show-as",
                          ARGUMENTS(arg_fixed("unit", unit, 0), arg_words("panel", panel->id),
                                    arg_fixed("width", width, 0), arg_fixed("height", height, 0),
                                    arg_fixed("width_2", width / unit, 0),
                                    arg_fixed("height_2", height / unit, 0)));
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
    finding_add(findings, "panel-large", plan->surface->name, "panel-large",
                ARGUMENTS(arg_count("count", (int64_t)count),
                          arg_words("queue_sentence", queue_sentence(job, longest, findings->arena))));
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
                    "overlap-unusual",
                    ARGUMENTS(arg_number("overlap", overlap), arg_flag("wide", overlap > most)));
    }
}

void doubt_sizes(struct plan *plan, const struct workloads *workloads)
{
    judge_overlaps(plan);
    for (size_t i = 0; i < workloads->count; i++) {
        const struct workload *workload = &workloads->items[i];
        judge_size(workload->surface, workload, &plan->findings);
        if (isfinite(panel_form_of_job(plan->input->job)->largest_mm))
            judge_pages(plan->input->job, workload->surface, &plan->findings);
    }
}
