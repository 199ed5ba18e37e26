/* Panels on one roll, the film running to the right, in lines when it is long: a plan's own roll, or one of the
 * shop's with what is left over on it. */
#include "sheet/pictures.h"
#include "style.h"
#include "base/arena.h"
#include <math.h>

enum { BAND_MOST_MM = 17, BAND_LEAST_MM = 6, LINE_GAP_MM = 7, TITLE_MM = 7 };

/* What lies on the film: x along, y across. */
struct on_film {
    struct rect at;
    const char *words;
    bool off_cut;
    const struct polygon *outline; /* within `at`, x across; NULL: the rectangle */
};

struct lines_of_film {
    double width_mm, used_mm;
    const struct on_film *items;
    size_t item_count;
    struct drawing *drawing;
    double band_mm; /* height of a line of film on paper */
    double scale;   /* paper mm for each mm of film */
    double length;  /* film mm in a line */
    size_t count;
    bool inches;
};

/* How a panel lies: its size along and across the film. An upright panel as seen runs along with its height.
 */
static struct rect placed_rect(const struct plan *plan, const struct placement *placement)
{
    const struct surface_plan *sp = &plan->surfaces[placement->surface];
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

static struct look look_of(const struct on_film *item)
{
    if (item->off_cut) return (struct look){.fill = paint_grey(1), .line = ink_grey(), .line_mm = 0.25};
    return (struct look){.fill = paint_rgb(0xdfe9f0), .line = ink_accent(), .line_mm = 0.25};
}

static void roll_picture_put_outline(const struct lines_of_film *lines, const struct on_film *item,
                                     double from, double top)
{
    if (!item->outline || !item->outline->count) return;
    struct arena *arena = drawing_arena(lines->drawing);
    struct polygon ring = {arena_take_array(arena, item->outline->count, sizeof *ring.points),
                           item->outline->count};
    for (size_t i = 0; i < ring.count; i++)
        ring.points[i] = (struct point){(item->outline->points[i].y - from) * lines->scale,
                                        top + item->outline->points[i].x * lines->scale};
    struct path path = path_new(arena);
    path_polygon(&path, &ring);
    draw_path(lines->drawing, path,
              (struct look){.fill = paint_rgb(0xbcd3e2), .line = ink_accent(), .line_mm = 0.2});
}

static void roll_picture_put_item(const struct lines_of_film *lines, const struct on_film *item, size_t line)
{
    struct rect r = item->at;
    double from = (double)line * lines->length;
    if (r.x1 <= from || r.x0 >= from + lines->length) return;
    double top = line_top(lines, line), k = lines->scale;
    struct rect paper = {(r.x0 - from) * k, top + r.y0 * k, (r.x1 - from) * k, top + r.y1 * k};
    draw_rect(lines->drawing, paper, look_of(item));
    roll_picture_put_outline(lines, item, from, top);
    struct rect seen = rect_intersect(paper, rect_of(0, top, lines->length * k, lines->band_mm));
    struct letters words =
        item->off_cut ? words_grey(TYPE_MM, ALIGN_CENTRE) : words_of(TYPE_MM, ALIGN_CENTRE);
    words.most_mm = rect_width(seen) - 1;
    if (words.most_mm < 5 || rect_height(seen) < TYPE_MM) return;
    double x = (seen.x0 + seen.x1) / 2, y = (seen.y0 + seen.y1) / 2;
    draw_text(lines->drawing, (struct point){x, y + 1.1}, words, item->words);
}

static void roll_picture_put_line(const struct lines_of_film *lines, size_t line)
{
    struct drawing *d = lines->drawing;
    struct arena *arena = drawing_arena(d);
    double from = (double)line * lines->length, to = fmin(from + lines->length, lines->used_mm);
    struct rect film =
        rect_of(0, line_top(lines, line), (to - from) * lines->scale, lines->width_mm * lines->scale);
    draw_rect(d, film, filled(paint_grey(0.93)));
    struct path clip = path_new(arena);
    path_rect(&clip, rect_grow(film, 0.2));
    draw_begin_clip(d, clip, false);
    for (size_t i = 0; i < lines->item_count; i++) roll_picture_put_item(lines, &lines->items[i], line);
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
    lines->scale = band_mm / fmax(lines->width_mm, 1);
    lines->length = fmax(floor(width / lines->scale / 100) * 100, 100);
    lines->count = (size_t)fmax(1, ceil(fmax(lines->used_mm, 1) / lines->length));
}

static struct drawing *draw_film(struct lines_of_film lines, const char *title,
                                 struct picture_options options, struct arena *arena)
{
    double width = fmax(options.width_mm, 60);
    lines.inches = options.inches;
    for (double band = BAND_MOST_MM; band >= BAND_LEAST_MM; band *= 0.9) {
        set_band(&lines, width, band);
        if (options.height_most_mm <= 0 || line_top(&lines, lines.count) <= options.height_most_mm) break;
    }
    struct drawing *d = lines.drawing = drawing_new(arena, width, line_top(&lines, lines.count), "roll");
    struct letters words = words_bold(3.2, ALIGN_LEFT);
    words.most_mm = width;
    if (!options.no_title) draw_text(d, (struct point){0, 4}, words, title);
    for (size_t i = 0; i < lines.count; i++) roll_picture_put_line(&lines, i);
    return d;
}

struct drawing *sheet_roll_picture(const struct roll *roll, const struct plan *plan,
                                   struct picture_options options, struct arena *arena)
{
    struct on_film *items = arena_take_array(arena, roll->placement_count, sizeof *items);
    for (size_t i = 0; i < roll->placement_count; i++) {
        const struct placement *p = &roll->placements[i];
        items[i] = (struct on_film){placed_rect(plan, p), plan->surfaces[p->surface].panels[p->panel].id,
                                    false, NULL};
    }
    return draw_film((struct lines_of_film){.width_mm = roll->width_mm,
                                            .used_mm = roll->used_mm,
                                            .items = items,
                                            .item_count = roll->placement_count},
                     arena_format(arena, "%s, %s wide, %s used", roll->film ? roll->film->name : "film",
                                  length_words(arena, roll->width_mm, options.inches, true),
                                  length_words(arena, roll->used_mm, options.inches, true)),
                     options, arena);
}

/* ---- the shop's rolls ---- */

/* Which job and vehicle it is of, where there are several on the roll. */
static const char *print_words(const struct laid_roll *roll, const struct laid_print *print,
                               struct arena *arena)
{
    const char *id = print->plan->surfaces[print->surface].panels[print->panel].id;
    bool jobs = false, vehicles = false;
    for (size_t i = 0; i < roll->print_count; i++) {
        jobs |= roll->prints[i].plan != print->plan;
        vehicles |= roll->prints[i].vehicle != print->vehicle;
    }
    const char *job = jobs ? arena_format(arena, "%s ", print->plan->input->job->number) : "";
    const char *vehicle = vehicles ? arena_format(arena, " no. %zu", print->vehicle) : "";
    const char *name = roll_vehicle_name(print->plan, print->surface, print->panel, print->vehicle);
    if (name) vehicle = arena_format(arena, " %s", name);
    return arena_format(arena, "%s%s%s", job, id, vehicle);
}

static size_t film_items(const struct roll_layout *layout, size_t roll, struct picture_options options,
                         struct on_film *items, struct arena *arena)
{
    const struct laid_roll *laid = &layout->rolls[roll];
    size_t count = 0;
    for (size_t i = 0; i < laid->print_count; i++) {
        const struct laid_print *p = &laid->prints[i];
        items[count++] = (struct on_film){rect_of(p->along_mm, p->across_mm, p->long_mm, p->wide_mm),
                                          print_words(laid, p, arena), false, &p->outline};
    }
    for (size_t i = 0; i < layout->off_cut_count; i++) {
        const struct off_cut *cut = &layout->off_cuts[i];
        if (cut->roll != roll) continue;
        const char *size = arena_format(arena, "%s: %s x %s", cut->name,
                                        length_words(arena, cut->width_mm, options.inches, false),
                                        length_words(arena, cut->length_mm, options.inches, true));
        items[count++] = (struct on_film){
            rect_of(cut->along_mm, cut->across_mm, cut->length_mm, cut->width_mm), size, true, NULL};
    }
    return count;
}

struct drawing *sheet_laid_roll_picture(const struct roll_layout *layout, size_t roll,
                                        struct picture_options options, struct arena *arena)
{
    const struct laid_roll *laid = &layout->rolls[roll];
    struct on_film *items = arena_take_array(arena, laid->print_count + layout->off_cut_count, sizeof *items);
    size_t count = film_items(layout, roll, options, items, arena);
    const char *batch = laid->batch ? arena_format(arena, ", batch %s", laid->batch) : "";
    return draw_film(
        (struct lines_of_film){
            .width_mm = laid->width_mm, .used_mm = laid->used_mm, .items = items, .item_count = count},
        arena_format(arena, "%s: %s, %s wide%s, %s used", laid->name, laid->film->name,
                     length_words(arena, laid->width_mm, options.inches, true), batch,
                     length_words(arena, laid->used_mm, options.inches, true)),
        options, arena);
}
