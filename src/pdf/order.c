/* Sends a panels order to the reader child and receives it there: a wire message in shared memory, the
 * files as descriptors. Called by panels.c and layback.c. */
#include "order.h"
#include "base/arena.h"
#include "base/machine.h"
#include "base/wire.h"
#include <errno.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

static void order_put_rect(struct text *out, struct rect r)
{
    wire_put_f64(out, r.x0), wire_put_f64(out, r.y0), wire_put_f64(out, r.x1), wire_put_f64(out, r.y1);
}

static struct rect order_get_rect(struct wire_in *in)
{
    struct rect r;
    r.x0 = wire_get_f64(in), r.y0 = wire_get_f64(in), r.x1 = wire_get_f64(in), r.y1 = wire_get_f64(in);
    return r;
}

static void put_affine(struct text *out, struct affine m)
{
    wire_put_f64(out, m.a), wire_put_f64(out, m.b), wire_put_f64(out, m.c);
    wire_put_f64(out, m.d), wire_put_f64(out, m.e), wire_put_f64(out, m.f);
}

static struct affine get_affine(struct wire_in *in)
{
    struct affine m;
    m.a = wire_get_f64(in), m.b = wire_get_f64(in), m.c = wire_get_f64(in);
    m.d = wire_get_f64(in), m.e = wire_get_f64(in), m.f = wire_get_f64(in);
    return m;
}

static void order_put_picture(struct text *out, const struct pdf_picture *picture)
{
    wire_put_u32(out, picture->jpeg);
    wire_put_u32(out, (uint32_t)picture->width_px), wire_put_u32(out, (uint32_t)picture->height_px);
    wire_put_u32(out, (uint32_t)picture->bits), wire_put_u32(out, picture->colour);
    wire_put_u32(out, picture->inverted), wire_put_u32(out, (uint32_t)picture->orientation);
    wire_put_bytes(out, picture->profile, picture->profile_size);
    order_put_rect(out, picture->box);
}

static struct pdf_picture *get_picture(struct wire_in *in, struct arena *arena)
{
    struct pdf_picture *picture = arena_take(arena, sizeof *picture);
    picture->jpeg = wire_get_u32(in);
    picture->width_px = (int)wire_get_u32(in), picture->height_px = (int)wire_get_u32(in);
    picture->bits = (int)wire_get_u32(in), picture->colour = (enum colour_kind)wire_get_u32(in);
    picture->inverted = wire_get_u32(in), picture->orientation = (int)wire_get_u32(in);
    struct str profile = wire_get_bytes(in);
    picture->profile = (const unsigned char *)profile.bytes;
    picture->profile_size = profile.length;
    picture->box = order_get_rect(in);
    return picture;
}

static void put_layer(struct text *out, const struct pdf_layer *layer, int fd)
{
    wire_put_u32(out, (uint32_t)fd);
    wire_put_string(out, layer->subject);
    wire_put_u32(out, (uint32_t)layer->page);
    put_affine(out, layer->to_surface), order_put_rect(out, layer->clip);
    wire_put_u32(out, (uint32_t)layer->first_page), wire_put_u32(out, (uint32_t)layer->page_count);
    wire_put_u32(out, layer->picture != NULL);
    if (layer->picture) order_put_picture(out, layer->picture);
}

static void get_layer(struct wire_in *in, struct arena *arena, struct pdf_layer *layer, int *fd)
{
    *fd = (int)wire_get_u32(in);
    layer->subject = wire_get_string(in, arena);
    if (!layer->subject) layer->subject = "the artwork";
    layer->page = (int)wire_get_u32(in);
    layer->to_surface = get_affine(in), layer->clip = order_get_rect(in);
    layer->first_page = wire_get_u32(in), layer->page_count = wire_get_u32(in);
    if (wire_get_u32(in)) layer->picture = get_picture(in, arena);
}

static void order_put_points(struct text *out, const struct point *points, size_t count)
{
    wire_put_u32(out, (uint32_t)count);
    for (size_t i = 0; i < count; i++) wire_put_f64(out, points[i].x), wire_put_f64(out, points[i].y);
}

static struct point *order_get_points(struct wire_in *in, struct arena *arena, size_t *count)
{
    *count = wire_get_count(in, 2 * sizeof(double));
    struct point *points = arena_take_array(arena, *count, sizeof *points);
    for (size_t i = 0; i < *count; i++) points[i].x = wire_get_f64(in), points[i].y = wire_get_f64(in);
    return points;
}

static void put_shapes(struct text *out, const struct pdf_panel_page *page)
{
    size_t rings = page->clip ? page->clip->count : 0;
    wire_put_u32(out, (uint32_t)rings);
    for (size_t i = 0; i < rings; i++)
        order_put_points(out, page->clip->rings[i].points, page->clip->rings[i].count);
    wire_put_u32(out, (uint32_t)page->cut_count);
    for (const struct pdf_cut_line *line = page->cuts; line < page->cuts + page->cut_count; line++) {
        wire_put_u32(out, (uint32_t)line->layer);
        order_put_points(out, line->points, line->count);
    }
}

static void get_shapes(struct wire_in *in, struct arena *arena, struct pdf_panel_page *page)
{
    struct region *clip = arena_take(arena, sizeof *clip);
    clip->count = wire_get_count(in, sizeof(uint32_t));
    clip->rings = arena_take_array(arena, clip->count, sizeof *clip->rings);
    for (size_t i = 0; i < clip->count; i++)
        clip->rings[i].points = order_get_points(in, arena, &clip->rings[i].count);
    page->clip = clip->count ? clip : NULL;
    page->cut_count = wire_get_count(in, 2 * sizeof(uint32_t));
    struct pdf_cut_line *cuts = arena_take_array(arena, page->cut_count, sizeof *cuts);
    for (struct pdf_cut_line *line = cuts; line < cuts + page->cut_count; line++) {
        line->layer = wire_get_u32(in);
        line->points = order_get_points(in, arena, &line->count);
        if (line->count < 2) in->bad = true;
    }
    page->cuts = cuts;
}

static void put_cut_layers(struct text *out, const struct pdf_panels_order *order)
{
    wire_put_u32(out, (uint32_t)order->cut_layer_count);
    for (size_t i = 0; i < order->cut_layer_count; i++) {
        wire_put_string(out, order->cut_layers[i].spot);
        wire_put_u32(out, order->cut_layers[i].partial), wire_put_u32(out, order->cut_layers[i].prints);
    }
}

static void get_cut_layers(struct wire_in *in, struct arena *arena, struct pdf_panels_order *order)
{
    order->cut_layer_count = wire_get_count(in, 3 * sizeof(uint32_t));
    if (order->cut_layer_count > PDF_CUT_LAYERS_MOST) in->bad = true;
    struct pdf_cut_layer *layers = arena_take_array(arena, PDF_CUT_LAYERS_MOST, sizeof *layers);
    for (size_t i = 0; i < order->cut_layer_count && !in->bad; i++) {
        layers[i].spot = wire_get_string(in, arena);
        layers[i].partial = wire_get_u32(in), layers[i].prints = wire_get_u32(in);
        if (!layers[i].spot) in->bad = true;
    }
    order->cut_layers = layers;
    for (size_t i = 0; i < order->page_count; i++)
        for (size_t k = 0; k < order->pages[i].cut_count; k++)
            if (order->pages[i].cuts[k].layer >= order->cut_layer_count) in->bad = true;
}

static void put_page(struct text *out, const struct pdf_panel_page *page)
{
    wire_put_string(out, page->id);
    order_put_rect(out, page->file), order_put_rect(out, page->print), order_put_rect(out, page->visible);
    wire_put_bytes(out, page->marks.bytes, page->marks.length);
    wire_put_f64(out, page->drawn_at);
    wire_put_u32(out, page->slices_along_x);
    wire_put_u32(out, (uint32_t)page->slice_count);
    for (const struct pdf_slice *slice = page->slices; slice < page->slices + page->slice_count; slice++) {
        wire_put_f64(out, slice->view0), wire_put_f64(out, slice->view1);
        wire_put_f64(out, slice->print0), wire_put_f64(out, slice->print1);
    }
    put_shapes(out, page);
}

static void get_page(struct wire_in *in, struct arena *arena, struct pdf_panel_page *page)
{
    page->id = wire_get_string(in, arena);
    page->file = order_get_rect(in), page->print = order_get_rect(in), page->visible = order_get_rect(in);
    page->marks = wire_get_bytes(in);
    page->drawn_at = wire_get_f64(in);
    page->slices_along_x = wire_get_u32(in);
    page->slice_count = wire_get_count(in, 4 * sizeof(double));
    struct pdf_slice *slices = arena_take_array(arena, page->slice_count, sizeof *slices);
    for (struct pdf_slice *slice = slices; slice < slices + page->slice_count; slice++) {
        slice->view0 = wire_get_f64(in), slice->view1 = wire_get_f64(in);
        slice->print0 = wire_get_f64(in), slice->print1 = wire_get_f64(in);
    }
    page->slices = slices;
    get_shapes(in, arena, page);
}

/* Memory to share with the reader, filled piece by piece. */
struct sharing {
    struct text message;
    int fd;
    struct error *error;
};

static bool order_flush(struct sharing *sharing)
{
    const struct text *message = &sharing->message;
    bool ok =
        machine_write_fd(sharing->fd, text_string(message), message->length, "the order", sharing->error);
    sharing->message.length = 0;
    return ok;
}

static bool order_put(struct sharing *sharing, const struct pdf_panels_order *order, const int *layer_fds)
{
    struct text *out = &sharing->message;
    wire_put_u32(out, (uint32_t)order->layer_count);
    for (size_t i = 0; i < order->layer_count; i++) put_layer(out, &order->layers[i], layer_fds[i]);
    wire_put_u32(out, (uint32_t)order->page_count);
    for (size_t i = 0; i < order->page_count; i++) {
        put_page(out, &order->pages[i]);
        if (!order_flush(sharing)) return false;
    }
    put_cut_layers(out, order);
    wire_put_bytes(out, order->profile, order->profile_size);
    wire_put_string(out, order->profile_description);
    wire_put_string(out, order->title), wire_put_string(out, order->subject);
    wire_put_string(out, order->xmp);
    wire_put_i64(out, order->date);
    wire_put_string(out, order->id_seed);
    wire_put_string(out, order->left_out.spot), wire_put_string(out, order->left_out.layer);
    wire_put_string(out, order->left_out.step);
    wire_put_u32(out, order->steps_off);
    wire_put_u32(out, (uint32_t)order->spot_off_count);
    for (size_t i = 0; i < order->spot_off_count; i++) wire_put_string(out, order->spots_off[i]);
    return order_flush(sharing);
}

static void get_order(struct wire_in *in, struct arena *arena, struct order_read *read)
{
    struct pdf_panels_order *order = &read->order;
    order->layer_count = wire_get_count(in, 1);
    if (order->layer_count > PDF_LAYERS_MOST) in->bad = true;
    struct pdf_layer *layers = arena_take_array(arena, PDF_LAYERS_MOST, sizeof *layers);
    for (size_t i = 0; i < order->layer_count && !in->bad; i++)
        get_layer(in, arena, &layers[i], &read->layer_fds[i]);
    order->layers = layers;
    order->page_count = wire_get_count(in, 12 * sizeof(double));
    struct pdf_panel_page *pages = arena_take_array(arena, order->page_count, sizeof *pages);
    for (size_t i = 0; i < order->page_count; i++) get_page(in, arena, &pages[i]);
    order->pages = pages;
    get_cut_layers(in, arena, order);
    struct str profile = wire_get_bytes(in);
    order->profile = (const unsigned char *)profile.bytes, order->profile_size = profile.length;
    order->profile_description = wire_get_string(in, arena);
    order->title = wire_get_string(in, arena), order->subject = wire_get_string(in, arena);
    order->xmp = wire_get_string(in, arena);
    order->date = wire_get_i64(in);
    order->id_seed = wire_get_string(in, arena);
    order->left_out.spot = wire_get_string(in, arena), order->left_out.layer = wire_get_string(in, arena);
    order->left_out.step = wire_get_string(in, arena);
    order->steps_off = wire_get_u32(in);
    order->spot_off_count = wire_get_count(in, sizeof(uint32_t));
    const char **spots = arena_take_array(arena, order->spot_off_count, sizeof *spots);
    for (size_t i = 0; i < order->spot_off_count; i++) spots[i] = wire_get_string(in, arena);
    order->spots_off = spots;
}

static const char *layer_path(const struct pdf_layer *layer)
{
    return layer->picture ? layer->picture->path : layer->path;
}

/* Opens each file once; layer_fds are the child's numbers. */
static bool open_layers(struct machine *machine, const struct pdf_panels_order *order,
                        struct order_files *files, int *layer_fds, struct error *error)
{
    for (size_t i = 0; i < order->layer_count; i++) {
        layer_fds[i] = -1;
        for (size_t j = 0; j < i; j++)
            if (!strcmp(layer_path(&order->layers[i]), layer_path(&order->layers[j])))
                layer_fds[i] = layer_fds[j];
        if (layer_fds[i] >= 0) continue;
        int fd = machine->open_file(machine, layer_path(&order->layers[i]), error);
        if (fd < 0) return false;
        layer_fds[i] = ORDER_FD + (int)files->count;
        files->fds[files->count++] = fd;
    }
    return true;
}

static bool order_share(struct arena *arena, const struct pdf_panels_order *order, const int *layer_fds,
                        int *fd, struct error *error)
{
    *fd = memfd_create("order", MFD_CLOEXEC);
    if (*fd < 0)
        return error_set(error, FAILURE_MACHINE, "no-memory-to-share-with-reader",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    struct sharing sharing = {text_new(arena), *fd, error};
    return order_put(&sharing, order, layer_fds) && lseek(*fd, 0, SEEK_SET) == 0;
}

static bool refuse_too_many(const struct pdf_panels_order *order, struct error *error)
{
    if (order->layer_count > PDF_LAYERS_MOST)
        return error_set(
            error, FAILURE_INPUT, "surface-has-artworks-at-most-go",
            ARGUMENTS(arg_count("layers", (int64_t)order->layer_count), arg_count("most", PDF_LAYERS_MOST)));
    if (order->page_count > PDF_PAGES_MOST || !order->page_count)
        return error_set(
            error, FAILURE_INPUT, "file-of-panels-was-asked-for",
            ARGUMENTS(arg_count("pages", (int64_t)order->page_count), arg_count("most", PDF_PAGES_MOST)));
    return true;
}

bool order_files_open(struct machine *machine, const struct pdf_panels_order *order, int file_fd,
                      struct arena *arena, struct order_files *files, struct error *error)
{
    *files = (struct order_files){.fds = {-1, file_fd}, .count = 2};
    int layer_fds[PDF_LAYERS_MOST];
    if (!refuse_too_many(order, error) || !open_layers(machine, order, files, layer_fds, error)) return false;
    return order_share(arena, order, layer_fds, &files->fds[0], error);
}

void order_files_close(struct order_files *files)
{
    if (files->fds[0] >= 0) close(files->fds[0]);
    for (size_t i = 2; i < files->count; i++) close(files->fds[i]);
    files->count = 0;
}

bool order_read(struct arena *arena, struct order_read *read_, struct error *error)
{
    struct stat status;
    if (fstat(ORDER_FD, &status))
        return error_set(error, FAILURE_MACHINE, "no-order-came-why",
                         ARGUMENTS(arg_words("why", strerror(errno))));
    size_t size = (size_t)status.st_size;
    char *bytes = arena_take(arena, size);
    for (size_t got = 0; got < size;) {
        ssize_t step = pread(ORDER_FD, bytes + got, size - got, (off_t)got);
        if (step < 0 && errno == EINTR) continue;
        if (step <= 0) return error_set(error, FAILURE_MACHINE, "order-could-not-be-read", NULL);
        got += (size_t)step;
    }
    struct wire_in in = {.bytes = {bytes, size}};
    get_order(&in, arena, read_);
    return !in.bad || error_set(error, FAILURE_MACHINE, "order-makes-no-sense", NULL);
}
