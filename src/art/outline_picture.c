/* The silhouette of a picture file: by its transparency, else by what differs from its background. Called by
 * outline.c; contour traces the mask. */
#include "outline.h"
#include "base/arena.h"
#include "colour/difference.h"
#include "colour/transform.h"
#include "contour/offset.h"
#include "model/practice.h"
#include "picture.h"
#include "raster/strips.h"
#include <math.h>
#include <string.h>

enum { SIDE_MOST = 4000, LEVEL = 128, LAB = 3, BINS = 64 };

struct silhouette {
    struct outline_work *work;
    struct arena *scratch;
    struct machine *machine;
    int width, height;
    enum pixel_format format;
    uint8_t *lab;  /* of pictures without transparency: three bytes a pixel */
    uint8_t *mask; /* one a pixel */
    uint8_t *row;  /* one row on its way */
    struct colour_transform *transform;
};

/* ---- rows come in ---- */

static bool silhouette_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct silhouette *s = self;
    size_t pixels = (size_t)shape->width * (size_t)shape->height;
    (void)error;
    s->width = shape->width, s->height = shape->height, s->format = shape->format;
    s->mask = arena_take_array(s->scratch, pixels, 1);
    if (s->transform) s->lab = arena_take_array(s->scratch, pixels, LAB);
    if (s->transform) s->row = arena_take_array(s->scratch, (size_t)shape->width, LAB);
    return true;
}

static void opacity_in(const struct silhouette *s, const uint8_t *from, uint8_t *to)
{
    if (s->format == PIXELS_GREY8) {
        memcpy(to, from, (size_t)s->width);
        return;
    }
    for (int x = 0; x < s->width; x++) {
        uint16_t wide;
        memcpy(&wide, from + 2 * (size_t)x, sizeof wide);
        to[x] = (uint8_t)(wide >> 8);
    }
}

/* Numbers without a profile only tell shape from background here: paper less each ink. */
static void cmyk_to_rgb(const struct silhouette *s, const uint8_t *from)
{
    bool wide = s->format == PIXELS_CMYK16;
    for (int x = 0; x < s->width; x++) {
        unsigned ink[4];
        for (int i = 0; i < 4; i++) {
            uint16_t sample;
            memcpy(&sample, from + 2 * (4 * (size_t)x + (size_t)i) * wide, wide ? sizeof sample : 0);
            ink[i] = wide ? sample >> 8 : from[4 * (size_t)x + (size_t)i];
        }
        for (int i = 0; i < 3; i++)
            s->row[3 * (size_t)x + (size_t)i] = (uint8_t)((255 - ink[i]) * (255 - ink[3]) / 255);
    }
}

static bool is_cmyk(enum pixel_format format)
{
    return format == PIXELS_CMYK8 || format == PIXELS_CMYK16;
}

static bool silhouette_strip(void *self, const struct strip *strip, struct error *error)
{
    struct silhouette *s = self;
    (void)error;
    for (int y = 0; y < strip->rows; y++) {
        const uint8_t *from = strip->pixels + (size_t)y * strip->stride;
        size_t at = (size_t)(strip->y + y) * (size_t)s->width;
        if (!s->transform) {
            opacity_in(s, from, s->mask + at);
            continue;
        }
        bool guess = is_cmyk(s->format) && !s->work->placed->facts->profile_size;
        if (guess) cmyk_to_rgb(s, from);
        colour_transform_rows(s->transform, guess ? s->row : from, s->lab + at * LAB, (size_t)s->width);
    }
    return true;
}

static bool silhouette_end(void *self, struct error *error)
{
    (void)self;
    (void)error;
    return true;
}

/* ---- background ---- */

static struct lab lab_at(const struct silhouette *s, size_t pixel)
{
    const uint8_t *p = s->lab + pixel * LAB;
    return (struct lab){p[0] * 100.0 / 255, p[1] - 128.0, p[2] - 128.0};
}

struct background {
    uint32_t counts[BINS * BINS * BINS];
    double sums[LAB];
    uint32_t of_best;
};

static size_t bin_of(const struct silhouette *s, size_t pixel)
{
    const uint8_t *p = s->lab + pixel * LAB;
    return ((size_t)(p[0] >> 2) * BINS + (p[1] >> 2)) * BINS + (p[2] >> 2);
}

/* Of all pixels along the edge: how many there are, and the place of number `i`. */
static size_t edge_pixel(const struct silhouette *s, size_t i)
{
    size_t w = (size_t)s->width, h = (size_t)s->height;
    if (i < w) return i;
    if (i < 2 * w) return (h - 1) * w + i - w;
    if (i < 2 * w + h) return (i - 2 * w) * w;
    return (i - 2 * w - h) * w + w - 1;
}

/* The mean of the bin that holds most of them. */
static struct lab background_of(const struct silhouette *s)
{
    struct background *b = arena_take(s->scratch, sizeof *b);
    size_t count = 2 * ((size_t)s->width + (size_t)s->height), best = 0;
    for (size_t i = 0; i < count; i++) b->counts[bin_of(s, edge_pixel(s, i))]++;
    for (size_t k = 0; k < sizeof b->counts / sizeof *b->counts; k++)
        if (b->counts[k] > b->counts[best]) best = k;
    for (size_t i = 0; i < count; i++) {
        size_t pixel = edge_pixel(s, i);
        if (bin_of(s, pixel) != best) continue;
        struct lab lab = lab_at(s, pixel);
        b->sums[0] += lab.L, b->sums[1] += lab.a, b->sums[2] += lab.b, b->of_best++;
    }
    return (struct lab){b->sums[0] / b->of_best, b->sums[1] / b->of_best, b->sums[2] / b->of_best};
}

/* LEVEL is just the tolerance, so that edges are found between pixels. */
static void mask_by_difference(struct silhouette *s)
{
    struct lab background = background_of(s);
    size_t pixels = (size_t)s->width * (size_t)s->height;
    for (size_t i = 0; i < pixels; i++) {
        if (i && !memcmp(s->lab + i * LAB, s->lab + (i - 1) * LAB, LAB)) {
            s->mask[i] = s->mask[i - 1];
            continue;
        }
        double far = difference_2000(background, lab_at(s, i)) / s->work->cut->tolerance * LEVEL;
        s->mask[i] = (uint8_t)fmin(far, 255);
    }
}

/* ---- the whole ---- */

static bool prepare_colours(struct silhouette *s, struct error *error)
{
    const struct artwork_facts *facts = s->work->placed->facts;
    bool guess = facts->colour == COLOUR_CMYK && !facts->profile_size;
    struct colour_order order = {.in = guess ? PIXELS_RGB8 : art_pixel_format(facts),
                                 .out = PIXELS_LAB8,
                                 .source =
                                     guess ? (struct str){"", 0}
                                           : (struct str){(const char *)facts->profile, facts->profile_size},
                                 .intent = INTENT_RELATIVE,
                                 .speed = COLOUR_FAST,
                                 .pixels = (uint64_t)facts->width_px * (uint64_t)facts->height_px};
    s->transform = colour_transform_new(s->machine, &order, error);
    return s->transform;
}

static int shrink_of(const struct artwork_facts *facts)
{
    int side = facts->width_px > facts->height_px ? facts->width_px : facts->height_px;
    return (side + SIDE_MOST - 1) / SIDE_MOST;
}

static bool silhouette_read(struct silhouette *s, struct error *error)
{
    const struct placed_art *placed = s->work->placed;
    struct raster_view view = {.shrink = shrink_of(placed->facts), .opacity = placed->facts->alpha};
    struct strip_sink sink = {s, silhouette_begin, silhouette_strip, silhouette_end};
    if (!placed->facts->alpha && !prepare_colours(s, error)) return false;
    bool ok = raster_strips(s->machine, placed->spec->path, placed->spec->file, &view, &sink, error);
    if (ok && s->transform) mask_by_difference(s);
    colour_transform_free(s->transform);
    return ok;
}

/* Of what is printed of it alone. */
static bool within_clip(struct outline_work *work, struct region *outline, struct error *error)
{
    struct region traced = *outline, page;
    if (!traced.count || rect_contains(work->placed->clip, region_bounds(&traced), 1e-6)) return true;
    struct polygon ring = polygon_of_rect(work->placed->clip, work->notes->arena);
    return contour_clean(&ring, 1, CONTOUR_NON_ZERO, &work->means, &page, error) &&
           contour_combine(&traced, &page, CONTOUR_INTERSECTION, &work->means, outline, error);
}

bool outline_of_picture(struct outline_work *work, struct region *outline, struct error *error)
{
    struct silhouette s = {.work = work, .machine = work->machine, .scratch = arena_new(work->machine)};
    double speck = practice_value("picture-speck").value;
    bool ok = silhouette_read(&s, error);
    if (ok) {
        struct rect box = work->placed->media;
        struct pdf_mask mask = {s.mask,
                                (size_t)s.width,
                                (size_t)s.height,
                                {rect_width(box), 0, 0, rect_height(box), box.x0, box.y0}};
        ok = outline_of_mask(work, &mask, outline, error);
    }
    arena_free(s.scratch);
    if (ok && !work->placed->facts->alpha)
        *outline = contour_without_small(outline, speck, speck, work->notes->arena);
    return ok && within_clip(work, outline, error);
}
