/* Where film is missing: what is cut out round plates, lamps, sensors and cameras, the seals of panes, and
 * laps without an overlap. */
#include "base/text.h"
#include "panels.h"
#include <math.h>

static const char *panels_with(const struct surface_plan *plan, struct rect box, struct arena *arena)
{
    struct text names = text_new(arena);
    for (size_t i = 0; i < plan->panel_count; i++)
        if (rect_overlaps(plan->panels[i].visible, box))
            text_addf(&names, "%s%s", names.length ? ", " : "", plan->panels[i].id);
    return text_string(&names);
}

static void judge_overlap(const struct surface_plan *plan, struct findings *findings)
{
    for (size_t i = 0; i < plan->seam_count; i++) {
        const struct seam *seam = &plan->seams[i];
        if (!seam->laps || seam->overlap_mm > 0) continue;
        finding_add(findings, "overlap-none", plan->surface->name, "overlap-none",
                    ARGUMENTS(arg_words("over", plan->panels[seam->over].id),
                              arg_words("under", plan->panels[seam->under].id), arg_number("at", seam->at_mm),
                              arg_flag("axis", seam->axis == AXIS_X)));
        return;
    }
}

static void judge_cut_outs(const struct surface_plan *plan, struct findings *findings)
{
    const struct surface *s = plan->surface;
    struct text words = text_new(findings->arena);
    struct rect first = {0};
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        struct rect box = feature_bare_box(f);
        const char *panels = panels_with(plan, box, findings->arena);
        if (feature_types[f->kind].film != FILM_CUT_OUT || !*panels) continue;
        if (!words.length) first = box;
        text_say(&words, "at-to-y-to-from-its",
                 ARGUMENTS(arg_words("feature", f->name ? f->name : feature_kind_name(f->kind)),
                           arg_fixed("box_x0", box.x0, 0), arg_fixed("box_x1", box.x1, 0),
                           arg_fixed("box_y0", box.y0, 0), arg_fixed("box_y1", box.y1, 0),
                           arg_number("feature_cut_out_mm", feature_cut_out_mm(f)),
                           arg_words("panels", panels), arg_flag("several", words.length)));
    }
    if (!words.length) return;
    struct finding *finding = finding_add(findings, "cut-out", s->name, "cut-out",
                                          ARGUMENTS(arg_words("words", text_string(&words))));
    finding->has_box = true, finding->box = first;
}

static void judge_panes(const struct surface_plan *plan, struct findings *findings)
{
    const struct surface *s = plan->surface;
    struct text words = text_new(findings->arena);
    struct rect first = {0};
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        const char *panels = panels_with(plan, f->box, findings->arena);
        double by = feature_cut_short_mm(f);
        if (!(by > 0) || !*panels) continue;
        if (!words.length) first = f->box;
        text_say(&words, "at-to-y-to",
                 ARGUMENTS(arg_words("feature", f->name ? f->name : "pane"),
                           arg_fixed("box_x0", f->box.x0, 0), arg_fixed("box_x1", f->box.x1, 0),
                           arg_fixed("box_y0", f->box.y0, 0), arg_fixed("box_y1", f->box.y1, 0),
                           arg_flag("several", words.length)));
        text_say(&words, f->on_glass.count ? "pane-on-glass" : "pane-too-small",
                 ARGUMENTS(arg_number("by_mm", by), arg_words("panels", panels)));
    }
    if (!words.length) return;
    struct finding *finding = finding_add(findings, "seal-bare", s->name, "seal-bare",
                                          ARGUMENTS(arg_words("words", text_string(&words))));
    finding->has_box = true, finding->box = first;
}

void bare_judge(const struct surface_plan *plan, struct findings *findings)
{
    judge_overlap(plan, findings);
    judge_cut_outs(plan, findings);
    judge_panes(plan, findings);
}
