/* The outlines of prints that have a shape, as they lie on the roll: what is printed of the region, cut and its bleed. Called
 * by rolls.c when all prints are laid. */
#include "inner.h"
#include "contour/shape.h"

/* From the surface to the roll. */
struct roll_frame {
    const struct laid_print *print;
    const struct panel *panel;
    bool lying;    /* the surface's panels do: its x runs along the film */
    bool turned;   /* by the layout, a quarter to the left */
    bool mirrored; /* for the inside of glass */
    double times;  /* along the film: feed and stations, over the whole print alike */
};

static struct roll_frame roll_frame_of(const struct laid_print *print)
{
    const struct surface_plan *surface = &print->plan->surfaces[print->surface];
    const struct panel *panel = &surface->panels[print->panel];
    bool lying = surface->direction == RUN_LYING;
    double file_mm = lying ? rect_width(panel->file) : rect_height(panel->file);
    return (struct roll_frame){print,
                               panel,
                               lying,
                               (print->turned_deg != 0) != lying,
                               surface_is_mirrored(surface->surface),
                               file_mm > 0 ? panel->print_length_mm / file_mm : 1};
}

/* As its plan has it a lying print is turned a quarter to the left too: what is on the left of the surface comes first. */
static struct point place_on_roll(const struct roll_frame *frame, struct point p)
{
    const struct laid_print *print = frame->print;
    struct rect file = frame->panel->file;
    if (frame->mirrored) p.x = file.x0 + file.x1 - p.x;
    double across = frame->lying ? (file.y0 + file.y1) / 2 - p.y : p.x - (file.x0 + file.x1) / 2;
    double along = (frame->lying ? p.x - file.x0 : p.y - file.y0) * frame->times;
    if (frame->turned)
        return (struct point){print->across_mm + print->wide_mm - along,
                              print->along_mm + print->long_mm / 2 + across};
    return (struct point){print->across_mm + print->wide_mm / 2 + across, print->along_mm + along};
}

/* The largest ring of what is printed on this print. */
static bool printed_ring(const struct roll_frame *frame, const struct region *printed, struct arena *arena,
                         struct polygon *ring, struct error *error)
{
    struct contour_means means = {.arena = arena};
    struct polygon box = polygon_of_rect(frame->panel->print, arena);
    struct region print = {&box, 1}, part;
    double largest = 0;
    *ring = (struct polygon){NULL, 0};
    if (!contour_combine(printed, &print, CONTOUR_INTERSECTION, &means, &part, error)) return false;
    for (size_t i = 0; i < part.count; i++) {
        double area = polygon_area(&part.rings[i]);
        if (area > largest) largest = area, *ring = part.rings[i];
    }
    return true;
}

bool outline_prints(struct laying *work, struct error *error)
{
    for (size_t r = 0; r < work->layout->roll_count; r++)
        for (size_t i = 0; i < work->layout->rolls[r].print_count; i++) {
            struct laid_print *print = &work->layout->rolls[r].prints[i];
            const struct surface *surface = print->plan->surfaces[print->surface].surface;
            struct roll_frame frame = roll_frame_of(print);
            if (!surface->printed.count || frame.panel->inlay) continue;
            if (!printed_ring(&frame, &surface->printed, work->arena, &print->outline, error)) return false;
            for (size_t k = 0; k < print->outline.count; k++)
                print->outline.points[k] = place_on_roll(&frame, print->outline.points[k]);
        }
    return true;
}
