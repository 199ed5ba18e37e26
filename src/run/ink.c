/* What was counted on the pixels of the print files: a file for programs, findings for people. */
#include "base/arena.h"
#include "base/json.h"
#include "base/path.h"
#include "scan/heat.h"
#include "steps.h"
#include <math.h>
#include <string.h>

static const char *const channel_names[INK_CHANNELS] = {"C", "M", "Y", "K"};

enum { BIN_PERCENT = 5, BINS = 400 / BIN_PERCENT + 1 };

/* ---- findings ---- */

static struct rect ink_place_on(const struct panel_ink *ink, const struct ink_place *place)
{
    double mm = ink->pixel_mm;
    return (struct rect){ink->box.x0 + place->x0 * mm, ink->box.y1 - place->y1 * mm,
                         ink->box.x0 + place->x1 * mm, ink->box.y1 - place->y0 * mm};
}

static const char *places_words(const struct panel_ink *ink, struct arena *arena)
{
    enum { MOST = 3 };
    const struct ink_reading *reading = ink->reading;
    struct text words = text_new(arena);
    for (size_t i = 0; i < reading->place_count && i < MOST; i++) {
        struct rect at = ink_place_on(ink, &reading->places[i]);
        text_say(&words, "number-peak-percent-near-at-x0",
                 ARGUMENTS(arg_fixed("peak_percent", reading->places[i].peak_percent, 0),
                           arg_fixed("at_x0", (at.x0 + at.x1) / 2, 0),
                           arg_fixed("at_y0", (at.y0 + at.y1) / 2, 0), arg_flag("number", i)));
    }
    size_t more = reading->place_total > MOST ? reading->place_total - MOST : 0;
    if (more) text_addf(&words, "; %zu place%s more", more, more == 1 ? "" : "s");
    if (!ink->on_surface) text_say(&words, "measured-on-print-which-is-longer", NULL);
    return text_string(&words);
}

/* The estimate's finding on this panel gives way to what was counted. */
static void drop_estimate(struct run *run, const char *where)
{
    size_t kept = 0;
    for (size_t i = 0; i < run->findings.count; i++) {
        const struct finding *f = &run->findings.items[i];
        bool estimate = string_equal(f->code, "ink-over-limit") && string_equal(f->where, where);
        if (!estimate) run->findings.items[kept++] = *f;
    }
    run->findings.count = kept;
}

static void ink_judge(struct run *run, const struct surface *surface, const struct panel_ink *ink)
{
    const char *where = arena_format(run->arena, "%s/%s", surface->name, ink->panel->id);
    struct measure limit = surface->condition->ink_ask_percent;
    drop_estimate(run, where);
    if (!ink->reading->place_total) return;
    struct finding *finding =
        finding_add(&run->findings, "ink-over-limit", where, "ink-over-limit-carries-more-ink-than",
                    ARGUMENTS(arg_words("panel", ink->panel->id), arg_number("limit", limit.value),
                              arg_words("limit_source", limit.source),
                              arg_words("places", places_words(ink, run->arena))));
    finding->source = limit.source;
    finding->has_box = ink->on_surface;
    finding->box = ink_place_on(ink, &ink->reading->places[0]);
}

void ink_take(struct run *run, const struct surface *surface, const struct make_result *result)
{
    if (!surface->condition) return;
    for (size_t i = 0; i < result->ink_count; i++) {
        ink_judge(run, surface, &result->inks[i]);
        *(struct counted_ink *)arena_append(run->arena, &run->inks, &run->ink_count, &run->ink_capacity,
                                            sizeof *run->inks) =
            (struct counted_ink){surface, &result->inks[i]};
    }
}

/* ---- the file ---- */

static void histogram_json(struct json *json, const struct ink_reading *reading)
{
    double bins[BINS] = {0}, all = 0;
    for (size_t total = 0; total < INK_TOTALS; total++) {
        bins[(size_t)((double)total / 2.55 / BIN_PERCENT)] += (double)reading->histogram[total];
        all += (double)reading->histogram[total];
    }
    json_open_list(json, "histogram_percent");
    for (size_t i = 0; i < BINS; i++) json_number(json, NULL, bins[i] / all * 100, 4);
    json_close(json);
}

static void places_json(struct json *json, const struct panel_ink *ink)
{
    json_open_list(json, "over_limit");
    for (size_t i = 0; i < ink->reading->place_count; i++) {
        struct rect at = ink_place_on(ink, &ink->reading->places[i]);
        double box[] = {at.x0, at.y0, at.x1, at.y1};
        json_open_object_inline(json, NULL);
        json_number(json, "peak_percent", ink->reading->places[i].peak_percent, 2);
        json_open_list_inline(json, "box_mm");
        for (int k = 0; k < 4; k++) json_number(json, NULL, box[k], 1);
        json_close(json);
        json_close(json);
    }
    json_close(json);
}

static void ink_panel_json(struct json *json, const struct counted_ink *counted)
{
    const struct panel_ink *ink = counted->ink;
    const struct ink_reading *r = ink->reading;
    json_open_object(json, NULL);
    json_string(json, "id", ink->panel->id);
    json_string(json, "file", ink->panel->file_name);
    json_number(json, "mean_percent", r->mean_percent, 4);
    json_number(json, "peak_percent", r->peak_percent, 4);
    json_open_list_inline(json, "peak_at_mm");
    json_number(json, NULL, ink->box.x0 + (r->peak_x + r->window_x / 2.0) * ink->pixel_mm, 1);
    json_number(json, NULL, ink->box.y1 - (r->peak_y + r->window_y / 2.0) * ink->pixel_mm, 1);
    json_close(json);
    json_open_object_inline(json, "channels_percent");
    for (size_t i = 0; i < INK_CHANNELS; i++) json_number(json, channel_names[i], r->channel_percent[i], 4);
    json_close(json);
    json_open_object_inline(json, "ink_ml");
    double m2 = rect_area(ink->box) / 1e6;
    const struct condition *condition = counted->surface->condition;
    for (size_t i = 0; i < condition->ink->channel_count; i++)
        json_number(json, condition->ink->channels[i],
                    m2 * ink_channel_percent(condition, i, r->channel_percent) / 100 *
                        condition->ink->ml_per_m2[i],
                    2);
    json_close(json);
    places_json(json, ink);
    histogram_json(json, r);
    json_close(json);
}

bool ink_write(struct run *run, struct error *error)
{
    if (!run->ink_count) return true;
    struct text out = text_new(run->arena);
    struct json json = json_new(&out);
    json_open_object(&json, NULL);
    json_string(&json, "format", "lapstrake-ink/1");
    json_string(&json, "job", run->job->number);
    json_number(&json, "bin_percent", BIN_PERCENT, 0);
    json_open_list(&json, "panels");
    for (size_t i = 0; i < run->ink_count; i++) ink_panel_json(&json, &run->inks[i]);
    json_close(&json);
    json_close(&json);
    const char *path = path_join(run->arena, run->out, "ink.json");
    if (!machine_write(run->machine, path, (struct str){text_string(&out), out.length}, false, error))
        return false;
    step_written(run, path);
    return true;
}

/* ---- the heat picture ---- */

static bool over_limit(const struct run *run, const struct surface *surface)
{
    for (size_t i = 0; i < run->findings.count; i++) {
        const struct finding *f = &run->findings.items[i];
        struct str where = str_from(f->where);
        size_t length = strlen(surface->name);
        bool here = where.length > length && str_equal(str_slice(where, 0, length), surface->name) &&
                    where.bytes[length] == '/';
        if (here && string_equal(f->code, "ink-over-limit")) return true;
    }
    return false;
}

static const struct panel_ink *counted_on(const struct run *run, const struct panel *panel)
{
    for (size_t i = 0; i < run->ink_count; i++)
        if (run->inks[i].ink->panel == panel) return run->inks[i].ink;
    return NULL;
}

struct printed_panel {
    const struct surface_plan *surface;
    const struct panel *panel;
    double feed_percent;
};

static struct rect printed(void *self, struct rect on_surface)
{
    const struct printed_panel *p = self;
    return make_on_print(p->surface, p->panel, p->feed_percent, on_surface);
}

static const struct ink_heat *ink_heat_of(const struct run *run, size_t surface)
{
    const struct run_surface *s = &run->surfaces[surface];
    const struct surface_plan *plan = &run->plan->surfaces[surface];
    struct measure limit = s->surface->condition->ink_ask_percent;
    struct heat_maker *maker = heat_maker_new(run->arena, s->ink, limit.value);
    for (size_t i = 0; i < plan->panel_count; i++) {
        const struct panel *panel = &plan->panels[i];
        const struct panel_ink *ink = counted_on(run, panel);
        if (!ink) {
            heat_maker_estimate(maker, panel->print);
            continue;
        }
        struct printed_panel self = {plan, panel, feed_percent_of(run->job, plan->surface->condition)};
        struct heat_print print = {panel->print,  ink->box, ink->reading,
                                   ink->pixel_mm, &self,    ink->on_surface ? NULL : printed};
        heat_maker_count(maker, &print);
    }
    struct ink_heat *heat = heat_maker_result(maker);
    heat->estimate_ppi = s->coarse_ppi;
    return heat;
}

const struct ink_heat *const *ink_heats(const struct run *run)
{
    const struct ink_heat **heats = arena_take_array(run->arena, run->surface_count, sizeof *heats);
    for (size_t i = 0; i < run->surface_count; i++) {
        const struct run_surface *s = &run->surfaces[i];
        if (s->ink && s->surface->condition && over_limit(run, s->surface)) heats[i] = ink_heat_of(run, i);
    }
    return heats;
}
