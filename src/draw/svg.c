/* Back-end: SVG 1.1. */
#include "list.h"
#include "picture.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/text.h"
#include <math.h>
#include <string.h>

struct svg {
    struct text *out;
    uint64_t name; /* keeps ids of several documents on one page apart */
    int clips;
};

static void put_path_data(struct text *out, const struct path *path)
{
    static const char verbs[] = {'M', 'L', 'C', 'Z'};
    text_add(out, " d=\"");
    for (size_t i = 0; i < path->count; i++) {
        const struct path_step *s = &path->steps[i];
        text_add_char(out, verbs[s->verb]);
        int points = s->verb == PATH_CLOSE ? 0 : s->verb == PATH_CURVE ? 3 : 1;
        for (int j = 0; j < points; j++) {
            if (j) text_add_char(out, ' ');
            text_add_number(out, s->points[j].x, 4);
            text_add_char(out, ' ');
            text_add_number(out, s->points[j].y, 4);
        }
    }
    text_add(out, "\"");
}

static unsigned level(double share)
{
    return (unsigned)lround(share * 255);
}

static void put_paint(struct text *out, const char *property, struct paint paint)
{
    if (!paint_shows(paint)) {
        text_addf(out, " %s=\"none\"", property);
        return;
    }
    text_addf(out, " %s=\"#%02x%02x%02x\"", property, level(paint.red), level(paint.green),
              level(paint.blue));
    if (paint.alpha < 1) text_addf(out, " %s-opacity=\"%g\"", property, paint.alpha);
}

static void svg_put_shape(struct text *out, const struct path *path, struct look look)
{
    text_add(out, "<path");
    put_path_data(out, path);
    put_paint(out, "fill", look.fill);
    if (look.even_odd) text_add(out, " fill-rule=\"evenodd\"");
    if (look_strokes(look)) {
        put_paint(out, "stroke", look.line);
        text_addf(out, " stroke-width=\"%g\" stroke-miterlimit=\"10\"", look.line_mm);
        if (look.dash_mm > 0)
            text_addf(out, " stroke-dasharray=\"%g %g\"", look.dash_mm,
                      look.gap_mm > 0 ? look.gap_mm : look.dash_mm);
    }
    text_add(out, "/>\n");
}

static void svg_put_words(struct text *out, const struct command_words *words)
{
    text_addf(out,
              "<text x=\"%g\" y=\"%g\" font-family=\"'DejaVu Sans', sans-serif\" font-size=\"%g\"%s "
              "textLength=\"%g\" lengthAdjust=\"spacingAndGlyphs\" xml:space=\"preserve\"",
              words->at.x, words->at.y, words->size_mm, words->bold ? " font-weight=\"bold\"" : "",
              words->width);
    put_paint(out, "fill", words->paint);
    text_add_char(out, '>');
    text_add_markup(out, words->words);
    text_add(out, "</text>\n");
}

static void put_base64(struct text *out, const uint8_t *bytes, size_t length)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    for (size_t i = 0; i < length; i += 3) {
        size_t left = length - i;
        unsigned b1 = left > 1 ? bytes[i + 1] : 0, b2 = left > 2 ? bytes[i + 2] : 0;
        unsigned group = (unsigned)bytes[i] << 16 | b1 << 8 | b2;
        char four[4] = {digits[group >> 18], digits[group >> 12 & 63], digits[group >> 6 & 63],
                        digits[group & 63]};
        if (left < 3) four[3] = '=';
        if (left < 2) four[2] = '=';
        text_add_bytes(out, four, 4);
    }
}

static bool svg_put_picture(struct svg *svg, const struct command_picture *picture)
{
    struct text png = text_new(svg->out->arena);
    if (!picture_png(picture, &png)) return false;
    text_addf(
        svg->out,
        "<image x=\"%g\" y=\"%g\" width=\"%g\" height=\"%g\" preserveAspectRatio=\"none\" opacity=\"%g\" "
        "href=\"data:image/png;base64,",
        picture->into.x0, picture->into.y0, rect_width(picture->into), rect_height(picture->into),
        picture->alpha);
    put_base64(svg->out, (const uint8_t *)png.bytes, png.length);
    text_add(svg->out, "\"/>\n");
    return true;
}

static void put_clip(struct svg *svg, const struct command *c)
{
    const char *id =
        arena_format(svg->out->arena, "clip-%llx-%d", (unsigned long long)svg->name, ++svg->clips);
    text_addf(svg->out, "<clipPath id=\"%s\"><path%s", id, c->look.even_odd ? " clip-rule=\"evenodd\"" : "");
    put_path_data(svg->out, &c->path);
    text_addf(svg->out, "/></clipPath>\n<g clip-path=\"url(#%s)\">\n", id);
}

static void svg_put_group(struct text *out, struct affine m)
{
    text_addf(out, "<g transform=\"matrix(%g %g %g %g %g %g)\">\n", m.a, m.b, m.c, m.d, m.e, m.f);
}

static bool svg_put_drawing(struct svg *svg, const struct drawing *drawing)
{
    bool fine = true;
    for (size_t i = 0; i < drawing->count && fine; i++) {
        const struct command *c = &drawing->commands[i];
        switch (c->kind) {
        case COMMAND_PATH:
            svg_put_shape(svg->out, &c->path, c->look);
            break;
        case COMMAND_WORDS:
            svg_put_words(svg->out, &c->words);
            break;
        case COMMAND_PICTURE:
            fine = svg_put_picture(svg, &c->picture);
            break;
        case COMMAND_CLIP:
            put_clip(svg, c);
            break;
        case COMMAND_GROUP:
            svg_put_group(svg->out, c->transform);
            break;
        case COMMAND_DRAWING:
            svg_put_group(svg->out, c->transform);
            fine = svg_put_drawing(svg, c->drawing);
            text_add(svg->out, "</g>\n");
            break;
        case COMMAND_END:
            text_add(svg->out, "</g>\n");
            break;
        }
    }
    return fine;
}

bool drawing_svg(const struct drawing *drawing, struct text *out)
{
    struct svg svg = {.out = out, .name = hash_bytes(HASH_START, drawing->title, strlen(drawing->title))};
    text_addf(out,
              "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" "
              "width=\"%gmm\" height=\"%gmm\" viewBox=\"0 0 %g %g\">\n<title>",
              drawing->width, drawing->height, drawing->width, drawing->height);
    text_add_markup(out, drawing->title);
    text_addf(out, "</title>\n<path d=\"M0 0H%gV%gH0Z\" fill=\"#ffffff\"/>\n", drawing->width,
              drawing->height);
    if (!svg_put_drawing(&svg, drawing)) return false;
    text_add(out, "</svg>\n");
    return true;
}
