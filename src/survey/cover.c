/* What of a surface is covered, and surfaces of pieces: from what people wrote to regions. Called by run, after
 * survey_surface; printed.c settles what follows from the region. */
#include "survey/cover.h"
#include "base/arena.h"
#include "base/sentence.h"
#include "contour/offset.h"
#include "drawing.h"
#include "make.h"
#include "model/practice.h"
#include "survey/survey.h"
#include <math.h>

struct covering {
    struct machine *machine;
    struct surface *surface;
    const struct notes *notes;
    struct contour_means means;
    struct error *error;
    bool refused; /* the report has why */
};

static const struct cover_spec *covering_spec(const struct covering *covering)
{
    return &covering->surface->spec->cover;
}

/* A mistake in what was written is one for the report; else the machine failed. */
static bool covering_report(struct covering *covering, struct error *fault)
{
    if (fault->kind != FAILURE_INPUT) {
        if (covering->error) *covering->error = *fault;
        return false;
    }
    covering->refused = true;
    report_add(covering->notes->report, covering_spec(covering)->place, "cover-fault",
               ARGUMENTS(arg_words("surface", covering->surface->name), arg_words("fault", fault->text)));
    return true;
}

static void covering_refuse(struct covering *covering, const char *id)
{
    const struct surface *s = covering->surface;
    const char *outline = covering_spec(covering)->outline;
    covering->refused = true;
    report_add(covering->notes->report, covering_spec(covering)->place, id,
               ARGUMENTS(arg_words("surface", s->name), arg_words("outline", outline ? outline : ""),
                         arg_fixed("width_mm", s->width_mm, 0), arg_fixed("height_mm", s->height_mm, 0),
                         arg_words("front", front_name(s->front))));
}

/* ---- behind and before ---- */

/* Which way from the line, as an edge of the surface's box. */
static bool covered_side(const struct covering *covering, enum edge *edge)
{
    static const struct {
        enum front front;
        enum edge rear;
    } sides[] = {
        {FRONT_LEFT, EDGE_RIGHT}, {FRONT_RIGHT, EDGE_LEFT}, {FRONT_UP, EDGE_BOTTOM}, {FRONT_DOWN, EDGE_TOP}};
    for (size_t i = 0; i < sizeof sides / sizeof *sides; i++) {
        if (sides[i].front != covering->surface->front) continue;
        bool behind = covering_spec(covering)->kind == COVER_BEHIND;
        *edge = behind ? sides[i].rear : (enum edge)((sides[i].rear + 2) % EDGE_COUNT);
        return true;
    }
    return false;
}

static bool half_region(struct covering *covering, struct region *region)
{
    const struct surface *s = covering->surface;
    struct rect half = {0, 0, s->width_mm, s->height_mm};
    double at = covering_spec(covering)->at_mm;
    enum edge edge;
    *region = (struct region){NULL, 0};
    if (!covered_side(covering, &edge)) {
        covering_refuse(covering, "cover-no-rear");
        return true;
    }
    if (edge == EDGE_RIGHT) half.x0 = at;
    if (edge == EDGE_LEFT) half.x1 = at;
    if (edge == EDGE_TOP) half.y0 = at;
    if (edge == EDGE_BOTTOM) half.y1 = at;
    if (half.x0 >= half.x1 || half.y0 >= half.y1) return true;
    struct polygon ring = polygon_of_rect(half, covering->notes->arena);
    return contour_clean(&ring, 1, CONTOUR_NON_ZERO, &covering->means, region, covering->error);
}

/* ---- outlines ---- */

/* All shapes together, each filled even-odd by itself. */
static bool shapes_region(struct covering *covering, const struct drawing_shapes *shapes,
                          struct region *region)
{
    struct error fault = {.kind = FAILURE_NONE};
    *region = (struct region){NULL, 0};
    for (size_t i = 0; i < shapes->count; i++) {
        struct region one;
        if (!contour_clean(shapes->items[i].parts, shapes->items[i].count, CONTOUR_EVEN_ODD, &covering->means,
                           &one, &fault) ||
            !contour_combine(region, &one, CONTOUR_UNION, &covering->means, region, &fault))
            return covering_report(covering, &fault);
    }
    return true;
}

static bool file_region(struct covering *covering, struct region *region)
{
    const struct surface_spec *spec = covering->surface->spec;
    const struct cover_spec *cover = &spec->cover;
    const bool own = cover_is_a_shape(cover);
    const char *path = own ? spec->drawing_path : cover->outline_path;
    struct drawing_source source = {.file = own ? spec->drawing : cover->outline,
                                    .scale = spec->drawing_scale > 0 ? spec->drawing_scale : 1,
                                    .arena = covering->notes->arena};
    struct drawing_shapes shapes = {NULL, 0, 0};
    struct error fault = {.kind = FAILURE_NONE};
    *region = (struct region){NULL, 0};
    if (!path) {
        covering_refuse(covering, "cover-no-drawing");
        return true;
    }
    if (!machine_read(covering->machine, path, SURVEY_DRAWING_BYTES_MOST, source.arena, &source.bytes,
                      &fault))
        return covering_report(covering, &fault);
    if (!drawing_read_shapes(&source, own ? cover->outline : NULL, covering->notes->report, &shapes)) {
        covering->refused = true;
        return true;
    }
    if (!shapes.count) covering_refuse(covering, own ? "cover-no-shape" : "cover-no-outline");
    return shapes_region(covering, &shapes, region);
}

static bool points_region(struct covering *covering, struct region *region)
{
    struct polygon points = covering_spec(covering)->points;
    struct drawn_outline outline = {&points, 1};
    return shapes_region(covering, &(struct drawing_shapes){&outline, 1, 1}, region);
}

/* ---- the whole ---- */

static bool asked_region(struct covering *covering, const struct region *silhouette, struct region *region)
{
    const struct cover_spec *cover = covering_spec(covering);
    switch (cover->kind) {
    case COVER_BEHIND:
    case COVER_BEFORE:
        return half_region(covering, region);
    case COVER_OUTLINE:
        return cover->points.count ? points_region(covering, region) : file_region(covering, region);
    default:
        *region = *silhouette;
        return true;
    }
}

/* What is left of it on the surface; *all: everything. */
static bool region_on_surface(const struct covering *covering, const struct region *asked,
                              struct region *covered, bool *all)
{
    static const double nothing_mm2 = 1;
    struct region outline;
    if (!cover_outline_of(covering->surface, covering->notes, &outline, covering->error) ||
        !contour_combine(asked, &outline, CONTOUR_INTERSECTION, &covering->means, covered, covering->error))
        return false;
    *all = region_area(&outline) - region_area(covered) < nothing_mm2;
    if (region_area(covered) < nothing_mm2) covered->count = 0;
    return true;
}

bool survey_cover(struct machine *machine, struct surface *surface, const struct region *silhouette,
                  const struct notes *notes, struct error *error)
{
    const struct cover_spec *cover = &surface->spec->cover;
    struct covering covering = {machine, surface, notes, {.arena = notes->arena}, error, false};
    struct region asked, covered;
    bool all;
    if (cover->kind == COVER_ALL) return true;
    if (cover->kind == COVER_SILHOUETTE && (!silhouette || !silhouette->count)) return true;
    if (!asked_region(&covering, silhouette, &asked)) return false;
    if (covering.refused) return true;
    if (!region_on_surface(&covering, &asked, &covered, &all)) return false;
    if (!covered.count) covering_refuse(&covering, "cover-nothing");
    if (all)
        report_remark(notes->report, cover->place, "cover-all",
                      ARGUMENTS(arg_words("surface", surface->name)));
    if (!covered.count || all) return true;
    surface->covered_bleed_mm = measure_known(cover->bleed_mm) ? cover->bleed_mm.value : 0;
    surface->contour_cut = cover->edge == COVER_EDGE_CONTOUR;
    return cover_settle(surface, &covered, notes, error);
}

/* ---- pieces ---- */

static const char *piece_id(const struct surface *host, const char *name, struct arena *arena)
{
    char *id = arena_format(arena, "%s-%s", host->id, name);
    for (char *c = id; *c; c++)
        if (*c == ' ') *c = '-';
    return id;
}

static struct surface_spec *piece_surface_spec(const struct surface *host, const struct piece_spec *spec,
                                               const char *name, struct arena *arena)
{
    struct surface_spec *own = arena_take(arena, sizeof *own);
    *own = *host->spec;
    own->name = name, own->place = spec->place;
    own->artworks = arena_take(arena, sizeof *own->artworks);
    *own->artworks = *spec->artwork, own->artwork_count = 1;
    own->artwork_follows = false, own->covered_percent = 0;
    own->seams = NULL, own->seam_count = 0, own->seams_fixed = false;
    own->cover = (struct cover_spec){.kind = COVER_ALL};
    own->pieces = NULL, own->piece_count = 0;
    own->texts = NULL, own->text_count = 0;
    return own;
}

static struct surface *piece_surface(const struct surface *host, const struct piece_spec *spec,
                                     struct arena *arena)
{
    struct surface *piece = arena_take(arena, sizeof *piece);
    double bleed = measure_known(spec->bleed_mm) ? spec->bleed_mm.value : 0;
    *piece = *host;
    piece->name = arena_format(arena, "%s %s", host->name, spec->name);
    piece->id = piece_id(host, spec->name, arena);
    piece->spec = piece_surface_spec(host, spec, piece->name, arena);
    piece->host = host, piece->piece = spec;
    piece->copies = spec->count > 1 ? spec->count : 1;
    piece->contour_cut = true, piece->covered_bleed_mm = bleed;
    for (int i = 0; i < EDGE_COUNT; i++)
        piece->bleed_mm[i] = bleed, piece->corners[i] = (struct surface_corner){.other = NULL};
    return piece;
}

/* What of it would hang in the air is cut off, and said. */
static void piece_judge_edge(const struct surface *piece, const struct region *outline, double lost_mm2,
                             const struct notes *notes)
{
    static const double speck_mm2 = 1;
    if (lost_mm2 < speck_mm2) return;
    struct finding *f =
        finding_add(notes->findings, "piece-past-edge", piece->name, "piece-past-edge",
                    ARGUMENTS(arg_words("piece", piece->name), arg_words("host", piece->host->name),
                              arg_fixed("lost_cm2", lost_mm2 / 100, 0)));
    f->has_box = true, f->box = region_bounds(outline), f->figure = lost_mm2 / 100;
}

/* Film ends on both sides of every door gap that crosses it. */
static bool piece_cut_apart(const struct surface *host, const struct contour_means *means,
                            struct region *region, struct error *error)
{
    double half = practice_value("piece-gap").value / 2;
    for (size_t i = 0; i < host->feature_count; i++) {
        const struct feature *f = &host->features[i];
        double dx = f->to.x - f->from.x, dy = f->to.y - f->from.y, length = hypot(dx, dy);
        struct region band;
        if (f->kind != FEATURE_GAP || !(length > 0)) continue;
        double x = -dy / length * half, y = dx / length * half;
        struct point corners[4] = {{f->from.x - x, f->from.y - y},
                                   {f->to.x - x, f->to.y - y},
                                   {f->to.x + x, f->to.y + y},
                                   {f->from.x + x, f->from.y + y}};
        if (!contour_clean(&(struct polygon){corners, 4}, 1, CONTOUR_NON_ZERO, means, &band, error) ||
            !contour_combine(region, &band, CONTOUR_DIFFERENCE, means, region, error))
            return false;
    }
    return true;
}

/* Film on a pane ends short of its edge. */
static bool piece_on_host(const struct surface *host, const struct region *outline, const struct notes *notes,
                          struct region *region, struct error *error)
{
    struct contour_means means = {.arena = notes->arena};
    double cut_short = surface_cut_short_mm(host);
    struct contour_offset in = {.by_mm = -cut_short, .join = CONTOUR_MITRE};
    struct region edge;
    if (!cover_outline_of(host, notes, &edge, error)) return false;
    if (cut_short > 0 && !contour_offset(&edge, &in, &means, &edge, error)) return false;
    return contour_combine(outline, &edge, CONTOUR_INTERSECTION, &means, region, error);
}

bool survey_piece(const struct surface *host, const struct piece_spec *spec, const struct region *outline,
                  const struct notes *notes, struct surface **piece, struct error *error)
{
    struct contour_means means = {.arena = notes->arena};
    struct region region;
    *piece = NULL;
    if (!outline->count) return true;
    if (!piece_on_host(host, outline, notes, &region, error)) return false;
    double lost = region_area(outline) - region_area(&region);
    if (spec->apart && !piece_cut_apart(host, &means, &region, error)) return false;
    if (!region.count) {
        report_add(notes->report, spec->place, "piece-beside-surface",
                   ARGUMENTS(arg_words("piece", spec->name), arg_words("surface", host->name),
                             arg_fixed("width_mm", host->width_mm, 0),
                             arg_fixed("height_mm", host->height_mm, 0)));
        return true;
    }
    struct surface *made = piece_surface(host, spec, notes->arena);
    piece_judge_edge(made, outline, lost, notes);
    if (!cover_settle(made, &region, notes, error)) return false;
    *piece = made;
    return true;
}
