/* Writes cut files as SVG 1.1, and what SVG and DXF have in common: both are made of the same lines. Called through
 * cut_out.c, the shapes by cut_dxf.c too. */
#include "cut_file_parts.h"

static const double check_mm = 100;

const struct cut_file_layer cut_file_layers[LAYERS] = {
    {"KISS_CUT", "#ff00ff", 6},
    {"THROUGH_CUT", "#00a0c0", 4},
    {"REGISTER_MARKS", "#000000", 7},
    {"CHECK_LINE_100_MM", "#008000", 3},
};

struct point cut_file_place(const struct cut_file *file, struct point p)
{
    return (struct point){p.x - file->sheet->file.x0, p.y - file->sheet->file.y0};
}

void cut_file_check_line(struct point ends[2])
{
    ends[0] = (struct point){0, 0};
    ends[1] = (struct point){check_mm, 0};
}

bool cut_file_closed(const struct point *points, size_t count)
{
    return count > 3 && points[0].x == points[count - 1].x && points[0].y == points[count - 1].y;
}

size_t cut_file_mark_lines(const struct register_shape_lines *shape, const struct point *lines[2],
                           size_t counts[2])
{
    lines[0] = shape->points, counts[0] = shape->count == 4 ? 2 : shape->count;
    lines[1] = shape->points + 2, counts[1] = 2;
    return shape->count == 4 ? 2 : 1;
}

/* ---- SVG ---- */

static void svg_number(struct text *out, const char *before, double value)
{
    text_add(out, before);
    text_add_number(out, value, CUT_DECIMALS);
}

static void svg_path(const struct cut_file *file, const struct point *points, size_t count, struct text *out)
{
    double height = rect_height(file->sheet->file);
    bool closed = cut_file_closed(points, count);
    text_add(out, "<path d=\"");
    for (size_t i = 0; i < count - closed; i++) {
        struct point p = cut_file_place(file, points[i]);
        svg_number(out, i ? " L " : "M ", p.x);
        svg_number(out, " ", height - p.y);
    }
    text_add(out, closed ? " Z\"/>\n" : "\"/>\n");
}

static void svg_mark(const struct cut_file *file, const struct register_shape_lines *shape, struct text *out)
{
    const struct point *lines[2];
    size_t counts[2], count = cut_file_mark_lines(shape, lines, counts);
    if (shape->radius_mm > 0) {
        struct point p = cut_file_place(file, shape->points[0]);
        svg_number(out, "<circle cx=\"", p.x);
        svg_number(out, "\" cy=\"", rect_height(file->sheet->file) - p.y);
        svg_number(out, "\" r=\"", shape->radius_mm);
        text_add(out, "\"/>\n");
        return;
    }
    for (size_t i = 0; i < count; i++) svg_path(file, lines[i], counts[i], out);
}

static void svg_layer(const struct cut_file *file, size_t layer, struct text *out)
{
    const struct cut_sheet *sheet = file->sheet;
    text_addf(out, "<g id=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"0.1\">\n",
              cut_file_layers[layer].name, cut_file_layers[layer].colour);
    for (size_t i = 0; i < sheet->line_count; i++)
        if (sheet->lines[i].layer == layer)
            svg_path(file, sheet->lines[i].points, sheet->lines[i].count, out);
    for (size_t i = 0; layer == LAYER_MARKS && i < sheet->marks.count; i++) {
        struct register_shape_lines shape = register_shape_of(file->marks, &sheet->marks.places[i]);
        svg_mark(file, &shape, out);
    }
    if (layer == LAYER_CHECK) {
        struct point ends[2];
        cut_file_check_line(ends);
        for (size_t i = 0; i < 2; i++) ends[i].x += sheet->file.x0, ends[i].y += sheet->file.y0;
        svg_path(file, ends, 2, out);
    }
    text_add(out, "</g>\n");
}

void cut_file_svg(const struct cut_file *file, struct text *out)
{
    struct rect box = file->sheet->file;
    text_add(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\"");
    svg_number(out, " width=\"", rect_width(box));
    svg_number(out, "mm\" height=\"", rect_height(box));
    svg_number(out, "mm\" viewBox=\"0 0 ", rect_width(box));
    svg_number(out, " ", rect_height(box));
    text_addf(out, "\">\n<!-- 1 unit = 1 mm -->\n<title>%s</title>\n", file->name);
    for (size_t layer = 0; layer < LAYERS; layer++) svg_layer(file, layer, out);
    text_add(out, "</svg>\n");
}
