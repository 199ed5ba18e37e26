#include "base/arena.h"
#include "base/path.h"
#include "base/text.h"
#include "cut.h"
#include "files.h"
#include "pdf/pixels.h"
#include "prove.h"

/* All panels of a surface, fed from one pass over its pixels. */
struct cutter {
    struct cut *cuts;
    size_t count;
};

static bool cutter_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)self;
    if (shape->format == PIXELS_CMYK8) return true;
    return error_set(error, FAILURE_MACHINE, "panels are cut from CMYK pixels of 8 bits only");
}

static bool cutter_strip(void *self, const struct strip *strip, struct error *error)
{
    struct cutter *cutter = self;
    for (size_t i = 0; i < cutter->count; i++)
        if (!cut_strip(&cutter->cuts[i], strip, error)) return false;
    return true;
}

static bool cutter_end(void *self, struct error *error)
{
    (void)self, (void)error;
    return true;
}

static struct strip_sink cutter_sink(struct cutter *cutter)
{
    return (struct strip_sink){cutter, cutter_begin, cutter_strip, cutter_end};
}

static bool close_all(struct machine *machine, struct cutter *cutter, struct make_result *result,
                      struct error *error)
{
    for (size_t i = 0; i < cutter->count; i++) {
        struct cut *cut = &cutter->cuts[i];
        if (!cut_close(machine, cut, error)) return false;
        result->checked += (uint64_t)cut->width * (uint64_t)cut->height;
        result->paths[result->path_count++] = cut->path;
    }
    return true;
}

/* Print and view agree: one pass for all panels. */
static bool cut_surface(struct machine *machine, const struct make_order *order, struct cutter *cutter,
                        struct arena *arena, struct make_result *result, struct error *error)
{
    struct pixel_grid grid = art_grid(order->work->surface, order->work->art, order->ppi);
    struct point corner = {grid.box.x0, grid.box.y1};
    for (size_t i = 0; i < order->surface->panel_count; i++) {
        const struct panel *panel = &order->surface->panels[i];
        if (!file_wanted(order, panel)) continue;
        struct print_frame frame = print_frame_of(order->surface, panel, 100);
        struct cut *cut = &cutter->cuts[cutter->count++];
        if (!cut_open(machine, order, panel, &frame, corner, grid.ppi, file_for(order, panel, arena), arena,
                      cut, error))
            return false;
    }
    return art_render(machine, order->work, &grid, arena, cutter_sink(cutter), error) &&
           close_all(machine, cutter, result, error) &&
           (!order->prove || prove_tiff(machine, order, &grid, cutter->cuts, cutter->count, arena, error));
}

/* Print and view differ: each panel is laid out as a page of its own and rendered. */
static bool render_panel(struct machine *machine, const struct make_order *order,
                         const struct pdf_layer *layers, size_t layer_count, const struct panel *panel,
                         const struct print_frame *frame, struct cutter *cutter, struct arena *arena,
                         struct error *error)
{
    const char *path = path_join(arena, order->work->folder, arena_format(arena, "panel-%s.pdf", panel->id));
    struct pdf_panel_page page = {
        .id = panel->id, .file = frame->file, .print = frame->print, .visible = frame->visible};
    print_frame_slices(order->surface->surface, frame, panel, arena, &page);
    struct pdf_panels_order pdf = {.layers = print_frame_layers(frame, layers, layer_count, arena),
                                   .layer_count = layer_count,
                                   .pages = &page,
                                   .page_count = 1,
                                   .id_seed = panel->id};
    if (!pdf_panels_write(machine, &pdf, path, false, arena, error)) return false;
    const struct cut *cut = &cutter->cuts[0];
    struct pdf_pixels_order pixels = {.path = path,
                                      .subject = panel->id,
                                      .page = 1,
                                      .width_px = cut->width,
                                      .height_px = cut->height,
                                      .profile_path =
                                          order->work->profile.length ? order->work->profile_path : NULL,
                                      .folder = order->work->folder,
                                      .antialias = 1,

                                      .cancel = order->work->cancel,
                                      .progress = order->work->progress};
    struct strip_sink sink = cutter_sink(cutter);
    bool ok = pdf_pixels(machine, &pixels, &sink, error);
    machine->remove_file(machine, path, NULL);
    return ok;
}

/* The file rectangle widened to whole pixels about its lower left corner. */
static struct print_frame whole_pixels(struct print_frame frame, double ppi)
{
    double pixel = 25.4 / ppi;
    frame.file.x1 = frame.file.x0 + pixel * (double)(long)(rect_width(frame.file) / pixel + 0.999);
    frame.file.y1 = frame.file.y0 + pixel * (double)(long)(rect_height(frame.file) / pixel + 0.999);
    return frame;
}

static bool cut_one_by_one(struct machine *machine, const struct make_order *order, struct cutter *all,
                           struct arena *arena, struct make_result *result, struct error *error)
{
    struct art_layers layers;
    if (!art_layers_make(machine, order->work, arena, &layers, error)) return false;
    bool ok = true;
    for (size_t i = 0; ok && i < order->surface->panel_count; i++) {
        const struct panel *panel = &order->surface->panels[i];
        if (!file_wanted(order, panel)) continue;
        struct print_frame frame = whole_pixels(
            print_frame_of(order->surface, panel, order->plan->input->job->feed_percent), order->ppi);
        struct cutter one = {&all->cuts[all->count++], 1};
        struct point corner = {frame.file.x0, frame.file.y1};
        ok = cut_open(machine, order, panel, &frame, corner, order->ppi, file_for(order, panel, arena), arena,
                      one.cuts, error) &&
             render_panel(machine, order, layers.layers, layers.count, panel, &frame, &one, arena, error) &&
             close_all(machine, &one, result, error);
    }
    art_layers_drop(machine, &layers);
    return ok;
}

bool make_tiff(struct machine *machine, const struct make_order *order, struct arena *arena,
               struct make_result *result, struct error *error)
{
    size_t count = order->surface->panel_count;
    struct cutter cutter = {arena_take_array(arena, count, sizeof *cutter.cuts), 0};
    for (size_t i = 0; i < count; i++) cutter.cuts[i].file.fd = -1;
    result->paths = arena_take_array(arena, count, sizeof *result->paths);
    bool plain = print_frame_is_plain(order->surface, order->plan->input->job->feed_percent);
    bool ok = (plain ? cut_surface : cut_one_by_one)(machine, order, &cutter, arena, result, error);
    for (size_t i = 0; i < cutter.count; i++) {
        if (!ok && cutter.cuts[i].done) machine->remove_file(machine, cutter.cuts[i].path, NULL);
        cut_drop(machine, &cutter.cuts[i]);
    }
    return ok;
}
