/* The reader's side of pdf_panels_write: artworks embedded once, a page for each panel. */
#include "blend.h"
#include "cut_layers.h"
#include "embed.h"
#include "verbs.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/units.h"
#include <math.h>
#include <time.h>

enum { UNITS_MOST = 14400, BOX_DECIMALS = 5, MATRIX_DECIMALS = 9 };

struct panels_writing {
    fz_context *ctx;
    struct order_read read;
    struct sources sources;
    struct copier copiers[PDF_LAYERS_MOST];
    struct out out;
    int forms[PDF_LAYERS_MOST]; /* object of each layer */
    struct cut_objects cuts;
    struct text content; /* of one page after the other */
    struct arena *arena;
};

/* ---- places ---- */

static double units_per_mm(const struct pdf_panel_page *page)
{
    return POINTS_PER_MM / (page->drawn_at > 0 ? page->drawn_at : 1);
}

static double user_unit(const struct pdf_panel_page *page)
{
    double side = fmax(rect_width(page->file), rect_height(page->file)) * units_per_mm(page);
    return side > UNITS_MOST ? ceil(side / UNITS_MOST) : 1;
}

/* Surface (or lengthened print) millimetres to the page's units. */
static struct affine to_units(const struct pdf_panel_page *page)
{
    double scale = units_per_mm(page) / user_unit(page);
    return affine_then(affine_shift(-page->file.x0, -page->file.y0), affine_scale(scale, scale));
}

/* EXIF orientation: the stored picture in the unit square, turned as it is to be seen. */
static struct affine oriented(int orientation)
{
    static const struct affine turns[] = {
        {1, 0, 0, 1, 0, 0},   {-1, 0, 0, 1, 1, 0}, {-1, 0, 0, -1, 1, 1}, {1, 0, 0, -1, 0, 1},
        {0, -1, -1, 0, 1, 1}, {0, -1, 1, 0, 0, 1}, {0, 1, 1, 0, 0, 0},   {0, 1, -1, 0, 1, 0},
    };
    return turns[orientation >= 1 && orientation <= 8 ? orientation - 1 : 0];
}

static struct affine onto_surface(const struct panels_writing *writing, size_t index)
{
    const struct pdf_layer *layer = &writing->read.order.layers[index];
    if (!layer->picture) return affine_then(writing->sources.of_layer[index]->page.to_mm, layer->to_surface);
    struct rect box = layer->picture->box;
    struct affine fill =
        affine_then(affine_scale(rect_width(box), rect_height(box)), affine_shift(box.x0, box.y0));
    return affine_then(affine_then(oriented(layer->picture->orientation), fill), layer->to_surface);
}

static struct affine slice_place(const struct pdf_slice *slice, bool along_x)
{
    double scale = (slice->print1 - slice->print0) / (slice->view1 - slice->view0);
    double shift = slice->print0 - slice->view0 * scale;
    return along_x ? (struct affine){scale, 0, 0, 1, shift, 0} : (struct affine){1, 0, 0, scale, 0, shift};
}

static struct rect slice_rect(const struct pdf_slice *slice, bool along_x, struct rect print)
{
    if (along_x)
        print.x0 = fmax(print.x0, slice->print0), print.x1 = fmin(print.x1, slice->print1);
    else
        print.y0 = fmax(print.y0, slice->print0), print.y1 = fmin(print.y1, slice->print1);
    return print.x0 < print.x1 && print.y0 < print.y1 ? print : (struct rect){0};
}

/* ---- what a page says ---- */

static void add_numbers(struct text *content, const double *values, size_t count, int decimals,
                        const char *operator_)
{
    for (size_t i = 0; i < count; i++) {
        text_add_number(content, values[i], decimals);
        text_add_char(content, ' ');
    }
    text_add(content, operator_);
}

/* One artwork within `window` (print millimetres), seen through `stretch`. */
static bool panels_draw_layer(struct text *content, const struct panels_writing *writing, size_t index,
                              const struct pdf_panel_page *page, struct affine stretch, struct rect window)
{
    const struct pdf_layer *layer = &writing->read.order.layers[index];
    struct rect seen = rect_intersect(window, affine_apply_rect(stretch, layer->clip));
    if (rect_is_empty(seen)) return false;
    struct rect clip = affine_apply_rect(to_units(page), seen);
    struct affine m = affine_then(affine_then(onto_surface(writing, index), stretch), to_units(page));
    text_add(content, "q\n");
    add_numbers(content, (double[]){clip.x0, clip.y0, rect_width(clip), rect_height(clip)}, 4, BOX_DECIMALS,
                "re W n\n");
    add_numbers(content, (double[]){m.a, m.b, m.c, m.d, m.e, m.f}, 6, MATRIX_DECIMALS, "cm\n");
    text_addf(content, "/L%zu Do\nQ\n", index);
    return true;
}

static bool draw_slices(struct text *content, const struct panels_writing *writing, size_t index,
                        const struct pdf_panel_page *page)
{
    if (!page->slice_count)
        return panels_draw_layer(content, writing, index, page, affine_identity, page->print);
    bool drawn = false;
    for (size_t i = 0; i < page->slice_count; i++) {
        const struct pdf_slice *slice = &page->slices[i];
        struct rect window = slice_rect(slice, page->slices_along_x, page->print);
        if (slice->view1 > slice->view0 && !rect_is_empty(window))
            drawn |= panels_draw_layer(content, writing, index, page,
                                       slice_place(slice, page->slices_along_x), window);
    }
    return drawn;
}

static void panels_draw_marks(struct text *content, const struct pdf_panel_page *page)
{
    if (!page->marks.length) return;
    double scale = units_per_mm(page) / user_unit(page);
    text_add(content, "q\n");
    add_numbers(content, (double[]){scale, 0, 0, scale, 0, 0}, 6, MATRIX_DECIMALS, "cm\n");
    text_add_bytes(content, page->marks.bytes, page->marks.length);
    text_add(content, "\nQ\n");
}

/* The artworks, within the page's shape where it has one. */
static void draw_artworks(struct panels_writing *writing, const struct pdf_panel_page *page, bool *used)
{
    struct text *content = &writing->content;
    if (page->clip) {
        text_add(content, "q\n");
        cut_clip_draw(content, page->clip, to_units(page));
    }
    const struct pdf_panels_order *order = &writing->read.order;
    for (size_t i = 0; i < order->layer_count; i++)
        used[i] = pdf_layer_is_on(&order->layers[i], (size_t)(page - order->pages)) &&
                  draw_slices(content, writing, i, page);
    if (page->clip) text_add(content, "Q\n");
}

/* The content stream; `used` says which layers are on this page. */
static int write_content(struct panels_writing *writing, const struct pdf_panel_page *page, bool *used)
{
    struct text *content = &writing->content;
    content->length = 0;
    draw_artworks(writing, page, used);
    cut_layers_draw(content, page, to_units(page), PDF_CUT_LINE_MM * POINTS_PER_MM / user_unit(page));
    panels_draw_marks(content, page);
    int number = out_reserve(&writing->out);
    out_begin(&writing->out, number);
    out_add(&writing->out, "<<");
    out_deflated(&writing->out, text_string(content), content->length);
    return number;
}

static void put_box(struct out *out, const struct pdf_panel_page *page, const char *name, struct rect box)
{
    struct rect units = affine_apply_rect(to_units(page), box);
    out_addf(out, " /%s [", name);
    out_numbers(out, (double[]){units.x0, units.y0, units.x1, units.y1}, 4, BOX_DECIMALS);
    out_add(out, "]");
}

/* Where one artwork's group is the page's, what the artwork does not say of itself the page says. */
static void write_group(struct panels_writing *writing, const bool *used)
{
    const struct sources *sources = &writing->sources;
    const struct source_page *page = blend_of_page(writing->ctx, &writing->read, sources, used);
    if (!page) return;
    size_t layer = 0;
    while (sources->of_layer[layer] != page) layer++;
    embed_page_group(&writing->copiers[page->source - sources->files], &page->page,
                     !blend_form_is_group(&writing->read, sources, layer));
}

static void panels_write_page(struct panels_writing *writing, const struct pdf_panel_page *page, int number,
                              int parent)
{
    struct out *out = &writing->out;
    bool used[PDF_LAYERS_MOST] = {false};
    int content = write_content(writing, page, used);
    out_begin(out, number);
    out_addf(out, "<< /Type /Page /Parent %d 0 R", parent);
    if (user_unit(page) > 1) out_addf(out, " /UserUnit %d", (int)user_unit(page));
    put_box(out, page, "MediaBox", page->file);
    put_box(out, page, "BleedBox", page->print);
    put_box(out, page, "TrimBox", page->visible);
    write_group(writing, used);
    out_add(out, " /Resources << /XObject <<");
    for (size_t i = 0; i < writing->read.order.layer_count; i++)
        if (used[i]) out_addf(out, " /L%zu %d 0 R", i, writing->forms[i]);
    out_add(out, " >>");
    cut_layers_put_resources(out, &writing->read.order, page, &writing->cuts);
    out_addf(out, " >> /Contents %d 0 R >>", content);
    out_end(out);
}

static int write_pages(struct panels_writing *writing)
{
    struct out *out = &writing->out;
    const struct pdf_panels_order *order = &writing->read.order;
    int parent = out_reserve(out);
    int *numbers = arena_take_array(writing->arena, order->page_count, sizeof *numbers);
    for (size_t i = 0; i < order->page_count; i++) {
        numbers[i] = out_reserve(out);
        panels_write_page(writing, &order->pages[i], numbers[i], parent);
    }
    out_begin(out, parent);
    out_addf(out, "<< /Type /Pages /Count %zu /Kids [", order->page_count);
    for (size_t i = 0; i < order->page_count; i++) out_addf(out, "%d 0 R ", numbers[i]);
    out_add(out, "] >>");
    out_end(out);
    return parent;
}

/* ---- the document ---- */

static bool embed_all(struct mu *mu, struct panels_writing *writing)
{
    struct sources *sources = &writing->sources;
    const struct pdf_panels_order *order = &writing->read.order;
    for (size_t i = 0; i < sources->file_count; i++) {
        writing->copiers[i] = copier_new(mu->ctx, sources->files[i].doc, &writing->out);
        writing->copiers[i].spots_off = order->spots_off;
        writing->copiers[i].spot_off_count = order->spot_off_count;
    }
    for (size_t i = 0; i < writing->read.order.layer_count; i++) {
        const struct pdf_layer *layer = &writing->read.order.layers[i];
        struct source_page *page = sources->of_layer[i];
        for (size_t j = 0; page && j < i; j++)
            if (sources->of_layer[j] == page) writing->forms[i] = writing->forms[j];
        if (writing->forms[i]) continue;
        if (page)
            writing->forms[i] = embed_page(&writing->copiers[page->source - sources->files], &page->page,
                                           blend_form_is_group(&writing->read, sources, i));
        else
            writing->forms[i] = embed_picture(&writing->out, layer->picture, writing->read.layer_fds[i]);
        if (!writing->forms[i]) return false;
    }
    return true;
}

static int write_info(struct out *out, const struct pdf_panels_order *order)
{
    time_t when = (time_t)order->date;
    struct tm parts = {.tm_mday = 1, .tm_year = 70};
    gmtime_r(&when, &parts);
    char date[32];
    size_t length = format_into(date, sizeof date, "D:%04d%02d%02d%02d%02d%02dZ", parts.tm_year + 1900,
                                parts.tm_mon + 1, parts.tm_mday, parts.tm_hour, parts.tm_min, parts.tm_sec);
    int number = out_reserve(out);
    out_begin(out, number);
    out_add(out, "<< /Producer (lapstrake) /CreationDate ");
    out_string(out, date, length);
    out_add(out, " /ModDate ");
    out_string(out, date, length);
    if (order->title) out_add(out, " /Title "), out_text_string(out, order->title);
    if (order->subject) out_add(out, " /Subject "), out_text_string(out, order->subject);
    out_add(out, " >>");
    out_end(out);
    return number;
}

static void put_output_intent(struct out *out, const struct pdf_panels_order *order, int profile)
{
    const char *words = order->profile_description ? order->profile_description
                                                   : sentence_plain("printing-conditions-profile");
    out_add(out, " /OutputIntents [<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Custom)");
    out_add(out, " /OutputCondition ");
    out_text_string(out, words);
    out_add(out, " /Info ");
    out_text_string(out, words);
    out_addf(out, " /DestOutputProfile %d 0 R >>]", profile);
}

/* Not packed, so that programs find it that read no PDF (ISO 32000-1, 14.3.2). */
static int write_metadata(struct out *out, const char *xmp)
{
    int number = out_reserve(out);
    out_begin(out, number);
    out_add(out, "<< /Type /Metadata /Subtype /XML");
    out_stream(out);
    out_bytes(out, xmp, strlen(xmp));
    out_end_stream(out);
    return number;
}

static int write_catalogue(struct panels_writing *writing, int pages, int layers)
{
    struct out *out = &writing->out;
    const struct pdf_panels_order *order = &writing->read.order;
    int profile = order->profile_size ? embed_profile(out, order->profile, order->profile_size) : 0;
    int metadata = order->xmp ? write_metadata(out, order->xmp) : 0;
    int number = out_reserve(out);
    out_begin(out, number);
    out_addf(out, "<< /Type /Catalog /Pages %d 0 R", pages);
    if (layers) out_addf(out, " /OCProperties %d 0 R", layers);
    if (profile) put_output_intent(out, order, profile);
    if (metadata) out_addf(out, " /Metadata %d 0 R", metadata);
    out_add(out, " >>");
    out_end(out);
    return number;
}

static bool run_panels(struct mu *mu, void *self, struct error *error)
{
    struct panels_writing *writing = self;
    writing->ctx = mu->ctx;
    if (!sources_open(mu, &writing->read, &writing->sources, error)) return false;
    writing->out = out_new(writing->arena, ORDER_FILE_FD, "the panel file", error);
    if (!embed_all(mu, writing)) return false;
    cut_layers_write(&writing->out, &writing->read.order, &writing->cuts);
    int layers = embed_layers(&writing->out, writing->copiers, writing->sources.file_count,
                              &writing->read.order, &writing->cuts);
    int pages = write_pages(writing);
    for (size_t i = 0; i < writing->sources.file_count; i++) copier_drain(&writing->copiers[i]);
    int root = write_catalogue(writing, pages, layers);
    int info = write_info(&writing->out, &writing->read.order);
    return out_finish(&writing->out, root, info, writing->read.order.id_seed);
}

static void drop_panels(struct mu *mu, void *self)
{
    struct panels_writing *writing = self;
    sources_drop(mu, &writing->sources);
}

bool verb_pdf_panels(int count, char **arguments, struct machine *machine, struct text *answer,
                     struct error *error)
{
    (void)count, (void)arguments, (void)machine;
    struct panels_writing *writing = arena_take(answer->arena, sizeof *writing);
    writing->arena = answer->arena;
    writing->content = text_new(answer->arena);
    return order_read(answer->arena, &writing->read, error) &&
           mu_run(&(struct mu_work){"the artwork", writing, run_panels, drop_panels}, error);
}
