/* The basic shapes of SVG 1.1, chapter 9, as outlines. */
#include "base/sentence.h"
#include "base/arena.h"
#include "drawing.h"
#include <math.h>
#include <string.h>

struct drawn_shape {
    const struct scope *scope;
    struct trace *trace;
    struct arena *arena;
    const char *fault;
};

enum axis_of { ALONG_X, ALONG_Y, ALONG_BOTH };

static bool fail(struct drawn_shape *shape, const char *name, struct str written, const char *right)
{
    if (!shape->fault)
        shape->fault = sentence_words(shape->arena, "cannot-be-read-write",
                                      ARGUMENTS(arg_words("name", name),
                                                arg_words("written", quoted(shape->arena, written)),
                                                arg_words("right", right)));
    return false;
}

/* A length attribute, `otherwise` when absent. */
static double shapes_length_of(struct drawn_shape *shape, const char *name, enum axis_of axis,
                               double otherwise)
{
    struct str written = element_attribute(shape->scope->node, name);
    if (!written.length) return otherwise;
    double w = shape->scope->view_width, h = shape->scope->view_height, value;
    double whole = axis == ALONG_X ? w : axis == ALONG_Y ? h : sqrt((w * w + h * h) / 2);
    if (svg_length(written, whole, &value)) return value;
    fail(shape, name, written, sentence_plain("number-or-one-with-px-cm"));
    return 0;
}

static void ellipse(struct drawn_shape *shape, double cx, double cy, double rx, double ry)
{
    if (!(rx > 0 && ry > 0)) return;
    trace_move(shape->trace, (struct point){cx + rx, cy});
    for (int i = 1; i <= 4; i++) {
        static const double x[] = {1, 0, -1, 0, 1}, y[] = {0, 1, 0, -1, 0};
        trace_arc(shape->trace, &(struct arc){rx, ry, 0, false, true, {cx + x[i] * rx, cy + y[i] * ry}});
    }
    trace_close(shape->trace);
}

static void shape_draw_circle(struct drawn_shape *shape)
{
    double r = shapes_length_of(shape, "r", ALONG_BOTH, 0);
    ellipse(shape, shapes_length_of(shape, "cx", ALONG_X, 0), shapes_length_of(shape, "cy", ALONG_Y, 0), r,
            r);
}

static void draw_ellipse(struct drawn_shape *shape)
{
    double rx = shapes_length_of(shape, "rx", ALONG_X, 0), ry = shapes_length_of(shape, "ry", ALONG_Y, 0);
    ellipse(shape, shapes_length_of(shape, "cx", ALONG_X, 0), shapes_length_of(shape, "cy", ALONG_Y, 0), rx,
            ry);
}

/* Rounded corners by SVG 1.1, 9.2: one radius stands for both, at most half the side. */
static void shape_draw_rect(struct drawn_shape *shape)
{
    double x = shapes_length_of(shape, "x", ALONG_X, 0), y = shapes_length_of(shape, "y", ALONG_Y, 0);
    double w = shapes_length_of(shape, "width", ALONG_X, 0),
           h = shapes_length_of(shape, "height", ALONG_Y, 0);
    double rx = shapes_length_of(shape, "rx", ALONG_X, -1), ry = shapes_length_of(shape, "ry", ALONG_Y, -1);
    if (!(w > 0 && h > 0)) return;
    if (rx < 0) rx = fmax(0, ry);
    if (ry < 0) ry = rx;
    rx = fmin(rx, w / 2), ry = fmin(ry, h / 2);
    struct trace *t = shape->trace;
    trace_move(t, (struct point){x + rx, y});
    trace_line(t, (struct point){x + w - rx, y});
    trace_arc(t, &(struct arc){rx, ry, 0, false, true, {x + w, y + ry}});
    trace_line(t, (struct point){x + w, y + h - ry});
    trace_arc(t, &(struct arc){rx, ry, 0, false, true, {x + w - rx, y + h}});
    trace_line(t, (struct point){x + rx, y + h});
    trace_arc(t, &(struct arc){rx, ry, 0, false, true, {x, y + h - ry}});
    trace_line(t, (struct point){x, y + ry});
    trace_arc(t, &(struct arc){rx, ry, 0, false, true, {x + rx, y}});
    trace_close(t);
}

static void shape_draw_line(struct drawn_shape *shape)
{
    trace_move(shape->trace, (struct point){shapes_length_of(shape, "x1", ALONG_X, 0),
                                            shapes_length_of(shape, "y1", ALONG_Y, 0)});
    trace_line(shape->trace, (struct point){shapes_length_of(shape, "x2", ALONG_X, 0),
                                            shapes_length_of(shape, "y2", ALONG_Y, 0)});
    trace_end(shape->trace);
}

static void draw_points(struct drawn_shape *shape)
{
    struct str written = element_attribute(shape->scope->node, "points");
    struct svg_scan scan = {written, 0};
    for (bool first = true; !scan_end(&scan); first = false) {
        struct point p;
        bool read = scan_number(&scan, &p.x);
        scan_separator(&scan);
        if (!read || !scan_number(&scan, &p.y)) {
            fail(shape, "points", written, "pairs of numbers");
            return;
        }
        scan_separator(&scan);
        if (first)
            trace_move(shape->trace, p);
        else
            trace_line(shape->trace, p);
    }
    trace_end(shape->trace);
}

static void shape_draw_path(struct drawn_shape *shape)
{
    struct str data = element_attribute(shape->scope->node, "d");
    size_t bad_at;
    if (path_trace(data, shape->trace, &bad_at)) return;
    struct str rest = str_slice(data, bad_at - 1, data.length);
    shape->fault = sentence_words(
        shape->arena, "d-cannot-be-read-from-character",
        ARGUMENTS(arg_count("bad_at", (int64_t)bad_at), arg_words("written", quoted(shape->arena, rest))));
}

static const struct {
    const char *name;
    void (*draw)(struct drawn_shape *);
} shapes[] = {
    {"path", shape_draw_path}, {"rect", shape_draw_rect}, {"circle", shape_draw_circle},
    {"ellipse", draw_ellipse}, {"polygon", draw_points},  {"polyline", draw_points},
    {"line", shape_draw_line},
};

bool element_is_shape(const xmlNode *node)
{
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++)
        if (element_is(node, shapes[i].name)) return true;
    return false;
}

bool shape_trace(const struct scope *scope, struct trace *trace, struct arena *arena, const char **fault)
{
    struct drawn_shape shape = {.scope = scope, .trace = trace, .arena = arena};
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++)
        if (element_is(scope->node, shapes[i].name)) shapes[i].draw(&shape);
    *fault = shape.fault;
    return !shape.fault;
}
