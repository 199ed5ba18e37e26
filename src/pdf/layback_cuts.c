/* The cut lines of a panel page: their words in its content, their layers and spot colours in its resources, and as
 * they look. Written apart from the writer (cut_layers.c): what it expects comes from the order. */
#include "layback.h"
#include "base/text.h"
#include "cut_layers.h"
#include "steps.h"
#include <math.h>
#include <string.h>

static const double cuts_tolerance_mm = 0.01;

bool layback_points_right(const struct point *found, size_t count, const struct point *wanted,
                          size_t wanted_count)
{
    if (count != wanted_count) return false;
    for (size_t i = 0; i < count; i++)
        if (!(hypot(found[i].x - wanted[i].x, found[i].y - wanted[i].y) <= cuts_tolerance_mm)) return false;
    return true;
}

/* ---- words ---- */

static bool cuts_is_white(char c)
{
    return c && strchr("\t\n\f\r ", c);
}

struct str layback_next_word(struct str *left)
{
    struct str all = *left;
    size_t from = 0;
    while (from < all.length && cuts_is_white(all.bytes[from])) from++;
    size_t to = from;
    while (to < all.length && !cuts_is_white(all.bytes[to])) to++;
    *left = str_slice(all, to, all.length);
    return str_slice(all, from, to);
}

struct cuts_words {
    struct str *left;
    struct affine to_print;
};

static bool cuts_word(struct cuts_words *words, const char *wanted)
{
    return str_equal(layback_next_word(words->left), wanted);
}

static bool cuts_all_words(struct cuts_words *words, const char *const *wanted)
{
    while (*wanted)
        if (!cuts_word(words, *wanted++)) return false;
    return true;
}

static bool cuts_number(struct cuts_words *words, double *number)
{
    struct str word = layback_next_word(words->left);
    return word.length && str_number(word, number) == word.length;
}

/* How many points the line's words name: the first is not said again where it is closed. */
static size_t cuts_named(const struct pdf_cut_line *line, bool *closed)
{
    struct point first = line->points[0], last = line->points[line->count - 1];
    *closed = line->count > 3 && first.x == last.x && first.y == last.y;
    return line->count - *closed;
}

static bool cuts_line(struct cuts_words *words, const struct pdf_cut_line *line)
{
    bool closed;
    size_t count = cuts_named(line, &closed);
    for (size_t i = 0; i < count; i++) {
        struct point p;
        if (!cuts_number(words, &p.x) || !cuts_number(words, &p.y) || !cuts_word(words, i ? "l" : "m"))
            return false;
        p = affine_apply(words->to_print, p);
        if (!layback_points_right(&p, 1, &line->points[i], 1)) return false;
    }
    return (!closed || cuts_word(words, "h")) && cuts_word(words, "S");
}

/* Up to the lines themselves; the width in millimetres on the page is the same on all pages. */
static bool cuts_open(struct cuts_words *words, size_t layer, double unit_mm)
{
    char content[24], space[24];
    double width;
    format_into(content, sizeof content, "/C%zu", layer);
    format_into(space, sizeof space, "/S%zu", layer);
    return cuts_all_words(words, (const char *const[]){"/OC", content, "BDC", "q", "/G", "gs", space, "CS",
                                                       "1", "SCN", NULL}) &&
           cuts_number(words, &width) && fabs(width * unit_mm - PDF_CUT_LINE_MM) <= cuts_tolerance_mm &&
           cuts_all_words(words, (const char *const[]){"w", "1", "J", "1", "j", NULL});
}

static bool cuts_lines(struct cuts_words *words, const struct pdf_panel_page *panel, double unit_mm)
{
    for (size_t i = 0; i < panel->cut_count; i++) {
        size_t layer = panel->cuts[i].layer;
        bool first = !i || layer != panel->cuts[i - 1].layer;
        bool last = i + 1 == panel->cut_count || layer != panel->cuts[i + 1].layer;
        if ((first && !cuts_open(words, layer, unit_mm)) || !cuts_line(words, &panel->cuts[i]) ||
            (last && !cuts_all_words(words, (const char *const[]){"Q", "EMC", NULL})))
            return false;
    }
    return true;
}

/* ---- resources ---- */

static pdf_obj *cuts_resource(fz_context *ctx, const struct mu_page *page, const char *kind, char letter,
                              size_t layer)
{
    char path[60];
    format_into(path, sizeof path, "Resources/%s/%c%zu", kind, letter, layer);
    return pdf_dict_getp(ctx, page->object, path);
}

/* Spot colour and its look, and that nothing beneath is left out for it. */
static bool cuts_space_right(fz_context *ctx, const struct mu_page *page, const struct pdf_cut_layer *layer,
                             size_t index)
{
    pdf_obj *space = cuts_resource(ctx, page, "ColorSpace", 'S', index);
    pdf_obj *function = pdf_array_get(ctx, space, 3);
    bool right =
        !strcmp(pdf_array_get_name(ctx, space, 0), "Separation") &&
        !strcmp(pdf_array_get_name(ctx, space, 1), layer->spot) &&
        !strcmp(pdf_array_get_name(ctx, space, 2), "DeviceCMYK") &&
        pdf_dict_get_int(ctx, function, PDF_NAME(FunctionType)) == 2 &&
        pdf_dict_get_bool(ctx, pdf_dict_getp(ctx, page->object, "Resources/ExtGState/G"), PDF_NAME(OP));
    for (int i = 0; i < 4; i++) {
        double tint = (double)pdf_array_get_real(ctx, pdf_dict_get(ctx, function, PDF_NAME(C1)), i);
        right = right && fabs(tint - cut_layer_tint(layer)[i]) < 0.001 &&
                pdf_array_get_real(ctx, pdf_dict_get(ctx, function, PDF_NAME(C0)), i) == 0;
    }
    return right;
}

/* Name, processing step, seen on screens, and printed only when asked for. */
static bool cuts_layer_right(fz_context *ctx, pdf_document *doc, pdf_obj *found,
                             const struct pdf_cut_layer *layer)
{
    const char *group, *type;
    pdf_obj *all = pdf_dict_getp(ctx, pdf_trailer(ctx, doc), "Root/OCProperties/OCGs");
    return found && pdf_array_contains(ctx, all, found) && step_of_layer(ctx, found, &group, &type) &&
           !strcmp(group, "Structural") && !strcmp(type, layer->partial ? "PartialCutting" : "Cutting") &&
           !strcmp(pdf_dict_get_text_string(ctx, found, PDF_NAME(Name)), layer->spot) &&
           !pdf_is_ocg_hidden(ctx, doc, NULL, "View", found) &&
           !pdf_is_ocg_hidden(ctx, doc, NULL, "Print", found) == layer->prints;
}

bool layback_cuts(struct mu *mu, struct layback *lay, size_t index, const struct mu_page *page,
                  struct str *left)
{
    const struct pdf_panels_order *order = &lay->read.order;
    const struct pdf_panel_page *panel = &order->pages[index];
    for (size_t i = 0; i < panel->cut_count; i++) {
        size_t layer = panel->cuts[i].layer;
        if (i && layer == panel->cuts[i - 1].layer) continue;
        pdf_obj *group = cuts_resource(mu->ctx, page, "Properties", 'C', layer);
        if (!cuts_space_right(mu->ctx, page, &order->cut_layers[layer], layer) ||
            !cuts_layer_right(mu->ctx, lay->doc, group, &order->cut_layers[layer]))
            return layback_differs(
                lay, "panel-its-cut-layer-is-not-as",
                ARGUMENTS(arg_words("panel", panel->id), arg_words("spot", order->cut_layers[layer].spot)));
    }
    struct cuts_words words = {left, layback_to_print(panel, page)};
    double unit_mm = affine_apply(page->to_mm, (struct point){1, 0}).x - page->to_mm.e;
    return cuts_lines(&words, panel, unit_mm) ||
           layback_differs(lay, "panel-its-cut-lines-are-not-as", ARGUMENTS(arg_words("panel", panel->id)));
}

/* ---- looks ---- */

static void cuts_draw_line(fz_context *ctx, fz_device *device, const struct pdf_cut_line *line,
                           const fz_stroke_state *stroke, const struct pdf_cut_layer *layer,
                           fz_matrix to_pixels)
{
    bool closed;
    size_t count = cuts_named(line, &closed);
    float tint[4];
    for (int i = 0; i < 4; i++) tint[i] = (float)cut_layer_tint(layer)[i];
    fz_path *path = fz_new_path(ctx);
    fz_try(ctx)
    {
        for (size_t i = 0; i < count; i++)
            (i ? fz_lineto : fz_moveto)(ctx, path, (float)line->points[i].x, (float)line->points[i].y);
        if (closed) fz_closepath(ctx, path);
        fz_stroke_path(ctx, device, path, stroke, to_pixels, fz_device_cmyk(ctx), tint, 1,
                       fz_default_color_params);
    }
    fz_always(ctx) fz_drop_path(ctx, path);
    fz_catch(ctx) fz_rethrow(ctx);
}

void layback_draw_cuts(fz_context *ctx, fz_device *device, const struct pdf_panels_order *order,
                       const struct pdf_panel_page *panel, struct affine to_pixels)
{
    fz_stroke_state *stroke = fz_new_stroke_state(ctx);
    stroke->linewidth = (float)(PDF_CUT_LINE_MM * (panel->drawn_at > 0 ? panel->drawn_at : 1));
    stroke->start_cap = stroke->dash_cap = stroke->end_cap = FZ_LINECAP_ROUND;
    stroke->linejoin = FZ_LINEJOIN_ROUND;
    fz_try(ctx) for (size_t i = 0; i < panel->cut_count; i++)
    {
        const struct pdf_cut_layer *layer = &order->cut_layers[panel->cuts[i].layer];
        if (layer->prints) cuts_draw_line(ctx, device, &panel->cuts[i], stroke, layer, mu_matrix(to_pixels));
    }
    fz_always(ctx) fz_drop_stroke_state(ctx, stroke);
    fz_catch(ctx) fz_rethrow(ctx);
}
