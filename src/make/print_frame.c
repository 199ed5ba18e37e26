/* Maps places on the surface to places on the print, which differ along followed corrugations and with a
 * feed correction. Called by whatever puts something on a panel. */
#include "print_frame.h"
#include "base/arena.h"

struct point print_frame_point(const struct surface *surface, const struct print_frame *frame,
                               struct point view)
{
    double x = surface_print_at(surface, true, view.x) * frame->feed_x;
    return (struct point){frame->mirrored ? -x : x, surface_print_at(surface, false, view.y) * frame->feed_y};
}

struct rect print_frame_rect(const struct surface *surface, const struct print_frame *frame, struct rect r)
{
    struct point low = print_frame_point(surface, frame, (struct point){r.x0, r.y0});
    struct point high = print_frame_point(surface, frame, (struct point){r.x1, r.y1});
    return rect_normal(low, high);
}

/* The side's places at stations, in its direction; its end is not among them. */
static void frame_add_bends(const struct surface *surface, const struct print_frame *frame,
                            struct outline_builder *ring, struct point from, struct point to)
{
    bool x = surface->stations_along_x, up = x ? to.x > from.x : to.y > from.y;
    double begin = x ? from.x : from.y, end = x ? to.x : to.y;
    for (size_t i = 0; i < surface->station_count; i++) {
        double at = surface->stations[up ? i : surface->station_count - 1 - i].view_mm;
        double share = begin == end ? 0 : (at - begin) / (end - begin);
        if (share <= 0 || share >= 1) continue;
        struct point bend = {from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)};
        outline_add(ring, print_frame_point(surface, frame, bend));
    }
}

/* Mirrored it runs the other way: it is to run as it did. */
static void frame_turn_ring(struct polygon *ring)
{
    for (size_t i = 0, k = ring->count; i + 1 < k; i++) {
        struct point p = ring->points[i];
        ring->points[i] = ring->points[--k], ring->points[k] = p;
    }
}

struct region print_frame_region(const struct surface *surface, const struct print_frame *frame,
                                 const struct region *view, struct arena *arena)
{
    struct region print = {arena_take_array(arena, view->count, sizeof *print.rings), view->count};
    for (size_t i = 0; i < view->count; i++) {
        const struct polygon *ring = &view->rings[i];
        struct outline_builder builder = {.arena = arena};
        for (size_t k = 0; k < ring->count; k++) {
            outline_add(&builder, print_frame_point(surface, frame, ring->points[k]));
            frame_add_bends(surface, frame, &builder, ring->points[k], ring->points[(k + 1) % ring->count]);
        }
        print.rings[i] = (struct polygon){builder.points, builder.count};
        if (frame->mirrored) frame_turn_ring(&print.rings[i]);
    }
    return print;
}

struct print_frame print_frame_of(const struct surface_plan *surface, const struct panel *panel,
                                  double feed_percent)
{
    struct print_frame frame = {.upright = surface->direction == RUN_UPRIGHT, .feed_x = 1, .feed_y = 1};
    frame.mirrored = surface_is_mirrored(surface->surface);
    *(frame.upright ? &frame.feed_y : &frame.feed_x) = feed_percent / 100;
    frame.file = print_frame_rect(surface->surface, &frame, panel->file);
    frame.print = print_frame_rect(surface->surface, &frame, panel->print);
    frame.visible = print_frame_rect(surface->surface, &frame, panel->visible);
    return frame;
}

enum edge print_frame_edge(const struct surface *surface, enum edge edge)
{
    if (!surface_is_mirrored(surface) || (edge != EDGE_LEFT && edge != EDGE_RIGHT)) return edge;
    return edge == EDGE_LEFT ? EDGE_RIGHT : EDGE_LEFT;
}

bool print_frame_is_plain(const struct surface_plan *surface, double feed_percent)
{
    return !surface->surface->station_count && feed_percent == 100 && !surface_is_mirrored(surface->surface);
}

static struct pdf_slice frame_slice(const struct print_slice *dry, double feed, bool mirrored)
{
    if (mirrored)
        return (struct pdf_slice){-dry->view1 * feed, -dry->view0 * feed, -dry->print1 * feed,
                                  -dry->print0 * feed};
    return (struct pdf_slice){dry->view0 * feed, dry->view1 * feed, dry->print0 * feed, dry->print1 * feed};
}

void print_frame_slices(const struct surface *surface, const struct print_frame *frame,
                        const struct panel *panel, struct arena *arena, struct pdf_panel_page *page)
{
    size_t count;
    bool x = surface->stations_along_x;
    double from = x ? panel->print.x0 : panel->print.y0, to = x ? panel->print.x1 : panel->print.y1;
    double feed = x ? frame->feed_x : frame->feed_y;
    const struct print_slice *dry = surface_print_slices(surface, from, to, arena, &count);
    if (!count) return;
    struct pdf_slice *slices = arena_take_array(arena, count, sizeof *slices);
    for (size_t i = 0; i < count; i++)
        slices[i] = frame_slice(&dry[frame->mirrored && x ? count - 1 - i : i], feed, frame->mirrored && x);
    page->slices = slices;
    page->slice_count = count;
    page->slices_along_x = x;
}

const struct pdf_layer *print_frame_layers(const struct print_frame *frame, const struct pdf_layer *layers,
                                           size_t count, struct arena *arena)
{
    if (frame->feed_x == 1 && frame->feed_y == 1 && !frame->mirrored) return layers;
    struct affine feed = affine_scale(frame->mirrored ? -frame->feed_x : frame->feed_x, frame->feed_y);
    struct pdf_layer *fed = arena_take_array(arena, count, sizeof *fed);
    for (size_t i = 0; i < count; i++) {
        fed[i] = layers[i];
        fed[i].to_surface = affine_then(layers[i].to_surface, feed);
        fed[i].clip = affine_apply_rect(feed, layers[i].clip);
    }
    return fed;
}
