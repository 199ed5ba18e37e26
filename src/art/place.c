/* Works out where an artwork lands on its surface: scale, fit, cropping, the matrix from page to surface.
 * Called for each artwork once its facts are read. */
#include "art/art.h"
#include "base/units.h"
#include <math.h>

static const double UNSTATED_PPI = 72; /* a picture without a resolution of its own, before it is scaled */

/* The artwork's trim in page millimetres. */
static struct rect page_trim(const struct artwork_facts *facts)
{
    if (facts->kind == ARTWORK_PDF) return facts->trim_mm;
    double x_ppi = facts->x_ppi > 0 ? facts->x_ppi : UNSTATED_PPI,
           y_ppi = facts->y_ppi > 0 ? facts->y_ppi : UNSTATED_PPI;
    return (struct rect){0, 0, facts->width_px * MM_PER_INCH / x_ppi, facts->height_px * MM_PER_INCH / y_ppi};
}

static struct rect page_printable(const struct artwork_facts *facts)
{
    if (facts->kind != ARTWORK_PDF || rect_is_empty(facts->bleed_mm)) return page_trim(facts);
    return facts->bleed_mm;
}

/* Scale in x and y that the job asks for. */
static struct point scale_of(const struct artwork_spec *spec, const struct artwork_facts *facts,
                             struct rect trim)
{
    double scale = spec->scale > 0 ? spec->scale : 1;
    struct point s = {scale, scale};
    if (spec->width_mm > 0) {
        s.x = s.y = spec->width_mm / rect_width(trim);
    } else if (spec->resolution_ppi > 0 && facts->kind != ARTWORK_PDF) {
        s.x = facts->width_px * MM_PER_INCH / spec->resolution_ppi / rect_width(trim);
        s.y = facts->height_px * MM_PER_INCH / spec->resolution_ppi / rect_height(trim);
    }
    return s;
}

/* Uniform, centred: the trim fills the target, what stands over is cropped. */
static struct affine fitted(struct rect trim, struct rect target)
{
    double scale = fmax(rect_width(target) / rect_width(trim), rect_height(target) / rect_height(trim));
    struct affine m = affine_scale(scale, scale);
    m.e = (target.x0 + target.x1) / 2 - scale * (trim.x0 + trim.x1) / 2;
    m.f = (target.y0 + target.y1) / 2 - scale * (trim.y0 + trim.y1) / 2;
    return m;
}

static struct rect fit_target(const struct surface *surface, enum artwork_fit fit)
{
    if (fit == FIT_BLEED) return surface_view_box(surface);
    return (struct rect){0, 0, surface->width_mm, surface->height_mm};
}

static bool place_says_nothing(const struct artwork_spec *spec, const struct artwork_facts *facts)
{
    return facts->kind != ARTWORK_PDF && facts->x_ppi <= 0 && !(spec->width_mm > 0) &&
           !(spec->resolution_ppi > 0);
}

struct placed_art art_place(const struct surface *surface, const struct artwork_spec *spec,
                            const struct artwork_facts *facts)
{
    struct rect trim = page_trim(facts), printable = page_printable(facts);
    struct placed_art placed = {.spec = spec, .facts = facts};
    enum artwork_fit fit = spec->fit;
    if (fit == FIT_NONE && place_says_nothing(spec, facts))
        fit = FIT_BLEED; /* its size is not known: see artwork-size */
    if (fit != FIT_NONE) {
        placed.to_surface = fitted(trim, fit_target(surface, fit));
    } else {
        struct point s = scale_of(spec, facts, trim);
        placed.to_surface = affine_scale(s.x, s.y);
        double centre_x = surface->width_mm / 2 - s.x * rect_width(trim) / 2;
        double centre_y = surface->height_mm / 2 - s.y * rect_height(trim) / 2;
        placed.to_surface.e = (spec->has_at ? spec->at_mm.x : centre_x) - s.x * trim.x0;
        placed.to_surface.f = (spec->has_at ? spec->at_mm.y : centre_y) - s.y * trim.y0;
    }
    placed.scale = fabs(placed.to_surface.a);
    placed.trim = affine_apply_rect(placed.to_surface, trim);
    placed.media = affine_apply_rect(placed.to_surface, facts->kind == ARTWORK_PDF ? facts->media_mm : trim);
    placed.clip = affine_apply_rect(placed.to_surface, printable);
    placed.fitted = fit != FIT_NONE;
    if (placed.fitted) placed.clip = rect_intersect(placed.trim, surface_view_box(surface));
    return placed;
}
