/* Turns a surface so that u runs across the film and v along it, for upright and lying panels alike. Called
 * by everything that works on seams. */
#include "frame.h"
#include <assert.h>
#include <math.h>

/* From the low to the high end of what is covered; there the print ends where that of the region does. */
static void frame_bound(struct frame *frame)
{
    static const double touch_mm = 0.001;
    const struct surface *s = frame->surface;
    frame->low_mm = 0, frame->high_mm = frame->across_mm;
    frame->first = 0, frame->last = frame->positions;
    if (!s->covered.count) return;
    struct rect covered = frame_turn(frame, surface_covered_box(s)),
                print = frame_turn(frame, surface_bleed_box(s));
    frame->low_mm = covered.x0, frame->high_mm = covered.x1;
    frame->first = (int)floor(covered.x0 + touch_mm), frame->last = (int)ceil(covered.x1 - touch_mm);
    frame->bleed_low = covered.x0 - print.x0, frame->bleed_high = print.x1 - covered.x1;
    frame->prints = frame->upright ? &s->printed_up : &s->printed_along;
    assert(frame->first < frame->last && frame->last <= frame->positions);
}

struct frame frame_of(const struct surface *s, bool upright)
{
    const double *bleed = s->bleed_mm;
    struct frame frame = {.surface = s, .upright = upright};
    frame.across_mm = upright ? s->width_mm : s->height_mm;
    frame.along_mm = upright ? s->height_mm : s->width_mm;
    frame.spans = upright ? s->up : s->along;
    frame.positions = (int)(upright ? s->up_count : s->along_count);
    frame.bleed_low = bleed[upright ? EDGE_LEFT : EDGE_BOTTOM];
    frame.bleed_high = bleed[upright ? EDGE_RIGHT : EDGE_TOP];
    frame.bleed_start = bleed[upright ? EDGE_BOTTOM : EDGE_LEFT];
    frame.bleed_end = bleed[upright ? EDGE_TOP : EDGE_RIGHT];
    frame_bound(&frame);
    assert(frame.positions >= 1);
    assert(frame.across_mm > frame.positions - 1 && frame.across_mm <= frame.positions);
    return frame;
}

struct frame frame_through(const struct frame *frame, struct window window, struct arena *arena)
{
    struct frame through = *frame;
    struct span *spans = arena_take_array(arena, (size_t)frame->positions, sizeof *spans);
    for (int i = 0; i < frame->positions; i++) {
        spans[i].low_mm = fmaxf(frame->spans[i].low_mm, (float)window.low);
        spans[i].high_mm = fminf(frame->spans[i].high_mm, (float)window.high);
    }
    through.spans = spans;
    return through;
}

struct rect frame_turn(const struct frame *frame, struct rect r)
{
    return frame->upright ? r : (struct rect){r.y0, r.x0, r.y1, r.x1};
}

bool frame_reach(const struct frame *frame, double u0, double u1, double *low, double *high)
{
    int from = (int)floor(fmax(u0, 0)), to = (int)ceil(fmin(u1, frame->across_mm));
    *low = INFINITY, *high = -INFINITY;
    for (int i = from; i < to && i < frame->positions; i++) {
        if (frame->spans[i].low_mm > frame->spans[i].high_mm) continue;
        *low = fmin(*low, (double)frame->spans[i].low_mm);
        *high = fmax(*high, (double)frame->spans[i].high_mm);
    }
    return *low < *high;
}

bool frame_print_reach(const struct frame *frame, double u0, double u1, double *low, double *high)
{
    const struct span_table *prints = frame->prints;
    if (!prints) {
        bool there = frame_reach(frame, u0, u1, low, high);
        *low -= frame->bleed_start, *high += frame->bleed_end;
        return there;
    }
    int from = (int)floor(u0) - prints->first, to = (int)ceil(u1) - prints->first;
    *low = INFINITY, *high = -INFINITY;
    for (int i = from < 0 ? 0 : from; i < to && i < (int)prints->count; i++) {
        *low = fmin(*low, (double)prints->spans[i].low_mm);
        *high = fmax(*high, (double)prints->spans[i].high_mm);
    }
    return *low < *high;
}

bool frame_line(const struct frame *frame, double u, double *low, double *high)
{
    int before = (int)ceil(u) - 1, behind = (int)floor(u);
    if (before < 0 || behind >= frame->positions) return false;
    struct span a = frame->spans[before], b = frame->spans[behind];
    *low = (double)fmaxf(a.low_mm, b.low_mm), *high = (double)fminf(a.high_mm, b.high_mm);
    return *low < *high;
}

double frame_place(const struct frame *frame, double u)
{
    return surface_print_at(frame->surface, frame->upright, u);
}

double frame_length(const struct frame *frame, double v0, double v1)
{
    return surface_print_length(frame->surface, !frame->upright, v0, v1);
}

/* The panel on the middle's side of the line; at the middle the left or lower one. */
static bool low_nearer_middle(const struct frame *frame, double u)
{
    return u >= frame->across_mm / 2;
}

bool frame_low_over(const struct frame *frame, double u)
{
    enum front front = frame->surface->front;
    if (!frame->upright) return front == FRONT_DOWN; /* else the upper one: higher, or nearer the front */
    if (front == FRONT_LEFT) return true;
    if (front == FRONT_RIGHT) return false;
    return low_nearer_middle(frame, u);
}
