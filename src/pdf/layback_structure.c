/* Pages, boxes, embedded bytes and matrices of a written panel file. Written apart from the writer: what it
 * expects comes from the order and the artwork files. */
#include "layback.h"
#include "base/arena.h"
#include "base/units.h"
#include <errno.h>
#include <math.h>
#include <string.h>
#include <unistd.h>

static const double place_tolerance_mm = 0.01;

/* ---- boxes ---- */

static bool box_as_ordered(struct layback *lay, const struct pdf_panel_page *panel, const char *name,
                           struct rect found, struct rect wanted)
{
    double x = panel->file.x0, y = panel->file.y0, most = place_tolerance_mm;
    if (fabs(found.x0 - (wanted.x0 - x)) <= most && fabs(found.y0 - (wanted.y0 - y)) <= most &&
        fabs(found.x1 - (wanted.x1 - x)) <= most && fabs(found.y1 - (wanted.y1 - y)) <= most)
        return true;
    return layback_differs(lay, "panel %s: its %s is %.2f x %.2f mm, not as ordered (%.2f x %.2f mm)",
                           panel->id, name, rect_width(found), rect_height(found), rect_width(wanted),
                           rect_height(wanted));
}

static struct rect named_box(fz_context *ctx, const struct mu_page *page, pdf_obj *name)
{
    fz_rect box = pdf_dict_get_rect(ctx, page->object, name);
    return affine_apply_rect(page->to_mm, (struct rect){box.x0, box.y0, box.x1, box.y1});
}

static bool boxes_as_ordered(struct mu *mu, struct layback *lay, const struct pdf_panel_page *panel,
                             const struct mu_page *page)
{
    return box_as_ordered(lay, panel, "MediaBox", named_box(mu->ctx, page, PDF_NAME(MediaBox)),
                          panel->file) &&
           box_as_ordered(lay, panel, "BleedBox", named_box(mu->ctx, page, PDF_NAME(BleedBox)),
                          panel->print) &&
           box_as_ordered(lay, panel, "TrimBox", named_box(mu->ctx, page, PDF_NAME(TrimBox)), panel->visible);
}

/* ---- bytes ---- */

static pdf_obj *artwork_of(fz_context *ctx, const struct mu_page *page, size_t layer)
{
    char name[16];
    format_into(name, sizeof name, "L%zu", layer);
    return pdf_dict_gets(ctx, pdf_dict_getp(ctx, page->object, "Resources/XObject"), name);
}

pdf_obj *layback_artwork(struct mu *mu, struct layback *lay, size_t index, size_t layer)
{
    struct mu_page page;
    int count;
    return mu_page_find(mu, lay->doc, (int)index + 1, &page, &count) ? artwork_of(mu->ctx, &page, layer)
                                                                     : NULL;
}

/* Compares two streams of bytes. */
static bool same_bytes(fz_context *ctx, fz_stream *one, fz_stream *other)
{
    for (;;) {
        int a = fz_read_byte(ctx, one), b = fz_read_byte(ctx, other);
        if (a != b) return false;
        if (a == EOF) return true;
    }
}

/* What several content streams are when joined, against the one they became. White space between them is not
 * theirs. */
static bool same_content(struct mu *mu, const struct source_page *source, pdf_obj *form)
{
    fz_context *ctx = mu->ctx;
    pdf_obj *contents = pdf_dict_get(ctx, source->page.object, PDF_NAME(Contents));
    fz_stream *found = NULL, *wanted = NULL;
    bool same = true;
    fz_var(found);
    fz_var(wanted);
    fz_var(same);
    fz_try(ctx)
    {
        found = pdf_open_stream(ctx, form);
        int count = pdf_is_array(ctx, contents) ? pdf_array_len(ctx, contents) : 1;
        for (int i = 0; same && i < count; i++) {
            pdf_obj *part = pdf_is_array(ctx, contents) ? pdf_array_get(ctx, contents, i) : contents;
            if (!pdf_is_stream(ctx, part)) continue;
            wanted = pdf_open_stream(ctx, part);
            for (int c; same && (c = fz_read_byte(ctx, wanted)) != EOF;) same = fz_read_byte(ctx, found) == c;
            fz_drop_stream(ctx, wanted);
            wanted = NULL;
            if (count > 1) same = same && fz_read_byte(ctx, found) == '\n';
        }
        same = same && fz_read_byte(ctx, found) == EOF;
    }
    fz_always(ctx)
    {
        fz_drop_stream(ctx, wanted);
        fz_drop_stream(ctx, found);
    }
    fz_catch(ctx) fz_rethrow(ctx);
    return same;
}

static bool same_picture(struct mu *mu, int fd, pdf_obj *image)
{
    fz_context *ctx = mu->ctx;
    char name[40];
    format_into(name, sizeof name, "/proc/self/fd/%d", fd);
    fz_stream *found = NULL, *wanted = NULL;
    bool same = false;
    fz_var(found);
    fz_var(wanted);
    fz_var(same);
    fz_try(ctx)
    {
        found = pdf_open_raw_stream(ctx, image);
        wanted = fz_open_file(ctx, name);
        same = same_bytes(ctx, found, wanted);
    }
    fz_always(ctx)
    {
        fz_drop_stream(ctx, wanted);
        fz_drop_stream(ctx, found);
    }
    fz_catch(ctx) fz_rethrow(ctx);
    return same;
}

static bool bytes_as_ordered(struct mu *mu, struct layback *lay, const struct mu_page *page, size_t layer)
{
    pdf_obj *object = artwork_of(mu->ctx, page, layer);
    struct source_page *source = lay->sources.of_layer[layer];
    bool same =
        source ? same_content(mu, source, object) : same_picture(mu, lay->read.layer_fds[layer], object);
    if (same) return true;
    return layback_differs(lay, "%s is not in the panel file as it was given",
                           lay->read.order.layers[layer].subject);
}

/* ---- places ---- */

/* Follows q, Q, cm and Do of a panel page. */
struct places {
    pdf_processor super;
    struct affine stack[8], ctm;
    int depth;
    struct affine found[PDF_LAYERS_MOST]; /* of each layer: where it was drawn last */
    int drawn[PDF_LAYERS_MOST];
};

static void op_q(fz_context *ctx, pdf_processor *processor)
{
    (void)ctx;
    struct places *places = (struct places *)processor;
    if (places->depth < 8) places->stack[places->depth++] = places->ctm;
}

static void op_Q(fz_context *ctx, pdf_processor *processor)
{
    (void)ctx;
    struct places *places = (struct places *)processor;
    if (places->depth) places->ctm = places->stack[--places->depth];
}

static void op_cm(fz_context *ctx, pdf_processor *processor, float a, float b, float c, float d, float e,
                  float f)
{
    (void)ctx;
    struct places *places = (struct places *)processor;
    places->ctm = affine_then((struct affine){a, b, c, d, e, f}, places->ctm);
}

static void note_draw(pdf_processor *processor, const char *name)
{
    struct places *places = (struct places *)processor;
    double layer = -1;
    if (name[0] != 'L' || !str_number(str_from(name + 1), &layer) || layer < 0 || layer >= PDF_LAYERS_MOST)
        return;
    places->found[(int)layer] = places->ctm;
    places->drawn[(int)layer]++;
}

static void op_Do_form(fz_context *ctx, pdf_processor *processor, const char *name, pdf_obj *form,
                       pdf_obj *resources)
{
    (void)ctx, (void)form, (void)resources;
    note_draw(processor, name);
}

static void op_Do_image(fz_context *ctx, pdf_processor *processor, const char *name, fz_image *image)
{
    (void)ctx, (void)image;
    note_draw(processor, name);
}

/* Where the artwork's corners must land, in page millimetres from the file rectangle's corner. A turned
 * picture's corners are those of its box, in whatever order: the whole box is compared. */
static bool place_as_ordered(struct layback *lay, const struct pdf_panel_page *panel,
                             const struct mu_page *page, size_t index, struct affine found)
{
    const struct pdf_layer *layer = &lay->read.order.layers[index];
    const struct source_page *source = lay->sources.of_layer[index];
    struct rect own = source ? source->page.media : (struct rect){0, 0, 1, 1};
    struct affine in_file = affine_then(layer->to_surface, affine_shift(-panel->file.x0, -panel->file.y0));
    struct rect wanted = source ? affine_apply_rect(affine_then(source->page.to_mm, in_file), own)
                                : affine_apply_rect(in_file, layer->picture->box);
    struct rect is = affine_apply_rect(affine_then(found, page->to_mm), own);
    double far = fmax(fmax(fabs(is.x0 - wanted.x0), fabs(is.x1 - wanted.x1)),
                      fmax(fabs(is.y0 - wanted.y0), fabs(is.y1 - wanted.y1)));
    if (far <= place_tolerance_mm) return true;
    return layback_differs(lay, "panel %s: %s lies %.2f mm from its place", panel->id, layer->subject, far);
}

static struct places *follow(struct mu *mu, struct layback *lay, const struct mu_page *page)
{
    fz_context *ctx = mu->ctx;
    struct places *places = pdf_new_processor(ctx, sizeof *places);
    places->super.op_q = op_q, places->super.op_Q = op_Q, places->super.op_cm = op_cm;
    places->super.op_Do_form = op_Do_form, places->super.op_Do_image = op_Do_image;
    places->ctm = affine_identity;
    fz_try(ctx)
    {
        pdf_process_contents(ctx, &places->super, lay->doc,
                             pdf_dict_get(ctx, page->object, PDF_NAME(Resources)),
                             pdf_dict_get(ctx, page->object, PDF_NAME(Contents)), NULL);
        pdf_close_processor(ctx, &places->super);
    }
    fz_catch(ctx)
    {
        pdf_drop_processor(ctx, &places->super);
        fz_rethrow(ctx);
    }
    return places;
}

static bool places_as_ordered(struct mu *mu, struct layback *lay, const struct pdf_panel_page *panel,
                              const struct mu_page *page)
{
    if (panel->slice_count) return true; /* each stretch has its own place: pixels tell */
    struct places *places = follow(mu, lay, page);
    bool same = true;
    for (size_t i = 0; same && i < lay->read.order.layer_count; i++) {
        bool wanted = !rect_is_empty(rect_intersect(panel->print, lay->read.order.layers[i].clip));
        if (places->drawn[i] != (wanted ? 1 : 0))
            same = layback_differs(lay, "panel %s: %s is drawn %d times", panel->id,
                                   lay->read.order.layers[i].subject, places->drawn[i]);
        else if (wanted)
            same = place_as_ordered(lay, panel, page, i, places->found[i]);
    }
    pdf_drop_processor(mu->ctx, &places->super);
    return same;
}

bool layback_structure(struct mu *mu, struct layback *lay)
{
    const struct pdf_panels_order *order = &lay->read.order;
    bool compared[PDF_LAYERS_MOST] = {false};
    for (size_t i = 0; i < order->page_count; i++) {
        struct mu_page page;
        int count;
        bool found = mu_page_find(mu, lay->doc, (int)i + 1, &page, &count);
        if (!found || (size_t)count != order->page_count)
            return layback_differs(lay, "the panel file has %d pages, not %zu", count, order->page_count);
        if (!boxes_as_ordered(mu, lay, &order->pages[i], &page)) return false;
        for (size_t j = 0; j < order->layer_count; j++) {
            if (compared[j] || !artwork_of(mu->ctx, &page, j)) continue;
            if (!bytes_as_ordered(mu, lay, &page, j)) return false;
            compared[j] = true;
        }
        if (!places_as_ordered(mu, lay, &order->pages[i], &page)) return false;
    }
    return true;
}
