/* Makes a surface from what the job and its drawing say: outline, front, bleed, features, spans. Called by
 * run for each surface; drawings are read by drawing.c. */
#include "survey/survey.h"
#include "base/sentence.h"
#include "base/arena.h"
#include "base/number.h"
#include "base/str.h"
#include "drawing.h"
#include "make.h"
#include "model/front.h"
#include "model/practice.h"
#include "plane.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- the outline ---- */

static bool plain_outline(const struct surface_spec *spec, struct arena *arena, struct report *report,
                          struct drawing_file *drawing)
{
    double w = spec->width_mm, h = spec->height_mm;
    if (!(w >= 1 && h >= 1 && w <= SURVEY_LENGTH_MOST_MM && h <= SURVEY_LENGTH_MOST_MM)) {
        report_add(report, spec->place, "surface-is-by-write-size-from",
                   ARGUMENTS(arg_words("surface", spec->name),
                             arg_fixed("width", clamp_double(w, -1e6, 1e6), 1),
                             arg_fixed("height", clamp_double(h, -1e6, 1e6), 1)));
        return false;
    }
    struct point *corners = arena_take_array(arena, 4, sizeof *corners);
    corners[1].x = corners[2].x = w;
    corners[2].y = corners[3].y = h;
    drawing->outline = (struct polygon){corners, 4};
    return true;
}

/* False with `error` when the machine failed; *read says whether the drawing can be used. */
static bool drawn_outline(struct machine *machine, const struct surface_spec *spec, struct arena *arena,
                          struct report *report, struct drawing_file *drawing, bool *read,
                          struct error *error)
{
    struct str bytes;
    struct error fault = {.kind = FAILURE_NONE};
    double scale = spec->drawing_scale > 0 ? spec->drawing_scale : 1;
    *read = false;
    if (cover_is_a_shape(&spec->cover)) drawing->cover_name = spec->cover.outline;
    if (machine_read(machine, spec->drawing_path, SURVEY_DRAWING_BYTES_MOST, arena, &bytes, &fault)) {
        *read = drawing_read(bytes, spec->drawing, scale, arena, report, drawing);
        return true;
    }
    if (fault.kind != FAILURE_INPUT) {
        if (error) *error = fault;
        return false;
    }
    report_add(report, spec->place, "drawing-of-surface",
               ARGUMENTS(arg_words("artwork", spec->name), arg_words("fault", fault.text)));
    return true;
}

/* ---- what the job leaves open ---- */

static bool is_side(enum front front)
{
    return front == FRONT_LEFT || front == FRONT_RIGHT;
}

/* A name that says left and a front that says right: one of them is of the other side. */
static void check_front(const struct surface_spec *spec, struct named_front named, enum road_side road,
                        struct findings *findings)
{
    bool both = strcasestr(spec->name, "left") && strcasestr(spec->name, "right");
    bool known = named.known && (!named.by_road || road != ROAD_UNSAID);
    if (!known || both || !is_side(named.front) || !is_side(spec->front) || named.front == spec->front)
        return;
    struct finding *f =
        finding_add(findings, "front-guessed", spec->name, "front-guessed-surface-is-called-and",
                    ARGUMENTS(arg_words("surface", spec->name), arg_words("front", front_name(spec->front)),
                              arg_flag("front_2", spec->front == FRONT_LEFT)));
    f->severity = SEVERITY_STOP;
    f->remedy = sentence_plain("correct-name-or-front-and-check");
}

static enum front front_of(const struct surface_spec *spec, enum road_side road, struct findings *findings)
{
    struct named_front named = front_of_name(spec->name, road);
    if (spec->has_front) {
        check_front(spec, named, road, findings);
        return spec->front;
    }
    if (!named.known)
        finding_add(findings, "front-guessed", spec->name, "front-guessed-job-does-not-say", NULL);
    else if (named.by_road && road == ROAD_UNSAID)
        finding_add(findings, "front-guessed", spec->name, "front-guessed-which-side-is-depends",
                    ARGUMENTS(arg_words("artwork", spec->name), arg_words("front", front_name(named.front))))
            ->remedy = sentence_plain("write-drives-on-left-or-right-in");
    return named.front;
}

static const char *id_of(const char *name, struct arena *arena)
{
    char *id = arena_copy_string(arena, name);
    for (char *c = id; *c; c++)
        if (*c == ' ') *c = '-';
    return id;
}

static const struct surface_spec *spec_named(const struct job *job, const char *name)
{
    for (size_t i = 0; i < job->surface_count; i++)
        if (string_equal(job->surfaces[i].name, name)) return &job->surfaces[i];
    return NULL;
}

/* Who wraps round a corner prints that far, and what is cut back; the other ends at the corner. */
static void settle_corners(const struct job *job, struct surface *surface)
{
    for (size_t i = 0; i < job->corner_count; i++) {
        const struct corner *c = &job->corners[i];
        bool one = string_equal(c->one, surface->name);
        if (!one && !string_equal(c->other, surface->name)) continue;
        const struct surface_spec *other = spec_named(job, one ? c->other : c->one);
        enum edge edge;
        if (!other || !corner_edge(surface->front, other->front, &edge)) continue;
        double wrap = c->wrap_mm.value;
        bool over = string_equal(c->over, surface->name);
        surface->corners[edge] = (struct surface_corner){other->name, over, wrap};
        surface->bleed_mm[edge] = over ? wrap + surface->seam_trim_mm : 0;
    }
}

static void survey_settle(const struct job *job, const struct surface_spec *spec, struct arena *arena,
                          struct findings *findings, struct surface *surface)
{
    surface->spec = spec;
    surface->name = spec->name;
    surface->id = id_of(spec->name, arena);
    surface->front = front_of(spec, job->shop ? job->shop->drives_on : ROAD_UNSAID, findings);
    surface->condition = spec->condition ? spec->condition : job->condition;
    surface->glass = spec->glass;
    surface->copies = 1;
    surface->overlap_mm = spec->overlap_mm.value;
    surface->seam_trim_mm = job->seam_trim_mm.value;
    surface->turn_in_mm = job->turn_in_mm.value;
    surface_resolve_bleed(&spec->bleed, &job->bleed, surface->front, surface->bleed_mm);
    settle_corners(job, surface);
}

/* ---- features ---- */

static void join_features(const struct surface_spec *spec, const struct drawing_file *drawing,
                          struct arena *arena, struct surface *surface)
{
    size_t count = spec->feature_count + drawing->feature_count;
    surface->features = arena_take_array(arena, count, sizeof *surface->features);
    surface->feature_count = count;
    surface->told = surface->features, surface->told_count = count;
    for (size_t i = 0; i < count; i++)
        surface->features[i] =
            i < spec->feature_count ? spec->features[i] : drawing->features[i - spec->feature_count];
}

/* Film is cut round what stays bare. */
static void cut_out(struct feature *feature, struct arena *arena)
{
    static const double tolerance_mm = 0.05;
    double by = feature_cut_out_mm(feature);
    struct polygon shape = feature->shape.count ? feature->shape : polygon_of_rect(feature->box, arena);
    if (by > 0) feature->cut_out = polygon_grow(&shape, by, tolerance_mm, arena);
}

/* On a pane in a body the film ends short of the edge; a surface that is a pane has its own edge. */
static void cut_short(const struct surface *surface, struct feature *feature, struct arena *arena)
{
    static const double tolerance_mm = 0.05;
    if (surface->glass) feature->cut_short_mm = -1;
    double by = feature_cut_short_mm(feature), radius = practice_value("pane-corner").value;
    struct polygon shape = feature->shape.count ? feature->shape : polygon_of_rect(feature->box, arena);
    if (by > 0) feature->on_glass = polygon_shrink(&shape, by, radius, tolerance_mm, arena);
}

/* ---- the whole ---- */

static void measure(struct surface *surface, const struct polygon *outline, struct arena *arena)
{
    struct rect box = polygon_bounds(outline);
    assert(outline->count >= 3);
    assert(fabs(box.x0) < 1e-6 && fabs(box.y0) < 1e-6); /* its own coordinates begin there */
    surface->outline = *outline;
    surface->width_mm = box.x1, surface->height_mm = box.y1;
    surface->up = spans_up(outline, surface->width_mm, arena, &surface->up_count);
    surface->along = spans_along(outline, surface->height_mm, arena, &surface->along_count);
    assert(surface->up[0].low_mm <= surface->up[0].high_mm); /* an outline leaves no millimetre out */
    assert(surface->along[surface->along_count - 1].low_mm <=
           surface->along[surface->along_count - 1].high_mm);
}

/* Of a band along the inside of the outline: its length times its width, less what turns count twice. */
static double band_area(const struct polygon *outline, double width)
{
    double area = 0;
    if (width <= 0) return 0;
    for (size_t i = 0; i < outline->count; i++) {
        struct point p = outline->points[i], q = outline->points[(i + 1) % outline->count];
        struct point r = outline->points[(i + 2) % outline->count];
        double ax = q.x - p.x, ay = q.y - p.y, bx = r.x - q.x, by = r.y - q.y;
        area += width * hypot(ax, ay) - width * width * tan(atan2(ax * by - ay * bx, ax * bx + ay * by) / 2);
    }
    return area;
}

/* What no vehicle is, either way round; a drawing's scale may say so too. */
static bool is_too_large(const struct surface_spec *spec, const struct polygon *outline,
                         struct report *report)
{
    const double long_mm = 60000, short_mm = 6000;
    struct rect box = polygon_bounds(outline);
    double width = rect_width(box), height = rect_height(box);
    if (fmax(width, height) <= long_mm && fmin(width, height) <= short_mm) return false;
    struct point likely;
    bool slipped = surface_without_slip(width, height, &likely);
    report_add(report, spec->place, "surface-is-m-by-m-surface",
               ARGUMENTS(arg_words("surface", spec->name), arg_fixed("width_m", width / 1000, 1),
                         arg_fixed("height_m", height / 1000, 1),
                         arg_words("with_a_digit_less",
                                   slipped ? sentence_words(report->arena, "with-digit-less-it-would-be-2",
                                                            ARGUMENTS(arg_fixed("likely_x", likely.x, 0),
                                                                      arg_fixed("likely_y", likely.y, 0)))
                                           : "")));
    return true;
}

/* A pane's film that ends so far inside every edge must have something left between them. */
static void check_cut_short(const struct surface *surface, struct report *report)
{
    double cut_short = surface_cut_short_mm(surface);
    double least = fmin(surface->width_mm, surface->height_mm);
    if (cut_short <= 0 || 2 * cut_short < least) return;
    report_add(report, surface->spec->place, "cut-short-leaves-no-film",
               ARGUMENTS(arg_words("surface", surface->name), arg_number("cut_short_mm", cut_short),
                         arg_number("width_mm", surface->width_mm),
                         arg_number("height_mm", surface->height_mm),
                         arg_number("most_mm", floor(least / 2 - 1))));
}

static struct surface *make(const struct job *job, const struct surface_spec *spec,
                            const struct drawing_file *drawing, const struct notes *notes)
{
    struct arena *arena = notes->arena;
    struct surface *surface = arena_take(arena, sizeof *surface);
    struct survey survey = {arena, notes->report, notes->findings, surface, NULL};
    survey_settle(job, spec, arena, notes->findings, surface);
    measure(surface, &drawing->outline, arena);
    check_cut_short(surface, notes->report);
    join_features(spec, drawing, arena, surface);
    slips_judge_size(&survey, job->vehicle_type);
    for (size_t i = 0; i < surface->feature_count; i++) {
        slips_judge_place(&surface->features[i], &survey);
        cut_out(&surface->features[i], arena);
        cut_short(surface, &surface->features[i], arena);
    }
    survey.followed = arena_take_array(arena, surface->feature_count, sizeof *survey.followed);
    survey_stations(&survey);
    survey_stretches(&survey);
    double bare = band_area(&surface->outline, surface_cut_short_mm(surface));
    double area = area_outside(&surface->outline, surface->features, surface->feature_count, arena) - bare;
    assert(isfinite(area)); /* fmax would hide it */
    surface->area_m2 = fmax(0, area) / 1e6;
    return surface;
}

bool survey_surface(struct machine *machine, const struct job *job, const struct surface_spec *spec,
                    const struct notes *notes, struct surface **surface, struct error *error)
{
    struct report *report = notes->report;
    struct drawing_file drawing = {.features = NULL};
    size_t before = report->errors;
    bool read = true;
    *surface = NULL;
    if (spec->drawing) {
        if (!drawn_outline(machine, spec, notes->arena, report, &drawing, &read, error)) return false;
    } else {
        read = plain_outline(spec, notes->arena, report, &drawing);
    }
    if (!read || is_too_large(spec, &drawing.outline, report)) return true;
    struct surface *made = make(job, spec, &drawing, notes);
    if (report->errors == before) *surface = made;
    return true;
}
