#include "cut.h"
#include "base/arena.h"
#include "base/hash.h"
#include "base/text.h"
#include <math.h>
#include <string.h>
#include <unistd.h>

enum { SAMPLES = 4, BLACK = 3, MARK_ROWS = STRIP_ROWS };

static const double WHOLE = 1e-3;

/* Outward to whole pixels of the file, whose upper left corner is at the file rectangle's. */
static struct pixel_box pixels_of(struct rect r, struct rect file, double ppi)
{
    double pixel = 25.4 / ppi;
    return (struct pixel_box){
        (int)floor((r.x0 - file.x0) / pixel + WHOLE), (int)floor((file.y1 - r.y1) / pixel + WHOLE),
        (int)ceil((r.x1 - file.x0) / pixel - WHOLE), (int)ceil((file.y1 - r.y0) / pixel - WHOLE)};
}

static void set_boxes(struct cut *cut, const struct print_frame *frame, struct arena *arena)
{
    cut->print = pixels_of(frame->print, frame->file, cut->ppi);
    cut->fields = arena_take_array(arena, cut->marks.field_count, sizeof *cut->fields);
    for (size_t i = 0; i < cut->marks.field_count; i++)
        cut->fields[i] = pixels_of(cut->marks.fields[i], frame->file, cut->ppi);
    struct pixel_box p = cut->print, whole = {0, 0, cut->width, cut->height};
    cut->ends[0] = cut->ends[1] = whole;
    if (frame->upright)
        cut->ends[0].y1 = p.y0, cut->ends[1].y0 = p.y1;
    else
        cut->ends[0].x1 = p.x0, cut->ends[1].x0 = p.x1;
}

static const char *tiff_date(const struct make_order *order, struct arena *arena)
{
    struct zone utc = {.name = "UTC"};
    struct civil_time t = zone_local(&utc, order->date);
    return arena_format(arena, "%04d:%02d:%02d %02d:%02d:%02d", t.year, t.month, t.day, t.hour, t.minute,
                        t.second);
}

bool cut_open(struct machine *machine, const struct make_order *order, const struct panel *panel,
              const struct print_frame *frame, struct point corner, double ppi, const char *path,
              struct arena *arena, struct cut *cut, struct error *error)
{
    double pixel = 25.4 / ppi;
    *cut = (struct cut){.panel = panel, .ppi = ppi, .path = path, .hash = HASH_START, .file = {.fd = -1}};
    cut->width = (int)lround(rect_width(frame->file) / pixel);
    cut->height = (int)lround(rect_height(frame->file) / pixel);
    cut->source_x = (int)lround((frame->file.x0 - corner.x) / pixel);
    cut->source_y = (int)lround((corner.y - frame->file.y1) / pixel);
    if (!marks_make(order, panel, arena, &cut->marks, error)) return false;
    set_boxes(cut, frame, arena);
    cut->rows = arena_take_array(arena, (size_t)cut->width * STRIP_ROWS, SAMPLES);
    cut->mask = arena_take_array(arena, (size_t)cut->width, STRIP_ROWS);
    struct tiff_order tiff = {
        .width = cut->width,
        .height = cut->height,
        .ppi = ppi,
        .compression = order->compression,
        .profile = order->work->profile,
        .description = arena_format(arena, "%s %s", order->plan->input->job->number, panel->id),
        .software = order->software,
        .date_time = tiff_date(order, arena),
    };
    if (!machine->create(machine, path, &cut->file, error)) return false;
    cut->out = tiff_out_new(arena, cut->file.fd, path, &tiff, error);
    return cut->out;
}

void cut_drop(struct machine *machine, struct cut *cut)
{
    tiff_out_drop(cut->out);
    cut->out = NULL;
    machine->abandon(machine, &cut->file);
}

static struct pixel_box meet(struct pixel_box a, struct pixel_box b)
{
    return (struct pixel_box){a.x0 > b.x0 ? a.x0 : b.x0, a.y0 > b.y0 ? a.y0 : b.y0, a.x1 < b.x1 ? a.x1 : b.x1,
                              a.y1 < b.y1 ? a.y1 : b.y1};
}

/* The marks of one box into rows that start at cut->next: paper first, then black. */
static void lay_marks(struct cut *cut, struct pixel_box box, int rows)
{
    struct pixel_box here = meet(box, (struct pixel_box){0, cut->next, cut->width, cut->next + rows});
    int width = here.x1 - here.x0, height = here.y1 - here.y0;
    if (width <= 0 || height <= 0) return;
    drawing_mask(cut->marks.drawing, cut->ppi, here.x0, here.y0, width, height, cut->mask);
    for (int y = 0; y < height; y++) {
        uint8_t *row =
            cut->rows + ((size_t)(here.y0 - cut->next + y) * (size_t)cut->width + (size_t)here.x0) * SAMPLES;
        memset(row, 0, (size_t)width * SAMPLES);
        for (int x = 0; x < width; x++)
            row[x * SAMPLES + BLACK] = cut->mask[(size_t)y * (size_t)width + (size_t)x];
    }
}

/* What of the strip lies in the print, into rows that start at cut->next. */
static void lay_artwork(struct cut *cut, const struct strip *strip, int rows)
{
    struct pixel_box source = {-cut->source_x, strip->y - cut->source_y, strip->width - cut->source_x,
                               strip->y + strip->rows - cut->source_y};
    struct pixel_box here =
        meet(meet(cut->print, source), (struct pixel_box){0, cut->next, cut->width, cut->next + rows});
    if (here.x1 <= here.x0) return;
    for (int y = here.y0; y < here.y1; y++)
        memcpy(cut->rows + ((size_t)(y - cut->next) * (size_t)cut->width + (size_t)here.x0) * SAMPLES,
               strip->pixels + (size_t)(y + cut->source_y - strip->y) * strip->stride +
                   (size_t)(here.x0 + cut->source_x) * SAMPLES,
               (size_t)(here.x1 - here.x0) * SAMPLES);
}

/* Writes `rows` rows; `strip` may be NULL where the source has none. */
static bool write_rows(struct cut *cut, const struct strip *strip, int rows, struct error *error)
{
    size_t stride = (size_t)cut->width * SAMPLES;
    memset(cut->rows, 0, stride * (size_t)rows);
    if (strip) lay_artwork(cut, strip, rows);
    lay_marks(cut, cut->ends[0], rows);
    lay_marks(cut, cut->ends[1], rows);
    for (size_t i = 0; i < cut->marks.field_count; i++) lay_marks(cut, cut->fields[i], rows);
    for (int y = 0; y < rows; y++) cut->hash = hash_bytes(cut->hash, cut->rows + (size_t)y * stride, stride);
    if (!tiff_out_rows(cut->out, cut->rows, stride, rows, error)) return false;
    cut->next += rows;
    return true;
}

static bool write_until(struct cut *cut, const struct strip *strip, int end, struct error *error)
{
    if (end > cut->height) end = cut->height;
    while (cut->next < end) {
        int rows = end - cut->next < STRIP_ROWS ? end - cut->next : STRIP_ROWS;
        if (!write_rows(cut, strip, rows, error)) return false;
    }
    return true;
}

bool cut_strip(struct cut *cut, const struct strip *strip, struct error *error)
{
    return write_until(cut, NULL, strip->y - cut->source_y, error) &&
           write_until(cut, strip, strip->y + strip->rows - cut->source_y, error);
}

/* ---- reading again ---- */

static bool hash_begin(void *self, const struct strip_shape *shape, struct error *error)
{
    (void)self, (void)shape, (void)error;
    return true;
}

static bool hash_strip(void *self, const struct strip *strip, struct error *error)
{
    (void)error;
    uint64_t *hash = self;
    size_t bytes = (size_t)strip->width * SAMPLES;
    for (int y = 0; y < strip->rows; y++)
        *hash = hash_bytes(*hash, strip->pixels + (size_t)y * strip->stride, bytes);
    return true;
}

static bool hash_end(void *self, struct error *error)
{
    (void)self, (void)error;
    return true;
}

bool cut_close(struct machine *machine, struct cut *cut, struct error *error)
{
    if (!write_until(cut, NULL, cut->height, error) || !tiff_out_end(cut->out, error)) return false;
    uint64_t again = HASH_START;
    struct strip_sink reader = {&again, hash_begin, hash_strip, hash_end};
    if (lseek(cut->file.fd, 0, SEEK_SET))
        return error_set(error, FAILURE_MACHINE, "%s cannot be read again", cut->path);
    if (!tiff_read_back(machine, cut->file.fd, cut->path, &reader, error)) return false;
    if (again != cut->hash)
        return error_set(error, FAILURE_MACHINE, "%s, read again, is not what was written; it was not kept",
                         cut->path);
    tiff_out_drop(cut->out);
    cut->out = NULL;
    cut->done = true;
    return machine->commit(machine, &cut->file, false, error);
}
