/* Flat colours of a surface's artwork as the printer gets them, for the customer's proof: the surface is
 * rendered coarsely in the condition's inks, and runs of equal pixels are counted. Called by proof.c. */
#include "proof_inner.h"
#include "art/render.h"
#include "base/arena.h"
#include "base/units.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Our own judgement: letters and fields of 6 mm and more are seen at 12 pixels per inch; what covers less than
 * 0.2 % of the surface is no main colour; colours as near as 3 % of every ink are one. */
static const double COLOURS_PPI = 12, SHARE_LEAST = 0.2;
enum { COLOURS_RUN = 3, COLOURS_ALIKE = 8, COLOURS_KEPT = 1 << 14, COLOURS_FULL = COLOURS_KEPT / 4 * 3 };

struct flat_colour {
    uint8_t cmyk[4];
    uint64_t pixels;
    int longest, x, y; /* of its runs on the surface itself, 0: none; and that one's middle */
};

struct flat_colours {
    struct flat_colour *slots; /* COLOURS_KEPT, by what they are of; pixels 0: free */
    size_t used;
    uint64_t pixels;
    int x0, y0, x1, y1; /* the surface itself among the pixels */
};

static struct flat_colour *flat_slot(struct flat_colours *colours, const uint8_t *cmyk)
{
    uint32_t hash = ((uint32_t)cmyk[0] << 24 | (uint32_t)cmyk[1] << 16 | (uint32_t)cmyk[2] << 8 | cmyk[3]) *
                    UINT32_C(2654435761);
    for (size_t i = hash >> 18;; i = (i + 1) % COLOURS_KEPT) {
        struct flat_colour *slot = &colours->slots[i];
        if (slot->pixels && memcmp(slot->cmyk, cmyk, 4)) continue;
        if (slot->pixels) return slot;
        if (colours->used == COLOURS_FULL) return NULL; /* a photograph: its flat parts came before */
        colours->used++;
        memcpy(slot->cmyk, cmyk, 4);
        return slot;
    }
}

static void flat_add(struct flat_colours *colours, const uint8_t *cmyk, size_t length, int x, int y)
{
    static const uint8_t bare[4] = {0};
    if (length < COLOURS_RUN || !memcmp(cmyk, bare, 4)) return;
    struct flat_colour *slot = flat_slot(colours, cmyk);
    if (!slot) return;
    slot->pixels += length;
    int from = x > colours->x0 ? x : colours->x0, to = x + (int)length;
    if (to > colours->x1) to = colours->x1;
    if (y < colours->y0 || y >= colours->y1 || to - from <= slot->longest) return;
    slot->longest = to - from, slot->x = from + (to - from) / 2, slot->y = y;
}

static bool colours_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    struct flat_colours *colours = self;
    (void)error;
    colours->pixels = (uint64_t)shape->width * (uint64_t)shape->height;
    return true;
}

static bool colours_strip(void *self, const struct strip *strip, struct error *error)
{
    (void)error;
    for (int y = 0; y < strip->rows; y++) {
        const uint8_t *row = strip->pixels + (size_t)y * strip->stride;
        for (int x = 0, from = 0; x < strip->width; x++) {
            if (x + 1 < strip->width && !memcmp(row + (size_t)x * 4, row + (size_t)(x + 1) * 4, 4)) continue;
            flat_add(self, row + (size_t)from * 4, (size_t)(x + 1 - from), from, strip->y + y);
            from = x + 1;
        }
    }
    return true;
}

static bool colours_end(void *self, struct error *error)
{
    return (void)self, (void)error, true;
}

/* ---- the main ones ---- */

static int by_share(const void *a, const void *b)
{
    const struct flat_colour *one = a, *other = b;
    if (one->pixels != other->pixels) return one->pixels < other->pixels ? 1 : -1;
    return memcmp(one->cmyk, other->cmyk, 4);
}

static bool is_alike(const struct flat_colour *one, const struct flat_colour *other)
{
    for (int c = 0; c < 4; c++)
        if (abs(one->cmyk[c] - other->cmyk[c]) > COLOURS_ALIKE) return false;
    return true;
}

static bool is_new(const struct flat_colour *slots, const size_t *kept, size_t count, size_t i)
{
    for (size_t k = 0; k < count; k++)
        if (is_alike(&slots[kept[k]], &slots[i])) return false;
    return true;
}

static void preview_colour(const struct picture *preview, struct point at, uint8_t rgb[3])
{
    memset(rgb, 255, 3);
    if (!preview || preview->width < 1 || preview->height < 1) return;
    int x = (int)((at.x - preview->box.x0) / rect_width(preview->box) * preview->width);
    int y = (int)((preview->box.y1 - at.y) / rect_height(preview->box) * preview->height);
    if (x < 0 || y < 0 || x >= preview->width || y >= preview->height) return;
    memcpy(rgb, preview->rgb + ((size_t)y * (size_t)preview->width + (size_t)x) * 3, 3);
}

static struct proof_colour flat_as_printed(const struct flat_colour *flat, uint64_t pixels,
                                           const struct pixel_grid *grid, const struct picture *preview)
{
    double x_mm = rect_width(grid->box) / grid->width, y_mm = rect_height(grid->box) / grid->height;
    struct proof_colour colour = {
        .share_percent = 100 * (double)flat->pixels / (double)pixels,
        .at = {grid->box.x0 + (flat->x + 0.5) * x_mm, grid->box.y1 - (flat->y + 0.5) * y_mm}};
    for (int c = 0; c < PROCESS_INKS; c++) colour.percent[c] = flat->cmyk[c] * 100 / 255.0;
    preview_colour(preview, colour.at, colour.rgb);
    return colour;
}

static void choose_colours(struct flat_colours *colours, const struct run_surface *s,
                           const struct pixel_grid *grid, struct arena *arena, struct proof_surface *surface)
{
    size_t kept[PROOF_COLOURS_MOST], count = 0;
    qsort(colours->slots, COLOURS_KEPT, sizeof *colours->slots, by_share);
    for (size_t i = 0; i < colours->used && count < PROOF_COLOURS_MOST; i++) {
        double share = 100 * (double)colours->slots[i].pixels / (double)colours->pixels;
        if (share < SHARE_LEAST) break;
        if (!colours->slots[i].longest) continue; /* in the bleed alone */
        if (is_new(colours->slots, kept, count, i)) kept[count++] = i;
    }
    struct proof_colour *list = arena_take_array(arena, count, sizeof *list);
    for (size_t k = 0; k < count; k++)
        list[k] = flat_as_printed(&colours->slots[kept[k]], colours->pixels, grid, s->preview);
    surface->colours = list, surface->colour_count = count;
}

bool proof_take_colours(struct run *run, const struct run_surface *s, struct proof_surface *surface,
                        struct error *error)
{
    if (!s->art.count || !surface->colours_known) return true;
    struct arena *scratch = arena_new(run->machine);
    struct art_work work = step_work(run, s);
    struct pixel_grid grid = art_coarse_grid(s->surface, &s->art, COLOURS_PPI);
    struct flat_colours colours = {.slots =
                                       arena_take_array(scratch, COLOURS_KEPT, sizeof(struct flat_colour))};
    double pixel_mm = MM_PER_INCH / grid.ppi;
    colours.x0 = (int)ceil(-grid.box.x0 / pixel_mm);
    colours.y0 = (int)ceil((grid.box.y1 - s->surface->height_mm) / pixel_mm);
    colours.x1 = (int)floor((s->surface->width_mm - grid.box.x0) / pixel_mm);
    colours.y1 = (int)floor(grid.box.y1 / pixel_mm);
    struct strip_sink sink = {&colours, colours_begin, colours_strip, colours_end};
    bool ok = art_render(run->machine, &work, &grid, scratch, sink, error);
    if (ok) choose_colours(&colours, s, &grid, run->arena, surface);
    arena_free(scratch);
    return ok;
}
