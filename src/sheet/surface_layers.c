/* Draws the layers of a surface's picture: artwork, features, corners, seams, panels, numbers, level.
 * Called by surface_picture.c and heat_picture.c, which choose the layers. */
#include "surface_layers.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "model/length_marks.h"
#include "model/practice.h"
#include <math.h>

static struct point view_point(const struct surface_view *view, double x, double y)
{
    return affine_apply(drawing_surface_transform(view->origin, view->scale),
                        (struct point){view->mirrored ? -x : x, y});
}

struct rect view_rect(const struct surface_view *view, struct rect r)
{
    return rect_normal(view_point(view, r.x0, r.y0), view_point(view, r.x1, r.y1));
}

static void add_polygon(const struct surface_view *view, struct path *path, const struct polygon *polygon)
{
    for (size_t i = 0; i < polygon->count; i++) {
        struct point p = view_point(view, polygon->points[i].x, polygon->points[i].y);
        if (i)
            path_line(path, p.x, p.y);
        else
            path_move(path, p.x, p.y);
    }
    if (polygon->count) path_close(path);
}

static struct path view_polygon(const struct surface_view *view, const struct polygon *polygon)
{
    struct path path = path_new(drawing_arena(view->drawing));
    add_polygon(view, &path, polygon);
    return path;
}

static struct path view_region(const struct surface_view *view, const struct region *region)
{
    struct path path = path_new(drawing_arena(view->drawing));
    for (size_t i = 0; i < region->count; i++) add_polygon(view, &path, &region->rings[i]);
    return path;
}

/* Of a piece its own; what it lies on is drawn elsewhere. */
static struct path view_outline(const struct surface_view *view)
{
    const struct surface *s = view->surface;
    return s->piece ? view_region(view, &s->covered) : view_polygon(view, &s->outline);
}

/* Where film stays. */
static struct path view_film(const struct surface_view *view)
{
    const struct surface *s = view->surface;
    return s->covered.count ? view_region(view, &s->covered) : view_outline(view);
}

static void put_preview(const struct surface_view *view, const struct picture *preview, double alpha)
{
    if (!preview || preview->width <= 0 || preview->height <= 0) return;
    struct rect box = view_rect(view, preview->box);
    if (view->mirrored) {
        draw_begin_group(view->drawing, (struct affine){-1, 0, 0, 1, box.x0 + box.x1, 0});
        draw_picture(view->drawing, box, preview->width, preview->height, preview->rgb, alpha);
        draw_end(view->drawing);
    } else
        draw_picture(view->drawing, box, preview->width, preview->height, preview->rgb, alpha);
}

/* Film that ends inside the edge of a pane, its corners round. */
static void put_pane(const struct surface_view *view, const struct picture *preview)
{
    struct drawing *d = view->drawing;
    struct rect film = view_rect(view, surface_view_box(view->surface));
    double radius = practice_value("pane-corner").value * view->scale;
    struct outline_builder corners = {.arena = drawing_arena(d)};
    struct point turns[] = {{film.x0, film.y0}, {film.x1, film.y0}, {film.x1, film.y1}, {film.x0, film.y1}};
    for (int i = 0; i < 4; i++) {
        struct point p = turns[i], before = turns[(i + 3) % 4], after = turns[(i + 1) % 4];
        double in = hypot(before.x - p.x, before.y - p.y), out = hypot(after.x - p.x, after.y - p.y);
        outline_add(&corners, (struct point){p.x + (before.x - p.x) / in * radius,
                                             p.y + (before.y - p.y) / in * radius});
        outline_quadratic(
            &corners, p,
            (struct point){p.x + (after.x - p.x) / out * radius, p.y + (after.y - p.y) / out * radius}, 0.02);
    }
    struct path path = path_new(drawing_arena(d));
    struct polygon round = {corners.points, corners.count};
    path_polygon(&path, &round);
    draw_begin_clip(d, path, false);
    put_preview(view, preview, 1);
    draw_end(d);
    draw_path(d, path, (struct look){.line = ink_black(), .line_mm = 0.2, .dash_mm = 1, .gap_mm = 0.5});
}

static struct path view_box_path(const struct surface_view *view)
{
    struct path box = path_new(drawing_arena(view->drawing));
    path_rect(&box, view_rect(view, surface_view_box(view->surface)));
    return box;
}

/* The paper under the surface, and its bare body. */
static void put_ground(const struct surface_view *view)
{
    draw_path(view->drawing, view_box_path(view), filled(paint_grey(0.96)));
    draw_path(view->drawing, view_outline(view), filled(paint_grey(0.9)));
}

/* What is printed and does not stay. */
static void put_bleed(const struct surface_view *view, const struct picture *preview)
{
    const struct region *printed = &view->surface->printed;
    struct path bleed = printed->count ? view_region(view, printed) : view_box_path(view);
    draw_begin_clip(view->drawing, bleed, false);
    put_preview(view, preview, 0.28);
    draw_end(view->drawing);
    draw_path(view->drawing, bleed, line_of(ink_pale(), 0.12));
}

void layer_artwork(const struct surface_view *view, const struct picture *preview)
{
    struct drawing *d = view->drawing;
    if (!view->surface->piece) put_ground(view);
    put_bleed(view, preview);
    struct path film = view_film(view);
    draw_path(d, film, filled(paint_grey(0.9)));
    draw_begin_clip(d, film, false);
    if (surface_cut_short_mm(view->surface) > 0)
        put_pane(view, preview);
    else
        put_preview(view, preview, 1);
    draw_end(d);
}

void layer_pieces(const struct surface_view *view, const struct picture_pieces *pieces)
{
    struct letters name = words_of(TYPE_MM, ALIGN_LEFT);
    for (size_t i = 0; i < pieces->count; i++) {
        struct surface_view piece = *view;
        piece.plan = pieces->plans[i], piece.surface = piece.plan->surface, piece.small = true;
        layer_artwork(&piece, pieces->previews[i]);
        layer_outline(&piece);
        struct rect box = view_rect(view, region_bounds(&piece.surface->covered));
        if (!view->plain)
            draw_text(view->drawing, (struct point){box.x0, box.y1 + 2.6}, name, piece.surface->piece->name);
    }
}

void layer_art_edges(const struct surface_view *view, const struct surface_art *art)
{
    for (size_t i = 0; art && i < art->count; i++)
        draw_rect(view->drawing, view_rect(view, art->placed[i].clip),
                  (struct look){.line = ink_accent(), .line_mm = 0.15, .dash_mm = 0.6, .gap_mm = 0.9});
}

/* ---- features ---- */

static struct path feature_path(const struct surface_view *view, const struct feature *f)
{
    if (f->shape.count >= 3) return view_polygon(view, &f->shape);
    struct path path = path_new(drawing_arena(view->drawing));
    path_rect(&path, view_rect(view, f->box));
    return path;
}

/* Slanting lines across a box of the paper, to be clipped. */
static void hatch(struct drawing *d, struct rect r, double step, struct look look)
{
    for (double x = r.x0 - rect_height(r) + step; x < r.x1; x += step)
        draw_line(d, (struct point){x, r.y1}, (struct point){x + rect_height(r), r.y0}, look);
}

static struct path bare_path(const struct surface_view *view, const struct feature *f)
{
    struct feature bare = *f;
    bare.shape = *feature_bare_shape(f);
    return feature_path(view, &bare);
}

/* The bare ring of a pane in the body: white, both cuts dashed where paper is large enough to part them. */
static void put_seal(const struct surface_view *view, const struct feature *f)
{
    const double apart_mm = 0.4, by = feature_cut_short_mm(f);
    if (!(by > 0)) return;
    struct path edge = feature_path(view, f), ring = feature_path(view, f);
    struct look dashes = {.line = ink_black(), .line_mm = 0.2, .dash_mm = 1, .gap_mm = 0.5};
    struct look bare = filled(ink_white());
    bare.even_odd = true;
    add_polygon(view, &ring, &f->on_glass);
    draw_path(view->drawing, ring, bare);
    draw_path(view->drawing, by * view->scale < apart_mm ? edge : ring, dashes);
}

/* Hatched where no film is; where it is cut out, the cut is dashed. */
void layer_openings(const struct surface_view *view)
{
    struct drawing *d = view->drawing;
    draw_begin_clip(d, view_outline(view), false);
    for (size_t i = 0; i < view->surface->feature_count; i++) {
        const struct feature *f = &view->surface->features[i];
        if (!feature_is_bare(f->kind)) continue;
        struct path path = bare_path(view, f);
        draw_path(d, path, filled(ink_white()));
        draw_begin_clip(d, path, false);
        hatch(d, view_rect(view, feature_bare_box(f)), 1.6, line_of(ink_pale(), 0.2));
        draw_end(d);
        bool cut = feature_types[f->kind].film == FILM_CUT_OUT;
        draw_path(d, path,
                  cut ? (struct look){.line = ink_black(), .line_mm = 0.25, .dash_mm = 1, .gap_mm = 0.5}
                      : line_of(ink_grey(), 0.2));
    }
    for (size_t i = 0; i < view->surface->feature_count; i++) put_seal(view, &view->surface->features[i]);
    draw_end(d);
}

/* A dark line on a light one: seen on any artwork. */
static void draw_clear(struct drawing *d, struct path path, struct look look)
{
    struct look under = line_of(paint_faint(ink_white(), 0.75), look.line_mm + 0.35);
    draw_path(d, path, under);
    draw_path(d, path, look);
}

static void put_corrugation(const struct surface_view *view, const struct feature *f)
{
    double pitch = f->pitch_mm > 0 ? f->pitch_mm : 50;
    double step = pitch * fmax(1, ceil(0.9 / (pitch * view->scale))); /* no closer than 0.9 mm on paper */
    struct look look = line_of(paint_faint(ink_black(), 0.55), 0.12);
    double from = f->ribs_upright ? f->box.x0 : f->box.y0, to = f->ribs_upright ? f->box.x1 : f->box.y1;
    for (double at = from + step / 2; at < to; at += step)
        draw_line(view->drawing,
                  f->ribs_upright ? view_point(view, at, f->box.y0) : view_point(view, f->box.x0, at),
                  f->ribs_upright ? view_point(view, at, f->box.y1) : view_point(view, f->box.x1, at), look);
}

static void put_glass(const struct surface_view *view, const struct feature *f)
{
    struct rect r = view_rect(view, f->box);
    double w = rect_width(r), h = rect_height(r);
    for (int i = 0; i < 2; i++) {
        double shift = 0.12 * i * w;
        draw_line(view->drawing, (struct point){r.x0 + w * 0.2 + shift, r.y0 + h * 0.55},
                  (struct point){r.x0 + w * 0.45 + shift, r.y0 + h * 0.2},
                  line_of(paint_faint(ink_white(), 0.9), 0.3));
    }
}

/* The look of a kind's border. */
static struct look feature_look(enum feature_kind kind)
{
    static const struct {
        double dash_mm, gap_mm;
    } dashes[] = {[BORDER_WHOLE] = {0, 0},
                  [BORDER_LONG_DASHES] = {1.6, 0.6},
                  [BORDER_SHORT_DASHES] = {0.8, 0.5},
                  [BORDER_DOTS] = {0.4, 0.6}};
    const struct feature_type *type = &feature_types[kind];
    struct look look = line_of(type->of_artwork ? ink_accent() : ink_black(), 0.2);
    look.dash_mm = dashes[type->border].dash_mm, look.gap_mm = dashes[type->border].gap_mm;
    return look;
}

static void put_gap(const struct surface_view *view, const struct feature *f)
{
    struct path path = path_new(drawing_arena(view->drawing));
    struct point a = view_point(view, f->from.x, f->from.y), b = view_point(view, f->to.x, f->to.y);
    path_move(&path, a.x, a.y);
    path_line(&path, b.x, b.y);
    draw_clear(view->drawing, path,
               (struct look){.line = ink_black(), .line_mm = 0.25, .dash_mm = 2, .gap_mm = 1});
}

static bool on_lettering(const struct surface_view *view, struct rect r)
{
    for (size_t i = 0; i < view->plan->lettering_count; i++)
        if (rect_overlaps(view->plan->letterings[i].box, r)) return true;
    return false;
}

/* Where what is inside is to be seen, its name stands above it or below; not on other lettering. */
static bool name_outside(const struct surface_view *view, const struct feature *f, struct rect r, double *top)
{
    double high = 4.4 / view->scale;
    struct rect above = {f->box.x0, f->box.y1 + high / 2, f->box.x1, f->box.y1 + high};
    struct rect below = {f->box.x0, f->box.y0 - high, f->box.x1, f->box.y0 - high / 2};
    bool is_above = !on_lettering(view, above);
    *top = is_above ? r.y0 - 4.1 : r.y1 + 0.4;
    return is_above || !on_lettering(view, below);
}

/* The feature's name inside its box, small, when there is room. */
static void layers_put_name(const struct surface_view *view, const struct feature *f)
{
    struct rect r = view_rect(view, f->box);
    if (!f->name && feature_types[f->kind].film == FILM_ABSENT) return; /* the hatching says it */
    const char *name = f->name ? f->name : feature_kind_name(f->kind);
    struct letters letters = words_of(TYPE_MM, ALIGN_LEFT);
    double width = draw_text_width(letters, name), top = r.y0 + 0.3;
    if (rect_width(r) < width + 1.6 || rect_height(r) < 4.4) return;
    if (feature_types[f->kind].of_artwork && !name_outside(view, f, r, &top)) return;
    draw_rounded(view->drawing, rect_of(r.x0 + 0.3, top, width + 1, 3.8), 0.7,
                 filled(paint_faint(ink_white(), 0.8)));
    draw_text(view->drawing, (struct point){r.x0 + 0.8, top + 2.9}, letters, name);
}

void layer_lettering(const struct surface_view *view)
{
    for (size_t i = 0; i < view->plan->lettering_count; i++) {
        struct path path = path_new(drawing_arena(view->drawing));
        path_rect(&path, view_rect(view, view->plan->letterings[i].box));
        draw_path(view->drawing, path, line_of(paint_faint(ink_black(), 0.35), 0.18));
        draw_path(view->drawing, path,
                  (struct look){.line = ink_white(), .line_mm = 0.18, .dash_mm = 0.18, .gap_mm = 0.5});
    }
}

/* What a customer sees of the vehicle itself: not where seams keep off, or where film is pulled. */
static bool is_on_vehicle(const struct feature_type *type)
{
    return type->film != FILM_COVERS || type->is_hardware || type->is_line || type->filling != FILLING_NONE;
}

static void features_put(const struct surface_view *view)
{
    for (size_t i = 0; i < view->surface->feature_count; i++) {
        const struct feature *f = &view->surface->features[i];
        const struct feature_type *type = &feature_types[f->kind];
        if (view->plain && !is_on_vehicle(type)) continue;
        if (type->is_line) {
            put_gap(view, f);
            continue;
        }
        if (type->filling == FILLING_RIBS) put_corrugation(view, f);
        if (type->filling == FILLING_PANE) put_glass(view, f);
        if (type->film != FILM_ABSENT)
            draw_clear(view->drawing, feature_path(view, f), feature_look(f->kind));
        if (!view->small && !view->plain) layers_put_name(view, f);
    }
}

/* What lies under a piece goes on beside it; its picture ends. */
void layer_features(const struct surface_view *view)
{
    if (view->surface->piece) draw_begin_clip(view->drawing, view_box_path(view), false);
    features_put(view);
    if (view->surface->piece) draw_end(view->drawing);
}

void layer_outline(const struct surface_view *view)
{
    const struct surface *s = view->surface;
    double line_mm = view->small ? 0.25 : 0.4;
    draw_path(view->drawing, view_outline(view), line_of(ink_black(), line_mm));
    if (s->covered.count && !s->piece)
        draw_path(view->drawing, view_film(view),
                  (struct look){.line = ink_accent(), .line_mm = line_mm, .dash_mm = 1.6, .gap_mm = 0.8});
}

/* ---- corners ---- */

/* Where words stand along an edge, inside of it: clear of the level line and of most seams, turned to read along a side. */
static struct affine along_edge(const struct surface_view *view, enum edge edge)
{
    const double inside = 2.2; /* paper mm from the edge to the middle of the words */
    double w = view->surface->width_mm, h = view->surface->height_mm;
    struct point p = edge == EDGE_TOP      ? view_point(view, w / 4, h)
                     : edge == EDGE_BOTTOM ? view_point(view, w / 4, 0)
                     : edge == EDGE_LEFT   ? view_point(view, 0, h * 3 / 4)
                                           : view_point(view, w, h * 3 / 4);
    if (edge == EDGE_TOP || edge == EDGE_BOTTOM)
        return affine_shift(p.x, p.y + (edge == EDGE_TOP ? inside : -inside));
    return (struct affine){0, -1, 1, 0, p.x + (edge == EDGE_LEFT ? inside : -inside), p.y};
}

static void put_corner(const struct surface_view *view, enum edge edge)
{
    const struct surface_corner *corner = &view->surface->corners[edge];
    struct arena *arena = drawing_arena(view->drawing);
    struct letters letters = words_of(2.4, ALIGN_CENTRE);
    const char *words =
        corner->over
            ? arena_format(arena, "wraps %s over %s",
                           length_words(arena, corner->wrap_mm, view->inches, true), corner->other)
            : sentence_words(arena, "ends-here-under-other", ARGUMENTS(arg_words("other", corner->other)));
    double half = draw_text_width(letters, words) / 2 + 0.8;
    draw_begin_group(view->drawing, along_edge(view, edge));
    draw_rounded(view->drawing, (struct rect){-half, -1.5, half, 1.5}, 0.8,
                 filled(paint_faint(ink_white(), 0.85)));
    draw_text(view->drawing, (struct point){0, 0.7}, letters, words);
    draw_end(view->drawing);
}

void layer_corners(const struct surface_view *view)
{
    for (int edge = 0; edge < EDGE_COUNT; edge++)
        if (view->surface->corners[edge].other) put_corner(view, (enum edge)edge);
}

/* ---- seams ---- */

/* Along the seam (from, to) and off its line by `off` towards `side` (+1: right or up). */
static struct rect layers_beside(const struct surface_view *view, const struct seam *s, double side,
                                 double off)
{
    double a = s->at_mm, b = s->at_mm + side * off;
    if (s->axis == AXIS_X)
        return view_rect(view, (struct rect){fmin(a, b), s->from_mm, fmax(a, b), s->to_mm});
    return view_rect(view, (struct rect){s->from_mm, fmin(a, b), s->to_mm, fmax(a, b)});
}

/* +1 when the panel that lies over is on the right of the seam or above it, else -1. */
static double over_side(const struct surface_view *view, const struct seam *s)
{
    const struct rect over = view->plan->panels[s->over].visible;
    double middle = s->axis == AXIS_X ? (over.x0 + over.x1) / 2 : (over.y0 + over.y1) / 2;
    return middle > s->at_mm ? 1 : -1;
}

/* The narrower of the two panels that a seam parts, across the seam, on paper: with many panels on a picture
 * nothing at one seam may run into the next. */
static double seam_room(const struct surface_view *view, const struct seam *s)
{
    const struct rect a = view->plan->panels[s->over].visible, b = view->plan->panels[s->under].visible;
    bool up = s->axis == AXIS_X;
    return view->scale * (up ? fmin(rect_width(a), rect_width(b)) : fmin(rect_height(a), rect_height(b)));
}

/* The soft shadow that what lies over throws on what lies under. */
static void put_shadow(const struct surface_view *view, const struct seam *s, double side)
{
    enum { STEPS = 6 };
    double reach = fmin(view->small ? 0.9 : 1.8, 0.25 * seam_room(view, s)) / view->scale;
    for (int i = 1; i <= STEPS; i++)
        draw_rect(view->drawing, layers_beside(view, s, -side, reach * i / STEPS),
                  filled(paint_faint(paint_grey(0), 0.085)));
}

static void layers_add_line(const struct surface_view *view, const struct seam *s, double at,
                            struct seam_part part, struct path *path)
{
    bool up = s->axis == AXIS_X;
    struct point a = up ? view_point(view, at, part.from_mm) : view_point(view, part.from_mm, at);
    struct point b = up ? view_point(view, at, part.to_mm) : view_point(view, part.to_mm, at);
    path_move(path, a.x, a.y);
    path_line(path, b.x, b.y);
}

static struct path seam_line(const struct surface_view *view, const struct seam *s, double at)
{
    struct path path = path_new(drawing_arena(view->drawing));
    layers_add_line(view, s, at, (struct seam_part){s->from_mm, s->to_mm}, &path);
    return path;
}

static struct path gap_line(const struct surface_view *view, const struct seam *s)
{
    struct path path = path_new(drawing_arena(view->drawing));
    for (size_t i = 0; i < s->gap_count; i++) layers_add_line(view, s, s->at_mm, s->gaps[i], &path);
    return path;
}

/* The hidden edge is drawn at least this far from the seam on paper, or both would be one line. */
#define HIDDEN_LEAST_MM 1.0

static void put_lap(const struct surface_view *view, const struct seam *s)
{
    struct drawing *d = view->drawing;
    double least = fmin(HIDDEN_LEAST_MM, 0.2 * seam_room(view, s)) / view->scale;
    double side = over_side(view, s), hidden = fmax(s->overlap_mm, least);
    put_shadow(view, s, side);
    draw_rect(d, layers_beside(view, s, side, hidden), filled(paint_faint(ink_white(), 0.35)));
    draw_path(d, seam_line(view, s, s->at_mm + side * hidden),
              (struct look){.line = ink_black(), .line_mm = 0.12, .dash_mm = 0.7, .gap_mm = 0.5});
    draw_path(d, seam_line(view, s, s->at_mm), line_of(ink_black(), view->small ? 0.25 : 0.4));
}

/* The stretches of lap between and beside its gaps, each drawn as a lap of its own. */
static void put_rests(const struct surface_view *view, const struct seam *s)
{
    struct seam rest = *s;
    double from = s->from_mm;
    for (size_t i = 0; i <= s->gap_count; i++) {
        rest.from_mm = from, rest.to_mm = i < s->gap_count ? s->gaps[i].from_mm : s->to_mm;
        if (rest.to_mm > rest.from_mm + 1e-6) put_lap(view, &rest);
        if (i < s->gap_count) from = s->gaps[i].to_mm;
    }
}

static void put_seam(const struct surface_view *view, const struct seam *s)
{
    if (s->laps) put_rests(view, s);
    if (s->gap_count)
        draw_clear(view->drawing, gap_line(view, s),
                   (struct look){.line = ink_black(), .line_mm = 0.45, .dash_mm = 2, .gap_mm = 0.8});
}

/* A cut through both films beyond the end of a seam: what lies over above, its edge past the other's end. */
static void put_step(const struct surface_view *view, const struct seam *s)
{
    struct drawing *d = view->drawing;
    bool up = s->axis == AXIS_X;
    struct rect bleed = surface_view_box(view->surface);
    struct point end = up ? view_point(view, s->at_mm, bleed.y1) : view_point(view, bleed.x1, s->at_mm);
    struct affine turn =
        up ? affine_shift(end.x, end.y - 1.7) : (struct affine){0, 1, -1, 0, end.x + 1.7, end.y};
    double size = fmin(1, seam_room(view, s) / 9);
    bool gap = s->gap_count && s->gaps[s->gap_count - 1].to_mm >= s->to_mm - 1e-6; /* at this end of it */
    draw_begin_group(d, affine_then((struct affine){size, 0, 0, 1, 0, 0}, turn));
    if (gap) {
        draw_line(d, (struct point){-3, 0}, (struct point){-0.5, 0}, line_of(ink_black(), 0.35));
        draw_line(d, (struct point){-0.5, 0}, (struct point){-0.5, 1}, line_of(ink_black(), 0.35));
        draw_line(d, (struct point){3, 0}, (struct point){0.5, 0}, line_of(ink_black(), 0.35));
        draw_line(d, (struct point){0.5, 0}, (struct point){0.5, 1}, line_of(ink_black(), 0.35));
    } else {
        double side = over_side(view, s) * (up ? 1 : -1); /* turned, up on the surface is left here */
        draw_line(d, (struct point){side * 3, -0.35}, (struct point){0, -0.35}, line_of(ink_accent(), 0.5));
        draw_line(d, (struct point){side * 1.3, 0.35}, (struct point){-side * 3, 0.35},
                  line_of(ink_black(), 0.35));
    }
    draw_end(d);
}

void layer_seams(const struct surface_view *view)
{
    if (!view->plan->panel_count) return;
    draw_begin_clip(view->drawing, view_outline(view), false);
    for (size_t i = 0; i < view->plan->seam_count; i++) put_seam(view, &view->plan->seams[i]);
    draw_end(view->drawing);
    for (size_t i = 0; !view->small && i < view->plan->seam_count; i++) put_step(view, &view->plan->seams[i]);
}

/* ---- panels ---- */

static bool taken(const struct surface_view *view, struct rect r)
{
    for (size_t i = 0; i < view->surface->feature_count; i++) {
        const struct feature *f = &view->surface->features[i];
        bool shows = feature_is_bare(f->kind) || feature_forbids_seam(f->kind);
        if (shows && rect_overlaps(f->box, r)) return true;
    }
    return on_lettering(view, r);
}

/* A panel's number in its disc, and its name below where there is room for it. On paper. */
struct badge {
    double radius, size; /* of the disc and its figure */
    double half, below;  /* half: to both sides; below: down from the middle */
    bool named;
};

/* The figure keeps the smallest type; more digits take a larger disc for it. */
static struct badge badge_of(const struct surface_view *view, const struct panel *panel, double radius)
{
    double width = rect_width(panel->visible) * view->scale,
           height = rect_height(panel->visible) * view->scale;
    double digits = panel->install_sequence < 10 ? 1.3 : panel->install_sequence < 100 ? 1.05 : 0.8;
    struct badge badge = {.radius = fmax(radius, TYPE_MM / digits), .size = fmax(radius * digits, TYPE_MM)};
    double id = draw_text_width(words_of(TYPE_MM, ALIGN_CENTRE), panel->id);
    badge.named = !view->small && id + 2 <= width && 2 * badge.radius + 6 <= height;
    badge.half = fmax(badge.radius, badge.named ? id / 2 + 0.9 : 0);
    badge.below = badge.radius + (badge.named ? 5.1 : 0);
    return badge;
}

/* A place near the middle of the panel where it covers nothing a person wants to see; false: there is none. */
static bool badge_place(const struct surface_view *view, const struct panel *panel, const struct badge *badge,
                        struct point *place)
{
    static const double off[] = {0,    0.08,  -0.08, 0.16,  -0.16, 0.24, -0.24,
                                 0.32, -0.32, 0.38,  -0.38, 0.43,  -0.43};
    enum { OFFS = sizeof off / sizeof *off };
    const struct rect v = panel->visible;
    double half = badge->half / view->scale, above = badge->radius / view->scale,
           below = badge->below / view->scale;
    for (size_t i = 0; i < OFFS * OFFS; i++) {
        double x = (v.x0 + v.x1) / 2 + off[i / OFFS] * rect_width(v);
        double y = (v.y0 + v.y1) / 2 + off[i % OFFS] * rect_height(v);
        struct rect room = {x - half, y - below, x + half, y + above};
        *place = view_point(view, x, y);
        if (rect_contains(v, room, 0) && !taken(view, room) &&
            polygon_contains(&view->surface->outline, (struct point){x, y}))
            return true;
    }
    return false;
}

/* Outside the picture, beside the panel's end: above it, or to its right where panels lie. False: other panels
 * are between. */
static bool place_beside(const struct surface_view *view, const struct panel *panel,
                         const struct badge *badge, struct point *place, struct point *end)
{
    const double reach_mm = 3; /* past what shows a seam's step */
    const struct rect v = panel->visible, bleed = surface_view_box(view->surface);
    bool up = view->plan->direction == RUN_UPRIGHT;
    double x = (v.x0 + v.x1) / 2, y = (v.y0 + v.y1) / 2;
    for (size_t i = 0; i < view->plan->panel_count; i++) {
        const struct rect o = view->plan->panels[i].visible;
        bool beyond =
            up ? o.y0 >= v.y1 - 1 && o.x0 < x && o.x1 > x : o.x0 >= v.x1 - 1 && o.y0 < y && o.y1 > y;
        if (beyond) return false;
    }
    struct point edge = up ? view_point(view, x, bleed.y1) : view_point(view, bleed.x1, y);
    *end = up ? view_point(view, x, v.y1) : view_point(view, v.x1, y);
    double away = badge->radius + reach_mm;
    *place = up ? (struct point){edge.x, edge.y - away} : (struct point){edge.x + away, edge.y};
    return true;
}

static void put_badge(const struct surface_view *view, const struct panel *panel, const struct badge *badge,
                      struct point at)
{
    struct drawing *d = view->drawing;
    draw_circle(d, at, badge->radius,
                (struct look){.fill = ink_white(), .line = ink_black(), .line_mm = badge->radius * 0.09});
    draw_text(d, (struct point){at.x, at.y + badge->size * 0.365}, words_bold(badge->size, ALIGN_CENTRE),
              arena_format(drawing_arena(d), "%d", panel->install_sequence));
    if (!badge->named) return;
    struct letters id = words_of(TYPE_MM, ALIGN_CENTRE);
    double half = draw_text_width(id, panel->id) / 2 + 0.9;
    struct rect pill = {at.x - half, at.y + badge->radius + 0.7, at.x + half, at.y + badge->radius + 5.1};
    draw_rounded(d, pill, 1, filled(paint_faint(ink_white(), 0.9)));
    draw_text(d, (struct point){at.x, pill.y0 + 3.3}, id, panel->id);
}

/* A badge with where it goes, and the line that leads from it to its panel when it stands beside it. */
struct placed_badge {
    struct badge badge;
    struct point at, end;
    bool led;
};

/* Smaller, then without the panel's name, then beside the picture, as long as that finds a free place; at last in
 * the middle of the panel. False: the panel is too narrow for any disc, its number is in the table only. */
static bool place_number(const struct surface_view *view, const struct panel *panel,
                         struct placed_badge *placed)
{
    static const double radii_mm[] = {4.4, 3.2, 2.4};
    struct badge badge;
    *placed = (struct placed_badge){0};
    for (int named = 1; named >= 0; named--)
        for (size_t i = view->small; i < sizeof radii_mm / sizeof *radii_mm; i++) {
            badge = badge_of(view, panel, radii_mm[i]);
            if (named && !badge.named && !view->small) continue;
            if (!named) badge.named = false, badge.half = badge.below = badge.radius;
            placed->badge = badge;
            if (badge_place(view, panel, &badge, &placed->at)) return true;
        }
    if (!view->small && place_beside(view, panel, &badge, &placed->at, &placed->end))
        return placed->led = true;
    placed->at = view_point(view, (panel->visible.x0 + panel->visible.x1) / 2,
                            (panel->visible.y0 + panel->visible.y1) / 2);
    double room = view->scale * fmin(rect_width(panel->visible), rect_height(panel->visible));
    return room >= 2 * badge.radius;
}

static void put_number(const struct surface_view *view, const struct panel *panel)
{
    struct placed_badge placed;
    if (!place_number(view, panel, &placed)) return;
    if (placed.led) draw_line(view->drawing, placed.at, placed.end, line_of(ink_black(), 0.25));
    put_badge(view, panel, &placed.badge, placed.at);
}

struct rect layer_number_box(const struct surface_view *view, const struct panel *panel)
{
    struct placed_badge placed;
    bool there = place_number(view, panel, &placed);
    double radius = there ? placed.badge.radius : 0;
    return (struct rect){placed.at.x - radius, placed.at.y - radius, placed.at.x + radius,
                         placed.at.y + radius};
}

void layer_level(const struct surface_view *view)
{
    double level = surface_level_mm(view->surface);
    struct path path = path_new(drawing_arena(view->drawing));
    struct point from = view_point(view, 0, level), to = view_point(view, view->surface->width_mm, level);
    path_move(&path, from.x, from.y);
    path_line(&path, to.x, to.y);
    draw_begin_clip(view->drawing, view_outline(view), false);
    draw_clear(view->drawing, path,
               (struct look){.line = ink_accent(), .line_mm = 0.2, .dash_mm = 3, .gap_mm = 1.2});
    draw_end(view->drawing);
}

void layer_panels(const struct surface_view *view)
{
    for (size_t i = 0; i < view->plan->panel_count; i++) put_number(view, &view->plan->panels[i]);
}

void layer_front(const struct surface_view *view, struct point corner)
{
    const char *const words[] = {
        "front", "front", "front", "front", sentence_plain("view-of-rear"), sentence_plain("view-of-front")};
    enum front front = view->surface->front;
    struct drawing *d = view->drawing;
    double size = TYPE_MM, x = corner.x, y = corner.y + size;
    if (front <= FRONT_DOWN) {
        double s = size * 0.9;
        struct point centre = {x - s * 1.3, y - size * 0.36};
        double left = view->mirrored ? s : -s;
        struct point way = front == FRONT_LEFT    ? (struct point){left * 1.3, 0}
                           : front == FRONT_RIGHT ? (struct point){-left * 1.3, 0}
                           : front == FRONT_UP    ? (struct point){0, -s}
                                                  : (struct point){0, s};
        draw_arrow(d, (struct point){centre.x - way.x, centre.y - way.y},
                   (struct point){centre.x + way.x, centre.y + way.y}, size, ink_accent());
        x -= s * 2.6 + 1.2;
    }
    draw_text(d, (struct point){x, y}, words_of(size, ALIGN_RIGHT), words[front]);
}
