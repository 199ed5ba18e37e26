/* Writes cut lines as processing steps: optional content with ISO 19593-1 metadata, lines in spot colours. Called by
 * the writer of panels, in the reader child; layback_cuts.c reads them again. */
#include "cut_layers.h"

enum { PATH_DECIMALS = 5 };

const double *cut_layer_tint(const struct pdf_cut_layer *layer)
{
    static const double through[4] = {1, 0, 0, 0}, partial[4] = {0, 1, 0, 0};
    return layer->partial ? partial : through;
}

/* ---- objects ---- */

/* ISO 19593-1, from memory: the metadata stands in the group itself. Usage: ISO 32000-1, 8.11.4.4. */
static int cut_layer_write(struct out *out, const struct pdf_cut_layer *layer)
{
    int number = out_reserve(out);
    out_begin(out, number);
    out_add(out, "<< /Type /OCG /Name ");
    out_text_string(out, layer->spot);
    out_addf(out, " /GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /%s >>",
             layer->partial ? "PartialCutting" : "Cutting");
    out_addf(out, " /Usage << /Print << /PrintState /%s >> /View << /ViewState /ON >> >> >>",
             layer->prints ? "ON" : "OFF");
    out_end(out);
    return number;
}

static int cut_space_write(struct out *out, const struct pdf_cut_layer *layer)
{
    int number = out_reserve(out);
    out_begin(out, number);
    out_add(out, "[/Separation ");
    out_name(out, layer->spot);
    out_add(out, " /DeviceCMYK << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0 0 0 0] /C1 [");
    out_numbers(out, cut_layer_tint(layer), 4, 2);
    out_add(out, "] >>]");
    out_end(out);
    return number;
}

void cut_layers_write(struct out *out, const struct pdf_panels_order *order, struct cut_objects *objects)
{
    *objects = (struct cut_objects){0};
    if (!order->cut_layer_count) return;
    for (size_t i = 0; i < order->cut_layer_count; i++) {
        objects->layers[i] = cut_layer_write(out, &order->cut_layers[i]);
        objects->spaces[i] = cut_space_write(out, &order->cut_layers[i]);
    }
    objects->state = out_reserve(out);
    out_begin(out, objects->state);
    out_add(out, "<< /Type /ExtGState /OPM 1 /OP true");
    out_add(out, " /op true >>");
    out_end(out);
}

void cut_layers_put(struct out *out, const struct pdf_panels_order *order, const struct cut_objects *objects)
{
    for (size_t i = 0; i < order->cut_layer_count; i++) out_addf(out, "%d 0 R ", objects->layers[i]);
}

void cut_layers_put_automatic(struct out *out, const struct pdf_panels_order *order,
                              const struct cut_objects *objects)
{
    static const char *const events[] = {"View", "Print"};
    for (size_t i = 0; order->cut_layer_count && i < 2; i++) {
        out_addf(out, "<< /Event /%s /Category [/%s] /OCGs [", events[i], events[i]);
        cut_layers_put(out, order, objects);
        out_add(out, "] >> ");
    }
}

/* ---- what a page says ---- */

static bool cut_layer_used(const struct pdf_panel_page *page, size_t layer)
{
    for (size_t i = 0; i < page->cut_count; i++)
        if (page->cuts[i].layer == layer) return true;
    return false;
}

static void put_used(struct out *out, const struct pdf_panels_order *order, const struct pdf_panel_page *page,
                     char letter, const int *numbers)
{
    for (size_t i = 0; i < order->cut_layer_count; i++)
        if (cut_layer_used(page, i)) out_addf(out, " /%c%zu %d 0 R", letter, i, numbers[i]);
}

void cut_layers_put_resources(struct out *out, const struct pdf_panels_order *order,
                              const struct pdf_panel_page *page, const struct cut_objects *objects)
{
    if (!page->cut_count) return;
    out_add(out, " /Properties <<");
    put_used(out, order, page, 'C', objects->layers);
    out_add(out, " >> /ColorSpace <<");
    put_used(out, order, page, 'S', objects->spaces);
    out_addf(out, " >> /ExtGState << /G %d 0 R >>", objects->state);
}

static void cut_path_draw(struct text *content, const struct point *points, size_t count,
                          struct affine to_units)
{
    for (size_t i = 0; i < count; i++) {
        struct point p = affine_apply(to_units, points[i]);
        text_add_number(content, p.x, PATH_DECIMALS);
        text_add(content, " ");
        text_add_number(content, p.y, PATH_DECIMALS);
        text_add(content, i ? " l\n" : " m\n");
    }
}

void cut_clip_draw(struct text *content, const struct region *clip, struct affine to_units)
{
    for (size_t i = 0; i < clip->count; i++) {
        cut_path_draw(content, clip->rings[i].points, clip->rings[i].count, to_units);
        text_add(content, "h\n");
    }
    text_add(content, "W n\n");
}

static void cut_line_draw(struct text *content, const struct pdf_cut_line *line, struct affine to_units)
{
    struct point first = line->points[0], last = line->points[line->count - 1];
    bool closed = line->count > 3 && first.x == last.x && first.y == last.y;
    cut_path_draw(content, line->points, line->count - closed, to_units);
    text_add(content, closed ? "h S\n" : "S\n");
}

void cut_layers_draw(struct text *content, const struct pdf_panel_page *page, struct affine to_units,
                     double line_units)
{
    for (size_t i = 0; i < page->cut_count; i++) {
        size_t layer = page->cuts[i].layer;
        if (!i || layer != page->cuts[i - 1].layer) {
            text_addf(content, "/OC /C%zu BDC\nq ", layer);
            text_addf(content, "/G gs /S%zu CS 1 SCN ", layer);
            text_add_number(content, line_units, PATH_DECIMALS);
            text_add(content, " w 1 J 1 j\n");
        }
        cut_line_draw(content, &page->cuts[i], to_units);
        if (i + 1 == page->cut_count || layer != page->cuts[i + 1].layer) text_add(content, "Q\nEMC\n");
    }
}
