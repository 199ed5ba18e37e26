/* The outline along which an artwork is cut: from its box, from paths in its file, or around what it shows. Called by
 * run for pieces and for covered regions. */
#include "art/outline.h"
#include "base/arena.h"
#include "contour/offset.h"

/* ---- the box ---- */

static bool box_region(const struct art_outline_order *order, const struct contour_means *means,
                       struct region *region, struct error *error)
{
    struct polygon ring = polygon_of_rect(order->placed->trim, means->arena);
    return contour_clean(&ring, 1, CONTOUR_NON_ZERO, means, region, error);
}

/* ---- what is asked of it besides ---- */

static bool outline_grow(const struct cut_spec *cut, const struct contour_means *means, struct region *region,
                         struct error *error)
{
    struct contour_offset offset = {.by_mm = cut->offset_mm,
                                    .join = cut->mitre ? CONTOUR_MITRE : CONTOUR_ROUND,
                                    .tolerance_mm = 0,
                                    .corner_mm = cut->radius_mm,
                                    .fill_holes_mm2 = cut->fill_holes_mm2};
    struct region grown;
    if (cut->offset_mm <= 0 && cut->radius_mm <= 0) {
        *region = contour_without_small(region, cut->fill_holes_mm2, 0, means->arena);
        return true;
    }
    if (!contour_offset(region, &offset, means, &grown, error)) return false;
    *region = grown;
    return true;
}

static bool wants_to_stop(void *cancel)
{
    return cancel_asked(cancel);
}

static bool find_region(struct machine *machine, const struct art_outline_order *order,
                        const struct contour_means *means, const struct notes *notes, struct region *region,
                        struct error *error)
{
    (void)machine;
    (void)notes;
    return box_region(order, means, region, error);
}

bool art_outline(struct machine *machine, const struct art_outline_order *order, const struct notes *notes,
                 struct region *outline, struct error *error)
{
    struct contour_means means = {notes->arena, order->cancel ? wants_to_stop : NULL, (void *)order->cancel};
    *outline = (struct region){NULL, 0};
    if (!find_region(machine, order, &means, notes, outline, error)) return false;
    return !outline->count || outline_grow(order->cut, &means, outline, error);
}
