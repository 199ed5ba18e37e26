/* Writes cut files: SVG 1.1 and DXF as of release 12 (AC1009: the group codes of its reference, from memory). Called by
 * pdf.c and tiff.c through cut_out.c; both forms are made of the same lines. */
#include "cut_files.h"
#include "cut_marks.h"
#include <math.h>

enum { CUT_DECIMALS = 4 };

static const double check_mm = 100;

/* A layer of both forms; the first two are as cut_kind has them. */
enum { LAYER_MARKS = CUT_KINDS, LAYER_CHECK, LAYERS };
static const struct cut_file_layer {
    const char *name, *colour;
    int number; /* DXF's colour */
} cut_file_layers[LAYERS] = {
    {"KISS_CUT", "#ff00ff", 6},
    {"THROUGH_CUT", "#00a0c0", 4},
    {"REGISTER_MARKS", "#000000", 7},
    {"CHECK_LINE_100_MM", "#008000", 3},
};

static struct point cut_file_place(const struct cut_file *file, struct point p)
{
    return (struct point){p.x - file->sheet->file.x0, p.y - file->sheet->file.y0};
}

/* The check line lies along the film's edge, inside the file, or beside it where that is smaller. */
static void cut_file_check_line(struct point ends[2])
{
    ends[0] = (struct point){0, 0};
    ends[1] = (struct point){check_mm, 0};
}

static bool cut_file_closed(const struct point *points, size_t count)
{
    return count > 3 && points[0].x == points[count - 1].x && points[0].y == points[count - 1].y;
}

/* Lines that a mark is made of: a cross has two. */
static size_t cut_file_mark_lines(const struct register_shape_lines *shape, const struct point *lines[2],
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

/* ---- DXF ---- */

static void dxf_pair(struct text *out, int code, const char *value)
{
    text_addf(out, "%3d\n%s\n", code, value);
}

static void dxf_whole(struct text *out, int code, int value)
{
    text_addf(out, "%3d\n%6d\n", code, value);
}

static void dxf_real(struct text *out, int code, double value)
{
    text_addf(out, "%3d\n", code);
    text_add_number(out, value, CUT_DECIMALS);
    text_add(out, "\n");
}

static void dxf_point(struct text *out, int code, struct point p)
{
    dxf_real(out, code, p.x);
    dxf_real(out, code + 10, p.y);
    dxf_real(out, code + 20, 0);
}

static void dxf_polyline(const struct cut_file *file, const char *layer, const struct point *points,
                         size_t count, struct text *out)
{
    bool closed = cut_file_closed(points, count);
    dxf_pair(out, 0, "POLYLINE"), dxf_pair(out, 8, layer), dxf_whole(out, 66, 1);
    dxf_point(out, 10, (struct point){0, 0});
    dxf_whole(out, 70, closed);
    for (size_t i = 0; i < count - closed; i++) {
        dxf_pair(out, 0, "VERTEX"), dxf_pair(out, 8, layer);
        dxf_point(out, 10, cut_file_place(file, points[i]));
    }
    dxf_pair(out, 0, "SEQEND"), dxf_pair(out, 8, layer);
}

static void dxf_line(const char *layer, struct point from, struct point to, struct text *out)
{
    dxf_pair(out, 0, "LINE"), dxf_pair(out, 8, layer);
    dxf_point(out, 10, from);
    dxf_point(out, 11, to);
}

static void dxf_mark(const struct cut_file *file, const struct register_shape_lines *shape, struct text *out)
{
    const char *layer = cut_file_layers[LAYER_MARKS].name;
    const struct point *lines[2];
    size_t counts[2], count = cut_file_mark_lines(shape, lines, counts);
    if (shape->radius_mm > 0) {
        dxf_pair(out, 0, "CIRCLE"), dxf_pair(out, 8, layer);
        dxf_point(out, 10, cut_file_place(file, shape->points[0]));
        dxf_real(out, 40, shape->radius_mm);
        return;
    }
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k + 1 < counts[i]; k++)
            dxf_line(layer, cut_file_place(file, lines[i][k]), cut_file_place(file, lines[i][k + 1]), out);
}

static void dxf_begin_section(struct text *out, const char *name)
{
    dxf_pair(out, 0, "SECTION"), dxf_pair(out, 2, name);
}

static void dxf_header(const struct cut_file *file, struct text *out)
{
    dxf_pair(out, 999, "1 unit = 1 mm");
    dxf_begin_section(out, "HEADER");
    dxf_pair(out, 9, "$ACADVER"), dxf_pair(out, 1, "AC1009");
    dxf_pair(out, 9, "$EXTMIN"), dxf_point(out, 10, (struct point){0, 0});
    dxf_pair(out, 9, "$EXTMAX");
    dxf_point(out, 10, (struct point){rect_width(file->sheet->file), rect_height(file->sheet->file)});
    dxf_pair(out, 0, "ENDSEC");
}

static void dxf_tables(struct text *out)
{
    dxf_begin_section(out, "TABLES");
    dxf_pair(out, 0, "TABLE"), dxf_pair(out, 2, "LAYER"), dxf_whole(out, 70, LAYERS);
    for (size_t i = 0; i < LAYERS; i++) {
        dxf_pair(out, 0, "LAYER"), dxf_pair(out, 2, cut_file_layers[i].name), dxf_whole(out, 70, 0);
        dxf_whole(out, 62, cut_file_layers[i].number), dxf_pair(out, 6, "CONTINUOUS");
    }
    dxf_pair(out, 0, "ENDTAB"), dxf_pair(out, 0, "ENDSEC");
}

void cut_file_dxf(const struct cut_file *file, struct text *out)
{
    const struct cut_sheet *sheet = file->sheet;
    struct point ends[2];
    dxf_header(file, out);
    dxf_tables(out);
    dxf_begin_section(out, "ENTITIES");
    for (size_t i = 0; i < sheet->line_count; i++)
        dxf_polyline(file, cut_file_layers[sheet->lines[i].layer].name, sheet->lines[i].points,
                     sheet->lines[i].count, out);
    for (size_t i = 0; i < sheet->marks.count; i++) {
        struct register_shape_lines shape = register_shape_of(file->marks, &sheet->marks.places[i]);
        dxf_mark(file, &shape, out);
    }
    cut_file_check_line(ends);
    dxf_line(cut_file_layers[LAYER_CHECK].name, ends[0], ends[1], out);
    dxf_pair(out, 0, "ENDSEC"), dxf_pair(out, 0, "EOF");
}
