/* Pages, boxes, and what each page draws and where. Written apart from the writer: what it expects comes from
 * the order and the artwork files. */
#include "layback.h"
#include "base/arena.h"
#include "base/text.h"
#include <math.h>
#include <string.h>

static const double place_tolerance_mm = 0.01;

/* ---- boxes ---- */

static double rects_apart(struct rect one, struct rect other)
{
    return fmax(fmax(fabs(one.x0 - other.x0), fabs(one.x1 - other.x1)),
                fmax(fabs(one.y0 - other.y0), fabs(one.y1 - other.y1)));
}

static bool box_as_ordered(struct mu *mu, struct layback *lay, const struct pdf_panel_page *panel,
                           const struct mu_page *page, pdf_obj *name, struct rect wanted)
{
    fz_rect box = pdf_dict_get_rect(mu->ctx, page->object, name);
    struct affine m = layback_to_print(panel, page);
    struct rect found = affine_apply_rect(m, (struct rect){box.x0, box.y0, box.x1, box.y1});
    if (rects_apart(found, wanted) <= place_tolerance_mm) return true;
    return layback_differs(
        lay, "panel-its-is-not-as-ordered",
        ARGUMENTS(arg_words("panel", panel->id), arg_words("key", pdf_to_name(mu->ctx, name)),
                  arg_fixed("width_mm", rect_width(found), 2), arg_fixed("height_mm", rect_height(found), 2),
                  arg_fixed("width_mm_2", rect_width(wanted), 2),
                  arg_fixed("height_mm_2", rect_height(wanted), 2)));
}

/* A CropBox would hide, an annotation would lie over what is printed: there are none. */
static bool page_as_ordered(struct mu *mu, struct layback *lay, const struct pdf_panel_page *panel,
                            const struct mu_page *page)
{
    if (pdf_dict_get_inheritable(mu->ctx, page->object, PDF_NAME(CropBox)) ||
        pdf_dict_get(mu->ctx, page->object, PDF_NAME(Annots)) || page->rotate)
        return layback_differs(lay, "panel-its-page-is-turned-cropped",
                               ARGUMENTS(arg_words("panel", panel->id)));
    return box_as_ordered(mu, lay, panel, page, PDF_NAME(MediaBox), panel->file) &&
           box_as_ordered(mu, lay, panel, page, PDF_NAME(BleedBox), panel->print) &&
           box_as_ordered(mu, lay, panel, page, PDF_NAME(TrimBox), panel->visible);
}

/* ---- places ---- */

static pdf_obj *artwork_of(fz_context *ctx, const struct mu_page *page, size_t layer)
{
    char name[16];
    format_into(name, sizeof name, "L%zu", layer);
    return pdf_dict_gets(ctx, pdf_dict_getp(ctx, page->object, "Resources/XObject"), name);
}

/* All pages draw a layer by the same object. */
static bool structure_same_artwork(struct mu *mu, struct layback *lay, const struct pdf_panel_page *panel,
                                   const struct mu_page *page, size_t layer)
{
    pdf_obj *object = artwork_of(mu->ctx, page, layer);
    if (!lay->artwork[layer] && pdf_is_stream(mu->ctx, object)) lay->artwork[layer] = object;
    if (object && lay->artwork[layer] &&
        pdf_to_num(mu->ctx, object) == pdf_to_num(mu->ctx, lay->artwork[layer]))
        return true;
    return layback_differs(lay, "panel-is-another-artwork-there-than",
                           ARGUMENTS(arg_words("panel", panel->id),
                                     arg_words("subject", lay->read.order.layers[layer].subject)));
}

/* The farthest that a corner of the artwork lies from where it must be, in mm. */
static double corners_apart(struct affine one, struct affine other, struct rect own)
{
    const struct point corners[] = {{own.x0, own.y0}, {own.x1, own.y0}, {own.x1, own.y1}, {own.x0, own.y1}};
    double most = 0;
    for (size_t i = 0; i < 4; i++) {
        struct point a = affine_apply(one, corners[i]), b = affine_apply(other, corners[i]);
        most = fmax(most, hypot(a.x - b.x, a.y - b.y));
    }
    return most;
}

static bool draw_as_ordered(struct layback *lay, const struct pdf_panel_page *panel,
                            const struct layback_draw *found, const struct layback_draw *wanted)
{
    const char *subject = lay->read.order.layers[wanted->layer].subject;
    if (found->layer != wanted->layer)
        return layback_differs(lay, "panel-it-draws-in-place-of",
                               ARGUMENTS(arg_words("panel", panel->id),
                                         arg_words("subject", lay->read.order.layers[found->layer].subject),
                                         arg_words("wanted", subject)));
    double far = corners_apart(found->to_print, wanted->to_print, wanted->own);
    if (!(far <= place_tolerance_mm))
        return layback_differs(lay, "panel-lies-from-its-place",
                               ARGUMENTS(arg_words("panel", panel->id), arg_words("subject", subject),
                                         arg_fixed("far", far, 2)));
    double cut = rects_apart(found->clip, wanted->clip);
    if (!(cut <= place_tolerance_mm))
        return layback_differs(lay, "panel-is-cut-off-from-its",
                               ARGUMENTS(arg_words("panel", panel->id), arg_words("subject", subject),
                                         arg_fixed("cut", cut, 2)));
    return true;
}

static bool draws_as_ordered(struct mu *mu, struct layback *lay, size_t index, const struct mu_page *page)
{
    const struct pdf_panel_page *panel = &lay->read.order.pages[index];
    struct layback_draws *found = &lay->found[index], wanted = layback_wanted(lay, panel);
    if (!layback_content(mu, lay, index, page, found)) return false;
    if (found->count != wanted.count)
        return layback_differs(lay, "panel-it-draws-artworks-not",
                               ARGUMENTS(arg_words("panel", panel->id),
                                         arg_count("found", (int64_t)found->count),
                                         arg_count("wanted", (int64_t)wanted.count)));
    for (size_t i = 0; i < wanted.count; i++)
        if (!draw_as_ordered(lay, panel, &found->items[i], &wanted.items[i]) ||
            !structure_same_artwork(mu, lay, panel, page, wanted.items[i].layer))
            return false;
    return true;
}

/* ---- the whole file ---- */

static bool profile_as_ordered(struct mu *mu, struct layback *lay)
{
    fz_context *ctx = mu->ctx;
    const struct pdf_panels_order *order = &lay->read.order;
    pdf_obj *intents = pdf_dict_getp(ctx, pdf_trailer(ctx, lay->doc), "Root/OutputIntents");
    pdf_obj *profile = pdf_dict_gets(ctx, pdf_array_get(ctx, intents, 0), "DestOutputProfile");
    bool same = pdf_array_len(ctx, intents) == (order->profile_size ? 1 : 0);
    if (same && order->profile_size) {
        fz_buffer *found = pdf_load_stream(ctx, profile);
        same = found->len == order->profile_size && !memcmp(found->data, order->profile, found->len);
        fz_drop_buffer(ctx, found);
    }
    return same || layback_differs(lay, "printing-conditions-profile-is-not-in", NULL);
}

bool layback_structure(struct mu *mu, struct layback *lay)
{
    const struct pdf_panels_order *order = &lay->read.order;
    lay->found = arena_take_array(lay->arena, order->page_count, sizeof *lay->found);
    for (size_t i = 0; i < order->page_count; i++) {
        struct mu_page page;
        int count;
        bool found = mu_page_find(mu, lay->doc, (int)i + 1, &page, &count);
        if (!found || (size_t)count != order->page_count)
            return layback_differs(
                lay, "panel-file-has-pages-not",
                ARGUMENTS(arg_count("count", count), arg_count("pages", (int64_t)order->page_count)));
        if (!page_as_ordered(mu, lay, &order->pages[i], &page) || !draws_as_ordered(mu, lay, i, &page))
            return false;
    }
    return profile_as_ordered(mu, lay);
}
