/* Where the print is longer than the view: corrugations that the film follows into every valley. */
#include "base/sentence.h"
#include "base/arena.h"
#include "make.h"
#include "survey/stretch.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* Straight lines between stations stay this near to the true print position. */
static const double straight_mm = 0.05;

struct stations_run { /* of one corrugation, along the stations' axis */
    const struct feature *feature;
    struct corrugation shape;
    double start;    /* where its first rib begins; may lie before the surface */
    double from, to; /* on the surface */
};

struct runs {
    struct stations_run *items;
    size_t count;
};

static struct stations_run run_of(const struct feature *feature, const struct surface *surface)
{
    bool along_x = feature->ribs_upright;
    double low = along_x ? feature->box.x0 : feature->box.y0,
           high = along_x ? feature->box.x1 : feature->box.y1;
    double extent = along_x ? surface->width_mm : surface->height_mm;
    return (struct stations_run){feature, corrugation_of(feature), low, fmax(0, low), fmin(extent, high)};
}

static bool same_run(const struct stations_run *a, const struct stations_run *b)
{
    const struct corrugation *s = &a->shape, *t = &b->shape;
    return fabs(a->start - b->start) < 0.1 && fabs(a->to - b->to) < 0.1 && s->profile == t->profile &&
           s->pitch_mm == t->pitch_mm && s->depth_mm == t->depth_mm && s->wall_deg == t->wall_deg &&
           s->radius_mm == t->radius_mm && s->polyline == t->polyline;
}

static void stations_say(struct survey *survey, const struct feature *feature, const char *what,
                         const char *remedy)
{
    struct finding *finding = finding_add(
        survey->findings, "surface-difference", survey->surface->name, "surface-difference-feature-what",
        ARGUMENTS(arg_words("feature", feature_words(feature, survey->arena)), arg_words("what", what)));
    finding->remedy = remedy;
    finding->has_box = true, finding->box = feature->box;
}

/* The print has one length for the whole of the other direction. */
static void check_reach(struct survey *survey, const struct feature *feature)
{
    const struct surface *surface = survey->surface;
    bool along_x = feature->ribs_upright;
    double low = along_x ? feature->box.y0 : feature->box.x0,
           high = along_x ? feature->box.y1 : feature->box.x1;
    double extent = along_x ? surface->height_mm : surface->width_mm;
    if (low > 1 || high < extent - 1)
        stations_say(survey, feature, sentence_plain("print-is-made-longer-to-follow"),
                     sentence_plain("cover-flat-part-with-piece-of"));
}

/* Whether the print can follow this run besides those before it. */
static bool fits_others(struct survey *survey, const struct runs *runs, const struct stations_run *ribs,
                        bool *doubled)
{
    *doubled = false;
    for (size_t i = 0; i < runs->count; i++) {
        const struct stations_run *other = &runs->items[i];
        if (other->feature->ribs_upright != ribs->feature->ribs_upright) {
            stations_say(survey, ribs->feature, sentence_plain("its-ribs-run-across-those-of"),
                         sentence_plain("write-laid-bridged-for-this-one"));
            return false;
        }
        if (same_run(other, ribs)) {
            *doubled = true;
        } else if (ribs->from < other->to - 0.1 && other->from < ribs->to - 0.1) {
            stations_say(survey, ribs->feature, sentence_plain("another-corrugation-with-other-ribs-lies"),
                         sentence_plain("write-laid-bridged-for-this-one"));
            return false;
        }
    }
    return true;
}

static struct runs collect(struct survey *survey)
{
    const struct surface *surface = survey->surface;
    struct runs runs = {arena_take_array(survey->arena, surface->feature_count, sizeof *runs.items), 0};
    for (size_t i = 0; i < surface->feature_count; i++) {
        const struct feature *feature = &surface->features[i];
        if (feature->kind != FEATURE_CORRUGATION || feature->laid != LAID_FOLLOWED) continue;
        struct stations_run ribs = run_of(feature, surface);
        bool doubled;
        if (ribs.from >= ribs.to || corrugation_fault(&ribs.shape, survey->arena)) continue;
        if (!fits_others(survey, &runs, &ribs, &doubled)) continue;
        survey->followed[i] = true;
        if (doubled) continue;
        check_reach(survey, feature);
        runs.items[runs.count++] = ribs;
    }
    return runs;
}

static int stations_by_start(const void *one, const void *other)
{
    const struct stations_run *a = one, *b = other;
    return (a->from > b->from) - (a->from < b->from);
}

struct list {
    struct surface *surface;
    struct arena *arena;
    size_t capacity;
};

/* Both positions rise from station to station. */
static void station_add(struct list *list, double view, double print)
{
    struct surface *s = list->surface;
    if (s->station_count && !(view - s->stations[s->station_count - 1].view_mm > 1e-6)) return;
    struct station *station =
        arena_append(list->arena, &s->stations, &s->station_count, &list->capacity, sizeof *station);
    *station = (struct station){view, print};
}

/* Stations of one run, whose print begins at `print`; gives where it ends. */
static double add_run(struct list *list, const struct stations_run *ribs, double print)
{
    double pitch = ribs->shape.pitch_mm,
           before = corrugation_print_mm(&ribs->shape, ribs->from - ribs->start);
    size_t count;
    double *samples = corrugation_samples(&ribs->shape, straight_mm, list->arena, &count);
    assert(count >= 2); /* a rib has two ends */
    station_add(list, ribs->from, print);
    for (double rib = floor((ribs->from - ribs->start) / pitch); ribs->start + rib * pitch < ribs->to;
         rib++) {
        for (size_t i = 0; i < count; i++) {
            double within = rib * pitch + samples[i], view = ribs->start + within;
            if (view > ribs->from && view < ribs->to)
                station_add(list, view, print + corrugation_print_mm(&ribs->shape, within) - before);
        }
    }
    double end = print + corrugation_print_mm(&ribs->shape, ribs->to - ribs->start) - before;
    station_add(list, ribs->to, end);
    return end;
}

void survey_stations(struct survey *survey)
{
    struct surface *surface = survey->surface;
    struct runs runs = collect(survey);
    if (!runs.count) return;
    surface->stations_along_x = runs.items[0].feature->ribs_upright;
    qsort(runs.items, runs.count, sizeof *runs.items, stations_by_start);
    struct list list = {.surface = surface, .arena = survey->arena};
    double view = 0, print = 0, extent = surface->stations_along_x ? surface->width_mm : surface->height_mm;
    station_add(&list, 0, 0);
    for (size_t i = 0; i < runs.count; i++) {
        const struct stations_run *ribs = &runs.items[i];
        print = add_run(&list, ribs, print + fmax(0, ribs->from - view));
        view = ribs->to;
    }
    print += extent - view;
    station_add(&list, extent, print);
    assert(surface->station_count >= 2 && isfinite(print));
    surface->lengthened_mm = print - extent;
}
