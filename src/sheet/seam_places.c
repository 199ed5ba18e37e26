/* Where a line lies from what an installer can see on the vehicle once parts are off: door gaps, openings,
 * lamps, what stays on, and the edges of the surface. */
#include "base/arena.h"
#include "base/sentence.h"
#include "base/text.h"
#include "model/length_marks.h"
#include "pages.h"
#include "model/practice.h"
#include <math.h>

/* A line of the vehicle across the axis that is measured along. */
struct sight {
    double at_mm;
    const char *name;
};

struct sights {
    struct sight before, after; /* the nearest on both sides; name NULL: none */
    const char *in;             /* what the line lies in; NULL: nothing */
};

static void see(struct sights *sights, double at_mm, double line_mm, const char *name)
{
    struct sight *side = at_mm < line_mm ? &sights->before : &sights->after;
    if (fabs(at_mm - line_mm) <= practice_value("place-same").value) {
        sights->in = name;
        return;
    }
    if (!side->name || fabs(at_mm - line_mm) < fabs(side->at_mm - line_mm))
        *side = (struct sight){at_mm, name};
}

/* A handle that is off has left holes, and film will cover them. */
static bool can_be_seen(const struct feature *f)
{
    const struct feature_type *type = &feature_types[f->kind];
    bool off = type->comes_off && !f->stays;
    return type->is_line || type->film != FILM_COVERS || (type->is_hardware && !off) || type->is_pane;
}

static const char *sight_name(const struct feature *f)
{
    return f->name ? f->name : feature_kind_name(f->kind);
}

/* Upright lines for a line at constant x, lying ones for one at constant y. A slanting gap is no line to
 * measure from. */
static void see_feature(const struct sheet *sheet, struct sights *sights, const struct feature *f,
                        enum axis axis, double line_mm)
{
    const double slant_mm = 20;
    double low = axis == AXIS_X ? f->box.x0 : f->box.y0, high = axis == AXIS_X ? f->box.x1 : f->box.y1;
    static const char *const edges[2][2] = {{"edge-left", "edge-right"}, {"edge-lower", "edge-upper"}};
    if (feature_types[f->kind].is_line) {
        if (high - low <= slant_mm) see(sights, (low + high) / 2, line_mm, "the door gap");
        return;
    }
    bool way = axis == AXIS_Y;
    const struct argument *feature = ARGUMENTS(arg_words("feature", sight_name(f)));
    see(sights, low, line_mm, sentence_words(sheet->arena, edges[way][0], feature));
    see(sights, high, line_mm, sentence_words(sheet->arena, edges[way][1], feature));
}

/* "350 left of the door gap" */
static void add_sight(const struct sheet *sheet, struct text *words, const struct sight *sight,
                      double line_mm, enum axis axis)
{
    bool before = sight->at_mm < line_mm;
    if (!sight->name) return;
    text_addf(words, "%s%s %s %s", words->length ? ", " : "",
              length_words(sheet->arena, fabs(line_mm - sight->at_mm), sheet->options->inches, false),
              axis == AXIS_X ? (before ? "right of" : "left of") : (before ? "above" : "below"), sight->name);
}

/* Only features that lie beside the line's own length are looked at, as long as there are any. */
static const char *place_words(const struct sheet *sheet, const struct surface *surface, enum axis axis,
                               double line_mm, struct seam_part along)
{
    struct sights sights = {0};
    struct text words = text_new(sheet->arena);
    double end = axis == AXIS_X ? surface->width_mm : surface->height_mm;
    see(&sights, 0, line_mm, axis == AXIS_X ? "the left edge" : "the lower edge");
    see(&sights, end, line_mm, axis == AXIS_X ? "the right edge" : "the upper edge");
    for (size_t i = 0; i < surface->feature_count; i++) {
        const struct feature *f = &surface->features[i];
        double low = axis == AXIS_X ? f->box.y0 : f->box.x0, high = axis == AXIS_X ? f->box.y1 : f->box.x1;
        if (can_be_seen(f) && high >= along.from_mm && low <= along.to_mm)
            see_feature(sheet, &sights, f, axis, line_mm);
    }
    if (sights.in) text_addf(&words, "at %s", sights.in);
    add_sight(sheet, &words, &sights.before, line_mm, axis);
    add_sight(sheet, &words, &sights.after, line_mm, axis);
    return text_string(&words);
}

const char *seam_place_words(const struct sheet *sheet, const struct surface *surface,
                             const struct seam *seam)
{
    return place_words(sheet, surface, seam->axis, seam->at_mm,
                       (struct seam_part){seam->from_mm, seam->to_mm});
}

const char *level_place_words(const struct sheet *sheet, const struct surface *surface)
{
    return place_words(sheet, surface, AXIS_Y, surface_level_mm(surface),
                       (struct seam_part){0, surface->width_mm});
}
