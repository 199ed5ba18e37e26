/* Renders a surface's artwork as CMYK strips on one pixel grid: a lone picture through resampling and
 * colour, anything else as a PDF page. Called for maps, printed states and TIFF panels. */
#include "art/render.h"
#include "base/arena.h"
#include "base/path.h"
#include "base/units.h"
#include "colour/profile.h"
#include "colour/transform.h"
#include "mask.h"
#include "pdf/pixels.h"
#include "picture.h"
#include "raster/resample.h"
#include "raster/strips.h"
#include <math.h>

static const double WHOLE = 1e-3; /* pixels: nearer than this to a whole number is whole */

/* ---- grids ---- */

/* The single picture of a surface, NULL when there is another sort of artwork. */
static const struct placed_art *render_single_picture(const struct surface_art *art)
{
    return art->count == 1 && art->placed[0].facts->kind != ARTWORK_PDF ? &art->placed[0] : NULL;
}

static double picture_ppi(const struct placed_art *placed)
{
    return placed->facts->width_px * MM_PER_INCH / rect_width(placed->media);
}

/* Whole pixels from the anchor that cover from..to. */
static void cover(double anchor, double from, double to, double pixel, double *start, int *count)
{
    double first = floor((from - anchor) / pixel + WHOLE), last = ceil((to - anchor) / pixel - WHOLE);
    *start = anchor + first * pixel;
    *count = (int)(last - first);
}

static struct pixel_grid grid_at(struct rect box, double anchor_x, double anchor_top, double ppi)
{
    double pixel = MM_PER_INCH / ppi, start;
    struct pixel_grid grid = {.ppi = ppi};
    cover(anchor_x, box.x0, box.x1, pixel, &start, &grid.width);
    grid.box.x0 = start, grid.box.x1 = start + grid.width * pixel;
    cover(-anchor_top, -box.y1, -box.y0, pixel, &start, &grid.height); /* rows run down from the top */
    grid.box.y1 = -start, grid.box.y0 = -start - grid.height * pixel;
    return grid;
}

struct pixel_grid art_grid(const struct surface *surface, const struct surface_art *art, double ppi)
{
    struct rect box = surface_bleed_box(surface);
    const struct placed_art *picture = render_single_picture(art);
    if (picture && fabs(picture_ppi(picture) / ppi - 1) < 1e-5)
        return grid_at(box, picture->media.x0, picture->media.y1, picture_ppi(picture));
    return grid_at(box, box.x0, box.y1, ppi);
}

struct pixel_grid art_coarse_grid(const struct surface *surface, const struct surface_art *art,
                                  double most_ppi)
{
    const struct placed_art *picture = render_single_picture(art);
    if (!picture) return art_grid(surface, art, most_ppi);
    double own = picture_ppi(picture), shrink = fmin(ceil(own / most_ppi), 1024);
    return grid_at(surface_bleed_box(surface), picture->media.x0, picture->media.y1, own / fmax(shrink, 1));
}

/* ---- one picture: strips through resampling and colour ---- */

static bool source_profile(struct machine *machine, const struct placed_art *placed, struct str condition,
                           struct arena *arena, struct str *profile, struct error *error)
{
    const struct artwork_facts *facts = placed->facts;
    *profile = (struct str){(const char *)facts->profile, facts->profile_size};
    if (profile->length) return true;
    if (placed->spec->profile_path) return art_stated_profile(machine, placed->spec, arena, profile, error);
    if (facts->colour == COLOUR_CMYK) *profile = condition; /* untagged numbers are printed as they are */
    return true;
}

void art_colours_drop(struct art_colours *colours)
{
    colour_transform_free(colours->latest);
    colours->latest = NULL;
}

static bool colour_order_of(struct machine *machine, const struct art_work *work,
                            const struct placed_art *placed, struct arena *arena, struct colour_order *order,
                            struct error *error)
{
    const struct condition *condition = work->surface->condition;
    *order = (struct colour_order){
        .in = art_pixel_format(placed->facts),
        .out = PIXELS_CMYK8,
        .destination = work->profile,
        .intent = condition ? condition->intent : INTENT_RELATIVE,
        .black_point = !condition || condition->black_point,
        .speed = work->exact ? COLOUR_EXACT : COLOUR_FAST,
        .pool = work->pool,
        .pixels = (uint64_t)placed->facts->width_px * (uint64_t)placed->facts->height_px,
    };
    return source_profile(machine, placed, work->profile, arena, &order->source, error);
}

/* What was kept from before, or a new one; the work's colours own it. */
static const struct colour_transform *render_transform_of(struct machine *machine,
                                                          const struct art_work *work,
                                                          const struct placed_art *placed,
                                                          struct arena *arena, struct art_colours *colours,
                                                          struct error *error)
{
    struct colour_order order;
    if (!colour_order_of(machine, work, placed, arena, &order, error)) return NULL;
    if (colours->latest && colour_transform_is_for(colours->latest, &order)) return colours->latest;
    art_colours_drop(colours);
    colours->latest = colour_transform_new(machine, &order, error);
    return colours->latest;
}

/* Where the grid's pixels lie in the picture, shrunk `shrink` times. */
static struct resample *resample_of(const struct placed_art *placed, const struct pixel_grid *grid,
                                    int shrink, struct pool *pool, struct arena *arena,
                                    struct strip_sink next)
{
    const struct artwork_facts *facts = placed->facts;
    double pixel = MM_PER_INCH / grid->ppi;
    double across = facts->width_px / rect_width(placed->media) / shrink; /* picture pixels in a millimetre */
    double down = facts->height_px / rect_height(placed->media) / shrink;
    struct resample_order order = {
        .width = grid->width,
        .height = grid->height,
        .x_scale = pixel * across,
        .x_offset = (grid->box.x0 - placed->media.x0) * across,
        .y_scale = pixel * down,
        .y_offset = (placed->media.y1 - grid->box.y1) * down,
        .pool = pool,
    };
    if (fabs(order.x_scale - 1) < 1e-9) order.x_scale = 1;
    if (fabs(order.y_scale - 1) < 1e-9) order.y_scale = 1;
    if (fabs(order.x_offset - round(order.x_offset)) < WHOLE) order.x_offset = round(order.x_offset);
    if (fabs(order.y_offset - round(order.y_offset)) < WHOLE) order.y_offset = round(order.y_offset);
    raster_paper(art_pixel_format(facts), order.paper);
    return resample_new(arena, &order, next);
}

static bool render_picture(struct machine *machine, const struct art_work *work,
                           const struct pixel_grid *grid, struct arena *arena, struct strip_sink sink,
                           struct error *error)
{
    const struct placed_art *placed = render_single_picture(work->art);
    struct art_colours own = {NULL}, *colours = work->colours ? work->colours : &own;
    const struct colour_transform *transform =
        render_transform_of(machine, work, placed, arena, colours, error);
    if (!transform) return false;
    double ratio = picture_ppi(placed) / grid->ppi;
    struct raster_view view = {.shrink = ratio >= 2 ? (int)floor(ratio + 1e-6) : 1,
                               .cpu_seconds = work->cpu_seconds,
                               .cancel = work->cancel,
                               .progress = work->progress};
    struct strip_sink coloured = colour_transform_sink(arena, transform, work->pool, sink);
    struct strip_sink first =
        resample_sink(resample_of(placed, grid, view.shrink, work->pool, arena, coloured));
    bool ok = raster_strips(machine, placed->spec->path, placed->spec->file, &view, &first, error);
    art_colours_drop(&own);
    return ok;
}

/* ---- anything else: one PDF page, rendered ---- */

static bool render_write_page(struct machine *machine, const struct art_work *work,
                              const struct pixel_grid *grid, const char *path, struct arena *arena,
                              struct error *error)
{
    struct art_layers layers;
    if (!art_layers_make(machine, work, arena, &layers, error)) return false;
    struct pdf_panel_page page = {
        .id = work->surface->id, .file = grid->box, .print = grid->box, .visible = grid->box};
    struct pdf_panels_order order = {.layers = layers.layers,
                                     .layer_count = layers.count,
                                     .pages = &page,
                                     .page_count = 1,
                                     .id_seed = work->surface->id,
                                     .spots_off = layers.spots_off,
                                     .spot_off_count = layers.spot_off_count,
                                     .steps_off = true,
                                     .left_out = layers.left_out,
                                     .cpu_seconds = work->cpu_seconds};
    bool ok = pdf_panels_write(machine, &order, path, false, arena, error);
    art_layers_drop(machine, &layers);
    return ok;
}

static bool render_page(struct machine *machine, const struct art_work *work, const struct pixel_grid *grid,
                        struct arena *arena, struct strip_sink sink, struct error *error)
{
    const char *path =
        path_join(arena, work->folder, arena_format(arena, "surface-%s.pdf", work->surface->id));
    if (!render_write_page(machine, work, grid, path, arena, error)) return false;
    struct pdf_pixels_order order = {
        .path = path,
        .subject = work->surface->name,
        .page = 1,
        .width_px = grid->width,
        .height_px = grid->height,
        .profile_path = work->profile.length ? work->profile_path : NULL,
        .folder = work->folder,
        .antialias = 1,
        .cpu_seconds = work->cpu_seconds,
        .cancel = work->cancel,
        .progress = work->progress,
    };
    bool ok = pdf_pixels(machine, &order, &sink, error);
    machine->remove_file(machine, path, NULL);
    return ok;
}

bool art_render(struct machine *machine, const struct art_work *work, const struct pixel_grid *grid,
                struct arena *arena, struct strip_sink sink, struct error *error)
{
    const struct region *printed = &work->surface->printed;
    if (!work->art->count) return true;
    if (printed->count) sink = mask_sink(printed, grid, arena, sink);
    if (render_single_picture(work->art)) return render_picture(machine, work, grid, arena, sink, error);
    return render_page(machine, work, grid, arena, sink, error);
}
