/* Small places of each panel against the artwork, each laid out by its own numbers: the artwork file by the
 * order's, what lies in the panel file by that file's. Either artwork is interpreted once, into a list of
 * what it draws; a patch plays the part of the list that meets it. */
#include "layback.h"
#include "base/arena.h"
#include <limits.h>
#include <math.h>

/* 2 pixels a millimetre: a tenth of a millimetre shades an edge. The rim of a pixel is drawn and not
 * compared, so that an edge is known as one. */
enum { PATCH_PIXELS = 40, KINDS = 3, PATCHES_LEAST = 15 };
static const double pixels_per_mm = 2;

struct lists {
    fz_display_list *of_page[PDF_LAYERS_MOST];  /* of each source page */
    fz_display_list *of_layer[PDF_LAYERS_MOST]; /* of what the panel file has for a layer */
};

struct layback_patch {
    struct affine to_pixels; /* from print mm */
    struct rect area;        /* print mm */
};

/* ---- lists ---- */

struct patch_recording {
    struct layback *lay;
    const struct source_page *source; /* or, where it is NULL, */
    size_t layer;                     /* what the panel file has for this one */
    fz_rect own;                      /* what that fills in its own space */
    pdf_obj *group;                   /* of the page around it; borrowed */
};

static void draw_source(fz_context *ctx, fz_device *device, const struct patch_recording *recording)
{
    const struct source_page *source = recording->source;
    layback_draw_page(ctx, device, source->source->doc, source->number, affine_identity);
}

/* The group of the first panel page that draws the layer. */
static pdf_obj *group_around(struct mu *mu, const struct layback *lay, size_t layer)
{
    for (size_t i = 0; i < lay->read.order.page_count; i++)
        for (size_t j = 0; j < lay->found[i].count; j++) {
            struct mu_page page;
            int count;
            if (lay->found[i].items[j].layer == layer &&
                mu_page_find(mu, lay->doc, (int)i + 1, &page, &count))
                return pdf_dict_get(mu->ctx, page.object, PDF_NAME(Group));
        }
    return NULL;
}

/* As on a page of its own behind the panels', which says no more than to draw the layer's object, and has the
 * panel page's group. */
static void patches_draw_found(fz_context *ctx, fz_device *device, const struct patch_recording *recording)
{
    pdf_document *doc = recording->lay->doc;
    pdf_obj *resources = NULL, *page = NULL;
    fz_buffer *content = NULL;
    fz_var(resources);
    fz_var(page);
    fz_var(content);
    fz_try(ctx)
    {
        resources = pdf_new_dict(ctx, doc, 1);
        pdf_obj *objects = pdf_dict_put_dict(ctx, resources, PDF_NAME(XObject), 1);
        pdf_dict_puts(ctx, objects, "L", recording->lay->artwork[recording->layer]);
        content = fz_new_buffer_from_copied_data(ctx, (const unsigned char *)"/L Do", 5);
        page = pdf_add_page(ctx, doc, recording->own, 0, resources, content);
        if (recording->group) pdf_dict_put(ctx, page, PDF_NAME(Group), recording->group);
        pdf_insert_page(ctx, doc, INT_MAX, page);
        layback_draw_page(ctx, device, doc, pdf_count_pages(ctx, doc), affine_identity);
    }
    fz_always(ctx)
    {
        pdf_drop_obj(ctx, page);
        fz_drop_buffer(ctx, content);
        pdf_drop_obj(ctx, resources);
    }
    fz_catch(ctx) fz_rethrow(ctx);
}

static fz_display_list *record(fz_context *ctx, const struct patch_recording *recording)
{
    fz_display_list *list = fz_new_display_list(ctx, fz_infinite_rect);
    fz_device *device = NULL;
    fz_var(device);
    fz_try(ctx)
    {
        device = fz_new_list_device(ctx, list);
        (recording->source ? draw_source : patches_draw_found)(ctx, device, recording);
        fz_close_device(ctx, device);
    }
    fz_always(ctx) fz_drop_device(ctx, device);
    fz_catch(ctx)
    {
        fz_drop_display_list(ctx, list);
        fz_rethrow(ctx);
    }
    return list;
}

static void record_all(struct mu *mu, struct layback *lay, struct lists *lists)
{
    for (size_t i = 0; i < lay->sources.page_count; i++)
        lists->of_page[i] =
            record(mu->ctx, &(struct patch_recording){.lay = lay, .source = &lay->sources.pages[i]});
    for (size_t i = 0; i < lay->read.order.layer_count; i++) {
        if (!lay->artwork[i]) continue;
        for (size_t j = 0; j < i && !lists->of_layer[i]; j++) /* one object for several layers */
            if (lay->artwork[j] &&
                pdf_to_num(mu->ctx, lay->artwork[i]) == pdf_to_num(mu->ctx, lay->artwork[j]))
                lists->of_layer[i] = fz_keep_display_list(mu->ctx, lists->of_layer[j]);
        fz_rect own = lay->sources.of_layer[i] ? pdf_dict_get_rect(mu->ctx, lay->artwork[i], PDF_NAME(BBox))
                                               : fz_unit_rect;
        if (!lists->of_layer[i])
            lists->of_layer[i] =
                record(mu->ctx, &(struct patch_recording){
                                    .lay = lay, .layer = i, .own = own, .group = group_around(mu, lay, i)});
    }
}

static void drop_all(struct mu *mu, struct lists *lists)
{
    for (size_t i = 0; i < PDF_LAYERS_MOST; i++) {
        fz_drop_display_list(mu->ctx, lists->of_page[i]);
        fz_drop_display_list(mu->ctx, lists->of_layer[i]);
    }
}

/* ---- one patch ---- */

static void patches_play(struct mu *mu, fz_device *device, fz_display_list *list, struct affine to_pixels)
{
    fz_rect whole = fz_make_rect(0, 0, PATCH_PIXELS, PATCH_PIXELS);
    fz_run_display_list(mu->ctx, list, device, mu_matrix(to_pixels), whole, NULL);
}

/* A side is drawn from the order's numbers and the artwork files, or from the panel file alone. */
static void patches_draw_wanted(struct mu *mu, fz_device *device, const struct layback *lay,
                                const struct lists *lists, const struct layback_draw *draw,
                                struct affine to_pixels)
{
    const struct source_page *source = lay->sources.of_layer[draw->layer];
    if (!source) {
        layback_draw_stand_in(mu->ctx, device, to_pixels);
        return;
    }
    layback_clip(mu->ctx, device, source->page.media, to_pixels);
    patches_play(mu, device, lists->of_page[source - lay->sources.pages], to_pixels);
    fz_pop_clip(mu->ctx, device);
}

struct layback_patches_side {
    const struct layback_draws *draws;
    bool wanted;
};

static void draw_side(struct mu *mu, fz_device *device, const struct layback *lay, const struct lists *lists,
                      const struct layback_patches_side *side, const struct layback_patch *patch)
{
    for (size_t i = 0; i < side->draws->count; i++) {
        const struct layback_draw *draw = &side->draws->items[i];
        if (!rect_overlaps(draw->clip, patch->area)) continue;
        struct affine to_pixels = affine_then(draw->to_print, patch->to_pixels);
        layback_clip_shape(mu->ctx, device, &side->draws->shape, patch->to_pixels);
        layback_clip(mu->ctx, device, draw->clip, patch->to_pixels);
        if (side->wanted)
            patches_draw_wanted(mu, device, lay, lists, draw, to_pixels);
        else
            patches_play(mu, device, lists->of_layer[draw->layer], to_pixels);
        fz_pop_clip(mu->ctx, device);
        if (side->draws->shape.count) fz_pop_clip(mu->ctx, device);
    }
}

static void patches_render(struct mu *mu, fz_pixmap *pixels, const struct layback *lay,
                           const struct lists *lists, const struct layback_patches_side *side,
                           const struct layback_patch *patch)
{
    fz_context *ctx = mu->ctx;
    fz_clear_pixmap_with_value(ctx, pixels, 255);
    fz_device *device = fz_new_draw_device(ctx, fz_identity, pixels);
    fz_enable_device_hints(ctx, device, FZ_DONT_INTERPOLATE_IMAGES);
    fz_try(ctx)
    {
        draw_side(mu, device, lay, lists, side, patch);
        fz_close_device(ctx, device);
    }
    fz_always(ctx) fz_drop_device(ctx, device);
    fz_catch(ctx) fz_rethrow(ctx);
}

/* ---- where ---- */

static struct layback_patch patch_at(struct point centre)
{
    double half = PATCH_PIXELS / pixels_per_mm / 2;
    struct rect area = {centre.x - half, centre.y - half, centre.x + half, centre.y + half};
    struct affine m = affine_shift(-area.x0, -area.y1);
    return (struct layback_patch){affine_then(m, affine_scale(pixels_per_mm, -pixels_per_mm)), area};
}

/* The van der Corput sequence: places spread evenly however many are taken. */
static double patches_spread(size_t index, size_t base)
{
    double value = 0, step = 1;
    for (; index; index /= base) value += (step /= (double)base) * (double)(index % base);
    return value;
}

/* Turn by turn: on either of the long edges, where panels overlap; at a corner or, every second time, inside.
 */
static struct point patches_place(struct rect print, size_t turn)
{
    size_t kind = turn % KINDS, round = turn / KINDS;
    double x = patches_spread(round + 1, 2), y = patches_spread(round + 1, 3);
    bool upright = rect_height(print) >= rect_width(print);
    if (kind < 2) *(upright ? &x : &y) = (double)kind;
    if (kind == 2 && !(round % 2)) x = (double)(round / 2 % 2), y = (double)(round / 4 % 2);
    return (struct point){print.x0 + x * rect_width(print), print.y0 + y * rect_height(print)};
}

/* Each panel has one of each kind; a file of few panels has more of them. */
static size_t patches_of_each(const struct layback *lay)
{
    size_t rounds = PATCHES_LEAST / KINDS / lay->read.order.page_count;
    return KINDS * (rounds ? rounds : 1);
}

/* ---- all ---- */

static bool patches_compare_panel(struct mu *mu, struct layback *lay, const struct lists *lists, size_t index,
                                  fz_pixmap *const pixels[2])
{
    const struct pdf_panel_page *panel = &lay->read.order.pages[index];
    struct layback_draws draws = layback_wanted(lay, panel);
    const struct layback_patches_side wanted = {&draws, true}, found = {&lay->found[index], false};
    size_t count = patches_of_each(lay);
    for (size_t i = 0; i < count; i++) {
        struct layback_patch patch = patch_at(patches_place(panel->print, index * count + i));
        patches_render(mu, pixels[0], lay, lists, &wanted, &patch);
        patches_render(mu, pixels[1], lay, lists, &found, &patch);
        layback_compare(lay, pixels[0], pixels[1], 1, PATCH_PIXELS - 1);
        if (!layback_inside_same(lay, panel)) return false;
    }
    return true;
}

static bool compare_all(struct mu *mu, struct layback *lay, const struct lists *lists)
{
    fz_context *ctx = mu->ctx;
    fz_pixmap *pixels[2] = {NULL, NULL};
    bool same = true;
    fz_var(pixels);
    fz_var(same);
    fz_try(ctx)
    {
        for (int i = 0; i < 2; i++)
            pixels[i] = fz_new_pixmap(ctx, fz_device_rgb(ctx), PATCH_PIXELS, PATCH_PIXELS, NULL, 0);
        for (size_t i = 0; same && i < lay->read.order.page_count; i++)
            same = patches_compare_panel(mu, lay, lists, i, pixels);
    }
    fz_always(ctx) for (int i = 0; i < 2; i++) fz_drop_pixmap(ctx, pixels[i]);
    fz_catch(ctx) fz_rethrow(ctx);
    return same && layback_edges_same(lay);
}

bool layback_patches(struct mu *mu, struct layback *lay)
{
    fz_context *ctx = mu->ctx;
    layback_stand_ins(mu, lay, true);
    layback_forget_knockout(mu, lay);
    layback_open_crops(mu, lay);
    struct lists *lists = arena_take(lay->arena, sizeof *lists);
    bool same = false;
    fz_var(same);
    fz_try(ctx)
    {
        record_all(mu, lay, lists);
        same = compare_all(mu, lay, lists);
    }
    fz_always(ctx) drop_all(mu, lists);
    fz_catch(ctx) fz_rethrow(ctx);
    return same;
}
