/* Makes a surface's TIFF panels: one pass for all where print and view agree, else each rendered alone.
 * Called by make.c; cutting is cutter.c. */
#include "base/arena.h"
#include "base/path.h"
#include "base/pool.h"
#include "base/text.h"
#include "base/units.h"
#include "cut_sheet.h"
#include "cutter.h"
#include "files.h"
#include "pdf/pixels.h"
#include "prove.h"
#include <math.h>

/* A panel's file opened and its lay-back check prepared; the last of the cutter's. */
static bool open_panel(struct machine *machine, const struct panel_cut_order *what,
                       struct panels_cutter *cutter, struct arena *arena, struct error *error)
{
    struct making *making = &cutter->panels[cutter->count++];
    if (!cut_open(machine, what, arena, &making->cut, error)) return false;
    making->frame = *what->frame;
    making->laid = lay_back_new(what->frame, what->grid, &making->cut, arena);
    return true;
}

static struct panel_ink ink_of(const struct panel_cut *cut, const struct print_frame *frame, bool on_surface)
{
    double pixel = MM_PER_INCH / cut->ppi;
    struct point corner = {frame->file.x0, frame->file.y1};
    return (struct panel_ink){.panel = cut->panel,
                              .reading = ink_meter_result(cut->meter),
                              .box = {corner.x + cut->print.x0 * pixel, corner.y - cut->print.y1 * pixel,
                                      corner.x + cut->print.x1 * pixel, corner.y - cut->print.y0 * pixel},
                              .pixel_mm = pixel,
                              .on_surface = on_surface};
}

static void tiff_tell(const struct panels_cutter *cutter, bool on_surface, struct make_result *result)
{
    for (size_t i = 0; i < cutter->count; i++) {
        const struct making *panel = &cutter->panels[i];
        result->checked += panel->laid.checked;
        result->paths[result->path_count++] = panel->cut.path;
        if (panel->cut.meter)
            result->inks[result->ink_count++] = ink_of(&panel->cut, &panel->frame, on_surface);
    }
}

/* Print and view agree: one pass for all panels. */
static bool cut_surface(struct machine *machine, const struct make_order *order, struct panels_cutter *cutter,
                        struct arena *arena, struct make_result *result, struct error *error)
{
    struct pixel_grid grid = art_grid(order->work->surface, order->work->art, order->ppi);
    for (size_t i = 0; i < surface_print_count(order->surface); i++) {
        const struct panel *panel = &order->surface->panels[i];
        if (!file_wanted(order, panel)) continue;
        struct print_frame frame = frame_of_order(order, panel);
        struct panel_cut_order what = {order, panel, &frame, &grid, cutter->packers};
        if (!open_panel(machine, &what, cutter, arena, error)) return false;
    }
    if (!art_render(machine, order->work, &grid, arena, cutter_sink(cutter), error) ||
        !cutter_close(machine, cutter, error))
        return false;
    tiff_tell(cutter, true, result);
    return !order->prove || prove_tiff(machine, order, &grid, cutter, arena, error);
}

/* Print and view differ: each panel is laid out as a page of its own and rendered. */
static bool render_panel(struct machine *machine, const struct panel_cut_order *what,
                         const struct art_layers *layers, struct panels_cutter *cutter, struct arena *arena,
                         struct error *error)
{
    const struct make_order *order = what->order;
    const struct panel *panel = what->panel;
    const struct print_frame *frame = what->frame;
    const char *path = path_join(arena, order->work->folder, arena_format(arena, "panel-%s.pdf", panel->id));
    struct pdf_panel_page page = {
        .id = panel->id, .file = frame->file, .print = frame->print, .visible = frame->visible};
    struct cut_sheet sheet;
    if (!cut_sheet_make(order, panel, frame, arena, &sheet, error)) return false;
    page.clip = sheet.printed.count ? &sheet.printed : NULL;
    print_frame_slices(order->surface->surface, frame, panel, arena, &page);
    struct pdf_panels_order pdf = {.layers = print_frame_layers(frame, layers->layers, layers->count, arena),
                                   .layer_count = layers->count,
                                   .pages = &page,
                                   .page_count = 1,
                                   .id_seed = panel->id,
                                   .spots_off = layers->spots_off,
                                   .spot_off_count = layers->spot_off_count,
                                   .steps_off = true,
                                   .left_out = layers->left_out,
                                   .cpu_seconds = order->work->cpu_seconds};
    if (!pdf_panels_write(machine, &pdf, path, false, arena, error)) return false;
    const struct panel_cut *cut = &cutter->panels[0].cut;
    struct pdf_pixels_order pixels = {.path = path,
                                      .subject = panel->id,
                                      .page = 1,
                                      .width_px = cut->width,
                                      .height_px = cut->height,
                                      .profile_path =
                                          order->work->profile.length ? order->work->profile_path : NULL,
                                      .folder = order->work->folder,
                                      .antialias = 1,
                                      .cpu_seconds = order->work->cpu_seconds,
                                      .cancel = order->work->cancel,
                                      .progress = order->work->progress};
    struct strip_sink sink = cutter_sink(cutter);
    bool ok = pdf_pixels(machine, &pixels, &sink, error);
    machine->remove_file(machine, path, NULL);
    return ok;
}

/* The page's pixels are those of the panel's file. */
static struct pixel_grid grid_of(const struct print_frame *frame, double ppi)
{
    double pixel = MM_PER_INCH / ppi;
    return (struct pixel_grid){.box = frame->file,
                               .ppi = ppi,
                               .width = (int)lround(rect_width(frame->file) / pixel),
                               .height = (int)lround(rect_height(frame->file) / pixel)};
}

static bool cut_one_by_one(struct machine *machine, const struct make_order *order, struct panels_cutter *all,
                           struct arena *arena, struct make_result *result, struct error *error)
{
    struct art_layers layers;
    if (!art_layers_make(machine, order->work, arena, &layers, error)) return false;
    bool ok = true;
    for (size_t i = 0; ok && i < surface_print_count(order->surface); i++) {
        const struct panel *panel = &order->surface->panels[i];
        if (!file_wanted(order, panel)) continue;
        struct print_frame frame = frame_of_order(order, panel);
        struct pixel_grid grid = grid_of(&frame, order->ppi);
        struct panels_cutter one = {&all->panels[all->count++], 0, all->pool, all->packers};
        struct panel_cut_order what = {order, panel, &frame, &grid, one.packers};
        ok = open_panel(machine, &what, &one, arena, error) &&
             render_panel(machine, &what, &layers, &one, arena, error) && cutter_close(machine, &one, error);
        if (ok) tiff_tell(&one, false, result);
    }
    art_layers_drop(machine, &layers);
    return ok;
}

bool make_tiff(struct machine *machine, const struct make_order *order, struct arena *arena,
               struct make_result *result, struct error *error)
{
    size_t count = surface_print_count(order->surface);
    struct pool *pool = order->work->pool;
    struct panels_cutter cutter = {arena_take_array(arena, count, sizeof *cutter.panels), 0, pool,
                                   tiff_packers_new(arena, pool_threads(pool))};
    for (size_t i = 0; i < count; i++) cutter.panels[i].cut.file.fd = -1;
    bool plain = print_frame_is_plain(order->surface, feed_of_order(order));
    bool ok = (plain ? cut_surface : cut_one_by_one)(machine, order, &cutter, arena, result, error);
    for (size_t i = 0; i < cutter.count; i++) {
        struct panel_cut *cut = &cutter.panels[i].cut;
        if (!ok && cut->done) machine->remove_file(machine, cut->path, NULL);
        cut_drop(machine, cut);
    }
    tiff_packers_free(cutter.packers);
    return ok;
}
