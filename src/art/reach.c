#include "reach.h"
#include <math.h>
#include <stdlib.h>

static const double TOLERANCE_MM = 0.1;
enum { ARTWORKS_MOST = 50, CUTS_MOST = 2 * ARTWORKS_MOST + 2 };

/* The bleed box cut at every edge of every artwork: a cell is covered whole or not at all. */
struct cells {
    const struct surface *surface;
    const struct surface_art *art;
    struct rect box;
    double x[CUTS_MOST], y[CUTS_MOST];
    size_t columns, rows;
    bool bare[CUTS_MOST][CUTS_MOST]; /* [column][row]: wanted, and no artwork there */
    double bare_share[EDGE_COUNT];   /* of the length of each side */
};

static int by_value(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

static struct rect reach_of(const struct placed_art *placed, struct rect box)
{
    return rect_intersect(rect_grow(placed->clip, TOLERANCE_MM), box);
}

static size_t cut(const struct cells *cells, bool across, double *cuts)
{
    size_t count = 0, artworks = cells->art->count < ARTWORKS_MOST ? cells->art->count : ARTWORKS_MOST;
    cuts[count++] = across ? cells->box.x0 : cells->box.y0;
    cuts[count++] = across ? cells->box.x1 : cells->box.y1;
    for (size_t i = 0; i < artworks; i++) {
        struct rect reach = reach_of(&cells->art->placed[i], cells->box);
        if (rect_is_empty(reach)) continue;
        cuts[count++] = across ? reach.x0 : reach.y0;
        cuts[count++] = across ? reach.x1 : reach.y1;
    }
    qsort(cuts, count, sizeof *cuts, by_value);
    return count - 1;
}

static struct rect cell_at(const struct cells *cells, size_t c, size_t r)
{
    return (struct rect){cells->x[c], cells->y[r], cells->x[c + 1], cells->y[r + 1]};
}

static bool covered(const struct cells *cells, struct rect cell)
{
    for (size_t i = 0; i < cells->art->count; i++)
        if (rect_contains(reach_of(&cells->art->placed[i], cells->box), cell, 1e-6)) return true;
    return false;
}

/* Whether the outline, grown by its bleed, has anything in the cell. */
static bool wanted(const struct surface *s, struct rect cell)
{
    double from = floor(cell.x0 - s->bleed_mm[EDGE_RIGHT]), to = ceil(cell.x1 + s->bleed_mm[EDGE_LEFT]);
    for (double x = fmax(from, 0); x < to && x < (double)s->up_count; x++) {
        struct span span = s->up[(size_t)x];
        if (span.low_mm > span.high_mm) continue;
        if (cell.y0 < span.high_mm + s->bleed_mm[EDGE_TOP] - 1e-3 &&
            cell.y1 > span.low_mm - s->bleed_mm[EDGE_BOTTOM] + 1e-3)
            return true;
    }
    return false;
}

static void find_bare(struct cells *cells)
{
    for (size_t c = 0; c < cells->columns; c++)
        for (size_t r = 0; r < cells->rows; r++) {
            struct rect cell = cell_at(cells, c, r);
            bool thin = rect_width(cell) < TOLERANCE_MM || rect_height(cell) < TOLERANCE_MM;
            cells->bare[c][r] = !thin && !covered(cells, cell) && wanted(cells->surface, cell);
        }
    double width = rect_width(cells->box), height = rect_height(cells->box);
    for (size_t c = 0; c < cells->columns; c++) {
        double share = (cells->x[c + 1] - cells->x[c]) / width;
        if (cells->bare[c][0]) cells->bare_share[EDGE_BOTTOM] += share;
        if (cells->bare[c][cells->rows - 1]) cells->bare_share[EDGE_TOP] += share;
    }
    for (size_t r = 0; r < cells->rows; r++) {
        double share = (cells->y[r + 1] - cells->y[r]) / height;
        if (cells->bare[0][r]) cells->bare_share[EDGE_LEFT] += share;
        if (cells->bare[cells->columns - 1][r]) cells->bare_share[EDGE_RIGHT] += share;
    }
}

/* Nothing but bare cells straight from this one out to the side. */
static bool open_to(const struct cells *cells, size_t c, size_t r, enum edge side)
{
    switch (side) {
    case EDGE_LEFT:
        for (size_t i = 0; i <= c; i++)
            if (!cells->bare[i][r]) return false;
        return true;
    case EDGE_RIGHT:
        for (size_t i = c; i < cells->columns; i++)
            if (!cells->bare[i][r]) return false;
        return true;
    case EDGE_BOTTOM:
        for (size_t i = 0; i <= r; i++)
            if (!cells->bare[c][i]) return false;
        return true;
    default:
        for (size_t i = r; i < cells->rows; i++)
            if (!cells->bare[c][i]) return false;
        return true;
    }
}

/* From the side of the bleed box to the artwork; cells begin a tolerance beyond it. */
static double depth(struct rect box, struct rect cell, enum edge side)
{
    double depths[EDGE_COUNT] = {cell.y1 - box.y0, box.x1 - cell.x0, box.y1 - cell.y0, cell.x1 - box.x0};
    return depths[side] + TOLERANCE_MM;
}

/* The side at which the cell is missed: of those it is open to, the one that is barest along its length, so
 * that the corner of a bare top belongs to the top; of equals, the nearest, so that artwork without any bleed
 * is missed by so much at each side. EDGE_COUNT: a hole. */
static enum edge side_of(const struct cells *cells, size_t c, size_t r)
{
    const double same = 1e-6;
    struct rect cell = cell_at(cells, c, r);
    enum edge best = EDGE_COUNT;
    for (int s = 0; s < EDGE_COUNT; s++) {
        enum edge side = (enum edge)s;
        if (!open_to(cells, c, r, side)) continue;
        double barer = best == EDGE_COUNT ? 1 : cells->bare_share[side] - cells->bare_share[best];
        bool nearer = best != EDGE_COUNT && depth(cells->box, cell, side) < depth(cells->box, cell, best);
        if (barer > same || (barer > -same && nearer)) best = side;
    }
    return best;
}

static void report_side(const struct cells *cells, enum edge side, double missing, struct findings *findings)
{
    static const char *const names[EDGE_COUNT] = {"bottom", "right", "top", "left"};
    if (missing <= 0) return;
    finding_add(findings, "artwork-short", cells->surface->name,
                "The artwork ends %.1f mm short of the printed edge at the %s (outline and %.1f mm bleed).",
                missing, names[side], cells->surface->bleed_mm[side]);
}

static void report_hole(const struct cells *cells, struct rect hole, struct findings *findings)
{
    if (rect_is_empty(hole)) return;
    struct finding *f = finding_add(findings, "artwork-short", cells->surface->name,
                                    "Inside the surface %.0f x %.0f mm have no artwork.", rect_width(hole),
                                    rect_height(hole));
    f->has_box = true, f->box = hole;
}

void reach_judge(const struct surface *surface, const struct surface_art *art, struct findings *findings)
{
    struct cells *cells = arena_take(findings->arena, sizeof *cells);
    *cells = (struct cells){.surface = surface, .art = art, .box = surface_bleed_box(surface)};
    cells->columns = cut(cells, true, cells->x);
    cells->rows = cut(cells, false, cells->y);
    find_bare(cells);
    double missing[EDGE_COUNT] = {0};
    struct rect hole = {0};
    for (size_t c = 0; c < cells->columns; c++)
        for (size_t r = 0; r < cells->rows; r++) {
            if (!cells->bare[c][r]) continue;
            struct rect cell = cell_at(cells, c, r);
            enum edge side = side_of(cells, c, r);
            if (side != EDGE_COUNT)
                missing[side] = fmax(missing[side], depth(cells->box, cell, side));
            else
                hole = rect_is_empty(hole) ? cell : rect_union(hole, cell);
        }
    for (int side = 0; side < EDGE_COUNT; side++)
        report_side(cells, (enum edge)side, missing[side], findings);
    report_hole(cells, hole, findings);
}
