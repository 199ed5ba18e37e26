/* Each panel's print area against the artwork files, rendered by their own placing on the same grid, band by
 * band. MuPDF draws both; its colours are rough (no profiles) but the same on both sides. Pictures are drawn
 * as stand-ins of four grey fields: their bytes were compared before. */
#include "layback.h"
#include "base/arena.h"
#include "base/units.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BAND_PIXELS = 3 << 20, SAMPLES = 3, NEAR = 2 };

/* Within a pixel of an edge the two matrices' last digits may tip a pixel or shade it by a step of the
 * anti-aliasing: such pixels are counted and told. More of them than this is a shift of the whole. */
static const double share_at_edges = 0.02;

static const unsigned char stand_in[] = {40, 120, 200, 80};

struct grid {
    const struct pdf_panel_page *panel;
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

static void draw_page(struct mu *mu, fz_device *device, pdf_document *doc, int number,
                      const struct mu_page *page, struct affine mm_to_pixels)
{
    fz_context *ctx = mu->ctx;
    pdf_page *loaded = pdf_load_page(ctx, doc, number - 1);
    fz_try(ctx)
    {
        fz_rect box;
        fz_matrix own;
        pdf_page_transform(ctx, loaded, &box, &own);
        struct affine back, wanted = affine_then(page->to_mm, mm_to_pixels);
        if (!affine_invert(mu_affine(own), &back))
            fz_throw(ctx, FZ_ERROR_GENERIC, "the page says no usable size");
        pdf_run_page_contents_with_usage(ctx, loaded, device, mu_matrix(affine_then(back, wanted)), "Print",
                                         NULL);
    }
    fz_always(ctx) fz_drop_page(ctx, (fz_page *)loaded);
    fz_catch(ctx) fz_rethrow(ctx);
}

static void draw_stand_in(struct mu *mu, fz_device *device, const struct pdf_picture *picture,
                          struct affine m)
{
    static const struct affine seen[] = {
        /* EXIF 1..8: where the stored picture's right and up go */
        {1, 0, 0, 1, 0, 0},   {-1, 0, 0, 1, 1, 0}, {-1, 0, 0, -1, 1, 1}, {1, 0, 0, -1, 0, 1},
        {0, -1, -1, 0, 1, 1}, {0, -1, 1, 0, 0, 1}, {0, 1, 1, 0, 0, 0},   {0, 1, -1, 0, 1, 0},
    };
    fz_context *ctx = mu->ctx;
    int turn = picture->orientation >= 1 && picture->orientation <= 8 ? picture->orientation - 1 : 0;
    struct rect box = picture->box;
    struct affine fill = {rect_width(box), 0, 0, rect_height(box), box.x0, box.y0};
    fz_pixmap *pixels = NULL;
    fz_image *image = NULL;
    fz_var(pixels);
    fz_var(image);
    fz_try(ctx)
    {
        pixels = fz_new_pixmap(ctx, fz_device_gray(ctx), 2, 2, NULL, 0);
        for (int i = 0; i < 4; i++) pixels->samples[i / 2 * pixels->stride + i % 2] = stand_in[i];
        image = fz_new_image_from_pixmap(ctx, pixels, NULL);
        struct affine rows_down = {1, 0, 0, -1, 0, 1}; /* MuPDF's own pictures have their first row at 0 */
        struct affine whole = affine_then(rows_down, affine_then(affine_then(seen[turn], fill), m));
        fz_enable_device_hints(ctx, device, FZ_DONT_INTERPOLATE_IMAGES);
        fz_fill_image(ctx, device, image, mu_matrix(whole), 1, fz_default_color_params);
    }
    fz_always(ctx)
    {
        fz_drop_image(ctx, image);
        fz_drop_pixmap(ctx, pixels);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static void clip_to(fz_context *ctx, fz_device *device, struct rect clip, struct affine m)
{
    fz_path *path = fz_new_path(ctx);
    fz_try(ctx)
    {
        fz_rectto(ctx, path, (float)clip.x0, (float)clip.y0, (float)clip.x1, (float)clip.y1);
        fz_clip_path(ctx, device, path, 0, mu_matrix(m), fz_infinite_rect);
    }
    fz_always(ctx) fz_drop_path(ctx, path);
    fz_catch(ctx) fz_rethrow(ctx);
}

/* One artwork by its own placing, within `window` of the print. */
static void draw_layer(struct mu *mu, fz_device *device, const struct layback *lay, size_t index,
                       struct rect window, struct affine stretch, struct affine pixels)
{
    const struct pdf_layer *layer = &lay->read.order.layers[index];
    struct rect clip = rect_intersect(window, affine_apply_rect(stretch, layer->clip));
    if (rect_is_empty(clip)) return;
    clip_to(mu->ctx, device, clip, pixels);
    struct affine m = affine_then(affine_then(layer->to_surface, stretch), pixels);
    const struct source_page *source = lay->sources.of_layer[index];
    if (source) {
        clip_to(mu->ctx, device, affine_apply_rect(source->page.to_mm, source->page.media), m);
        draw_page(mu, device, source->source->doc, source->number, &source->page, m);
        fz_pop_clip(mu->ctx, device);
    } else
        draw_stand_in(mu, device, layer->picture, m);
    fz_pop_clip(mu->ctx, device);
}

/* A point of the view to its place in the print, from the slice's two ends. */
static struct affine stretched(const struct pdf_slice *slice, bool along_x)
{
    double length = slice->view1 - slice->view0, gain = (slice->print1 - slice->print0) / length;
    double from = slice->print1 - gain * slice->view1;
    return along_x ? (struct affine){gain, 0, 0, 1, from, 0} : (struct affine){1, 0, 0, gain, 0, from};
}

static void draw_stretches(struct mu *mu, fz_device *device, const struct layback *lay, size_t index,
                           const struct pdf_panel_page *panel, struct affine pixels)
{
    for (size_t i = 0; i < panel->slice_count; i++) {
        const struct pdf_slice *slice = &panel->slices[i];
        struct rect strip =
            panel->slices_along_x
                ? (struct rect){slice->print0, panel->print.y0, slice->print1, panel->print.y1}
                : (struct rect){panel->print.x0, slice->print0, panel->print.x1, slice->print1};
        strip = rect_intersect(strip, panel->print);
        if (slice->view1 > slice->view0 && !rect_is_empty(strip))
            draw_layer(mu, device, lay, index, strip, stretched(slice, panel->slices_along_x), pixels);
    }
}

static void draw_marks(struct mu *mu, fz_device *device, const struct layback *lay,
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

/* The order's own view of a panel. */
static void draw_wanted(struct mu *mu, fz_device *device, const struct layback *lay, const struct grid *grid)
{
    struct affine pixels = to_pixels(grid);
    for (size_t i = 0; i < lay->read.order.layer_count; i++)
        if (grid->panel->slice_count)
            draw_stretches(mu, device, lay, i, grid->panel, pixels);
        else
            draw_layer(mu, device, lay, i, grid->panel->print, affine_identity, pixels);
    draw_marks(mu, device, lay, grid->panel, pixels);
}

/* What the panel file shows. */
static void draw_found(struct mu *mu, fz_device *device, const struct layback *lay, const struct grid *grid)
{
    int number = (int)(grid->panel - lay->read.order.pages) + 1, count;
    struct mu_page page;
    mu_page_find(mu, lay->doc, number, &page, &count);
    struct affine from_file = affine_shift(grid->panel->file.x0, grid->panel->file.y0);
    draw_page(mu, device, lay->doc, number, &page, affine_then(from_file, to_pixels(grid)));
}

typedef void draw_side(struct mu *mu, fz_device *device, const struct layback *lay, const struct grid *grid);

static fz_pixmap *render(struct mu *mu, const struct layback *lay, const struct grid *grid, int from, int to,
                         draw_side *draw)
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

static int apart(const unsigned char *one, const unsigned char *other)
{
    int most = 0;
    for (int i = 0; i < SAMPLES; i++) most = abs(one[i] - other[i]) > most ? abs(one[i] - other[i]) : most;
    return most;
}

static const unsigned char *at(const fz_pixmap *pixels, int x, int row)
{
    return pixels->samples + row * pixels->stride + x * SAMPLES;
}

/* Whether what is drawn changes within a pixel of this one. */
static bool at_edge(const fz_pixmap *pixels, int x, int row)
{
    for (int ny = row - 1; ny <= row + 1; ny++)
        for (int nx = x - 1; nx <= x + 1; nx++)
            if (nx >= 0 && nx < pixels->w && ny >= 0 && ny < pixels->h &&
                apart(at(pixels, nx, ny), at(pixels, x, row)) > NEAR)
                return true;
    return false;
}

static void compare(struct layback *lay, const fz_pixmap *wanted, const fz_pixmap *found, int first, int end)
{
    struct pdf_layback_result *result = &lay->result;
    for (int row = first; row < end; row++) {
        result->pixels += (uint64_t)wanted->w;
        if (!memcmp(at(wanted, 0, row), at(found, 0, row), (size_t)wanted->w * SAMPLES)) continue;
        for (int x = 0; x < wanted->w; x++) {
            int difference = apart(at(wanted, x, row), at(found, x, row));
            if (difference <= NEAR) continue;
            if (at_edge(wanted, x, row) || at_edge(found, x, row)) {
                result->off_at_edges++;
                continue;
            }
            result->off++;
            if (difference > result->worst) result->worst = difference;
        }
    }
}

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
        wanted = render(mu, lay, grid, from - above, to + below, draw_wanted);
        found = render(mu, lay, grid, from - above, to + below, draw_found);
        compare(lay, wanted, found, above, above + to - from);
    }
    fz_always(ctx)
    {
        fz_drop_pixmap(ctx, wanted);
        fz_drop_pixmap(ctx, found);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static void compare_panel(struct mu *mu, struct layback *lay, const struct pdf_panel_page *panel)
{
    struct grid grid = {.panel = panel, .pixels_per_mm = lay->ppi / MM_PER_INCH};
    grid.width = (int)ceil(rect_width(panel->print) * grid.pixels_per_mm);
    grid.height = (int)ceil(rect_height(panel->print) * grid.pixels_per_mm);
    int rows = BAND_PIXELS / (grid.width + 1) + 1;
    for (int from = 0; from < grid.height; from += rows)
        compare_band(mu, lay, &grid, from, from + rows < grid.height ? from + rows : grid.height);
}

/* ---- stand-ins ---- */

static void put_stand_in(struct mu *mu, pdf_document *doc, pdf_obj *image)
{
    fz_context *ctx = mu->ctx;
    pdf_dict_put_int(ctx, image, PDF_NAME(Width), 2);
    pdf_dict_put_int(ctx, image, PDF_NAME(Height), 2);
    pdf_dict_put_int(ctx, image, PDF_NAME(BitsPerComponent), 8);
    pdf_dict_put(ctx, image, PDF_NAME(ColorSpace), PDF_NAME(DeviceGray));
    pdf_dict_del(ctx, image, PDF_NAME(Decode));
    pdf_dict_del(ctx, image, PDF_NAME(DecodeParms));
    fz_buffer *bytes = fz_new_buffer_from_copied_data(ctx, stand_in, sizeof stand_in);
    fz_try(ctx) pdf_update_stream(ctx, doc, image, bytes, 0);
    fz_always(ctx) fz_drop_buffer(ctx, bytes);
    fz_catch(ctx) fz_rethrow(ctx);
}

static void put_stand_ins(struct mu *mu, struct layback *lay)
{
    const struct pdf_panels_order *order = &lay->read.order;
    for (size_t i = 0; i < order->layer_count; i++) {
        if (!order->layers[i].picture) continue;
        for (size_t page = 0; page < order->page_count; page++) {
            pdf_obj *image = layback_artwork(mu, lay, page, i);
            if (!image) continue;
            put_stand_in(mu, lay->doc, image);
            break; /* all pages share it */
        }
    }
}

/* What lies outside a source's CropBox is printed too; MuPDF would leave it out. */
static void open_crops(struct mu *mu, struct layback *lay)
{
    for (size_t i = 0; i < lay->sources.page_count; i++) {
        const struct mu_page *page = &lay->sources.pages[i].page;
        struct rect m = page->media;
        pdf_dict_put_rect(mu->ctx, page->object, PDF_NAME(CropBox),
                          fz_make_rect((float)m.x0, (float)m.y0, (float)m.x1, (float)m.y1));
    }
}

bool layback_pixels(struct mu *mu, struct layback *lay)
{
    put_stand_ins(mu, lay);
    fz_empty_store(mu->ctx); /* it may hold what the stand-ins replace */
    open_crops(mu, lay);
    for (size_t i = 0; i < lay->read.order.page_count; i++) {
        compare_panel(mu, lay, &lay->read.order.pages[i]);
        if (lay->result.off)
            return layback_differs(
                lay, "panel %s: %llu of its pixels differ from the artwork, by up to %d of 255",
                lay->read.order.pages[i].id, (unsigned long long)lay->result.off, lay->result.worst);
    }
    if ((double)lay->result.off_at_edges <= share_at_edges * (double)lay->result.pixels) return true;
    return layback_differs(lay, "the panels' edges differ from the artwork's in %llu pixels of %llu",
                           (unsigned long long)lay->result.off_at_edges,
                           (unsigned long long)lay->result.pixels);
}
