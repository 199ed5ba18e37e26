/* The device that MuPDF draws a page to, so that its paths become shapes. Called by the verb in paths.c. */
#include "paths_build.h"
#include "base/arena.h"
#include "base/sentence.h"
#include <math.h>
#include <string.h>
#include <strings.h>

enum { CLIPS_NESTED = 1000, LAYERS_NESTED = 200, MASKS_NESTED = 20, MASK_SIDE = 2000, MASK_SIDE_LATER = 500 };
static const double BLACK = 0.02; /* of grey: so dark, a mask by luminosity lets nothing through */

struct mask_state { /* begun */
    size_t first;   /* of its shapes */
    size_t under;
    bool luminosity;
};

struct paths_device {
    fz_device super; /* first: MuPDF's calls come with this address */
    struct paths_gather *gather;
    size_t under[CLIPS_NESTED]; /* numbers of the clips at work */
    size_t depth;
    bool inside[LAYERS_NESTED]; /* layers at work: whether they are looked for */
    size_t layer_depth;
    struct mask_state masks[MASKS_NESTED];
    size_t mask_depth;
    size_t tiles; /* patterns at work: their area is taken, not what is in them */
};

static struct paths_device *device_of(fz_device *device)
{
    return (struct paths_device *)device;
}

static bool device_visible(const struct paths_device *device)
{
    return device->gather->of == PDF_PATHS_VISIBLE;
}

/* ---- shapes ---- */

/* Stands for the clip of a mask that is not over; the deeper, the lower. */
static size_t mask_pending(size_t depth)
{
    return SIZE_MAX - depth;
}

static size_t clip_now(const struct paths_device *device)
{
    return device->depth ? device->under[device->depth - 1] : 0;
}

static void shape_put(fz_context *ctx, struct paths_device *device, struct pdf_shape shape)
{
    struct paths_gather *gather = device->gather;
    if (!shape.count && !shape.mask) return;
    if (gather->count == PDF_PATH_SHAPES_MOST)
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-too-many"));
    *(struct pdf_shape *)arena_append(gather->arena, &gather->shapes, &gather->count, &gather->capacity,
                                      sizeof shape) = shape;
}

/* Adds it as paint, under the clips at work. */
static void shape_paint(fz_context *ctx, struct paths_device *device, struct pdf_shape shape)
{
    if (device->tiles) return;
    shape.under = device_visible(device) ? clip_now(device) : 0;
    shape.into = device->mask_depth ? mask_pending(device->mask_depth) : 0;
    shape_put(ctx, device, shape);
}

static struct pdf_shape paths_shape_of(struct paths_device *device, const struct path_lines *lines,
                                       bool even_odd)
{
    device->gather->points = lines->points;
    return (struct pdf_shape){.lines = lines->lines, .count = lines->count, .even_odd = even_odd};
}

static struct path_lines device_lines(const struct paths_device *device)
{
    return (struct path_lines){.arena = device->gather->arena, .points = device->gather->points};
}

static bool device_places(fz_matrix ctm)
{
    struct affine m = mu_affine(ctm);
    return affine_is_finite(m) && matrix_stretch(ctm) > 1e-9;
}

static struct pdf_shape shape_filled(fz_context *ctx, struct paths_device *device, const fz_path *path,
                                     bool even_odd, fz_matrix ctm)
{
    struct path_lines lines = device_lines(device);
    if (!device_places(ctm)) return (struct pdf_shape){0};
    path_flatten(ctx, path, device->gather->tolerance / matrix_stretch(ctm), &lines);
    path_lines_move(&lines, 0, mu_affine(ctm));
    return paths_shape_of(device, &lines, even_odd);
}

/* The widened outline; of cut paths the line itself. */
static struct pdf_shape shape_stroked(fz_context *ctx, struct paths_device *device, const fz_path *path,
                                      const fz_stroke_state *state, fz_matrix ctm)
{
    if (!device_visible(device)) return shape_filled(ctx, device, path, false, ctm);
    struct path_lines lines = device_lines(device), rings;
    double half = (double)state->linewidth / 2;
    if (!device_places(ctm) || !(half > 0) || !(half < 1e7)) return (struct pdf_shape){0};
    double tolerance = device->gather->tolerance / matrix_stretch(ctm);
    path_flatten(ctx, path, tolerance, &lines);
    rings = device_lines(device);
    struct stroke_pen pen = {state, half, tolerance};
    for (size_t i = 0; i < lines.count; i++) path_stroke(ctx, &pen, &lines.lines[i], &rings);
    path_lines_move(&rings, 0, mu_affine(ctm));
    return paths_shape_of(device, &rings, false);
}

/* What fills a box, in the space of the matrix. */
static struct pdf_shape shape_box(struct paths_device *device, struct rect box, struct affine ctm)
{
    struct path_lines lines = device_lines(device);
    struct polygon corners = polygon_of_rect(box, lines.arena);
    for (size_t i = 0; i < corners.count; i++) corners.points[i] = affine_apply(ctm, corners.points[i]);
    lines.lines = arena_take(lines.arena, sizeof *lines.lines);
    lines.lines[lines.count++] = (struct pdf_line){corners, true};
    lines.points += corners.count;
    return paths_shape_of(device, &lines, false);
}

/* ---- which are taken ---- */

static bool names_are(const struct paths_gather *gather, const char *one, const char *other)
{
    return gather->loosely ? !strcasecmp(one, other) : !strcmp(one, other);
}

static bool ink_is_off(const struct paths_gather *gather, const char *name)
{
    if (!strcmp(name, "None")) return true;
    for (size_t i = 0; i < gather->spot_off_count; i++)
        if (!strcmp(gather->spots_off[i], name)) return true;
    return false;
}

/* Notes the spot colours of the space on the way. */
static bool paint_has_spot(fz_context *ctx, struct paths_gather *gather, fz_colorspace *space,
                           const float *colour)
{
    int count =
        space && fz_colorspace_type(ctx, space) == FZ_COLORSPACE_SEPARATION ? fz_colorspace_n(ctx, space) : 0;
    bool has = false;
    for (int i = 0; i < count; i++) {
        const char *name = fz_colorspace_colorant(ctx, space, i);
        if (!name) continue;
        names_add(gather->arena, &gather->spots, name);
        has |= gather->of == PDF_PATHS_SPOT && names_are(gather, name, gather->name) &&
               (count == 1 || !colour || colour[i] > 0);
    }
    return has;
}

static bool paint_is_ink(fz_context *ctx, const struct paths_gather *gather, fz_colorspace *space)
{
    if (!space || fz_colorspace_type(ctx, space) != FZ_COLORSPACE_SEPARATION) return true;
    int count = fz_colorspace_n(ctx, space);
    for (int i = 0; i < count; i++) {
        const char *name = fz_colorspace_colorant(ctx, space, i);
        if (!name || !ink_is_off(gather, name)) return true;
    }
    return false;
}

static bool mask_is_black(fz_context *ctx, const struct paths_device *device, fz_colorspace *space,
                          const float *colour)
{
    if (!device->mask_depth || !device->masks[device->mask_depth - 1].luminosity || !space || !colour)
        return false;
    float grey[FZ_MAX_COLORS] = {0};
    fz_convert_color(ctx, space, colour, fz_device_gray(ctx), grey, NULL, fz_default_color_params);
    return (double)grey[0] < BLACK;
}

static bool layer_is_wanted(const struct paths_device *device)
{
    for (size_t i = 0; i < device->layer_depth && i < LAYERS_NESTED; i++)
        if (device->inside[i]) return true;
    return false;
}

static bool paint_is_taken(fz_context *ctx, struct paths_device *device, fz_colorspace *space,
                           const float *colour, float alpha)
{
    bool spot = paint_has_spot(ctx, device->gather, space, colour);
    switch (device->gather->of) {
    case PDF_PATHS_SPOT:
        return spot;
    case PDF_PATHS_LAYER:
    case PDF_PATHS_STEP:
        return layer_is_wanted(device);
    case PDF_PATHS_VISIBLE:
        break;
    }
    return alpha > 0 && paint_is_ink(ctx, device->gather, space) &&
           !mask_is_black(ctx, device, space, colour);
}

/* ---- paths ---- */

static void paths_fill(fz_context *ctx, fz_device *d, const fz_path *path, int even_odd, fz_matrix ctm,
                       fz_colorspace *space, const float *colour, float alpha, fz_color_params params)
{
    (void)params;
    struct paths_device *device = device_of(d);
    if (paint_is_taken(ctx, device, space, colour, alpha))
        shape_paint(ctx, device, shape_filled(ctx, device, path, even_odd, ctm));
}

static void paths_stroke(fz_context *ctx, fz_device *d, const fz_path *path, const fz_stroke_state *state,
                         fz_matrix ctm, fz_colorspace *space, const float *colour, float alpha,
                         fz_color_params params)
{
    (void)params;
    struct paths_device *device = device_of(d);
    if (paint_is_taken(ctx, device, space, colour, alpha))
        shape_paint(ctx, device, shape_stroked(ctx, device, path, state, ctm));
}

/* ---- letters ---- */

struct path_letters {             /* where their outlines go */
    const fz_stroke_state *state; /* NULL: filled */
    size_t into;                  /* a clip; 0: paint */
};

static void letter_put(fz_context *ctx, struct paths_device *device, const fz_path *outline, fz_matrix ctm,
                       const struct path_letters *to)
{
    struct pdf_shape shape = to->state ? shape_stroked(ctx, device, outline, to->state, ctm)
                                       : shape_filled(ctx, device, outline, false, ctm);
    if (!to->into) {
        shape_paint(ctx, device, shape);
        return;
    }
    shape.into = to->into;
    shape_put(ctx, device, shape);
}

static void letter_draw(fz_context *ctx, struct paths_device *device, fz_font *font, int glyph,
                        fz_matrix place, fz_matrix ctm, const struct path_letters *to)
{
    fz_path *outline = fz_outline_glyph(ctx, font, glyph, place);
    if (!outline) return;
    fz_try(ctx) letter_put(ctx, device, outline, ctm, to);
    fz_always(ctx) fz_drop_path(ctx, outline);
    fz_catch(ctx) fz_rethrow(ctx);
}

static void letters_draw(fz_context *ctx, struct paths_device *device, const fz_text *text, fz_matrix ctm,
                         const struct path_letters *to)
{
    for (const fz_text_span *span = text->head; span; span = span->next)
        for (int i = 0; i < span->len; i++) {
            if (span->items[i].gid < 0) continue;
            fz_matrix place = span->trm;
            place.e = span->items[i].x, place.f = span->items[i].y;
            if (fz_font_t3_procs(ctx, span->font))
                fz_run_t3_glyph(ctx, span->font, span->items[i].gid, fz_concat(place, ctm), &device->super);
            else
                letter_draw(ctx, device, span->font, span->items[i].gid, place, ctm, to);
        }
}

static void paths_fill_text(fz_context *ctx, fz_device *d, const fz_text *text, fz_matrix ctm,
                            fz_colorspace *space, const float *colour, float alpha, fz_color_params params)
{
    (void)params;
    struct paths_device *device = device_of(d);
    if (paint_is_taken(ctx, device, space, colour, alpha))
        letters_draw(ctx, device, text, ctm, &(struct path_letters){0});
}

static void paths_stroke_text(fz_context *ctx, fz_device *d, const fz_text *text,
                              const fz_stroke_state *state, fz_matrix ctm, fz_colorspace *space,
                              const float *colour, float alpha, fz_color_params params)
{
    (void)params;
    struct paths_device *device = device_of(d);
    if (paint_is_taken(ctx, device, space, colour, alpha))
        letters_draw(ctx, device, text, ctm, &(struct path_letters){state, 0});
}

/* ---- clips ---- */

/* A clip with its number, within the one at work or `around`. */
static size_t clip_new(fz_context *ctx, struct paths_gather *gather, size_t around)
{
    if (gather->clip_count == PDF_PATH_CLIPS_MOST)
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-too-many-clips"));
    *(size_t *)arena_append(gather->arena, &gather->clips, &gather->clip_count, &gather->clip_capacity,
                            sizeof(size_t)) = around;
    return gather->clip_count;
}

/* Cut paths do not care for clips: theirs stay 0. */
static size_t clip_push(fz_context *ctx, struct paths_device *device)
{
    if (device->depth == CLIPS_NESTED)
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-too-many-clips"));
    size_t number = device_visible(device) ? clip_new(ctx, device->gather, clip_now(device)) : 0;
    device->under[device->depth++] = number;
    return number;
}

static void clip_take(fz_context *ctx, struct paths_device *device, size_t number, struct pdf_shape shape)
{
    shape.into = number;
    if (number) shape_put(ctx, device, shape);
}

static void paths_clip(fz_context *ctx, fz_device *d, const fz_path *path, int even_odd, fz_matrix ctm,
                       fz_rect scissor)
{
    (void)scissor;
    struct paths_device *device = device_of(d);
    size_t number = clip_push(ctx, device);
    if (number) clip_take(ctx, device, number, shape_filled(ctx, device, path, even_odd, ctm));
}

static void paths_clip_stroke(fz_context *ctx, fz_device *d, const fz_path *path,
                              const fz_stroke_state *state, fz_matrix ctm, fz_rect scissor)
{
    (void)scissor;
    struct paths_device *device = device_of(d);
    size_t number = clip_push(ctx, device);
    if (number) clip_take(ctx, device, number, shape_stroked(ctx, device, path, state, ctm));
}

static void paths_clip_text(fz_context *ctx, fz_device *d, const fz_text *text, fz_matrix ctm,
                            fz_rect scissor)
{
    (void)scissor;
    struct paths_device *device = device_of(d);
    size_t number = clip_push(ctx, device);
    if (number) letters_draw(ctx, device, text, ctm, &(struct path_letters){NULL, number});
}

static void paths_clip_stroke_text(fz_context *ctx, fz_device *d, const fz_text *text,
                                   const fz_stroke_state *state, fz_matrix ctm, fz_rect scissor)
{
    (void)scissor;
    struct paths_device *device = device_of(d);
    size_t number = clip_push(ctx, device);
    if (number) letters_draw(ctx, device, text, ctm, &(struct path_letters){state, number});
}

static void paths_pop_clip(fz_context *ctx, fz_device *d)
{
    (void)ctx;
    struct paths_device *device = device_of(d);
    if (device->depth) device->depth--;
}

/* What is painted while a mask is drawn is gathered for a clip that gets its number at the end, when those within it
 * have theirs. */
static void paths_begin_mask(fz_context *ctx, fz_device *d, fz_rect area, int luminosity,
                             fz_colorspace *space, const float *backdrop, fz_color_params params)
{
    (void)area, (void)space, (void)backdrop, (void)params;
    struct paths_device *device = device_of(d);
    if (device->mask_depth == MASKS_NESTED || device->depth == CLIPS_NESTED)
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-too-many-clips"));
    device->masks[device->mask_depth++] =
        (struct mask_state){device->gather->count, clip_now(device), luminosity != 0};
    device->under[device->depth++] = 0;
}

static void paths_end_mask(fz_context *ctx, fz_device *d)
{
    struct paths_device *device = device_of(d);
    struct paths_gather *gather = device->gather;
    if (!device->mask_depth || !device->depth) return;
    struct mask_state mask = device->masks[device->mask_depth - 1];
    size_t number = device_visible(device) ? clip_new(ctx, gather, mask.under) : 0;
    for (size_t i = mask.first; i < gather->count; i++)
        if (gather->shapes[i].into == mask_pending(device->mask_depth)) gather->shapes[i].into = number;
    device->mask_depth--;
    device->under[device->depth - 1] = number;
}

/* ---- pictures ---- */

static fz_matrix mask_size(const struct paths_gather *gather, const fz_image *image)
{
    int side = gather->mask_bytes > PDF_PATH_MASK_BYTES_MOST / 2 ? MASK_SIDE_LATER : MASK_SIDE;
    double scale = fmin(1, (double)side / fmax(image->w, image->h));
    return fz_scale((float)(image->w * scale), (float)(image->h * scale));
}

/* The last sample of each pixel: the only one of a mask, else its opacity. */
static const struct pdf_mask *mask_take(fz_context *ctx, struct paths_gather *gather, const fz_pixmap *pixels,
                                        struct affine place)
{
    size_t width = (size_t)pixels->w, height = (size_t)pixels->h, n = pixels->n;
    if (!width || !height || width > PDF_PATH_MASK_SIDE_MOST || height > PDF_PATH_MASK_SIDE_MOST ||
        (gather->mask_bytes += width * height) > PDF_PATH_MASK_BYTES_MOST)
        fz_throw(ctx, FZ_ERROR_GENERIC, "%s", sentence_plain("paths-masks-too-large"));
    uint8_t *values = arena_take_array(gather->arena, width, height);
    for (size_t y = 0; y < height; y++) {
        const unsigned char *row = pixels->samples + (ptrdiff_t)y * pixels->stride;
        for (size_t x = 0; x < width; x++) values[y * width + x] = row[x * n + n - 1];
    }
    struct pdf_mask *mask = arena_take(gather->arena, sizeof *mask);
    *mask = (struct pdf_mask){values, width, height, place};
    return mask;
}

/* MuPDF's unit square of a picture begins at its upper left corner. */
static struct affine picture_place(fz_matrix ctm)
{
    return affine_then((struct affine){1, 0, 0, -1, 0, 1}, mu_affine(ctm));
}

static struct pdf_shape shape_masked(fz_context *ctx, struct paths_device *device, fz_image *image,
                                     fz_matrix ctm)
{
    fz_matrix size = mask_size(device->gather, image);
    struct pdf_shape shape = {0};
    if (!device_places(ctm)) return shape;
    fz_pixmap *pixels = fz_get_pixmap_from_image(ctx, image, NULL, &size, NULL, NULL);
    fz_try(ctx) shape.mask = mask_take(ctx, device->gather, pixels, picture_place(ctm));
    fz_always(ctx) fz_drop_pixmap(ctx, pixels);
    fz_catch(ctx) fz_rethrow(ctx);
    return shape;
}

static void paths_fill_image(fz_context *ctx, fz_device *d, fz_image *image, fz_matrix ctm, float alpha,
                             fz_color_params params)
{
    (void)params;
    struct paths_device *device = device_of(d);
    paint_has_spot(ctx, device->gather, image->colorspace, NULL);
    if (!device_visible(device) || device->tiles || !(alpha > 0) || !device_places(ctm) ||
        !paint_is_ink(ctx, device->gather, image->colorspace))
        return;
    if (image->use_colorkey)
        shape_paint(ctx, device, shape_masked(ctx, device, image, ctm));
    else
        shape_paint(ctx, device, shape_box(device, (struct rect){0, 0, 1, 1}, mu_affine(ctm)));
}

static void paths_fill_image_mask(fz_context *ctx, fz_device *d, fz_image *image, fz_matrix ctm,
                                  fz_colorspace *space, const float *colour, float alpha,
                                  fz_color_params params)
{
    (void)params;
    struct paths_device *device = device_of(d);
    if (paint_is_taken(ctx, device, space, colour, alpha) && device_visible(device) && !device->tiles)
        shape_paint(ctx, device, shape_masked(ctx, device, image, ctm));
}

static void paths_clip_image_mask(fz_context *ctx, fz_device *d, fz_image *image, fz_matrix ctm,
                                  fz_rect scissor)
{
    (void)scissor;
    struct paths_device *device = device_of(d);
    size_t number = clip_push(ctx, device);
    if (number) clip_take(ctx, device, number, shape_masked(ctx, device, image, ctm));
}

/* ---- areas ---- */

static void paths_fill_shade(fz_context *ctx, fz_device *d, fz_shade *shade, fz_matrix ctm, float alpha,
                             fz_color_params params)
{
    (void)params;
    struct paths_device *device = device_of(d);
    paint_has_spot(ctx, device->gather, shade->colorspace, NULL);
    if (!device_visible(device) || !(alpha > 0) || !paint_is_ink(ctx, device->gather, shade->colorspace))
        return;
    fz_rect bounds = fz_bound_shade(ctx, shade, ctm);
    struct rect box =
        rect_intersect((struct rect){bounds.x0, bounds.y0, bounds.x1, bounds.y1}, device->gather->media);
    if (!rect_is_empty(box)) shape_paint(ctx, device, shape_box(device, box, affine_identity));
}

/* A pattern fills what it is clipped to. */
static int paths_begin_tile(fz_context *ctx, fz_device *d, fz_rect area, fz_rect view, float xstep,
                            float ystep, fz_matrix ctm, int id)
{
    (void)area, (void)view, (void)xstep, (void)ystep, (void)ctm, (void)id;
    struct paths_device *device = device_of(d);
    if (device_visible(device))
        shape_paint(ctx, device, shape_box(device, device->gather->media, affine_identity));
    device->tiles++;
    return 0;
}

static void paths_end_tile(fz_context *ctx, fz_device *d)
{
    (void)ctx;
    struct paths_device *device = device_of(d);
    if (device->tiles) device->tiles--;
}

/* ---- layers ---- */

static void paths_begin_layer(fz_context *ctx, fz_device *d, const char *name)
{
    (void)ctx;
    struct paths_device *device = device_of(d);
    const struct paths_gather *gather = device->gather;
    bool wanted = false;
    for (size_t i = 0; name && i < gather->wanted_layer_count; i++)
        wanted |= !strcmp(name, gather->wanted_layers[i]);
    if (device->layer_depth < LAYERS_NESTED) device->inside[device->layer_depth] = wanted;
    device->layer_depth++;
}

static void paths_end_layer(fz_context *ctx, fz_device *d)
{
    (void)ctx;
    struct paths_device *device = device_of(d);
    if (device->layer_depth) device->layer_depth--;
}

/* ---- */

static void device_hear(fz_device *d)
{
    d->fill_path = paths_fill, d->stroke_path = paths_stroke;
    d->clip_path = paths_clip, d->clip_stroke_path = paths_clip_stroke;
    d->fill_text = paths_fill_text, d->stroke_text = paths_stroke_text;
    d->clip_text = paths_clip_text, d->clip_stroke_text = paths_clip_stroke_text;
    d->fill_shade = paths_fill_shade, d->fill_image = paths_fill_image;
    d->fill_image_mask = paths_fill_image_mask, d->clip_image_mask = paths_clip_image_mask;
    d->pop_clip = paths_pop_clip, d->begin_mask = paths_begin_mask, d->end_mask = paths_end_mask;
    d->begin_tile = paths_begin_tile, d->end_tile = paths_end_tile;
    d->begin_layer = paths_begin_layer, d->end_layer = paths_end_layer;
}

void paths_draw(fz_context *ctx, pdf_page *page, fz_matrix to_mm, struct paths_gather *gather)
{
    struct paths_device *device = fz_new_derived_device(ctx, struct paths_device);
    device->gather = gather;
    device_hear(&device->super);
    fz_try(ctx)
    {
        pdf_run_page_contents_with_usage(ctx, page, &device->super, to_mm,
                                         device_visible(device) ? "Print" : "View", NULL);
        fz_close_device(ctx, &device->super);
    }
    fz_always(ctx) fz_drop_device(ctx, &device->super);
    fz_catch(ctx) fz_rethrow(ctx);
}
