/* What each panel carries: ink, stretch, drying. */
#include "panels.h"
#include "base/sentence.h"
#include "base/text.h"
#include "model/practice.h"
#include "plan/clock.h"
#include "plan/suit.h"
#include <math.h>

double panel_hand_percent(const struct panel *panel)
{
    return fmax(panel->coverage.hand_peak_percent, panel->coverage.mean_percent);
}

static void set_ink(const struct ink_map *map, const struct condition *condition, struct panel *panel)
{
    const struct ink *ink = condition->ink;
    if (!map) return;
    panel->coverage = ink_map_coverage(map, panel->print);
    for (size_t c = 0; c < ink->channel_count; c++) {
        double percent = ink_channel_percent(condition, c, panel->coverage.channel_percent);
        panel->ink_ml[c] = panel->area_m2 * percent / 100 * ink->ml_per_m2[c];
    }
}

/* What inks besides C, M, Y and K cover is not to be seen in the artwork. */
static void judge_channels(const struct surface_input *input, struct findings *findings)
{
    const struct condition *condition = input->surface->condition;
    struct text names = text_new(findings->arena);
    for (size_t c = 0; c < condition->ink->channel_count; c++) {
        int process;
        const char *name = condition->ink->channels[c];
        if (!ink_channel_assumed(condition, c)) continue;
        bool light = ink_channel_kind(name, &process) == CHANNEL_LIGHT;
        text_addf(&names, "%s%s (%s)", names.length ? ", " : "", name,
                  light ? "as its colour" : "the whole print");
    }
    if (input->ink && names.length)
        finding_add(
            findings, "value-assumed", input->surface->name, "value-assumed-condition-does-not-say",
            ARGUMENTS(arg_words("condition", condition->name), arg_words("names", text_string(&names))))
            ->remedy = "Write `coverage: {W: 100 %, LC: 30 %}` into the condition in the shop file.";
}

static double total_of(const struct ink_map *map, size_t at)
{
    double total = 0;
    for (int c = 0; c < INK_CHANNELS; c++) total += map->channel[c][at];
    return total / 100;
}

static struct rect panel_facts_cell_at(const struct ink_map *map, size_t column, size_t row)
{
    return rect_of(map->box.x0 + INK_CELL_MM * (double)column, map->box.y0 + INK_CELL_MM * (double)row,
                   INK_CELL_MM, INK_CELL_MM);
}

/* A cell that reaches `mm` from the map's edge on, or the one before it: 0..count. */
static size_t cell_near(double mm, size_t count)
{
    double cell = floor(mm / INK_CELL_MM) - 1;
    return cell <= 0 ? 0 : cell >= (double)count ? count : (size_t)cell;
}

/* The cell with most ink that `area` touches. */
static struct rect heaviest_cell(const struct ink_map *map, struct rect area)
{
    double most = -1;
    struct rect heaviest = area;
    size_t left = cell_near(area.x0 - map->box.x0, map->columns);
    for (size_t row = cell_near(area.y0 - map->box.y0, map->rows); row < map->rows; row++) {
        if (panel_facts_cell_at(map, 0, row).y0 > area.y1) break;
        for (size_t column = left; column < map->columns; column++) {
            struct rect cell = panel_facts_cell_at(map, column, row);
            if (cell.x0 > area.x1) break;
            double total = total_of(map, row * map->columns + column);
            if (total > most && rect_overlaps(cell, area)) most = total, heaviest = cell;
        }
    }
    return heaviest;
}

static void panel_facts_judge_ink(const struct surface_input *input, const struct panel *panel,
                                  struct findings *findings)
{
    struct measure written = input->surface->condition->ink_limit_percent;
    struct measure limit = input->surface->condition->ink_ask_percent,
                   high = practice_value("ink-limit-high");
    const char *asks = measure_is_written(written) ? ""
                       : panel->coverage.peak_percent > high.value
                           ? sentence_plain("few-films-take-that-much-ask")
                           : sentence_plain("nobody-wrote-this-films-limit-some");
    if (!input->ink || panel->coverage.peak_percent <= limit.value) return;
    struct rect box = heaviest_cell(input->ink, panel->print);
    const char *where = arena_format(findings->arena, "%s/%s", input->surface->name, panel->id);
    struct finding *finding = finding_add(
        findings, "ink-over-limit", where, "ink-over-limit-carries-up-to-of",
        ARGUMENTS(arg_words("panel", panel->id), arg_fixed("peak_percent", panel->coverage.peak_percent, 0),
                  arg_fixed("box_x0", (box.x0 + box.x1) / 2, 0),
                  arg_fixed("box_y0", (box.y0 + box.y1) / 2, 0), arg_number("limit", limit.value),
                  arg_words("limit_source", limit.source), arg_words("asks", asks)));
    finding->source = limit.source;
    finding->figure = panel->coverage.peak_percent, finding->on_artwork = true;
    finding->has_box = true, finding->box = box;
}

static void set_stretch(const struct surface *surface, struct panel *panel)
{
    struct suit_stretch stretch = suit_stretch_in(surface, panel->visible);
    panel->stretch_percent = stretch.average_percent;
    panel->stretch_local_percent = stretch.local_percent;
}

static struct dry_time dry_time_of(const struct surface_input *input, const struct job *job,
                                   const struct panel *panel, struct findings *findings)
{
    const struct condition *condition = input->surface->condition;
    struct dry_case dry = {condition->ink, panel_hand_percent(panel),  condition->dry_most_at_percent,
                           job->drying,    job->room_humidity_percent, job->room_c};
    return clock_dry(&dry, findings->arena);
}

/* One finding for the surface names the panels that dry longer, and what the slowest needs. */
static void panel_facts_judge_drying(const struct surface_input *input, const struct job *job,
                                     struct surface_plan *plan, struct findings *findings)
{
    struct text names = text_new(findings->arena);
    struct dry_time slowest = {0};
    size_t heavy = 0;
    for (size_t i = 0; i < surface_print_count(plan); i++) {
        struct panel *panel = &plan->panels[i];
        struct dry_time time = dry_time_of(input, job, panel, findings);
        panel->dry_s = time.seconds;
        if (!time.heavy) continue;
        text_addf(&names, "%s%s (%.0f %%, %.1f h)", heavy++ ? ", " : "", panel->id, panel_hand_percent(panel),
                  time.seconds / 3600);
        if (time.seconds > slowest.seconds) slowest = time;
    }
    if (!heavy) return;
    finding_add(
        findings, "heavy-ink", input->surface->name, "heavy-ink",
        ARGUMENTS(arg_fixed("floor_h", slowest.floor_s / 3600, 0), arg_words("names", text_string(&names))))
        ->source = slowest.decided.source;
}

void panels_judge(const struct surface_input *input, const struct job *job, struct surface_plan *plan,
                  struct findings *findings)
{
    for (size_t i = 0; i < surface_print_count(plan); i++) {
        struct panel *panel = &plan->panels[i];
        set_ink(input->ink, input->surface->condition, panel);
        panel_facts_judge_ink(input, panel, findings);
        if (!panel->inlay) set_stretch(input->surface, panel);
    }
    judge_channels(input, findings);
    panel_facts_judge_drying(input, job, plan, findings);
    panels_judge_blank(input, plan, findings);
    bare_judge(plan, findings);
}
