/* Finds the sides on which the artwork ends short of outline and bleed, and holes between artworks. Called
 * by judge.c; works on a grid cut at every artwork's edges. */
#include "reach.h"
#include "base/text.h"
#include "model/practice.h"
#include <math.h>
#include <stdlib.h>

enum { CUTS_MOST = 2 * ARTWORKS_MOST + 2, NOWHERE = -1 };

/* The bleed box cut at every edge of every artwork: a cell is covered whole or not at all. */
struct reach_cells {
    const struct surface *surface;
    const struct surface_art *art;
    struct rect box;
    double x[CUTS_MOST], y[CUTS_MOST];
    int columns, rows;
    bool covered[CUTS_MOST][CUTS_MOST]; /* [column][row] */
    /* The outermost covered rows of each column and columns of each row; NOWHERE: it has none. */
    int lowest[CUTS_MOST], highest[CUTS_MOST], leftmost[CUTS_MOST], rightmost[CUTS_MOST];
};

static int reach_by_value(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

static double reach_tolerance_mm(void)
{
    return practice_value("artwork-reach").value;
}

static struct rect reach_of(const struct placed_art *placed, struct rect box)
{
    return rect_intersect(rect_grow(placed->clip, reach_tolerance_mm()), box);
}

static int reach_cut(const struct reach_cells *cells, bool across, double *cuts)
{
    size_t count = 0;
    cuts[count++] = across ? cells->box.x0 : cells->box.y0;
    cuts[count++] = across ? cells->box.x1 : cells->box.y1;
    for (size_t i = 0; i < cells->art->count && count + 2 <= CUTS_MOST; i++) {
        struct rect reach = reach_of(&cells->art->placed[i], cells->box);
        if (rect_is_empty(reach)) continue;
        cuts[count++] = across ? reach.x0 : reach.y0;
        cuts[count++] = across ? reach.x1 : reach.y1;
    }
    qsort(cuts, count, sizeof *cuts, reach_by_value);
    return (int)count - 1;
}

static struct rect reach_cell_at(const struct reach_cells *cells, int c, int r)
{
    return (struct rect){cells->x[c], cells->y[r], cells->x[c + 1], cells->y[r + 1]};
}

static bool is_covered(const struct reach_cells *cells, struct rect cell)
{
    for (size_t i = 0; i < cells->art->count; i++)
        if (rect_contains(reach_of(&cells->art->placed[i], cells->box), cell, 1e-6)) return true;
    return false;
}

static void note_covered(struct reach_cells *cells, int c, int r)
{
    cells->covered[c][r] = true;
    if (cells->lowest[c] == NOWHERE) cells->lowest[c] = r;
    if (cells->leftmost[r] == NOWHERE) cells->leftmost[r] = c;
    cells->highest[c] = r;
    cells->rightmost[r] = c;
}

static void find_covered(struct reach_cells *cells)
{
    for (int i = 0; i < CUTS_MOST; i++)
        cells->lowest[i] = cells->highest[i] = cells->leftmost[i] = cells->rightmost[i] = NOWHERE;
    for (int c = 0; c < cells->columns; c++)
        for (int r = 0; r < cells->rows; r++)
            if (is_covered(cells, reach_cell_at(cells, c, r))) note_covered(cells, c, r);
}

/* The same of what is printed of a covered region. */
static bool wanted_of_region(const struct surface *s, struct rect cell, struct rect *reach)
{
    bool any = false;
    for (size_t i = 0; i < s->printed_up.count; i++) {
        struct span span = s->printed_up.spans[i];
        double x = s->printed_up.first + (double)i;
        if (x + 1 <= cell.x0 || x >= cell.x1 || cell.y0 >= span.high_mm - 1e-3 ||
            cell.y1 <= span.low_mm + 1e-3)
            continue;
        struct rect here = rect_intersect(cell, (struct rect){x, span.low_mm, x + 1, span.high_mm});
        *reach = any ? rect_union(*reach, here) : here;
        any = true;
    }
    return any;
}

/* Whether the outline, grown by its bleed, has anything in the cell; then `reach` is what it has there, as
 * far as the cell's own columns and rows go for what lies across. */
static bool wanted(const struct surface *s, struct rect cell, struct rect *reach)
{
    if (s->printed.count) return wanted_of_region(s, cell, reach);
    double from = floor(cell.x0 - s->bleed_mm[EDGE_RIGHT]), to = ceil(cell.x1 + s->bleed_mm[EDGE_LEFT]);
    bool any = false;
    for (double x = fmax(from, 0); x < to && x < (double)s->up_count; x++) {
        struct span span = s->up[(size_t)x];
        if (span.low_mm > span.high_mm) continue;
        double low = span.low_mm - s->bleed_mm[EDGE_BOTTOM], high = span.high_mm + s->bleed_mm[EDGE_TOP];
        if (cell.y0 >= high - 1e-3 || cell.y1 <= low + 1e-3) continue;
        struct rect here = {fmax(cell.x0, x - s->bleed_mm[EDGE_LEFT]), fmax(cell.y0, low),
                            fmin(cell.x1, x + 1 + s->bleed_mm[EDGE_RIGHT]), fmin(cell.y1, high)};
        *reach = any ? rect_union(*reach, here) : here;
        any = true;
    }
    return any;
}

/* How far the artwork ends short of a side in the cell's column or row: from what the outline and its bleed
 * have in the cell to the artwork; cells begin a tolerance beyond it. Less than 0: the cell is not between
 * artwork and that side. */
static double depth(const struct reach_cells *cells, int c, int r, struct rect reach, enum edge side)
{
    int low = cells->lowest[c], high = cells->highest[c], left = cells->leftmost[r],
        right = cells->rightmost[r];
    switch (side) {
    case EDGE_BOTTOM:
        return r < low ? cells->y[low] - reach.y0 + reach_tolerance_mm() : -1;
    case EDGE_TOP:
        return high != NOWHERE && r > high ? reach.y1 - cells->y[high + 1] + reach_tolerance_mm() : -1;
    case EDGE_LEFT:
        return c < left ? cells->x[left] - reach.x0 + reach_tolerance_mm() : -1;
    default:
        return right != NOWHERE && c > right ? reach.x1 - cells->x[right + 1] + reach_tolerance_mm() : -1;
    }
}

/* A bare cell counts for the side that is nearest to the artwork straight through it. One with no artwork
 * straight towards any side is the corner between two bare sides, which have their own cells, or a hole. */
static void judge_cell(const struct reach_cells *cells, int c, int r, double missing[EDGE_COUNT],
                       struct rect *hole)
{
    struct rect cell = reach_cell_at(cells, c, r), reach;
    bool thin = rect_width(cell) < reach_tolerance_mm() || rect_height(cell) < reach_tolerance_mm();
    if (thin || cells->covered[c][r] || !wanted(cells->surface, cell, &reach)) return;
    enum edge nearest = EDGE_COUNT;
    double least = INFINITY;
    for (int side = 0; side < EDGE_COUNT; side++) {
        double here = depth(cells, c, r, reach, (enum edge)side);
        if (here >= 0 && here < least) least = here, nearest = (enum edge)side;
    }
    if (nearest != EDGE_COUNT)
        missing[nearest] = fmax(missing[nearest], least);
    else if (cells->lowest[c] != NOWHERE || cells->leftmost[r] != NOWHERE)
        *hole = rect_is_empty(*hole) ? cell : rect_union(*hole, cell);
}

static void report_sides(const struct reach_cells *cells, const double missing[EDGE_COUNT],
                         struct findings *findings)
{
    static const struct {
        enum edge edge;
        const char *name;
    } sides[] = {{EDGE_LEFT, "left"}, {EDGE_BOTTOM, "bottom"}, {EDGE_RIGHT, "right"}, {EDGE_TOP, "top"}};
    struct text text = text_new(findings->arena);
    for (size_t i = 0; i < EDGE_COUNT; i++) {
        if (missing[sides[i].edge] <= 0) continue;
        text_addf(&text, "%s%s ", text.length ? ", " : "", sides[i].name);
        text_add_number(&text, missing[sides[i].edge], 1);
        text_add(&text, " mm");
    }
    if (text.length)
        finding_add(findings, "artwork-short", cells->surface->name, "artwork-short-artwork-ends-short-of",
                    ARGUMENTS(arg_words("text", text_string(&text))));
}

static void report_hole(const struct reach_cells *cells, struct rect hole, struct findings *findings)
{
    if (rect_is_empty(hole)) return;
    struct finding *f = finding_add(
        findings, "artwork-short", cells->surface->name, "artwork-short-inside-surface-have-no",
        ARGUMENTS(arg_fixed("width_mm", rect_width(hole), 0), arg_fixed("height_mm", rect_height(hole), 0)));
    f->has_box = true, f->box = hole;
}

/* Cut around its artwork, not in it: what lies between is meant to stay white. */
static bool piece_has_rim(const struct surface *surface)
{
    return surface->piece &&
           (surface->piece->cut.path == CUT_SILHOUETTE || surface->piece->cut.path == CUT_BOX);
}

void reach_judge(const struct surface *surface, const struct surface_art *art, struct findings *findings)
{
    if (piece_has_rim(surface)) return;
    struct reach_cells *cells = arena_take(findings->arena, sizeof *cells);
    *cells = (struct reach_cells){.surface = surface, .art = art, .box = surface_bleed_box(surface)};
    cells->columns = reach_cut(cells, true, cells->x);
    cells->rows = reach_cut(cells, false, cells->y);
    find_covered(cells);
    double missing[EDGE_COUNT] = {0};
    struct rect hole = {0};
    for (int c = 0; c < cells->columns; c++)
        for (int r = 0; r < cells->rows; r++) judge_cell(cells, c, r, missing, &hole);
    report_sides(cells, missing, findings);
    report_hole(cells, hole, findings);
}
