/* One TIFF panel while the surface's strips go by: takes its part of each, adds marks, packs, writes, keeps
 * the file. Called by cutter.c, which has all panels of the surface. */
#include "xmp.h"
#include "cut.h"
#include "base/arena.h"
#include "base/text.h"
#include "base/units.h"
#include "files.h"
#include <math.h>
#include <string.h>
#include <unistd.h>

enum { SAMPLES = 4, BLACK = 3 };

static const double WHOLE = 1e-3;

/* Outward to whole pixels of the file, whose upper left corner is at the file rectangle's. */
static struct pixel_box pixels_of(struct rect r, struct rect file, double ppi)
{
    double pixel = MM_PER_INCH / ppi;
    return (struct pixel_box){
        (int)floor((r.x0 - file.x0) / pixel + WHOLE), (int)floor((file.y1 - r.y1) / pixel + WHOLE),
        (int)ceil((r.x1 - file.x0) / pixel - WHOLE), (int)ceil((file.y1 - r.y0) / pixel - WHOLE)};
}

static void set_boxes(struct panel_cut *cut, const struct print_frame *frame, struct arena *arena)
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

static struct pixel_box meet(struct pixel_box a, struct pixel_box b)
{
    return (struct pixel_box){a.x0 > b.x0 ? a.x0 : b.x0, a.y0 > b.y0 ? a.y0 : b.y0, a.x1 < b.x1 ? a.x1 : b.x1,
                              a.y1 < b.y1 ? a.y1 : b.y1};
}

static struct ink_meter *meter_of(const struct make_order *order, const struct panel_cut *cut,
                                  struct arena *arena)
{
    struct pixel_box p = cut->print;
    const struct condition *condition = order->condition ? order->condition->condition : NULL;
    double limit = condition ? condition->ink_ask_percent.value : 0;
    if (p.x1 <= p.x0 || p.y1 <= p.y0) return NULL;
    return ink_meter_new(arena, p.x1 - p.x0, p.y1 - p.y0, cut->ppi, limit);
}

bool cut_open(struct machine *machine, const struct panel_cut_order *what, struct arena *arena,
              struct panel_cut *cut, struct error *error)
{
    const struct make_order *order = what->order;
    const struct panel *panel = what->panel;
    const struct print_frame *frame = what->frame;
    double ppi = what->grid->ppi, pixel = MM_PER_INCH / ppi;
    const char *path = file_for(order, panel, arena);
    *cut = (struct panel_cut){.panel = panel, .ppi = ppi, .path = path, .file = {.fd = -1}};
    cut->width = (int)lround(rect_width(frame->file) / pixel);
    cut->height = (int)lround(rect_height(frame->file) / pixel);
    cut->source_x = (int)lround((frame->file.x0 - what->grid->box.x0) / pixel);
    cut->source_y = (int)lround((what->grid->box.y1 - frame->file.y1) / pixel);
    if (!marks_make(order, panel, arena, &cut->marks, error)) return false;
    drawing_outline(cut->marks.drawing);
    set_boxes(cut, frame, arena);
    cut->print = meet(cut->print, (struct pixel_box){0, 0, cut->width, cut->height});
    cut->meter = meter_of(order, cut, arena);
    cut->ring = arena_take_array(arena, (size_t)cut->width * RING_ROWS, SAMPLES);
    cut->mask = arena_take_array(arena, (size_t)cut->width, RING_ROWS);
    const char *description =
        arena_format(arena, "%s %s, plan %s", order->plan->input->job->number, panel->id,
                     order->plan->fingerprint ? order->plan->fingerprint : "not kept");
    struct tiff_order tiff = {
        .width = cut->width,
        .height = cut->height,
        .ppi = ppi,
        .compression = order->compression,
        .packers = what->packers,
        .profile = order->work->profile,
        .description = description,
        .xmp = xmp_packet(order, arena_format(arena, "%s %s", order->plan->input->job->number, panel->id),
                          description, arena),
        .software = order->software,
        .date_time = tiff_date(order, arena),
    };
    if (!machine->create(machine, path, &cut->file, error)) return false;
    cut->out = tiff_out_new(arena, cut->file.fd, path, &tiff, error);
    if (!cut->out) return false;
    for (int i = 0; i < RING_STRIPS; i++) cut->packed[i] = tiff_packed_new(arena, cut->out);
    return true;
}

void cut_drop(struct machine *machine, struct panel_cut *cut)
{
    tiff_out_drop(cut->out);
    cut->out = NULL;
    machine->abandon(machine, &cut->file);
}

static uint8_t *cut_row_at(const struct panel_cut *cut, int y)
{
    return cut->ring + (size_t)(y % RING_ROWS) * (size_t)cut->width * SAMPLES;
}

/* ---- laying ---- */

/* The file's row behind the strip's last; the file's end without a strip. */
static int end_of(const struct panel_cut *cut, const struct strip *strip)
{
    int64_t end = strip ? (int64_t)strip->y + strip->rows - cut->source_y : cut->height;
    return end > cut->height ? cut->height : (int)end;
}

bool cut_has_more(const struct panel_cut *cut, const struct strip *strip)
{
    return cut->laid < end_of(cut, strip);
}

/* Paper, and what of the strip lies in the print. */
static void lay_row(struct panel_cut *cut, const struct strip *strip, int y)
{
    uint8_t *row = cut_row_at(cut, y);
    int x0 = 0, x1 = 0, source_y = y + cut->source_y;
    if (strip && source_y >= strip->y && y >= cut->print.y0 && y < cut->print.y1) {
        struct pixel_box source = {-cut->source_x, y, strip->width - cut->source_x, y + 1};
        struct pixel_box here = meet(cut->print, source);
        x0 = here.x0, x1 = here.x1 > here.x0 ? here.x1 : here.x0;
    }
    memset(row, 0, (size_t)x0 * SAMPLES);
    if (x1 > x0)
        memcpy(row + (size_t)x0 * SAMPLES,
               strip->pixels + (size_t)(source_y - strip->y) * strip->stride +
                   (size_t)(x0 + cut->source_x) * SAMPLES,
               (size_t)(x1 - x0) * SAMPLES);
    memset(row + (size_t)x1 * SAMPLES, 0, (size_t)(cut->width - x1) * SAMPLES);
}

void cut_lay(struct panel_cut *cut, const struct strip *strip)
{
    int end = end_of(cut, strip), room = cut->written + RING_ROWS;
    if (end > room) end = room;
    for (; cut->laid < end; cut->laid++) {
        lay_row(cut, strip, cut->laid);
        if (cut->meter && cut->laid >= cut->print.y0 && cut->laid < cut->print.y1)
            ink_meter_row(cut->meter, cut_row_at(cut, cut->laid) + (size_t)cut->print.x0 * SAMPLES);
    }
}

/* ---- marks ---- */

/* The marks of one box into the rows laid last: paper first, then black. */
static void lay_marks(struct panel_cut *cut, struct pixel_box box)
{
    struct pixel_box here = meet(box, (struct pixel_box){0, cut->marked, cut->width, cut->laid});
    int width = here.x1 - here.x0, height = here.y1 - here.y0;
    if (width <= 0 || height <= 0) return;
    drawing_mask(cut->marks.drawing, cut->ppi, here.x0, here.y0, width, height, cut->mask);
    for (int y = 0; y < height; y++) {
        uint8_t *row = cut_row_at(cut, here.y0 + y) + (size_t)here.x0 * SAMPLES;
        memset(row, 0, (size_t)width * SAMPLES);
        for (int x = 0; x < width; x++)
            row[x * SAMPLES + BLACK] = cut->mask[(size_t)y * (size_t)width + (size_t)x];
    }
}

void cut_mark(struct panel_cut *cut)
{
    lay_marks(cut, cut->ends[0]);
    lay_marks(cut, cut->ends[1]);
    for (size_t i = 0; i < cut->marks.field_count; i++) lay_marks(cut, cut->fields[i]);
    cut->marked = cut->laid;
}

/* ---- packing and writing ---- */

bool cut_packs(const struct panel_cut *cut)
{
    return cut->packed[0].memory;
}

size_t cut_ready(const struct panel_cut *cut)
{
    int rows = cut->marked - cut->written;
    bool last = cut->marked == cut->height;
    return (size_t)((last ? rows + TIFF_ROWS - 1 : rows) / TIFF_ROWS);
}

/* First row of a strip that is ready, and how many it has. */
static int ready_row(const struct panel_cut *cut, size_t ready, int *count)
{
    int first = cut->written + (int)ready * TIFF_ROWS, left = cut->height - first;
    *count = left < TIFF_ROWS ? left : TIFF_ROWS;
    return first;
}

void cut_pack(struct panel_cut *cut, size_t ready)
{
    int count, first = ready_row(cut, ready, &count);
    tiff_pack(cut->out, cut_row_at(cut, first), count, &cut->packed[ready]);
}

void cut_write(struct panel_cut *cut)
{
    size_t ready = cut_ready(cut);
    for (size_t i = 0; i < ready && !cut->trouble.kind; i++) {
        int count;
        ready_row(cut, 0, &count);
        if (tiff_out_packed(cut->out, &cut->packed[i], count, &cut->trouble)) cut->written += count;
    }
}

/* ---- the end ---- */

bool cut_end(struct panel_cut *cut, struct error *error)
{
    bool ok = tiff_out_end(cut->out, error);
    cut->out = NULL;
    return ok;
}

bool cut_keep(struct machine *machine, struct panel_cut *cut, struct error *error)
{
    cut->done = true;
    return machine->commit(machine, &cut->file, false, error);
}
