/* Proves PDF panels: draws the artwork's own page and the panel's parts with Ghostscript and compares their
 * pixels. Called by make for --prove. */
#include "pdf/prove.h"
#include "pdf/facts.h"
#include "pdf/pixels.h"
#include "prove_shape.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/path.h"
#include "base/units.h"
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { SAMPLES = 4, NEAR = 2, MARGIN_PX = 1 };

static const double beside_ppi = 1.0137; /* of the resolution asked for */
/* Shares of all pixels, see pdf/prove.h. */
static const double edges_most = 0.05, inside_most = 1e-5;

/* Whole pixels x0..x1, y0..y1, y down. */
struct pixels_of {
    int x0, y0, x1, y1;
};

/* An artwork's own page, drawn whole, as rows in a temporary file. */
struct own_page {
    int fd;
    const char *path;
    int width, height;
    struct rect media, seen; /* mm on the surface: all that is drawn; what of it is compared */
    double pixel_x, pixel_y; /* mm */
};

struct prove_work {
    struct machine *machine;
    const struct pdf_prove_order *order;
    struct arena *arena;
    struct pdf_prove_result *result;
    struct own_page own;
    size_t layer;
};

/* One part of a panel page, seen on the artwork's own pixels. */
struct seen_part {
    const struct prove_work *proof;
    const struct pdf_panel_page *page;
    struct pixels_of at; /* on the own page */
    struct pixels_of *left_out;
    size_t left_out_count, overlaid; /* of these, the first are other artworks */
    struct prove_shape shape;
    uint8_t *rows, *skipped; /* three of the own page's; what of one is not compared */
};

/* ---- the artwork's own page ---- */

static bool own_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)self, (void)shape, (void)error;
    return true;
}

static bool own_strip(void *self, const struct strip *strip, struct error *error)
{
    struct own_page *own = self;
    for (int y = 0; y < strip->rows; y++)
        if (!machine_write_fd(own->fd, strip->pixels + (size_t)y * strip->stride,
                              (size_t)own->width * SAMPLES, own->path, error))
            return false;
    return true;
}

static bool pdf_prove_nothing_left(void *self, struct error *error)
{
    (void)self, (void)error;
    return true;
}

static struct pdf_pixels_order pixels_order(const struct prove_work *proof, const char *path,
                                            const char *subject)
{
    const struct pdf_prove_order *order = proof->order;
    return (struct pdf_pixels_order){.path = path,
                                     .subject = subject,
                                     .profile_path = order->profile_path,
                                     .folder = order->folder,
                                     .antialias = 1,
                                     .cpu_seconds = order->panels->cpu_seconds,
                                     .cancel = order->cancel,
                                     .progress = order->progress};
}

/* Its place on the surface, and its pixels. */
static bool measure_own(struct prove_work *proof, struct error *error)
{
    const struct pdf_layer *layer = &proof->order->panels->layers[proof->layer];
    struct artwork_facts facts;
    struct rect seen;
    if (!pdf_facts_load(proof->machine, layer->path, layer->subject, layer->page, proof->arena, &facts,
                        error) ||
        !pdf_page_seen(proof->machine, layer->path, layer->subject, layer->page, proof->arena, &seen, error))
        return false;
    if (facts.state != ARTWORK_FINE)
        return error_set(error, FAILURE_INPUT, "path-trouble",
                         ARGUMENTS(arg_words("path", layer->subject), arg_words("trouble", facts.trouble)));
    struct own_page *own = &proof->own;
    double across = beside_ppi * proof->order->ppi / MM_PER_INCH;
    own->media = affine_apply_rect(layer->to_surface, facts.media_mm);
    own->seen = rect_intersect(layer->clip, affine_apply_rect(layer->to_surface, seen));
    own->width = (int)fmin(ceil(rect_width(own->media) * across), INT_MAX);
    own->height = (int)fmin(ceil(rect_height(own->media) * across), INT_MAX);
    own->pixel_x = rect_width(own->media) / own->width;
    own->pixel_y = rect_height(own->media) / own->height;
    return true;
}

static bool draw_own(struct prove_work *proof, const char *path, int page, struct error *error)
{
    const struct pdf_layer *layer = &proof->order->panels->layers[proof->layer];
    struct pdf_pixels_order pixels = pixels_order(proof, path, layer->subject);
    pixels.page = page;
    pixels.width_px = proof->own.width;
    pixels.height_px = proof->own.height;
    struct strip_sink sink = {&proof->own, own_begin, own_strip, pdf_prove_nothing_left};
    return pdf_pixels(proof->machine, &pixels, &sink, error);
}

static bool is_prove_mirrored(const struct pdf_layer *layer)
{
    return layer->to_surface.a < 0;
}

/* The page alone, in a file of its own: mirrored as it is on panels, and without what they leave out. */
static bool draw_own_laid(struct prove_work *proof, struct error *error)
{
    const struct pdf_panels_order *panels = proof->order->panels;
    struct pdf_layer layer = panels->layers[proof->layer];
    layer.first_page = layer.page_count = 0;
    struct affine back;
    if (!affine_invert(layer.to_surface, &back)) return draw_own(proof, layer.path, layer.page, error);
    layer.to_surface = affine_scale(is_prove_mirrored(&layer) ? -1 : 1, 1);
    layer.clip = affine_apply_rect(affine_then(back, layer.to_surface), proof->own.media);
    struct pdf_panel_page page = {
        .id = layer.subject, .file = layer.clip, .print = layer.clip, .visible = layer.clip};
    struct pdf_panels_order order = {.layers = &layer,
                                     .layer_count = 1,
                                     .pages = &page,
                                     .page_count = 1,
                                     .id_seed = layer.subject,
                                     .left_out = panels->left_out,
                                     .cpu_seconds = panels->cpu_seconds};
    const char *path = path_join(proof->arena, proof->order->folder, "own-page.pdf");
    bool ok = pdf_panels_write(proof->machine, &order, path, false, proof->arena, error) &&
              draw_own(proof, path, 1, error);
    proof->machine->remove_file(proof->machine, path, NULL);
    return ok;
}

static bool draw_layer(struct prove_work *proof, struct error *error)
{
    const struct pdf_panels_order *panels = proof->order->panels;
    const struct pdf_layer *layer = &panels->layers[proof->layer];
    bool whole = !panels->left_out.spot && !panels->left_out.layer && !panels->left_out.step;
    return whole && !is_prove_mirrored(layer) ? draw_own(proof, layer->path, layer->page, error)
                                              : draw_own_laid(proof, error);
}

/* ---- comparing ---- */

static int prove_apart(const uint8_t *one, const uint8_t *other)
{
    int most = 0;
    for (int i = 0; i < SAMPLES; i++) most = abs(one[i] - other[i]) > most ? abs(one[i] - other[i]) : most;
    return most;
}

static bool read_row(const struct seen_part *part, int y, uint8_t *row, struct error *error)
{
    const struct own_page *own = &part->proof->own;
    size_t bytes = (size_t)(part->at.x1 - part->at.x0) * SAMPLES;
    off_t at = ((off_t)y * own->width + part->at.x0) * SAMPLES;
    return pread(own->fd, row, bytes, at) == (ssize_t)bytes ||
           error_set(error, FAILURE_MACHINE, "cannot-be-read-again", ARGUMENTS(arg_words("path", own->path)));
}

/* The own page's rows above, at and below: `rows` holds three. At its first and last row one stands twice. */
static bool read_rows(const struct seen_part *part, int y, struct error *error)
{
    size_t bytes = (size_t)(part->at.x1 - part->at.x0) * SAMPLES;
    int last = part->proof->own.height - 1;
    return read_row(part, y ? y - 1 : 0, part->rows, error) && read_row(part, y, part->rows + bytes, error) &&
           read_row(part, y < last ? y + 1 : last, part->rows + 2 * bytes, error);
}

/* Whether the artwork changes within a pixel of column x in the middle row. */
static bool prove_at_edge(const struct seen_part *part, int x)
{
    int width = part->at.x1 - part->at.x0;
    const uint8_t *middle = part->rows + ((size_t)width + (size_t)x) * SAMPLES;
    for (int row = 0; row < 3; row++)
        for (int nx = x ? x - 1 : 0; nx <= x + 1 && nx < width; nx++)
            if (prove_apart(part->rows + ((size_t)row * (size_t)width + (size_t)nx) * SAMPLES, middle) > NEAR)
                return true;
    return false;
}

static void mark_left_out(struct seen_part *part, int y)
{
    memset(part->skipped, 0, (size_t)(part->at.x1 - part->at.x0));
    for (size_t i = 0; i < part->left_out_count; i++) {
        const struct pixels_of *box = &part->left_out[i];
        for (int x = box->x0; y >= box->y0 && y < box->y1 && x < box->x1; x++)
            if (!part->skipped[x]) part->skipped[x] = i < part->overlaid ? 2 : 1;
    }
    prove_shape_mark(&part->shape, y, part->at.x1 - part->at.x0, part->skipped);
}

static void count(struct pdf_prove_result *result, int difference, bool edge)
{
    if (difference <= NEAR) return;
    ++*(edge ? &result->at_edges : &result->off);
    int *worst = edge ? &result->worst_at_edges : &result->worst;
    if (difference > *worst) *worst = difference;
}

static bool pdf_prove_compare_row(struct seen_part *part, int y, const uint8_t *found, struct error *error)
{
    struct pdf_prove_result *result = part->proof->result;
    int width = part->at.x1 - part->at.x0;
    if (!read_rows(part, part->at.y0 + y, error)) return false;
    mark_left_out(part, y);
    const uint8_t *wanted = part->rows + (size_t)width * SAMPLES;
    for (int x = 0; x < width; x++) {
        result->overlaid += part->skipped[x] == 2;
        if (part->skipped[x]) continue;
        result->pixels++;
        int difference = prove_apart(wanted + (size_t)x * SAMPLES, found + (size_t)x * SAMPLES);
        if (difference > NEAR) count(result, difference, prove_at_edge(part, x));
    }
    return true;
}

static bool part_strip(void *self, const struct strip *strip, struct error *error)
{
    for (int y = 0; y < strip->rows; y++)
        if (!pdf_prove_compare_row(self, strip->y + y, strip->pixels + (size_t)y * strip->stride, error))
            return false;
    return true;
}

/* ---- where ---- */

/* Pixels of the own page that a rectangle (surface mm) holds whole, less `within` at each side; negative: that
 * it touches, and so much more. */
static struct pixels_of pixels_in(const struct own_page *own, struct rect r, int within)
{
    double x0 = (r.x0 - own->media.x0) / own->pixel_x, x1 = (r.x1 - own->media.x0) / own->pixel_x;
    double y0 = (own->media.y1 - r.y1) / own->pixel_y, y1 = (own->media.y1 - r.y0) / own->pixel_y;
    struct pixels_of p = {(int)ceil(x0) + within, (int)ceil(y0) + within, (int)floor(x1) - within,
                          (int)floor(y1) - within};
    if (p.x0 < 0) p.x0 = 0;
    if (p.y0 < 0) p.y0 = 0;
    if (p.x1 > own->width) p.x1 = own->width;
    if (p.y1 > own->height) p.y1 = own->height;
    return p;
}

static struct rect surface_of(const struct own_page *own, struct pixels_of p)
{
    return (struct rect){own->media.x0 + p.x0 * own->pixel_x, own->media.y1 - p.y1 * own->pixel_y,
                         own->media.x0 + p.x1 * own->pixel_x, own->media.y1 - p.y0 * own->pixel_y};
}

/* From the view to the print, within a slice; NULL: they agree. */
static struct affine prove_to_print(const struct pdf_slice *slice, bool along_x)
{
    if (!slice) return affine_identity;
    double gain = (slice->print1 - slice->print0) / (slice->view1 - slice->view0);
    double from = slice->print1 - gain * slice->view1;
    return along_x ? (struct affine){gain, 0, 0, 1, from, 0} : (struct affine){1, 0, 0, gain, 0, from};
}

static struct rect prove_print_of(const struct pdf_panel_page *page, const struct pdf_slice *slice)
{
    if (!slice) return page->print;
    struct rect strip = page->slices_along_x
                            ? (struct rect){slice->print0, page->print.y0, slice->print1, page->print.y1}
                            : (struct rect){page->print.x0, slice->print0, page->print.x1, slice->print1};
    return rect_intersect(strip, page->print);
}

static void leave_out(struct seen_part *part, struct rect on_surface)
{
    struct pixels_of p = pixels_in(&part->proof->own, on_surface, -1 - MARGIN_PX), at = part->at;
    p = (struct pixels_of){p.x0 > at.x0 ? p.x0 - at.x0 : 0, p.y0 - at.y0,
                           (p.x1 < at.x1 ? p.x1 : at.x1) - at.x0, p.y1 - at.y0};
    if (p.x1 > p.x0 && p.y1 > p.y0) part->left_out[part->left_out_count++] = p;
}

static void leave_out_all(struct seen_part *part, struct affine print_to_view)
{
    const struct pdf_panels_order *panels = part->proof->order->panels;
    part->left_out = arena_take_array(part->proof->arena, panels->layer_count + part->page->field_count,
                                      sizeof *part->left_out);
    for (size_t i = 0; i < panels->layer_count; i++)
        if (i != part->proof->layer &&
            pdf_layer_is_on(&panels->layers[i], (size_t)(part->page - panels->pages)))
            leave_out(part, panels->layers[i].clip);
    part->overlaid = part->left_out_count;
    for (size_t i = 0; i < part->page->field_count; i++)
        leave_out(part, affine_apply_rect(print_to_view, part->page->fields[i]));
}

/* Print millimetres to pixels of the part. */
static struct affine prove_to_part(const struct seen_part *part, struct affine print_to_view)
{
    const struct own_page *own = &part->proof->own;
    struct affine m = affine_then(print_to_view, affine_shift(-own->media.x0, -own->media.y1));
    m = affine_then(m, affine_scale(1 / own->pixel_x, -1 / own->pixel_y));
    return affine_then(m, affine_shift(-part->at.x0, -part->at.y0));
}

/* ---- all ---- */

static struct rect shares_of(struct rect part, struct rect whole)
{
    return (struct rect){(part.x0 - whole.x0) / rect_width(whole), (part.y0 - whole.y0) / rect_height(whole),
                         (part.x1 - whole.x0) / rect_width(whole), (part.y1 - whole.y0) / rect_height(whole)};
}

static bool prove_part(struct prove_work *proof, const struct pdf_panel_page *page,
                       const struct pdf_slice *slice, struct error *error)
{
    struct affine m = prove_to_print(slice, page->slices_along_x), back;
    if (!affine_invert(m, &back)) return true;
    struct rect view = rect_intersect(affine_apply_rect(back, prove_print_of(page, slice)), proof->own.seen);
    struct seen_part part = {.proof = proof, .page = page, .at = pixels_in(&proof->own, view, MARGIN_PX)};
    if (rect_is_empty(view) || part.at.x1 <= part.at.x0 || part.at.y1 <= part.at.y0) return true;
    int width = part.at.x1 - part.at.x0;
    leave_out_all(&part, back);
    part.shape = prove_shape_of(page, prove_to_part(&part, back), width, proof->arena);
    part.rows = arena_take_array(proof->arena, (size_t)width * 3, SAMPLES);
    part.skipped = arena_take(proof->arena, (size_t)width);
    struct rect shares = shares_of(affine_apply_rect(m, surface_of(&proof->own, part.at)), page->file);
    struct pdf_pixels_order pixels = pixels_order(proof, proof->order->path, page->id);
    pixels.page = (int)(page - proof->order->panels->pages) + 1;
    pixels.width_px = width;
    pixels.height_px = part.at.y1 - part.at.y0;
    pixels.part = &shares;
    struct strip_sink sink = {&part, own_begin, part_strip, pdf_prove_nothing_left};
    return pdf_pixels(proof->machine, &pixels, &sink, error);
}

static bool prove_is_off(const struct pdf_prove_result *result)
{
    return (double)result->off > inside_most * (double)result->pixels;
}

static bool prove_page(struct prove_work *proof, const struct pdf_panel_page *page, struct error *error)
{
    struct pdf_prove_result *result = proof->result;
    if (!page->slice_count && !prove_part(proof, page, NULL, error)) return false;
    for (size_t i = 0; i < page->slice_count; i++)
        if (!rect_is_empty(prove_print_of(page, &page->slices[i])) &&
            !prove_part(proof, page, &page->slices[i], error))
            return false;
    if (prove_is_off(result) && !result->trouble)
        result->trouble =
            sentence_words(proof->arena, "panel-of-its-pixels-drawn-by",
                           ARGUMENTS(arg_words("page", page->id), arg_count("off", (int64_t)result->off),
                                     arg_words("subject", proof->order->panels->layers[proof->layer].subject),
                                     arg_count("worst", result->worst)));
    return true;
}

static bool prove_layer(struct prove_work *proof, struct error *error)
{
    const struct pdf_panels_order *panels = proof->order->panels;
    struct out_file file;
    proof->own.path = path_join(proof->arena, proof->order->folder, "own-page");
    if (!proof->machine->create(proof->machine, proof->own.path, &file, error)) return false;
    proof->own.fd = file.fd;
    bool ok = measure_own(proof, error) && draw_layer(proof, error);
    for (size_t i = 0; ok && i < panels->page_count; i++)
        if (pdf_layer_is_on(&panels->layers[proof->layer], i))
            ok = prove_page(proof, &panels->pages[i], error);
    proof->machine->abandon(proof->machine, &file);
    proof->result->layers++;
    return ok;
}

static void prove_judge(struct prove_work *proof)
{
    struct pdf_prove_result *result = proof->result;
    result->same = !prove_is_off(result) && (double)result->at_edges <= edges_most * (double)result->pixels;
    if (!result->same && !result->trouble)
        result->trouble = sentence_words(proof->arena, "of-pixels-drawn-by-ghostscript-differ",
                                         ARGUMENTS(arg_count("at_edges", (int64_t)result->at_edges),
                                                   arg_count("pixels", (int64_t)result->pixels)));
}

bool pdf_prove(struct machine *machine, const struct pdf_prove_order *order, struct arena *arena,
               struct pdf_prove_result *result, struct error *error)
{
    *result = (struct pdf_prove_result){.pages = order->panels->page_count};
    struct arena *scratch = arena_new(machine);
    struct prove_work proof = {.machine = machine, .order = order, .arena = scratch, .result = result};
    bool ok = true;
    for (proof.layer = 0; ok && proof.layer < order->panels->layer_count; proof.layer++)
        if (!order->panels->layers[proof.layer].picture) ok = prove_layer(&proof, error);
    if (ok) prove_judge(&proof);
    if (result->trouble) result->trouble = arena_copy_string(arena, result->trouble);
    arena_free(scratch);
    return ok;
}
