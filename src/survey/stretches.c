#include "base/arena.h"
#include "make.h"
#include "survey/stretch.h"
#include <math.h>

const char *feature_words(const struct feature *feature, struct arena *arena)
{
    const char *kind = feature_kind_name(feature->kind);
    return feature->name ? arena_format(arena, "%s \"%s\"", kind, feature->name) : kind;
}

static void add(struct survey *survey, size_t *capacity, struct stretch stretch)
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
    const char *corners =
        arena_format(survey->arena, "in its corners the film is pulled both ways, by up to %.1f %%",
                     stretch->corner_percent);
    if (stretch->stuck_percent > 1e6)
        return arena_format(survey->arena,
                            "%s: with its floor pressed first no film is left for its upright walls; %s.",
                            words, corners);
    return arena_format(survey->arena, "%s: with its floor pressed first its walls stretch %.1f %%; %s.",
                        words, stretch->stuck_percent, corners);
}

/* Across the narrower side, where the film has least to give from; sides alike count as across. */
static bool recess_stretch(struct survey *survey, const struct feature *f, struct stretch *stretch)
{
    double width = rect_width(f->box), height = rect_height(f->box), opening = fmin(width, height);
    double wall = f->wall_deg > 0 ? f->wall_deg : 90;
    double need = wall < 90 ? 2 * f->depth_mm / tan(wall * (M_PI / 180)) : 0;
    if (!(f->depth_mm > 0 && opening > 0)) return false;
    if (need > opening * 1.001) {
        report_add(
            survey->report, f->place,
            "%s: walls of %g degrees, %g mm deep, need an opening of %.0f mm, but it is %.0f mm across; "
            "measure depth and wall angle again",
            feature_words(f, survey->arena), wall, f->depth_mm, need, opening);
        return false;
    }
    double percent = 100 * strain_recess(opening, f->depth_mm, wall, f->radius_mm);
    if (width <= height)
        stretch->across_percent = percent;
    else
        stretch->up_percent = percent;
    stretch->local_percent = percent;
    double other = strain_recess(fmax(width, height), f->depth_mm, wall, f->radius_mm);
    stretch->corner_percent = 100 * ((1 + percent / 100) * (1 + other) - 1);
    stretch->stuck_percent = 100 * strain_stuck(wall);
    stretch->stuck_words = stuck_words(survey, f, stretch);
    stretch->reason = arena_format(
        survey->arena,
        "%s %g mm deep over %.0f mm, walls %g degrees%s: pushed in, the film gets %.1f %% longer %s",
        feature_words(f, survey->arena), f->depth_mm, opening, wall, f->wall_deg > 0 ? "" : " (not said)",
        percent, width <= height ? "across" : "from bottom to top");
    stretch->source = "geometry: (2 d / w) tan(a/2), film tacked round the opening and slipping evenly in it";
    return true;
}

static const char *corrugation_source(const struct corrugation *shape)
{
    switch (shape->profile) {
    case PROFILE_SINUSOID:
        return "geometry: arc length of the sine curve, complete elliptic integral";
    case PROFILE_TRAPEZOID:
        return "geometry: 1 + 2 d tan(a/2) / p";
    case PROFILE_ARCS:
        return shape->radius_mm > 0 ? "geometry: arcs of one radius joined by tangents"
                                    : "geometry: t / sin t with tan(t/2) = 2 d / p";
    default:
        return "geometry: length of the measured profile";
    }
}

static bool corrugation_stretch(struct survey *survey, const struct feature *f, struct stretch *stretch)
{
    struct corrugation shape = corrugation_of(f);
    const char *fault = corrugation_fault(&shape, survey->arena), *words = feature_words(f, survey->arena);
    if (fault) {
        report_add(survey->report, f->place, "%s: %s", words, fault);
        return false;
    }
    if (f->laid == LAID_UNSAID) {
        struct finding *finding = finding_add(
            survey->findings, "laid-unsaid", survey->surface->name,
            "%s does not say how the film is laid; taken as bridged: across the crests, then pushed in.",
            words);
        finding->has_box = true, finding->box = f->box;
    }
    double strain = corrugation_factor(&shape) - 1, tacked = corrugation_tacked_mm(&shape);
    double percent = 100 * strain, local = 100 * strain_local(strain, shape.pitch_mm, tacked);
    if (f->ribs_upright)
        stretch->across_percent = percent;
    else
        stretch->up_percent = percent;
    stretch->local_percent = local;
    stretch->reason =
        arena_format(survey->arena,
                     "%s %g mm deep every %g mm, laid across the crests and pushed in: the film gets %.1f %% "
                     "longer %s, %.1f %% "
                     "over the %.0f mm that are free between crests",
                     words, shape.depth_mm, shape.pitch_mm, percent,
                     f->ribs_upright ? "across" : "from bottom to top", local, shape.pitch_mm - tacked);
    stretch->source = corrugation_source(&shape);
    return percent > 0;
}

static bool dome_stretch(struct survey *survey, const struct feature *f, struct stretch *stretch)
{
    double width = rect_width(f->box), height = rect_height(f->box), chord = fmax(width, height);
    if (!(f->rise_mm > 0 && chord > 0)) return false;
    if (f->rise_mm > chord / 2) {
        report_add(survey->report, f->place,
                   "%s: it rises %g mm over %.0f mm, more than half a ball; measure its rise again",
                   feature_words(f, survey->arena), f->rise_mm, chord);
        return false;
    }
    bool round = fabs(width - height) < 1e-6 * chord;
    double percent = 100 * (factor_dome(width, height, f->rise_mm) - 1);
    stretch->across_percent = stretch->up_percent = stretch->local_percent = percent;
    stretch->reason = arena_format(
        survey->arena,
        "%s rising %g mm over %.0f x %.0f mm, shaped z = rise (1 - (x/a)^2 - (y/b)^2): to cover it with one "
        "flat piece the film stretches %.1f %%",
        feature_words(f, survey->arena), f->rise_mm, width, height, percent);
    stretch->source = round ? "published: Milnor 1969, least distortion of a spherical cap, t / sin t"
                            : "the same sum over the round dome that asks as much, (a^2 + a b + b^2) / 3 for "
                              "its radius squared, and dome-margin: our own, checked by numeric search";
    return true;
}

static bool stretch_of(struct survey *survey, const struct feature *feature, struct stretch *stretch)
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
            ? finding_add(survey->findings, "inlay", name,
                          "%s: covered by an inlay, printed %.0f x %.0f mm; it goes on first, and the panel "
                          "over it is cut at the rim.",
                          words, rect_width(piece), rect_height(piece))
            : finding_add(survey->findings, "inlay", name,
                          "%s: relief cuts in its four corners, %.0f mm deep.", words, f->depth_mm);
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
            stretch_of(survey, &surface->features[i], &stretch))
            add(survey, &capacity, stretch);
    }
}
