/* lapstrake clock: how the prints dry, and the room they need. */
#include "base/sentence.h"
#include "base/arena.h"
#include "base/units.h"
#include "model/practice.h"
#include "plan/clock.h"
#include "sheet/drying.h"
#include "base/text.h"
#include "steps.h"
#include <math.h>

enum { QUARTERS = 4 * 240 };

static const struct panel *heaviest(const struct surface_plan *surface)
{
    const struct panel *found = &surface->panels[0];
    for (size_t i = 1; i < surface->panel_count; i++) {
        double dry = surface->panels[i].dry_s;
        if (dry < 0 || (found->dry_s >= 0 && dry > found->dry_s)) found = &surface->panels[i];
    }
    return found;
}

static struct drying_line line_of_surface(struct run *run, const struct surface_plan *surface)
{
    const struct panel *panel = heaviest(surface);
    double *gone = arena_take_array(run->arena, QUARTERS + 1, sizeof *gone);
    for (int i = 0; i <= QUARTERS && panel->dry_s > 0; i++) gone[i] = clock_curve(panel->dry_s, i * 900.0);
    return (struct drying_line){.name = panel->id,
                                .dry_h = panel->dry_s < 0 ? -1 : panel->dry_s / 3600,
                                .gone = gone,
                                .count = QUARTERS + 1};
}

static void tell_time(const struct run *run, const struct surface_plan *surface, struct text *words)
{
    const struct panel *panel = heaviest(surface);
    text_say(words, "decides-with-of-ink-over-hand",
             ARGUMENTS(arg_words("surface", surface->surface->name), arg_words("panel", panel->id),
                       arg_fixed("hand_peak_percent", panel->coverage.hand_peak_percent, 0)));
    if (panel->dry_s < 0)
        text_say(words, "dries-not", ARGUMENTS(arg_words("drying", drying_name(run->job->drying))));
    else
        text_say(words, "dries-in",
                 ARGUMENTS(arg_fixed("dry_h", panel->dry_s / 3600, 1),
                           arg_words("drying", drying_name(run->job->drying))));
}

/* What hung lengths and a loosely wound roll of one surface take up. */
static void tell_room(const struct surface_plan *surface, struct text *words)
{
    double length = 0, longest = 0;
    for (size_t i = 0; i < surface->panel_count; i++) {
        length += surface->panels[i].print_length_mm;
        longest = fmax(longest, surface->panels[i].print_length_mm);
    }
    const struct condition *condition = surface->surface->condition;
    double thickness = condition && condition->film ? condition->film->thickness_mm : 0,
           width = surface->roll_width_mm;
    double apart = practice_value("hang-apart").value, clear = practice_value("hang-clear").value;
    double diameter = roll_diameter(length, practice_value("roll-core").value,
                                    thickness + practice_value("roll-gap").value);
    text_say(words, "room-hung",
             ARGUMENTS(arg_count("count", (int64_t)surface->panel_count),
                       arg_fixed("height_m", (longest + 2 * clear) / 1000, 2),
                       arg_fixed("width_m", width / 1000, 2),
                       arg_fixed("depth_m", (double)surface->panel_count * apart / 1000, 2),
                       arg_number("apart_mm", apart)));
    text_say(words, "room-wound",
             ARGUMENTS(arg_fixed("length_m", length / 1000, 1),
                       arg_number("gap_mm", practice_value("roll-gap").value),
                       arg_fixed("diameter_mm", diameter, 0), arg_fixed("height_m", width / 1000, 2)));
}

bool run_write_drying(struct run *run, struct text *words, struct error *error)
{
    struct drying_line *lines = arena_take_array(run->arena, run->plan->surface_count, sizeof *lines);
    size_t count = 0;
    for (size_t i = 0; i < run->plan->surface_count; i++) {
        const struct surface_plan *surface = &run->plan->surfaces[i];
        if (!surface->panel_count) continue;
        lines[count++] = line_of_surface(run, surface);
        tell_time(run, surface, words);
        struct text room = text_new(run->arena);
        tell_room(surface, &room);
        text_add(words,
                 run->job->inches ? units_in_inches(text_string(&room), run->arena) : text_string(&room));
    }
    text_add(words, sentence_plain("nheights-gaps-and-cores-common-practice"));
    struct picture_options options = {.width_mm = 200};
    return step_write_picture(run, sheet_drying_picture(lines, count, options, run->arena), "drying", error);
}
