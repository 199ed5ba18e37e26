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

static double station_place(const struct surface *s, double view)
{
    const struct station *at = s->stations;
    size_t last = s->station_count - 1, i = 1;
    if (view <= at[0].view_mm) return at[0].print_mm + view - at[0].view_mm;
    if (view >= at[last].view_mm) return at[last].print_mm + view - at[last].view_mm;
    while (at[i].view_mm < view) i++;
    double share = (view - at[i - 1].view_mm) / (at[i].view_mm - at[i - 1].view_mm);
    return at[i - 1].print_mm + share * (at[i].print_mm - at[i - 1].print_mm);
}

double frame_place(const struct frame *frame, double u)
{
    const struct surface *s = frame->surface;
    return s->station_count > 1 && s->stations_along_x == frame->upright ? station_place(s, u) : u;
}

double frame_length(const struct frame *frame, double v0, double v1)
{
    const struct surface *s = frame->surface;
    if (s->station_count < 2 || s->stations_along_x == frame->upright) return v1 - v0;
    return station_place(s, v1) - station_place(s, v0);
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
