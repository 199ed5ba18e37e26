/* Each panel's whole print area against the artwork files, rendered by their own placing on the same grid,
 * band by band, with the pictures inside PDF artworks; pictures that are artworks themselves are drawn as
 * stand-ins, since their bytes were compared. The panel's page is drawn as any reader draws it. */
#include "layback.h"
#include "base/units.h"
#include <math.h>

enum { BAND_PIXELS = 3 << 20 };

struct grid {
    const struct pdf_panel_page *panel;
    struct layback_draws wanted;
    double pixels_per_mm;
    int width, height;
};

/* Print millimetres to pixels from the top left of the print rectangle. */
static struct affine to_pixels(const struct grid *grid)
{
    struct affine m = affine_shift(-grid->panel->print.x0, -grid->panel->print.y1);
    return affine_then(m, affine_scale(grid->pixels_per_mm, -grid->pixels_per_mm));
}

/* ---- drawing ---- */

static void layback_draw_marks(struct mu *mu, fz_device *device, const struct layback *lay,
                               const struct pdf_panel_page *panel, struct affine pixels)
{
    fz_context *ctx = mu->ctx;
    if (!panel->marks.length) return;
    struct affine m = affine_then(affine_shift(panel->file.x0, panel->file.y0), pixels);
    fz_buffer *bytes = NULL;
    pdf_obj *stream = NULL;
    pdf_processor *processor = NULL;
    fz_var(bytes);
    fz_var(stream);
    fz_var(processor);
    fz_try(ctx)
    {
        bytes = fz_new_buffer_from_copied_data(ctx, (const unsigned char *)panel->marks.bytes,
                                               panel->marks.length);
        stream = pdf_add_stream(ctx, lay->doc, bytes, NULL, 0);
        processor = pdf_new_run_processor(ctx, device, mu_matrix(m), "Print", NULL, NULL, NULL);
        pdf_process_contents(ctx, processor, lay->doc, NULL, stream, NULL);
        pdf_close_processor(ctx, processor);
    }
    fz_always(ctx)
    {
        pdf_drop_processor(ctx, processor);
        pdf_drop_obj(ctx, stream);
        fz_drop_buffer(ctx, bytes);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static void layback_draw_layer(struct mu *mu, fz_device *device, const struct layback *lay,
                               const struct layback_draw *draw, struct affine pixels)
{
    const struct source_page *source = lay->sources.of_layer[draw->layer];
    struct affine m = affine_then(draw->to_print, pixels);
    layback_clip(mu->ctx, device, draw->clip, pixels);
    if (source) {
        layback_clip(mu->ctx, device, source->page.media, m);
        layback_draw_page(mu->ctx, device, source->source->doc, source->number, m);
        fz_pop_clip(mu->ctx, device);
    } else
        layback_draw_stand_in(mu->ctx, device, m);
    fz_pop_clip(mu->ctx, device);
}

/* The order's own view of a panel. */
static void layback_draw_wanted(struct mu *mu, fz_device *device, const struct layback *lay,
                                const struct grid *grid)
{
    struct affine pixels = to_pixels(grid);
    layback_clip_shape(mu->ctx, device, &grid->wanted.shape, pixels);
    for (size_t i = 0; i < grid->wanted.count; i++)
        layback_draw_layer(mu, device, lay, &grid->wanted.items[i], pixels);
    if (grid->wanted.shape.count) fz_pop_clip(mu->ctx, device);
    layback_draw_cuts(mu->ctx, device, &lay->read.order, grid->panel, pixels);
    layback_draw_marks(mu, device, lay, grid->panel, pixels);
}

/* What the panel file shows. */
static void layback_draw_found(struct mu *mu, fz_device *device, const struct layback *lay,
                               const struct grid *grid)
{
    int number = (int)(grid->panel - lay->read.order.pages) + 1, count;
    struct mu_page page;
    mu_page_find(mu, lay->doc, number, &page, &count);
    layback_draw_page(mu->ctx, device, lay->doc, number,
                      affine_then(layback_to_print(grid->panel, &page), to_pixels(grid)));
}

typedef void draw_side(struct mu *mu, fz_device *device, const struct layback *lay, const struct grid *grid);

static fz_pixmap *layback_render(struct mu *mu, const struct layback *lay, const struct grid *grid, int from,
                                 int to, draw_side *draw)
{
    fz_context *ctx = mu->ctx;
    fz_pixmap *pixels =
        fz_new_pixmap_with_bbox(ctx, fz_device_rgb(ctx), fz_make_irect(0, from, grid->width, to), NULL, 0);
    fz_device *device = NULL;
    fz_var(device);
    fz_try(ctx)
    {
        fz_clear_pixmap_with_value(ctx, pixels, 255);
        device = fz_new_draw_device(ctx, fz_identity, pixels);
        fz_enable_device_hints(ctx, device, FZ_DONT_INTERPOLATE_IMAGES);
        draw(mu, device, lay, grid);
        fz_close_device(ctx, device);
    }
    fz_always(ctx) fz_drop_device(ctx, device);
    fz_catch(ctx)
    {
        fz_drop_pixmap(ctx, pixels);
        fz_rethrow(ctx);
    }
    return pixels;
}

/* ---- comparing ---- */

/* Rows from..to of a panel; a row more on each side shows whether an edge is near. */
static void compare_band(struct mu *mu, struct layback *lay, const struct grid *grid, int from, int to)
{
    fz_context *ctx = mu->ctx;
    int above = from > 0 ? 1 : 0, below = to < grid->height ? 1 : 0;
    fz_pixmap *wanted = NULL, *found = NULL;
    fz_var(wanted);
    fz_var(found);
    fz_try(ctx)
    {
        wanted = layback_render(mu, lay, grid, from - above, to + below, layback_draw_wanted);
        found = layback_render(mu, lay, grid, from - above, to + below, layback_draw_found);
        layback_compare(lay, wanted, found, above, above + to - from);
    }
    fz_always(ctx)
    {
        fz_drop_pixmap(ctx, wanted);
        fz_drop_pixmap(ctx, found);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static void layback_compare_panel(struct mu *mu, struct layback *lay, const struct pdf_panel_page *panel)
{
    struct grid grid = {
        .panel = panel, .wanted = layback_wanted(lay, panel), .pixels_per_mm = lay->ppi / MM_PER_INCH};
    grid.width = (int)ceil(rect_width(panel->print) * grid.pixels_per_mm);
    grid.height = (int)ceil(rect_height(panel->print) * grid.pixels_per_mm);
    int rows = BAND_PIXELS / (grid.width + 1) + 1;
    for (int from = 0; from < grid.height; from += rows)
        compare_band(mu, lay, &grid, from, from + rows < grid.height ? from + rows : grid.height);
}

bool layback_pixels(struct mu *mu, struct layback *lay)
{
    layback_stand_ins(mu, lay, false);
    layback_forget_knockout(mu, lay);
    layback_open_crops(mu, lay);
    for (size_t i = 0; i < lay->read.order.page_count; i++) {
        layback_compare_panel(mu, lay, &lay->read.order.pages[i]);
        if (!layback_inside_same(lay, &lay->read.order.pages[i])) return false;
    }
    return layback_edges_same(lay);
}
