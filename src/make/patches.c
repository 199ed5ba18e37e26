/* Lays repair pieces on a sheet and draws their words. Called by run, and for the words by marks.c. */
#include "make/patches.h"
#include "base/arena.h"
#include "base/units.h"
#include "marks.h"
#include "model/panel_form.h"
#include "patch_marks.h"
#include <math.h>

static const double PATCH_GAP_MM =
    20; /* beneath each piece for its words, and between two: room for scissors */

/* In rows from below, as many beside each other as the sheet takes. */
static struct rect patch_sheet_place(struct patch *patches, size_t count, double width_mm)
{
    struct rect all = {0, 0, 0, 0};
    double x = PATCH_GAP_MM, y = PATCH_GAP_MM, row = 0;
    for (size_t i = 0; i < count; i++) {
        double w = rect_width(patches[i].from), h = rect_height(patches[i].from);
        if (x > PATCH_GAP_MM && x + w + PATCH_GAP_MM > width_mm)
            x = PATCH_GAP_MM, y += row + PATCH_GAP_MM, row = 0;
        patches[i].on_sheet = rect_of(x, y, w, h);
        all = rect_union(all, patches[i].on_sheet);
        x += w + PATCH_GAP_MM, row = fmax(row, h);
    }
    return (struct rect){0, 0, all.x1 + PATCH_GAP_MM, all.y1 + PATCH_GAP_MM};
}

static struct rect patch_sheet_shift(struct rect r, double x, double y)
{
    return (struct rect){r.x0 + x, r.y0 + y, r.x1 + x, r.y1 + y};
}

/* Each artwork once for each piece that it reaches, painted in the same order. */
static struct surface_art patch_sheet_art(const struct patch *patches, size_t count,
                                          const struct surface_art *art, struct arena *arena)
{
    struct surface_art laid = {.placed = arena_take_array(arena, count * art->count, sizeof *laid.placed)};
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < art->count; k++) {
            struct placed_art one = art->placed[k];
            double x = patches[i].on_sheet.x0 - patches[i].from.x0,
                   y = patches[i].on_sheet.y0 - patches[i].from.y0;
            one.clip = rect_intersect(one.clip, patches[i].from);
            if (rect_is_empty(one.clip)) continue;
            one.clip = patch_sheet_shift(one.clip, x, y);
            one.trim = patch_sheet_shift(one.trim, x, y), one.media = patch_sheet_shift(one.media, x, y);
            one.to_surface = affine_then(one.to_surface, affine_shift(x, y));
            laid.placed[laid.count++] = one;
        }
    return laid;
}

static struct surface patch_sheet_surface(const struct surface *of, struct rect sheet, const char *id)
{
    return (struct surface){.spec = of->spec,
                            .name = id,
                            .id = id,
                            .width_mm = rect_width(sheet),
                            .height_mm = rect_height(sheet),
                            .front = of->front,
                            .condition = of->condition,
                            .area_m2 = rect_area(sheet) / 1e6};
}

void patches_lay(struct patch *patches, size_t count, const struct make_order *order, double width_mm,
                 const char *id, struct arena *arena, struct patch_sheet *sheet)
{
    const struct job *job = order->plan->input->job;
    struct rect all = patch_sheet_place(patches, count, width_mm);
    sheet->surface = patch_sheet_surface(order->surface->surface, all, id);
    sheet->art = patch_sheet_art(patches, count, order->work->art, arena);
    sheet->panel =
        (struct panel){.id = id, .number = 1, .visible = all, .print = all, .file = all, .page = 1};
    sheet->panel.form = panel_form_of(&sheet->panel, job);
    sheet->panel.file_name = panel_file_name(sheet->panel.form, job->number, id, NULL, arena);
    sheet->plan = (struct surface_plan){.surface = &sheet->surface,
                                        .direction = RUN_UPRIGHT,
                                        .feed_percent = order->surface->feed_percent,
                                        .panels = &sheet->panel,
                                        .panel_count = 1};
    sheet->work = *order->work;
    sheet->work.surface = &sheet->surface, sheet->work.art = &sheet->art;
    if (panel_forms[sheet->panel.form].pixels) {
        struct pixel_grid grid = art_grid(&sheet->surface, &sheet->art, job->resolution_ppi);
        make_snap_files(&sheet->plan, &grid);
    }
}

/* ---- words ---- */

static void patch_words(const struct patch *patch, const struct print_frame *frame,
                        const struct surface *surface, struct arena *arena, struct panel_marks *marks)
{
    struct rect r = print_frame_rect(surface, frame, patch->on_sheet);
    struct rect field = {r.x0, r.y0 - PATCH_GAP_MM + 6, r.x1, r.y0 - 2};
    double most = rect_width(field);
    struct letters letters = {.size_mm = 5, .most_mm = most};
    letters.size_mm = fmax(5 * fmin(most / draw_text_width(letters, patch->words), 1), 1.8);
    draw_text(marks->drawing, (struct point){field.x0 - frame->file.x0, frame->file.y1 - field.y1 + 6},
              letters, patch->words);
    *(struct rect *)arena_append(arena, &marks->fields, &marks->field_count, &marks->field_capacity,
                                 sizeof field) = field;
}

void patch_marks(const struct make_order *order, const struct print_frame *frame, struct arena *arena,
                 struct panel_marks *marks)
{
    for (size_t i = 0; i < order->patch_count; i++)
        patch_words(&order->patches[i], frame, order->surface->surface, arena, marks);
}
