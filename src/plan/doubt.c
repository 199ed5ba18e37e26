/* Sizes that a person should look at twice. */
#include "doubt.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>

/* ISO 32000-1, annex C: the longest side of a page in units of 1/72 inch. */
static const double PAGE_MOST_MM = 14400 * MM_PER_INCH / 72;

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

/* One finding for a surface: what software without UserUnit shows of its longest page. */
static void judge_pages(const struct surface_plan *plan, struct findings *findings)
{
    const struct panel *longest = NULL;
    size_t count = 0;
    double most = PAGE_MOST_MM;
    for (size_t i = 0; i < plan->panel_count; i++) {
        double side = fmax(rect_width(plan->panels[i].file), rect_height(plan->panels[i].file));
        if (side <= PAGE_MOST_MM) continue;
        count++;
        if (side > most) most = side, longest = &plan->panels[i];
    }
    if (!longest) return;
    double unit = ceil(most / PAGE_MOST_MM), width = rect_width(longest->file),
           height = rect_height(longest->file);
    finding_add(findings, "panel-large", plan->surface->name,
                "%zu PDF page%s longer than 5.08 m and count%s in UserUnit %.0f. %s must show as %.0f x %.0f "
                "mm in the "
                "printer's queue; one that shows %.0f x %.0f mm prints it too small.",
                count, count == 1 ? " is" : "s are", count == 1 ? "s" : "", unit, longest->id, width, height,
                width / unit, height / unit);
}

void doubt_sizes(struct plan *plan, const struct efforts *efforts)
{
    for (size_t i = 0; i < efforts->count; i++) {
        const struct effort *effort = &efforts->items[i];
        judge_size(effort->surface, effort, &plan->findings);
        if (plan->input->job->format == FORMAT_PDF) judge_pages(effort->surface, &plan->findings);
    }
}
