/* Pictures of one surface and of the whole vehicle. */
#include "sheet/pictures.h"
#include "surface_layers.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/units.h"
#include <math.h>
#include <stdlib.h>

/* Margins round the bleed, paper mm and below them the legend. */
enum { LEFT = 13, RIGHT = 11, TOP = 14, BOTTOM = 16 };

/* ---- dimensions ---- */

struct picture_marks { /* places along one axis, sorted */
    double *at;
    size_t count;
};

static int surface_picture_by_place(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static struct picture_marks seam_marks(const struct surface_plan *plan, enum axis axis, double end,
                                       struct arena *arena)
{
    struct picture_marks marks = {arena_take_array(arena, plan->seam_count + 2, sizeof(double)), 2};
    marks.at[1] = end;
    for (size_t i = 0; i < plan->seam_count; i++)
        if (plan->seams[i].axis == axis) marks.at[marks.count++] = plan->seams[i].at_mm;
    qsort(marks.at, marks.count, sizeof *marks.at, surface_picture_by_place);
    size_t kept = 1;
    for (size_t i = 1; i < marks.count; i++)
        if (marks.at[i] - marks.at[kept - 1] > 0.05) marks.at[kept++] = marks.at[i];
    marks.count = kept;
    return marks;
}

/* A chain of ticks along the x axis of the current group, `step` paper mm to a surface mm; a place that would
 * run into the one before, or into the last, goes without its figure. */
static void put_chain(const struct surface_view *view, struct picture_marks marks, double step)
{
    struct drawing *d = view->drawing;
    struct letters letters = words_of(TYPE_MM, ALIGN_CENTRE);
    double length = marks.at[marks.count - 1] * step, reach = -1e9;
    const char *last = length_words(drawing_arena(d), marks.at[marks.count - 1], view->inches, true);
    double last_from = length - draw_text_width(letters, last) / 2 - 1;
    draw_line(d, (struct point){0, 0}, (struct point){length, 0}, line_of(ink_grey(), 0.2));
    for (size_t i = 0; i < marks.count; i++) {
        double x = marks.at[i] * step;
        bool is_last = i + 1 == marks.count;
        draw_line(d, (struct point){x - 0.7, 0.7}, (struct point){x + 0.7, -0.7}, line_of(ink_black(), 0.25));
        double at = view->inches ? marks.at[i] : round(marks.at[i]); /* whole millimetres read faster */
        const char *words = is_last ? last : length_words(drawing_arena(d), at, view->inches, false);
        double half = draw_text_width(letters, words) / 2;
        if (!is_last && (x - half < reach + 1 || x + half > last_from)) continue;
        draw_text(d, (struct point){x, 3.8}, letters, words);
        reach = x + half;
    }
}

static void put_dimensions(const struct surface_view *view)
{
    struct drawing *d = view->drawing;
    const struct surface *s = view->surface;
    struct arena *arena = drawing_arena(d);
    struct rect bleed = view_rect(view, surface_view_box(s));
    draw_begin_group(d, affine_shift(view->origin.x, bleed.y1 + 2.5));
    put_chain(view, seam_marks(view->plan, AXIS_X, s->width_mm, arena), view->scale);
    draw_end(d);
    /* up the left side: the same chain turned by a quarter, figures towards the surface */
    draw_begin_group(d, (struct affine){0, -1, 1, 0, bleed.x0 - 6, view->origin.y});
    put_chain(view, seam_marks(view->plan, AXIS_Y, s->height_mm, arena), view->scale);
    draw_end(d);
}

/* 1, 2 or 5 times a power of ten, the largest not above `most`. */
static double round_length(double most)
{
    double power = pow(10, floor(log10(most)));
    return most >= 5 * power ? 5 * power : most >= 2 * power ? 2 * power : power;
}

static void put_scale_bar(const struct surface_view *view, struct point at)
{
    struct drawing *d = view->drawing;
    struct arena *arena = drawing_arena(d);
    double unit = view->inches ? MM_PER_INCH : 1;
    double length = round_length(40 / view->scale / unit) * unit, paper = length * view->scale;
    for (int i = 0; i < 4; i++)
        draw_rect(
            d, rect_of(at.x + paper * i / 4, at.y, paper / 4, 1),
            (struct look){.fill = i % 2 ? ink_white() : ink_black(), .line = ink_black(), .line_mm = 0.15});
    const char *words = arena_format(arena, "%s   scale 1 : %.0f",
                                     length_words(arena, length, view->inches, true), 1 / view->scale);
    draw_text(d, (struct point){at.x + paper + 1.5, at.y + 1.6}, words_grey(TYPE_MM, ALIGN_LEFT), words);
}

static const char *legend_words(const struct surface_plan *plan, struct arena *arena)
{
    const char *seams = plan->seam_count ? sentence_plain("shadow-on-panel-beneath-fine-dashes") : "";
    const char *lettering = plan->lettering_count ? "; dots: lettering" : "";
    if (!plan->panel_count) return "";
    return sentence_words(arena, "numbers-install-sequence-hatched-no",
                          ARGUMENTS(arg_words("seams", seams), arg_words("lettering", lettering)));
}

static struct letters legend_letters(double width)
{
    struct letters letters = words_grey(TYPE_MM, ALIGN_LEFT);
    letters.most_mm = width - LEFT - RIGHT;
    return letters;
}

/* ---- one surface ---- */

static void put_title(const struct surface_view *view, struct point at, double most)
{
    const struct surface *s = view->surface;
    struct rect box = surface_size_box(s);
    struct arena *arena = drawing_arena(view->drawing);
    struct letters name = words_bold(3.6, ALIGN_LEFT), size = words_grey(TYPE_MM, ALIGN_LEFT);
    name.most_mm = most * 0.6;
    double width = draw_text(view->drawing, at, name, s->name);
    size.most_mm = most - width - 2;
    if (size.most_mm < 20) return;
    draw_text(view->drawing, (struct point){at.x + width + 2, at.y}, size,
              arena_format(arena, "%s x %s", length_words(arena, rect_width(box), view->inches, false),
                           length_words(arena, rect_height(box), view->inches, true)));
}

static double fit_scale(struct rect bleed, const struct picture_options *options, double round_mm)
{
    double scale = (fmax(options->width_mm, 60) - LEFT - RIGHT) / rect_width(bleed);
    double most = options->height_most_mm - round_mm;
    if (options->height_most_mm > 0 && most > 10) scale = fmin(scale, most / rect_height(bleed));
    return scale;
}

struct drawing *sheet_surface_picture(const struct surface_plan *plan, const struct surface_art *art,
                                      const struct picture *preview, struct picture_options options,
                                      struct arena *arena)
{
    const struct surface *s = plan->surface;
    struct rect bleed = surface_view_box(s);
    double width = fmax(options.width_mm, 60);
    bool mirrored = surface_is_mirrored(s) && !options.plain; /* its owner looks from outside */
    const char *legend = options.no_legend ? "" : legend_words(plan, arena);
    double legend_mm = *legend ? draw_paragraph_height(legend_letters(width), 0, legend) : 0;
    double scale = fit_scale(bleed, &options, TOP + BOTTOM + legend_mm);
    double height = TOP + rect_height(bleed) * scale + BOTTOM + legend_mm;
    double left = LEFT + (width - LEFT - RIGHT - rect_width(bleed) * scale) / 2;
    struct drawing *d = drawing_new(arena, width, height, s->name);
    struct surface_view view = {
        .drawing = d,
        .plan = plan,
        .surface = s,
        .origin = {left + (mirrored ? bleed.x1 : -bleed.x0) * scale, TOP + bleed.y1 * scale},
        .scale = scale,
        .mirrored = mirrored,
        .inches = options.inches,
        .plain = options.plain};
    if (!options.no_title) put_title(&view, (struct point){LEFT, 4}, width * 0.7);
    layer_front(&view, (struct point){width - RIGHT, 0.8});
    layer_artwork(&view, preview);
    layer_pieces(&view, &options.pieces);
    layer_seams(&view);
    layer_openings(&view); /* no seam where no film is */
    layer_lettering(&view);
    layer_features(&view);
    layer_art_edges(&view, art);
    layer_outline(&view);
    layer_corners(&view);
    if (plan->panel_count) layer_level(&view);
    layer_panels(&view);
    if (!s->piece) put_dimensions(&view);
    put_scale_bar(&view, (struct point){LEFT, height - legend_mm - 5.5});
    if (mirrored)
        draw_text(d, (struct point){width - RIGHT, height - legend_mm - 3.9},
                  words_bold(TYPE_MM, ALIGN_RIGHT), sentence_plain("picture-from-inside"));
    if (*legend)
        draw_paragraph(d, (struct point){LEFT, height - legend_mm - 1}, legend_letters(width), 0, legend);
    return d;
}

struct picture_pieces sheet_pieces_on(const struct surface *host, const struct plan *plan,
                                      const struct picture *const *previews, struct arena *arena)
{
    struct picture_pieces on = {arena_take_array(arena, plan->surface_count, sizeof *on.plans),
                                arena_take_array(arena, plan->surface_count, sizeof *on.previews), 0};
    for (size_t i = 0; i < plan->surface_count; i++) {
        if (plan->surfaces[i].surface->host != host) continue;
        on.previews[on.count] = previews ? previews[i] : NULL;
        on.plans[on.count++] = &plan->surfaces[i];
    }
    return on;
}

/* ---- the whole vehicle ---- */

enum { GUTTER = 5, UNDER = 8 }; /* between surfaces; below each for its name */

/* The surface that a piece lies on; the surface itself where it is none. */
static size_t host_of(const struct plan *plan, size_t surface)
{
    for (size_t i = 0; i < plan->surface_count; i++)
        if (plan->surfaces[i].surface == plan->surfaces[surface].surface->host) return i;
    return surface;
}

/* Surfaces from left to right in rows, at `scale`; `places` (may be NULL) gets the upper left corners. */
static double lay_rows(const struct plan *plan, double width, double scale, struct point *places)
{
    double x = 0, y = 0, row = 0;
    for (size_t i = 0; i < plan->surface_count; i++) {
        if (plan->surfaces[i].surface->piece) continue; /* it lies on another */
        struct rect bleed = surface_view_box(plan->surfaces[i].surface);
        double w = rect_width(bleed) * scale, h = rect_height(bleed) * scale + UNDER;
        if (x > 0 && x + w > width) {
            y += row + GUTTER;
            x = row = 0;
        }
        if (places) places[i] = (struct point){x, y};
        x += w + GUTTER;
        row = fmax(row, h);
    }
    for (size_t i = 0; places && i < plan->surface_count; i++)
        if (plan->surfaces[i].surface->piece) places[i] = places[host_of(plan, i)];
    return y + row;
}

static double vehicle_scale(const struct plan *plan, double width, double height)
{
    double widest = 1;
    for (size_t i = 0; i < plan->surface_count; i++)
        if (!plan->surfaces[i].surface->piece)
            widest = fmax(widest, rect_width(surface_view_box(plan->surfaces[i].surface)));
    double scale = width / widest;
    while (lay_rows(plan, width, scale, NULL) > height && scale > 1e-4) scale *= 0.98;
    return scale;
}

static void surface_picture_put_small(struct drawing *d, const struct surface_plan *sp,
                                      const struct picture *preview, struct point at, double scale,
                                      bool plain)
{
    const struct surface *base = sp->surface->host ? sp->surface->host : sp->surface;
    struct rect bleed = surface_view_box(base);
    struct surface_view view = {.drawing = d,
                                .plan = sp,
                                .surface = sp->surface,
                                .origin = {at.x - bleed.x0 * scale, at.y + bleed.y1 * scale},
                                .scale = scale,
                                .small = true};
    layer_artwork(&view, preview);
    if (!plain) layer_seams(&view);
    layer_openings(&view); /* no seam where no film is */
    layer_outline(&view);
    if (!plain) layer_panels(&view);
    if (sp->surface->piece) return;
    double width = rect_width(bleed) * scale, below = at.y + rect_height(bleed) * scale + 1;
    struct letters name = words_bold(3.2, ALIGN_LEFT);
    bool arrow = sp->surface->front <= FRONT_DOWN;
    name.most_mm = arrow ? fmax(width - 20, 8) : width;
    draw_text(d, (struct point){at.x, below + 3.2}, name, sp->surface->name);
    if (arrow && width > 34) layer_front(&view, (struct point){at.x + width, below + 0.4});
}

struct drawing *sheet_vehicle_picture(const struct plan *plan, const struct picture *const *previews,
                                      struct picture_options options, struct arena *arena)
{
    double width = fmax(options.width_mm, 60);
    double most = options.height_most_mm > 0 ? options.height_most_mm : width * 0.6;
    double scale = vehicle_scale(plan, width, most);
    struct point *places = arena_take_array(arena, plan->surface_count, sizeof *places);
    double height = lay_rows(plan, width, scale, places);
    struct drawing *d = drawing_new(arena, width, fmax(height, 5), "vehicle");
    for (size_t i = 0; i < plan->surface_count; i++)
        surface_picture_put_small(d, &plan->surfaces[i], previews ? previews[i] : NULL, places[i], scale,
                                  options.plain);
    return d;
}
