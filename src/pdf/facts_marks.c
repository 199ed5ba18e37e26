/* Crop marks: short thin lines outside the trim, in line with its edges (ISO 12647-1 calls them trim marks;
 * lengths and distances are common practice, no source). */
#include "facts_build.h"
#include "base/sentence.h"
#include "base/arena.h"
#include <math.h>

static const double LEAST_MM = 1.5, MOST_MM = 30; /* length of a mark */
static const double OFF_MM = 0.5;                 /* from the line of the trim's edge */
enum { MARKS_LEAST = 4 }; /* at different ends of the trim's edges: half of them all */

struct marks_device {
    fz_device super; /* first: MuPDF's calls come with this address */
    struct rect trim;
    unsigned ends; /* a bit for each end of each edge that has a mark */
};

struct segments { /* of one path */
    struct marks_device *device;
    fz_matrix ctm;
    fz_point start, at;
};

/* The coordinate across an edge's line: 0 for the low one, 1 for the high one, -1 for neither. */
static int edge_at(double value, double low, double high)
{
    return fabs(value - low) < OFF_MM ? 0 : fabs(value - high) < OFF_MM ? 1 : -1;
}

/* 0: wholly before the trim, 1: wholly behind it, -1: beside it. */
static int end_at(double from, double to, double low, double high)
{
    return fmax(from, to) < low ? 0 : fmin(from, to) > high ? 1 : -1;
}

static void look_at(struct marks_device *device, fz_point a, fz_point b)
{
    struct rect trim = device->trim;
    bool upright = fabs(a.x - b.x) < OFF_MM, lying = fabs(a.y - b.y) < OFF_MM;
    double length = hypot(a.x - b.x, a.y - b.y);
    if (upright == lying || length < LEAST_MM || length > MOST_MM) return;
    int edge = upright ? edge_at(a.x, trim.x0, trim.x1) : edge_at(a.y, trim.y0, trim.y1);
    int end = upright ? end_at(a.y, b.y, trim.y0, trim.y1) : end_at(a.x, b.x, trim.x0, trim.x1);
    if (edge >= 0 && end >= 0) device->ends |= 1U << ((upright ? 4 : 0) + edge * 2 + end);
}

static void mark_line_to(struct segments *segments, fz_point to)
{
    look_at(segments->device, fz_transform_point(segments->at, segments->ctm),
            fz_transform_point(to, segments->ctm));
    segments->at = to;
}

static void on_mark_move(fz_context *ctx, void *self, float x, float y)
{
    (void)ctx;
    struct segments *segments = self;
    segments->start = segments->at = fz_make_point(x, y);
}

static void on_mark_line(fz_context *ctx, void *self, float x, float y)
{
    (void)ctx;
    mark_line_to(self, fz_make_point(x, y));
}

static void on_mark_curve(fz_context *ctx, void *self, float x1, float y1, float x2, float y2, float x3,
                          float y3)
{
    (void)ctx, (void)x1, (void)y1, (void)x2, (void)y2;
    ((struct segments *)self)->at = fz_make_point(x3, y3);
}

static void on_mark_close(fz_context *ctx, void *self)
{
    (void)ctx;
    struct segments *segments = self;
    mark_line_to(segments, segments->start);
}

static void walk_path(fz_context *ctx, fz_device *device, const fz_path *path, fz_matrix ctm)
{
    static const fz_path_walker walker = {
        .moveto = on_mark_move, .lineto = on_mark_line, .curveto = on_mark_curve, .closepath = on_mark_close};
    struct segments segments = {(struct marks_device *)device, ctm, {0, 0}, {0, 0}};
    fz_walk_path(ctx, path, &walker, &segments);
}

static void on_stroke(fz_context *ctx, fz_device *device, const fz_path *path, const fz_stroke_state *stroke,
                      fz_matrix ctm, fz_colorspace *space, const float *colour, float alpha,
                      fz_color_params params)
{
    (void)stroke, (void)space, (void)colour, (void)alpha, (void)params;
    walk_path(ctx, device, path, ctm);
}

static void on_fill(fz_context *ctx, fz_device *device, const fz_path *path, int even_odd, fz_matrix ctm,
                    fz_colorspace *space, const float *colour, float alpha, fz_color_params params)
{
    (void)even_odd, (void)space, (void)colour, (void)alpha, (void)params;
    walk_path(ctx, device, path, ctm);
}

static bool has_marks(fz_context *ctx, pdf_document *doc, int number, const struct mu_page *page)
{
    struct marks_device *device = fz_new_derived_device(ctx, struct marks_device);
    struct rect trim = affine_apply_rect(page->to_mm, page->trim);
    pdf_page *loaded = NULL;
    unsigned count = 0;
    device->trim = (struct rect){trim.x0, -trim.y1, trim.x1, -trim.y0};
    device->super.stroke_path = on_stroke;
    device->super.fill_path = on_fill;
    fz_var(loaded);
    fz_try(ctx)
    {
        loaded = pdf_load_page(ctx, doc, number - 1);
        pdf_run_page_contents_with_usage(ctx, loaded, &device->super, text_to_turned_mm(ctx, loaded, page),
                                         "Print", NULL);
        fz_close_device(ctx, &device->super);
        for (unsigned ends = device->ends; ends; ends >>= 1) count += ends & 1;
    }
    fz_always(ctx)
    {
        fz_drop_device(ctx, &device->super);
        fz_drop_page(ctx, (fz_page *)loaded);
    }
    fz_catch(ctx) fz_rethrow(ctx);
    return count >= MARKS_LEAST;
}

void marks_read(struct mu *mu, pdf_document *doc, int number, const struct mu_page *page,
                struct builder *builder)
{
    fz_context *ctx = mu->ctx;
    if (page->has_bleed || rect_contains(page->trim, page->bleed, 1)) return;
    fz_try(ctx) builder->facts.marks_in_bleed = has_marks(ctx, doc, number, page);
    fz_catch(ctx)
        names_add(builder->arena, &builder->remarks, sentence_plain("crop-marks-could-not-be-looked"));
}
