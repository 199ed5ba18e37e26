/* The drying picture. */
#include "sheet/drying.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/text.h"
#include "style.h"
#include <math.h>

enum { LEFT = 16, TOP = 14, BELOW = 14, HEIGHT = 70, STEP_H = 12 };

struct plot {
    struct drawing *drawing;
    double width, hours;
};

static struct point drying_at(const struct plot *plot, double hour, double share)
{
    return (struct point){LEFT + plot->width * hour / plot->hours, TOP + HEIGHT * (1 - share)};
}

static void put_axes(const struct plot *plot)
{
    struct arena *arena = drawing_arena(plot->drawing);
    for (int percent = 0; percent <= 100; percent += 25) {
        struct point left = drying_at(plot, 0, percent / 100.0),
                     right = drying_at(plot, plot->hours, percent / 100.0);
        draw_line(plot->drawing, left, right, line_of(ink_pale(), 0.2));
        draw_text(plot->drawing, (struct point){left.x - 2, left.y + 1}, words_grey(TYPE_MM, ALIGN_RIGHT),
                  arena_format(arena, "%d %%", percent));
    }
    for (int hour = 0; hour <= plot->hours; hour += STEP_H) {
        struct point p = drying_at(plot, hour, 0);
        draw_line(plot->drawing, p, (struct point){p.x, p.y + 1.5}, line_of(ink_grey(), 0.2));
        draw_text(plot->drawing, (struct point){p.x, p.y + 5}, words_grey(TYPE_MM, ALIGN_CENTRE),
                  arena_format(arena, "%d h", hour));
    }
}

static void put_curve(const struct plot *plot, const struct drying_line *line, size_t index)
{
    struct path path = path_new(drawing_arena(plot->drawing));
    struct point start = drying_at(plot, 0, line->gone[0]);
    path_move(&path, start.x, start.y);
    for (size_t i = 1; i < line->count && (double)i / 4 <= plot->hours; i++) {
        struct point p = drying_at(plot, (double)i / 4, line->gone[i]);
        path_line(&path, p.x, p.y);
    }
    struct look look = line_of(index ? ink_grey() : ink_accent(), index ? 0.4 : 0.7);
    look.dash_mm = index > 1 ? 2 : 0, look.gap_mm = 1;
    draw_path(plot->drawing, path, look);
}

/* The established time: an upright line; the names stand left of all of them, one above the other. */
static void put_floor(const struct plot *plot, const struct drying_line *line, size_t index, double names_x)
{
    struct point low = drying_at(plot, line->dry_h, 0), high = drying_at(plot, line->dry_h, 1);
    struct look look = line_of(index ? ink_grey() : ink_accent(), 0.4);
    look.dash_mm = 1.2, look.gap_mm = 0.8;
    draw_line(plot->drawing, low, high, look);
    struct letters letters = words_of(TYPE_MM, ALIGN_RIGHT);
    double y = TOP + HEIGHT - 4 - 5 * (double)index;
    draw_text(
        plot->drawing, (struct point){names_x, y}, letters,
        arena_format(drawing_arena(plot->drawing), "%s: laminate from %.1f h", line->name, line->dry_h));
}

static double hours_shown(const struct drying_line *lines, size_t count)
{
    double most = 48;
    for (size_t i = 0; i < count; i++) most = fmax(most, lines[i].dry_h * 1.15);
    return ceil(most / STEP_H) * STEP_H;
}

static double first_dry(const struct drying_line *lines, size_t count)
{
    double first = INFINITY;
    for (size_t i = 0; i < count; i++)
        if (lines[i].dry_h >= 0) first = fmin(first, lines[i].dry_h);
    return isfinite(first) ? first : 0;
}

struct drawing *sheet_drying_picture(const struct drying_line *lines, size_t count,
                                     struct picture_options options, struct arena *arena)
{
    struct plot plot = {drawing_new(arena, options.width_mm, TOP + HEIGHT + BELOW, "Drying"),
                        options.width_mm - LEFT - 8, hours_shown(lines, count)};
    draw_text(plot.drawing, (struct point){LEFT, 6}, words_bold(4, ALIGN_LEFT),
              sentence_plain("drying-of-heaviest-panels"));
    draw_text(plot.drawing, (struct point){LEFT, 10.5}, words_grey(TYPE_MM, ALIGN_LEFT),
              sentence_plain("share-of-solvent-gone-by-diffusion"));
    put_axes(&plot);
    double names_x = drying_at(&plot, first_dry(lines, count), 0).x - 1.5;
    double below = TOP + HEIGHT + 10;
    for (size_t i = 0; i < count; i++) {
        if (lines[i].dry_h >= 0) {
            put_curve(&plot, &lines[i], i);
            put_floor(&plot, &lines[i], i, names_x);
            continue;
        }
        draw_text(
            plot.drawing, (struct point){LEFT, below}, words_bold(TYPE_MM, ALIGN_LEFT),
            sentence_words(arena, "does-not-dry-this-way", ARGUMENTS(arg_words("lines", lines[i].name))));
        below += 4;
    }
    drawing_set_height(plot.drawing, fmax(below + 2, TOP + HEIGHT + BELOW));
    return plot.drawing;
}
