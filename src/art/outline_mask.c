/* Traces a mask where it lies on the surface. Called for pictures, and for pictures and masks inside a PDF. */
#include "outline.h"
#include "base/arena.h"
#include "contour/trace.h"
#include <math.h>

enum { HALF = 128 };

static void mask_turn_ring(struct polygon *ring)
{
    for (size_t i = 0, k = ring->count; i + 1 < k--; i++) {
        struct point swap = ring->points[i];
        ring->points[i] = ring->points[k], ring->points[k] = swap;
    }
}

/* Rings of a region run the other way when it is mirrored. */
static void mask_lay(struct region *region, struct affine m)
{
    bool mirrored = m.a * m.d - m.b * m.c < 0;
    for (size_t i = 0; i < region->count; i++) {
        for (size_t k = 0; k < region->rings[i].count; k++)
            region->rings[i].points[k] = affine_apply(m, region->rings[i].points[k]);
        if (mirrored) mask_turn_ring(&region->rings[i]);
    }
}

/* It is traced by the longer side of its pixels, so that no place is smoothed away further than allowed. */
bool outline_of_mask(struct outline_work *work, const struct pdf_mask *mask, struct region *outline,
                     struct error *error)
{
    struct affine m = mask->place;
    double across = hypot(m.a, m.b), up = hypot(m.c, m.d), width = (double)mask->width,
           height = (double)mask->height;
    *outline = (struct region){0};
    if (!affine_is_finite(m) || !(across > 1e-3) || !(up > 1e-3)) return true;
    double px_per_mm = fmin(width / across, height / up);
    struct contour_mask traced = {.values = mask->values,
                                  .width = mask->width,
                                  .height = mask->height,
                                  .stride = mask->width,
                                  .px_per_mm = px_per_mm};
    struct contour_trace how = {HALF, CONTOUR_SMOOTH_MOST_MM};
    if (!contour_trace(&traced, &how, &work->means, outline, error)) return false;
    mask_lay(outline, affine_then(affine_scale(px_per_mm / width, px_per_mm / height), m));
    return true;
}
