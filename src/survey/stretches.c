/* Works out each feature's stretch and says where the figure comes from. Called by survey.c; the formulas
 * are in stretch.c. */
#include "base/sentence.h"
#include "base/arena.h"
#include "make.h"
#include "survey/stretch.h"
#include <assert.h>
#include <math.h>

const char *feature_words(const struct feature *feature, struct arena *arena)
{
    const char *kind = feature_kind_name(feature->kind);
    return feature->name ? arena_format(arena, "%s \"%s\"", kind, feature->name) : kind;
}

static void stretches_add(struct survey *survey, size_t *capacity, struct stretch stretch)
{
    struct surface *surface = survey->surface;
    struct stretch *place =
        arena_append(survey->arena, &surface->stretches, &surface->stretch_count, capacity, sizeof *place);
    *place = stretch;
}

/* Walls and corners, beside the verdict's figure. */
static const char *stuck_words(const struct survey *survey, const struct feature *f,
                               const struct stretch *stretch)
{
    const char *words = feature_words(f, survey->arena);
    const char *corners = sentence_words(survey->arena, "in-its-corners-film-is-pulled",
                                         ARGUMENTS(arg_fixed("corner_percent", stretch->corner_percent, 1)));
    if (stretch->stuck_percent > 1e6)
        return sentence_words(survey->arena, "with-its-floor-pressed-first-no",
                              ARGUMENTS(arg_words("words", words), arg_words("corners", corners)));
    return sentence_words(survey->arena, "with-its-floor-pressed-first-its",
                          ARGUMENTS(arg_words("words", words),
                                    arg_fixed("stuck_percent", stretch->stuck_percent, 1),
                                    arg_words("corners", corners)));
}

/* Across the narrower side, where the film has least to give from; sides alike count as across. */
static bool recess_stretch(struct survey *survey, const struct feature *f, struct stretch *stretch)
{
    double width = rect_width(f->box), height = rect_height(f->box), opening = fmin(width, height);
    double wall = f->wall_deg > 0 ? f->wall_deg : 90;
    double need = wall < 90 ? 2 * f->depth_mm / tan(wall * (M_PI / 180)) : 0;
    if (!(f->depth_mm > 0 && opening > 0)) return false;
    if (need > opening * 1.001) {
        report_add(survey->report, f->place, "walls-of-degrees-deep-need-opening",
                   ARGUMENTS(arg_words("feature", feature_words(f, survey->arena)), arg_number("wall", wall),
                             arg_number("depth_mm", f->depth_mm), arg_fixed("need", need, 0),
                             arg_fixed("opening", opening, 0)));
        return false;
    }
    double percent = 100 * strain_recess(opening, f->depth_mm, wall, f->radius_mm);
    assert(percent > -1e-9); /* round bends save film, but not more than walls take */
    if (width <= height)
        stretch->across_percent = percent;
    else
        stretch->up_percent = percent;
    stretch->local_percent = percent;
    double other = strain_recess(fmax(width, height), f->depth_mm, wall, f->radius_mm);
    stretch->corner_percent = 100 * ((1 + percent / 100) * (1 + other) - 1);
    stretch->stuck_percent = 100 * strain_stuck(wall);
    stretch->stuck_words = stuck_words(survey, f, stretch);
    stretch->reason =
        sentence_words(survey->arena, "deep-over-walls-degrees-pushed-in",
                       ARGUMENTS(arg_words("feature", feature_words(f, survey->arena)),
                                 arg_number("depth_mm", f->depth_mm), arg_fixed("opening", opening, 0),
                                 arg_number("wall", wall), arg_fixed("percent", percent, 1),
                                 arg_flag("wall_deg", f->wall_deg > 0), arg_flag("width", width <= height)));
    stretch->source = sentence_plain("geometry-2-d-w-tan-2");
    return true;
}

static const char *corrugation_source(const struct corrugation *shape)
{
    switch (shape->profile) {
    case PROFILE_SINUSOID:
        return sentence_plain("geometry-arc-length-of-sine-curve");
    case PROFILE_TRAPEZOID:
        return "geometry: 1 + 2 d tan(a/2) / p";
    case PROFILE_ARCS:
        return shape->radius_mm > 0 ? sentence_plain("geometry-arcs-of-one-radius-joined")
                                    : sentence_plain("geometry-t-sin-t-with-tan");
    default:
        return sentence_plain("geometry-length-of-measured-profile");
    }
}

static bool corrugation_stretch(struct survey *survey, const struct feature *f, struct stretch *stretch)
{
    struct corrugation shape = corrugation_of(f);
    const char *fault = corrugation_fault(&shape, survey->arena), *words = feature_words(f, survey->arena);
    if (fault) {
        report_add(survey->report, f->place, "path-trouble",
                   ARGUMENTS(arg_words("path", words), arg_words("trouble", fault)));
        return false;
    }
    if (f->laid == LAID_UNSAID) {
        struct finding *finding = finding_add(survey->findings, "laid-unsaid", survey->surface->name,
                                              "laid-unsaid", ARGUMENTS(arg_words("words", words)));
        finding->has_box = true, finding->box = f->box;
    }
    double strain = corrugation_factor(&shape) - 1, tacked = corrugation_tacked_mm(&shape);
    double percent = 100 * strain, local = 100 * strain_local(strain, shape.pitch_mm, tacked);
    assert(strain > -1e-9);         /* no way is shorter than the straight one */
    assert(local > percent - 1e-9); /* what is tacked gives nothing */
    if (f->ribs_upright)
        stretch->across_percent = percent;
    else
        stretch->up_percent = percent;
    stretch->local_percent = local;
    stretch->reason = sentence_words(
        survey->arena, "deep-every-laid-across-crests-and",
        ARGUMENTS(arg_words("words", words), arg_number("depth_mm", shape.depth_mm),
                  arg_number("pitch_mm", shape.pitch_mm), arg_fixed("percent", percent, 1),
                  arg_fixed("local", local, 1), arg_fixed("pitch_mm_2", shape.pitch_mm - tacked, 0),
                  arg_flag("ribs_upright", f->ribs_upright)));
    stretch->source = corrugation_source(&shape);
    return percent > 0;
}

static bool dome_stretch(struct survey *survey, const struct feature *f, struct stretch *stretch)
{
    double width = rect_width(f->box), height = rect_height(f->box), chord = fmax(width, height);
    if (!(f->rise_mm > 0 && chord > 0)) return false;
    if (f->rise_mm > chord / 2) {
        report_add(survey->report, f->place, "it-rises-over-more-than-half",
                   ARGUMENTS(arg_words("feature", feature_words(f, survey->arena)),
                             arg_number("rise_mm", f->rise_mm), arg_fixed("chord", chord, 0)));
        return false;
    }
    bool round = fabs(width - height) < 1e-6 * chord;
    double percent = 100 * (factor_dome(width, height, f->rise_mm) - 1);
    assert(percent > -1e-9);
    stretch->across_percent = stretch->up_percent = stretch->local_percent = percent;
    stretch->reason =
        sentence_words(survey->arena, "rising-over-shaped-z-rise-1",
                       ARGUMENTS(arg_words("feature", feature_words(f, survey->arena)),
                                 arg_number("rise_mm", f->rise_mm), arg_fixed("width", width, 0),
                                 arg_fixed("height", height, 0), arg_fixed("percent", percent, 1)));
    stretch->source = round ? sentence_plain("published-milnor-1969-least-distortion-of")
                            : sentence_plain("same-sum-over-round-dome-that");
    return true;
}

static bool stretches_stretch_of(struct survey *survey, const struct feature *feature,
                                 struct stretch *stretch)
{
    switch (feature_types[feature->kind].relief) {
    case RELIEF_FLAT:
        return false;
    case RELIEF_RECESS:
        return recess_stretch(survey, feature, stretch);
    case RELIEF_RIBS:
        return corrugation_stretch(survey, feature, stretch);
    case RELIEF_DOME:
        return dome_stretch(survey, feature, stretch);
    }
    return false;
}

/* A recess with an inlay or relief cuts asks nothing of the film across it: said for the record. */
static bool covered_otherwise(struct survey *survey, const struct feature *f)
{
    if (!feature_has_piece(f)) return false;
    const char *words = feature_words(f, survey->arena), *name = survey->surface->name;
    struct rect piece = feature_inlay(f);
    struct finding *finding =
        f->inlay
            ? finding_add(survey->findings, "inlay", name, "inlay-covered-by-inlay-printed",
                          ARGUMENTS(arg_words("words", words), arg_fixed("width_mm", rect_width(piece), 0),
                                    arg_fixed("height_mm", rect_height(piece), 0)))
            : finding_add(survey->findings, "inlay", name, "inlay-relief-cuts-in-its",
                          ARGUMENTS(arg_words("words", words), arg_fixed("depth_mm", f->depth_mm, 0)));
    finding->has_box = true, finding->box = f->box;
    return true;
}

void survey_stretches(struct survey *survey)
{
    const struct surface *surface = survey->surface;
    size_t capacity = 0;
    for (size_t i = 0; i < surface->feature_count; i++) {
        struct stretch stretch = {.box = surface->features[i].box, .feature = i};
        if (!survey->followed[i] && !covered_otherwise(survey, &surface->features[i]) &&
            stretches_stretch_of(survey, &surface->features[i], &stretch))
            stretches_add(survey, &capacity, stretch);
    }
}
