/* What a panel must draw: worked out from the order's millimetres, apart from the writer. */
#include "base/arena.h"
#include "layback.h"

/* EXIF 1..8: where the stored picture's right and up go. */
static const struct affine seen[] = {
    {1, 0, 0, 1, 0, 0},   {-1, 0, 0, 1, 1, 0}, {-1, 0, 0, -1, 1, 1}, {1, 0, 0, -1, 0, 1},
    {0, -1, -1, 0, 1, 1}, {0, -1, 1, 0, 0, 1}, {0, 1, 1, 0, 0, 0},   {0, 1, -1, 0, 1, 0},
};

struct affine layback_to_print(const struct pdf_panel_page *panel, const struct mu_page *page)
{
    double at = panel->drawn_at > 0 ? panel->drawn_at : 1;
    return affine_then(affine_then(page->to_mm, affine_scale(at, at)),
                       affine_shift(panel->file.x0, panel->file.y0));
}

static struct affine own_to_surface(const struct layback *lay, size_t index)
{
    const struct pdf_layer *layer = &lay->read.order.layers[index];
    const struct source_page *source = lay->sources.of_layer[index];
    if (source) return affine_then(source->page.to_mm, layer->to_surface);
    int turn = layer->picture->orientation;
    struct rect box = layer->picture->box;
    struct affine fill = {rect_width(box), 0, 0, rect_height(box), box.x0, box.y0};
    return affine_then(affine_then(seen[turn >= 1 && turn <= 8 ? turn - 1 : 0], fill), layer->to_surface);
}

/* One layer within `window` of the print. */
static void wanted_add(const struct layback *lay, struct layback_draws *draws, size_t index,
                       struct rect window, struct affine stretch)
{
    struct rect clip = rect_intersect(window, affine_apply_rect(stretch, lay->read.order.layers[index].clip));
    if (rect_is_empty(clip)) return;
    const struct source_page *source = lay->sources.of_layer[index];
    struct layback_draw *draw =
        arena_append(lay->arena, &draws->items, &draws->count, &draws->capacity, sizeof *draw);
    *draw = (struct layback_draw){.layer = index,
                                  .clip = clip,
                                  .to_print = affine_then(own_to_surface(lay, index), stretch),
                                  .own = source ? source->page.media : (struct rect){0, 0, 1, 1}};
}

/* A point of the view to its place in the print, from the slice's two ends. */
static struct affine stretched(const struct pdf_slice *slice, bool along_x)
{
    double length = slice->view1 - slice->view0, gain = (slice->print1 - slice->print0) / length;
    double from = slice->print1 - gain * slice->view1;
    return along_x ? (struct affine){gain, 0, 0, 1, from, 0} : (struct affine){1, 0, 0, gain, 0, from};
}

static void add_stretches(const struct layback *lay, struct layback_draws *draws, size_t index,
                          const struct pdf_panel_page *panel)
{
    for (size_t i = 0; i < panel->slice_count; i++) {
        const struct pdf_slice *slice = &panel->slices[i];
        struct rect strip =
            panel->slices_along_x
                ? (struct rect){slice->print0, panel->print.y0, slice->print1, panel->print.y1}
                : (struct rect){panel->print.x0, slice->print0, panel->print.x1, slice->print1};
        strip = rect_intersect(strip, panel->print);
        if (slice->view1 > slice->view0 && !rect_is_empty(strip))
            wanted_add(lay, draws, index, strip, stretched(slice, panel->slices_along_x));
    }
}

struct layback_draws layback_wanted(const struct layback *lay, const struct pdf_panel_page *panel)
{
    struct layback_draws draws = {0};
    if (panel->clip) draws.shape = *panel->clip;
    size_t page = (size_t)(panel - lay->read.order.pages);
    for (size_t i = 0; i < lay->read.order.layer_count; i++) {
        if (!pdf_layer_is_on(&lay->read.order.layers[i], page)) continue;
        if (panel->slice_count)
            add_stretches(lay, &draws, i, panel);
        else
            wanted_add(lay, &draws, i, panel->print, affine_identity);
    }
    return draws;
}
