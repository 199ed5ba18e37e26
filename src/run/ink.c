/* What was counted on the pixels of the print files: findings and a picture for people, figures for
 * programs. */
#include "base/arena.h"
#include "run/ink.h"
#include "scan/heat.h"
#include "steps.h"
#include <math.h>
#include <string.h>

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

/* ---- for the file ---- */

static void take_histogram(struct print_ink *print, const struct ink_reading *reading)
{
    double bins[INK_BINS] = {0}, all = 0;
    for (size_t total = 0; total < INK_TOTALS; total++) {
        bins[(size_t)((double)total / 2.55 / INK_BIN_PERCENT)] += (double)reading->histogram[total];
        all += (double)reading->histogram[total];
    }
    for (size_t i = 0; i < INK_BINS; i++) print->histogram_percent[i] = bins[i] / all * 100;
}

static void take_places(struct print_ink *print, const struct panel_ink *ink, struct arena *arena)
{
    struct print_ink_place *places = arena_take_array(arena, ink->reading->place_count, sizeof *places);
    for (size_t i = 0; i < ink->reading->place_count; i++)
        places[i] = (struct print_ink_place){ink->reading->places[i].peak_percent,
                                             ink_place_on(ink, &ink->reading->places[i])};
    print->places = places, print->place_count = ink->reading->place_count;
}

static void take_millilitres(struct print_ink *print, const struct condition *condition, double m2,
                             struct arena *arena)
{
    print->ink_ml = arena_take_array(arena, condition->ink->channel_count, sizeof *print->ink_ml);
    for (size_t i = 0; i < condition->ink->channel_count; i++)
        print->ink_ml[i] = m2 * ink_channel_percent(condition, i, print->channel_percent) / 100 *
                           condition->ink->ml_per_m2[i];
}

static struct print_ink print_ink_of(const struct counted_ink *counted, struct arena *arena)
{
    const struct panel_ink *ink = counted->ink;
    const struct ink_reading *r = ink->reading;
    struct print_ink print = {
        .panel = ink->panel,
        .ink = counted->surface->condition->ink,
        .mean_percent = r->mean_percent,
        .peak_percent = r->peak_percent,
        .peak_at = {ink->box.x0 + (r->peak_x + r->window_x / 2.0) * ink->pixel_mm,
                    ink->box.y1 - (r->peak_y + r->window_y / 2.0) * ink->pixel_mm},
        .channel_percent = r->channel_percent,
    };
    take_millilitres(&print, counted->surface->condition, rect_area(ink->box) / 1e6, arena);
    take_places(&print, ink, arena);
    take_histogram(&print, r);
    return print;
}

struct print_ink *print_inks(const struct run *run, size_t *count)
{
    struct print_ink *prints =
        run->ink_count ? arena_take_array(run->arena, run->ink_count, sizeof *prints) : NULL;
    for (size_t i = 0; i < run->ink_count; i++) prints[i] = print_ink_of(&run->inks[i], run->arena);
    *count = run->ink_count;
    return prints;
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
