/* What the two ways of looking at a panel share: drawing, and comparing pixels. MuPDF draws both sides; its
 * colours are rough (no profiles) but the same on both. */
#include "layback.h"
#include "base/sentence.h"
#include <stdlib.h>
#include <string.h>

enum { SAMPLES = 3, NEAR = 2 };

/* Within a pixel of an edge the two matrices' last digits may tip a pixel or shade it by a step of the
 * anti-aliasing: such pixels are counted and told. More of them than this is a shift of the whole. */
static const double share_at_edges = 0.02;

/* ---- drawing ---- */

/* What lies outside a source's CropBox is printed too; MuPDF would leave it out. */
void layback_open_crops(struct mu *mu, struct layback *lay)
{
    for (size_t i = 0; i < lay->sources.page_count; i++) {
        const struct mu_page *page = &lay->sources.pages[i].page;
        struct rect m = page->media;
        pdf_dict_put_rect(mu->ctx, page->object, PDF_NAME(CropBox),
                          fz_make_rect((float)m.x0, (float)m.y0, (float)m.x1, (float)m.y1));
    }
}

void layback_forget_knockout(struct mu *mu, struct layback *lay)
{
    for (size_t i = 0; i < lay->read.order.layer_count; i++) {
        pdf_obj *group = pdf_dict_get(mu->ctx, lay->artwork[i], PDF_NAME(Group));
        if (lay->sources.of_layer[i] && group) pdf_dict_del(mu->ctx, group, PDF_NAME(K));
    }
}

void layback_draw_page(fz_context *ctx, fz_device *device, pdf_document *doc, int number,
                       struct affine to_pixels)
{
    pdf_page *loaded = pdf_load_page(ctx, doc, number - 1);
    fz_try(ctx)
    {
        fz_rect box;
        fz_matrix own;
        pdf_page_transform(ctx, loaded, &box, &own);
        struct affine back;
        if (!affine_invert(mu_affine(own), &back))
            fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("page-size-missing"));
        pdf_run_page_contents_with_usage(ctx, loaded, device, mu_matrix(affine_then(back, to_pixels)),
                                         "Print", NULL);
    }
    fz_always(ctx) fz_drop_page(ctx, (fz_page *)loaded);
    fz_catch(ctx) fz_rethrow(ctx);
}

void layback_clip(fz_context *ctx, fz_device *device, struct rect clip, struct affine to_pixels)
{
    fz_path *path = fz_new_path(ctx);
    fz_try(ctx)
    {
        fz_rectto(ctx, path, (float)clip.x0, (float)clip.y0, (float)clip.x1, (float)clip.y1);
        fz_clip_path(ctx, device, path, 0, mu_matrix(to_pixels), fz_infinite_rect);
    }
    fz_always(ctx) fz_drop_path(ctx, path);
    fz_catch(ctx) fz_rethrow(ctx);
}

static void layback_add_ring(fz_context *ctx, fz_path *path, const struct polygon *ring)
{
    for (size_t i = 0; i < ring->count; i++)
        (i ? fz_lineto : fz_moveto)(ctx, path, (float)ring->points[i].x, (float)ring->points[i].y);
    fz_closepath(ctx, path);
}

void layback_clip_shape(fz_context *ctx, fz_device *device, const struct region *shape,
                        struct affine to_pixels)
{
    if (!shape->count) return;
    fz_path *path = fz_new_path(ctx);
    fz_try(ctx)
    {
        for (size_t i = 0; i < shape->count; i++) layback_add_ring(ctx, path, &shape->rings[i]);
        fz_clip_path(ctx, device, path, 0, mu_matrix(to_pixels), fz_infinite_rect);
    }
    fz_always(ctx) fz_drop_path(ctx, path);
    fz_catch(ctx) fz_rethrow(ctx);
}

/* ---- comparing ---- */

static int layback_apart(const unsigned char *one, const unsigned char *other)
{
    int most = 0;
    for (int i = 0; i < SAMPLES; i++) most = abs(one[i] - other[i]) > most ? abs(one[i] - other[i]) : most;
    return most;
}

static const unsigned char *layback_at(const fz_pixmap *pixels, int x, int row)
{
    return pixels->samples + row * pixels->stride + x * SAMPLES;
}

/* Whether what is drawn changes within a pixel of this one. */
static bool layback_at_edge(const fz_pixmap *pixels, int x, int row)
{
    for (int ny = row - 1; ny <= row + 1; ny++)
        for (int nx = x - 1; nx <= x + 1; nx++)
            if (nx >= 0 && nx < pixels->w && ny >= 0 && ny < pixels->h &&
                layback_apart(layback_at(pixels, nx, ny), layback_at(pixels, x, row)) > NEAR)
                return true;
    return false;
}

void layback_compare(struct layback *lay, const fz_pixmap *wanted, const fz_pixmap *found, int first, int end)
{
    struct pdf_layback_result *result = &lay->result;
    for (int row = first; row < end; row++) {
        result->pixels += (uint64_t)wanted->w;
        if (!memcmp(layback_at(wanted, 0, row), layback_at(found, 0, row), (size_t)wanted->w * SAMPLES))
            continue;
        for (int x = 0; x < wanted->w; x++) {
            int difference = layback_apart(layback_at(wanted, x, row), layback_at(found, x, row));
            if (difference <= NEAR) continue;
            if (layback_at_edge(wanted, x, row) || layback_at_edge(found, x, row)) {
                result->off_at_edges++;
                continue;
            }
            result->off++;
            if (difference > result->worst) result->worst = difference;
        }
    }
}

bool layback_inside_same(struct layback *lay, const struct pdf_panel_page *panel)
{
    const struct pdf_layback_result *result = &lay->result;
    if (!result->off) return true;
    return layback_differs(lay, "panel-of-its-pixels-differ-from",
                           ARGUMENTS(arg_words("panel", panel->id), arg_count("off", (int64_t)result->off),
                                     arg_count("worst", result->worst)));
}

bool layback_edges_same(struct layback *lay)
{
    const struct pdf_layback_result *result = &lay->result;
    if ((double)result->off_at_edges <= share_at_edges * (double)result->pixels) return true;
    return layback_differs(lay, "panels-edges-differ-from-artworks-in",
                           ARGUMENTS(arg_count("off_at_edges", (int64_t)result->off_at_edges),
                                     arg_count("pixels", (int64_t)result->pixels)));
}
