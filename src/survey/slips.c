/* Slips of whoever wrote the measures down: a place off the surface, a box given as two corners, centimetres
 * for millimetres. */
#include "base/arena.h"
#include "base/str.h"
#include "make.h"
#include "model/feature.h"
#include "model/finding.h"
#include "model/practice.h"
#include <math.h>
#include <string.h>

/* [x0, y0, x1, y1] in place of [x, y, width, height]: read as corners it lies on the surface. */
static bool is_two_corners(const struct feature *feature, struct rect all)
{
    double past_mm = practice_value("feature-over-edge").value; /* a window may well run a little over */
    struct rect box = feature->box;
    struct rect corners = {box.x0, box.y0, rect_width(box), rect_height(box)};
    bool drawn = feature->shape.count > 0, line = feature_types[feature->kind].is_line;
    bool past = box.x1 > all.x1 + past_mm || box.y1 > all.y1 + past_mm;
    return !drawn && !line && past && corners.x1 > corners.x0 && corners.y1 > corners.y0 &&
           rect_contains(all, corners, 1);
}

static struct finding *add_place(const struct feature *feature, const char *where, struct survey *survey)
{
    const struct surface *surface = survey->surface;
    struct rect box = feature->box;
    struct finding *finding = finding_add(
        survey->findings, "surface-difference", surface->name, "surface-difference-at-to-lies-surface",
        ARGUMENTS(arg_words("feature", feature_words(feature, survey->arena)), arg_fixed("box_x0", box.x0, 0),
                  arg_fixed("box_y0", box.y0, 0), arg_fixed("box_x1", box.x1, 0),
                  arg_fixed("box_y1", box.y1, 0), arg_words("where", where),
                  arg_fixed("width_mm", surface->width_mm, 0),
                  arg_fixed("height_mm", surface->height_mm, 0)));
    finding->has_box = true, finding->box = box;
    return finding;
}

/* Openings and gaps may well run over the edge: a wheel arch is drawn as a whole circle. */
void slips_judge_place(const struct feature *feature, struct survey *survey)
{
    double tolerance_mm = practice_value("feature-off-edge").value;
    const struct surface *surface = survey->surface;
    struct rect all = {0, 0, surface->width_mm, surface->height_mm}, box = feature->box;
    bool outside = box.x1 < 0 || box.y1 < 0 || box.x0 > all.x1 || box.y0 > all.y1;
    bool corners = is_two_corners(feature, all), may_pass = feature_types[feature->kind].past_edge;
    if (!corners && !outside && (may_pass || rect_contains(all, box, tolerance_mm))) return;
    struct finding *finding = add_place(feature, outside ? "outside of" : "partly outside of", survey);
    finding->remedy = sentence_plain("measure-again-on-vehicle-and-correct");
    if (!corners) return;
    finding->severity = SEVERITY_WARN;
    finding->remedy = sentence_words(survey->arena, "box-is-y-width-height-if",
                                     ARGUMENTS(arg_number("box_x0", box.x0), arg_number("box_y0", box.y0),
                                               arg_number("width_mm", rect_width(box) - box.x0),
                                               arg_number("height_mm", rect_height(box) - box.y0)));
}

static bool slips_is_in(const char *word, const char *const *words)
{
    while (*words && strcasecmp(word, *words)) words++;
    return *words;
}

/* A whole side of the vehicle that is said to be one, in the size of a hand luggage. */
static bool looks_like_centimetres(const struct surface *surface, const char *type)
{
    static const char *const sides[] = {"left",    "right",     "driver",   "passenger", "nearside",
                                        "offside", "near side", "off side", NULL};
    static const char *const long_types[] = {"box", "bus", "trailer", NULL};
    const double mm_per_cm = 10;
    double wide = surface->width_mm * mm_per_cm, high = surface->height_mm * mm_per_cm;
    double most = practice_value(type && slips_is_in(type, long_types) ? "vehicle-length" : "side-van").value;
    return type && !surface->glass && slips_is_in(surface->name, sides) &&
           wide >= practice_value("side-shortest").value && wide <= most &&
           high >= practice_value("side-lowest").value && high <= practice_value("vehicle-height").value;
}

void slips_judge_size(struct survey *survey, const char *vehicle_type)
{
    const struct surface *s = survey->surface;
    if (!looks_like_centimetres(s, vehicle_type)) return;
    struct finding *finding = finding_add(
        survey->findings, "size-doubtful", s->name, "size-doubtful-is-taken-as-centimetres",
        ARGUMENTS(arg_words("surface", s->name), arg_fixed("width_mm", s->width_mm, 0),
                  arg_fixed("height_mm", s->height_mm, 0), arg_fixed("width_mm_2", s->width_mm * 10, 0),
                  arg_fixed("height_mm_2", s->height_mm * 10, 0), arg_words("vehicle_type", vehicle_type)));
    finding->remedy = sentence_plain("write-every-measure-of-this-surface");
}
