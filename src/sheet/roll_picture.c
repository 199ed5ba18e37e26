/* Panels on one roll, the film running to the right, in lines when it is long. */
#include "sheet/pictures.h"
#include "style.h"
#include "base/arena.h"
#include <math.h>

enum { BAND_MOST_MM = 17, BAND_LEAST_MM = 6, LINE_GAP_MM = 7, TITLE_MM = 7 };

struct lines_of_film {
    const struct roll *roll;
    const struct plan *plan;
    struct drawing *drawing;
    double band_mm; /* height of a line of film on paper */
    double scale;   /* paper mm for each mm of film */
    double length;  /* film mm in a line */
    size_t count;
    bool inches;
};

/* How a panel lies: its size along and across the film. An upright panel as seen runs along with its height.
 */
static struct rect placed_rect(const struct lines_of_film *lines, const struct placement *placement)
{
    const struct surface_plan *sp = &lines->plan->surfaces[placement->surface];
    const struct panel *panel = &sp->panels[placement->panel];
    bool turned = placement->turned_deg % 180 != 0, lying = sp->direction == RUN_LYING;
    double across = turned ? rect_height(panel->print) : rect_width(panel->print);
    double along = turned == lying ? panel->print_length_mm
                   : turned        ? rect_width(panel->print)
                                   : rect_height(panel->print);
    return rect_of(placement->along_mm, placement->across_mm, along, across);
}

static double line_top(const struct lines_of_film *lines, size_t line)
{
    return TITLE_MM + (double)line * (lines->band_mm + LINE_GAP_MM);
}

static void roll_picture_put_panel(const struct lines_of_film *lines, const struct placement *placement,
                                   size_t line)
{
    struct rect r = placed_rect(lines, placement);
    double from = (double)line * lines->length;
    if (r.x1 <= from || r.x0 >= from + lines->length) return;
    const struct panel *panel = &lines->plan->surfaces[placement->surface].panels[placement->panel];
    double top = line_top(lines, line), k = lines->scale;
    struct rect paper = {(r.x0 - from) * k, top + r.y0 * k, (r.x1 - from) * k, top + r.y1 * k};
    draw_rect(lines->drawing, paper,
              (struct look){.fill = paint_rgb(0xdfe9f0), .line = ink_accent(), .line_mm = 0.25});
    struct rect seen = rect_intersect(paper, rect_of(0, top, lines->length * k, lines->band_mm));
    struct letters id = words_of(TYPE_MM, ALIGN_CENTRE);
    id.most_mm = rect_width(seen) - 1;
    if (id.most_mm < 5) return;
    double x = (seen.x0 + seen.x1) / 2, y = (seen.y0 + seen.y1) / 2;
    draw_text(lines->drawing, (struct point){x, y + 1.1}, id, panel->id);
}

static void roll_picture_put_line(const struct lines_of_film *lines, size_t line)
{
    struct drawing *d = lines->drawing;
    struct arena *arena = drawing_arena(d);
    double from = (double)line * lines->length, to = fmin(from + lines->length, lines->roll->used_mm);
    struct rect film =
        rect_of(0, line_top(lines, line), (to - from) * lines->scale, lines->roll->width_mm * lines->scale);
    draw_rect(d, film, filled(paint_grey(0.93)));
    struct path clip = path_new(arena);
    path_rect(&clip, rect_grow(film, 0.2));
    draw_begin_clip(d, clip, false);
    for (size_t i = 0; i < lines->roll->placement_count; i++)
        roll_picture_put_panel(lines, &lines->roll->placements[i], line);
    draw_end(d);
    draw_rect(d, film, line_of(ink_grey(), 0.25));
    draw_text(d, (struct point){film.x0, film.y1 + 3.4}, words_grey(TYPE_MM, ALIGN_LEFT),
              length_words(arena, from, lines->inches, true));
    draw_text(d, (struct point){film.x1, film.y1 + 3.4}, words_grey(TYPE_MM, ALIGN_RIGHT),
              length_words(arena, to, lines->inches, true));
}

/* Lines of whole tenths of a metre, the film so high on paper. */
static void set_band(struct lines_of_film *lines, double width, double band_mm)
{
    lines->band_mm = band_mm;
    lines->scale = band_mm / fmax(lines->roll->width_mm, 1);
    lines->length = fmax(floor(width / lines->scale / 100) * 100, 100);
    lines->count = (size_t)fmax(1, ceil(fmax(lines->roll->used_mm, 1) / lines->length));
}

struct drawing *sheet_roll_picture(const struct roll *roll, const struct plan *plan,
                                   struct picture_options options, struct arena *arena)
{
    double width = fmax(options.width_mm, 60);
    struct lines_of_film lines = {.roll = roll, .plan = plan, .inches = options.inches};
    for (double band = BAND_MOST_MM; band >= BAND_LEAST_MM; band *= 0.9) {
        set_band(&lines, width, band);
        if (options.height_most_mm <= 0 || line_top(&lines, lines.count) <= options.height_most_mm) break;
    }
    struct drawing *d = lines.drawing = drawing_new(arena, width, line_top(&lines, lines.count), "roll");
    const char *name = roll->film ? roll->film->name : "film";
    struct letters title = words_bold(3.2, ALIGN_LEFT);
    title.most_mm = width;
    if (!options.no_title)
        draw_text(d, (struct point){0, 4}, title,
                  arena_format(arena, "%s, %s wide, %s used", name,
                               length_words(arena, roll->width_mm, options.inches, true),
                               length_words(arena, roll->used_mm, options.inches, true)));
    for (size_t i = 0; i < lines.count; i++) roll_picture_put_line(&lines, i);
    return d;
}
