/* Decides in which form each panel's file is made when it is larger than a PDF page may be (14 400 points),
 * and what a print queue shows for it. Called by planning, files and labels. */
#include "model/plan.h"
#include "base/arena.h"
#include "base/units.h"
#include <math.h>

static double longest_side(const struct panel *panel)
{
    return fmax(rect_width(panel->file), rect_height(panel->file));
}

bool panel_is_large(const struct panel *panel)
{
    return longest_side(panel) > panel_page_most_mm;
}

enum panel_form panel_form_of(const struct panel *panel, const struct job *job)
{
    return longest_side(panel) > panel_forms[job->format].largest_mm ? job->large : job->format;
}

static const char *large_size_of(const struct panel *panel, double share, bool inches, struct arena *arena)
{
    double width = rect_width(panel->file) * share, height = rect_height(panel->file) * share;
    return inches ? arena_format(arena, "%.2f x %.2f in", width / MM_PER_INCH, height / MM_PER_INCH)
                  : arena_format(arena, "%.0f x %.0f mm", width, height);
}

void panel_queue_lines(const struct panel *panel, bool inches, struct arena *arena, const char **lines)
{
    int drawn_at = panel_forms[panel->form].drawn_at;
    lines[0] = lines[1] = NULL;
    if (!panel_is_large(panel)) return;
    lines[0] = drawn_at > 1 ? arena_format(arena, "print at %d %%", drawn_at * 100)
                            : arena_format(arena, "queue shows %s", large_size_of(panel, 1, inches, arena));
    if (drawn_at > 1)
        lines[1] = arena_format(arena, "queue: %s", large_size_of(panel, 1.0 / drawn_at, inches, arena));
}

const char *panel_queue_words(const struct panel *panel, bool inches, struct arena *arena)
{
    const char *lines[2];
    panel_queue_lines(panel, inches, arena, lines);
    return lines[1] ? arena_format(arena, "%s (%s)", lines[0], lines[1]) : lines[0];
}
