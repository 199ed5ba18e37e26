/* Turns a surface so that u runs across the film and v along it, for upright and lying panels alike. Called
 * by everything that works on seams. */
#include "frame.h"
#include <assert.h>
#include <math.h>

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
