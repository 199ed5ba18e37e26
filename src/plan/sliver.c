/* Measures slivers: film left between a lap and a gap, an opening or the outline. Called by seam_cost.c
 * for each place of a seam. */
#include "sliver.h"
#include <assert.h>
#include <math.h>

/* The two edges of film at a lap: the line that is seen, and the edge beneath. */
struct edges_of_film {
    double line, hidden;
    double low, high; /* nothing may end between these: the edges and as much as makes no sliver */
};

struct sliver_search {
    const struct field *field;
    const struct stretches *laps;
    struct edges_of_film edges;
    struct seam_context *context;
};

static double away(const struct edges_of_film *edges, double u)
{
    return fmin(fabs(u - edges->line), fabs(u - edges->hidden));
}

static void note(struct sliver_search *s, double length, double width, const struct feature *beside)
{
    struct seam_context *context = s->context;
    if (length <= 0) return;
    assert(width >= 0);
    if (context->sliver_mm <= 0 || width < context->sliver_width_mm)
        context->sliver_width_mm = width, context->sliver_beside = beside;
    context->sliver_mm += length;
}

/* Short ones hold: the tip that an edge aslant leaves is none. */
static void note_edge(struct sliver_search *s, double low, double high, double width,
                      const struct feature *beside)
{
    double length = stretches_between(s->laps, low, high);
    if (length >= s->field->weights.sliver_length_mm) note(s, length, width, beside);
}

static void beside_gap(struct sliver_search *s, const struct framed_feature *framed)
{
    double u;
    if (!framed_gap_at(framed, &u) || fabs(s->edges.line - u) <= GAP_REACH_MM) return;
    if (u <= s->edges.low || u >= s->edges.high) return;
    note(s, stretches_between(s->laps, framed->box.y0, framed->box.y1), away(&s->edges, u), framed->feature);
}

static void beside_opening(struct sliver_search *s, const struct framed_feature *framed)
{
    const struct polygon *shape = feature_bare_shape(framed->feature);
    double from = fmax(framed->box.x0, s->edges.low), to = fmin(framed->box.x1, s->edges.high);
    double low = framed->box.y0, high = framed->box.y1;
    if (from >= to) return;
    bool there = !shape->count             ? true
                 : s->field->frame.upright ? polygon_span_y(shape, from, to, &low, &high)
                                           : polygon_span_x(shape, from, to, &low, &high);
    double width = fmin(away(&s->edges, framed->box.x0), away(&s->edges, framed->box.x1));
    if (there) note_edge(s, low, high, fmin(width, s->field->weights.sliver_mm), framed->feature);
}

/* How far the film's edges are from the nearest millimetre in which the outline leaves the line free. */
static double away_from_outline(const struct sliver_search *s, int from, int to)
{
    double width = s->field->weights.sliver_mm;
    for (int i = from; i < to; i++) {
        struct span span = s->field->frame.spans[i];
        bool free = (double)span.low_mm > s->context->low + 1 || (double)span.high_mm < s->context->high - 1;
        double middle = i + 0.5;
        if (free) width = fmin(width, fmax(0, away(&s->edges, middle) - 0.5));
    }
    return width;
}

static void beside_outline(struct sliver_search *s)
{
    const struct frame *frame = &s->field->frame;
    struct seam_context *context = s->context;
    if (s->edges.low < frame->low_mm || s->edges.high > frame->high_mm) {
        double width = fmin(away(&s->edges, frame->low_mm), away(&s->edges, frame->high_mm));
        note_edge(s, context->low, context->high, width, NULL);
        return;
    }
    int from = (int)floor(s->edges.low), to = (int)ceil(s->edges.high);
    double low = -INFINITY, high = INFINITY;
    if (to > frame->positions) to = frame->positions;
    for (int i = from; i < to; i++) {
        struct span span = frame->spans[i];
        bool empty = span.low_mm > span.high_mm;
        low = empty ? INFINITY : fmax(low, (double)span.low_mm), high = fmin(high, (double)span.high_mm);
    }
    if (low <= context->low && high >= context->high) return;
    double width = away_from_outline(s, from, to);
    if (low >= high) {
        note_edge(s, context->low, context->high, width, NULL);
        return;
    }
    note_edge(s, context->low, low, width, NULL);
    note_edge(s, high, context->high, width, NULL);
}

void sliver_measure(const struct field *field, double at, const struct stretches *laps,
                    struct seam_context *context)
{
    double overlap = field->frame.surface->overlap_mm, width = field->weights.sliver_mm;
    double hidden = context->low_over ? at - overlap : at + overlap;
    struct sliver_search s = {
        field, laps, {at, hidden, fmin(at, hidden) - width, fmax(at, hidden) + width}, context};
    if (width <= 0 || stretches_length(laps) <= 0) return;
    for (size_t i = 0; i < field->features.count; i++) {
        const struct framed_feature *framed = &field->features.items[i];
        if (framed->feature->kind == FEATURE_GAP) beside_gap(&s, framed);
        bool ends = feature_is_bare(framed->feature->kind) || feature_cut_short_mm(framed->feature) > 0;
        if (ends) beside_opening(&s, framed);
    }
    beside_outline(&s);
}
