/* Where the ink of a surface lies, and where it is too much. */
#include "sheet/pictures.h"
#include "surface_layers.h"
#include "base/sentence.h"
#include "base/arena.h"
#include <math.h>

enum { TOP = 5, BOTTOM = 18 }; /* margins above and below the bleed, paper mm */
static const double LEAST_FRAME_MM = 1.8, TAG_HIGH_MM = 4;

/* ---- the cells as a picture ---- */

static bool is_over(const struct ink_heat *heat, size_t column, size_t row)
{
    return column < heat->columns && row < heat->rows &&
           heat->level[row * heat->columns + column] > heat->limit_percent * 100;
}

/* Slanting stripes inside a place, so that it is one without colour too; its edge stays whole. */
static bool is_stripe(const struct ink_heat *heat, size_t column, size_t row)
{
    bool inside = column && row && is_over(heat, column - 1, row) && is_over(heat, column + 1, row) &&
                  is_over(heat, column, row - 1) && is_over(heat, column, row + 1);
    return inside && (column + row) % 6 < 2;
}

static unsigned grey_of(double share)
{
    return (unsigned)(255 - 225 * fmin(share, 1));
}

static struct picture heat_picture_picture_of(const struct ink_heat *heat, struct arena *arena)
{
    static const uint8_t over[3] = {200, 40, 20}, stripe[3] = {255, 255, 255};
    struct rect box = {heat->box.x0, heat->box.y0, heat->box.x0 + (double)heat->columns * INK_CELL_MM,
                       heat->box.y0 + (double)heat->rows * INK_CELL_MM};
    uint8_t *rgb = arena_take_array(arena, heat->columns * heat->rows, 3), *pixel = rgb;
    for (size_t line = 0; line < heat->rows; line++)
        for (size_t column = 0; column < heat->columns; column++, pixel += 3) {
            size_t row = heat->rows - 1 - line;
            double share = heat->level[row * heat->columns + column] / 100.0 / heat->limit_percent;
            const uint8_t *colour = is_stripe(heat, column, row) ? stripe : over;
            for (int i = 0; i < 3; i++)
                pixel[i] = is_over(heat, column, row) ? colour[i] : (uint8_t)grey_of(share);
        }
    return (struct picture){box, (int)heat->columns, (int)heat->rows, rgb};
}

static void heat_picture_put_cells(const struct surface_view *view, const struct ink_heat *heat)
{
    struct drawing *d = view->drawing;
    struct picture picture = heat_picture_picture_of(heat, drawing_arena(d));
    struct path bleed = path_new(drawing_arena(d));
    path_rect(&bleed, view_rect(view, surface_view_box(view->surface)));
    draw_begin_clip(d, bleed, false);
    draw_picture(d, view_rect(view, picture.box), picture.width, picture.height, picture.rgb, 1);
    draw_end(d);
    draw_path(d, bleed, line_of(ink_pale(), 0.12));
}

/* ---- places ---- */

/* What a tag may not cover: the tags before it and the panels' numbers. */
struct heat_taken {
    struct rect *rects;
    size_t count;
};

static struct rect grown(struct rect r, double least)
{
    double x = fmax(0, least - rect_width(r)) / 2, y = fmax(0, least - rect_height(r)) / 2;
    return (struct rect){r.x0 - x, r.y0 - y, r.x1 + x, r.y1 + y};
}

static bool heat_picture_is_free(const struct heat_taken *taken, struct rect r, struct rect page)
{
    if (!rect_contains(page, r, 0)) return false;
    for (size_t i = 0; i < taken->count; i++)
        if (rect_overlaps(taken->rects[i], r)) return false;
    return true;
}

/* Above the frame, below, right or left of it, or further up: the first that is free. */
static struct rect tag_place(const struct heat_taken *taken, struct rect frame, double width,
                             struct rect page)
{
    const double gap = 0.5, high = TAG_HIGH_MM, left = frame.x0, right = frame.x1 - width;
    const struct point corners[] = {
        {left, frame.y0 - gap - high},
        {right, frame.y0 - gap - high},
        {left, frame.y1 + gap},
        {right, frame.y1 + gap},
        {frame.x1 + gap, frame.y0},
        {frame.x0 - gap - width, frame.y0},
        {left, frame.y0 - 2 * (gap + high)},
        {left, frame.y1 + 2 * gap + high},
    };
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++) {
        struct rect at = rect_of(corners[i].x, corners[i].y, width, high);
        if (heat_picture_is_free(taken, at, page)) return at;
    }
    double x = fmin(fmax(left, page.x0), page.x1 - width), y = fmax(corners[0].y, page.y0);
    return rect_of(x, y, width, high);
}

static void put_place(const struct surface_view *view, const struct heat_place *place, size_t number,
                      struct rect page, struct heat_taken *taken)
{
    struct drawing *d = view->drawing;
    struct rect frame = grown(view_rect(view, place->box), LEAST_FRAME_MM);
    const char *words =
        arena_format(drawing_arena(d), "%c  %.0f %%", (int)('A' + number), place->peak_percent);
    struct letters letters = words_bold(TYPE_MM, ALIGN_CENTRE);
    struct rect tag = tag_place(taken, frame, draw_text_width(letters, words) + 1.6, page);
    taken->rects[taken->count++] = tag;
    draw_rect(d, frame, line_of(ink_white(), 0.8));
    draw_rect(d, frame, line_of(ink_black(), 0.4));
    draw_rect(d, tag, (struct look){.fill = ink_white(), .line = ink_black(), .line_mm = 0.2});
    draw_text(d, (struct point){(tag.x0 + tag.x1) / 2, tag.y1 - 0.95}, letters, words);
}

/* Where the panels' numbers stand. */
static struct heat_taken heat_picture_numbers_of(const struct surface_view *view, size_t more)
{
    size_t count = view->plan->panel_count;
    struct heat_taken taken = {
        arena_take_array(drawing_arena(view->drawing), count + more, sizeof(struct rect)), 0};
    for (size_t i = 0; i < count; i++)
        taken.rects[taken.count++] = layer_number_box(view, &view->plan->panels[i]);
    return taken;
}

/* ---- what the greys mean ---- */

static void put_scale(const struct surface_view *view, const struct ink_heat *heat, struct point at)
{
    enum { STEPS = 8 };
    const double wide = 4.5, high = 3;
    struct drawing *d = view->drawing;
    struct letters letters = words_grey(TYPE_MM, ALIGN_LEFT);
    double x = at.x + draw_text(d, (struct point){at.x, at.y + 2.6}, letters, "no ink") + 1.2;
    for (int i = 0; i < STEPS; i++, x += wide)
        draw_rect(d, rect_of(x, at.y, wide, high),
                  (struct look){.fill = paint_grey(grey_of(i / (STEPS - 1.0)) / 255.0),
                                .line = ink_grey(),
                                .line_mm = 0.1});
    x += 1.2;
    x += draw_text(d, (struct point){x, at.y + 2.6}, letters,
                   arena_format(drawing_arena(d), "%g %%, the limit", heat->limit_percent)) +
         6;
    draw_rect(d, rect_of(x, at.y, 2 * wide, high), filled(paint_rgb(0xc82814)));
    for (int i = 0; i < 4; i++)
        draw_line(d, (struct point){x + 0.6 + 2.2 * i, at.y + high - 0.3},
                  (struct point){x + 1.9 + 2.2 * i, at.y + 0.3}, line_of(ink_white(), 0.5));
    draw_rect(d, rect_of(x, at.y, 2 * wide, high), line_of(ink_black(), 0.4));
    draw_text(d, (struct point){x + 2 * wide + 1.2, at.y + 2.6}, letters, sentence_plain("more-than-limit"));
    draw_text(d, (struct point){at.x, at.y + 8}, letters,
              view->inches ? sentence_plain("framed-heaviest-places-with-their-most")
                           : sentence_plain("framed-heaviest-places-with-their-most-ink"));
}

struct drawing *sheet_heat_picture(const struct surface_plan *plan, const struct ink_heat *heat,
                                   struct picture_options options, struct arena *arena)
{
    const struct surface *s = plan->surface;
    struct rect bleed = surface_view_box(s);
    double width = fmax(options.width_mm, 60), scale = width / rect_width(bleed);
    double most = options.height_most_mm - TOP - BOTTOM;
    if (options.height_most_mm > 0 && most > 10) scale = fmin(scale, most / rect_height(bleed));
    double left = (width - rect_width(bleed) * scale) / 2, bottom = TOP + rect_height(bleed) * scale;
    struct drawing *d = drawing_new(arena, width, bottom + BOTTOM, s->name);
    struct surface_view view = {.drawing = d,
                                .plan = plan,
                                .surface = s,
                                .origin = {left - bleed.x0 * scale, TOP + bleed.y1 * scale},
                                .scale = scale,
                                .inches = options.inches,
                                .small = true};
    layer_front(&view, (struct point){left + rect_width(bleed) * scale, 0.8});
    heat_picture_put_cells(&view, heat);
    layer_openings(&view);
    layer_seams(&view);
    layer_outline(&view);
    layer_panels(&view);
    struct heat_taken taken = heat_picture_numbers_of(&view, heat->place_count);
    struct rect page = {0, 0, width, bottom + 4};
    for (size_t i = 0; i < heat->place_count; i++) put_place(&view, &heat->places[i], i, page, &taken);
    put_scale(&view, heat, (struct point){0, bottom + 5});
    return d;
}
