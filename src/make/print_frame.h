/* Private to make: a panel as it is printed. Where the print is longer than the view (a followed corrugation,
 * or a feed correction along the film) positions on the print differ from those on the surface; everywhere
 * else they are the same. A piece for the inside of glass is printed mirrored: x of the print then runs from the
 * surface's right to its left, and is less than 0. */
#ifndef MAKE_PRINT_FRAME_H
#define MAKE_PRINT_FRAME_H

#include "geom/region.h"
#include "model/plan.h"
#include "pdf/panels.h"

struct print_frame {
    struct rect file, print, visible; /* in print coordinates, mm */
    bool upright;                     /* the film runs up the surface */
    double feed_x, feed_y;            /* factors of the feed correction, 1 across the film */
    bool mirrored;
};

struct print_frame print_frame_of(const struct surface_plan *surface, const struct panel *panel,
                                  double feed_percent);
/* A point of the surface in print coordinates. */
struct point print_frame_point(const struct surface *surface, const struct print_frame *frame,
                               struct point view);
struct rect print_frame_rect(const struct surface *surface, const struct print_frame *frame,
                             struct rect view);
/* A region of the surface in print coordinates: its sides bend where they pass a station. Rings run as there. */
struct region print_frame_region(const struct surface *surface, const struct print_frame *frame,
                                 const struct region *view, struct arena *arena);
/* Print and view agree everywhere. */
bool print_frame_is_plain(const struct surface_plan *surface, double feed_percent);

/* For panel pages: the stretches between stations that the panel needs; none without stations. */
void print_frame_slices(const struct surface *surface, const struct print_frame *frame,
                        const struct panel *panel, struct arena *arena, struct pdf_panel_page *page);
/* The side of the surface that is on the print's left; of others, the side itself. */
enum edge print_frame_edge(const struct surface *surface, enum edge edge);
/* Layers with the feed correction applied, and mirrored; `layers` itself when there is neither. */
const struct pdf_layer *print_frame_layers(const struct print_frame *frame, const struct pdf_layer *layers,
                                           size_t count, struct arena *arena);

#endif
