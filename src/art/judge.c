#include "art/art.h"
#include "base/text.h"
#include "model/practice.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double REACH_TOLERANCE_MM = 0.1;
enum { CUTS_MOST = 2 * 50 + 2, SIDES = 4 };

struct judge {
    const struct surface *surface;
    const struct surface_art *art;
    struct str profile;
    bool spots_kept;
    struct findings *findings;
};

/* ---- does it reach the bleed? ---- */

static int by_value(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

static size_t cuts_of(const struct surface_art *art, struct rect box, bool across, double *cuts)
{
    size_t count = 0;
    cuts[count++] = across ? box.x0 : box.y0;
    cuts[count++] = across ? box.x1 : box.y1;
    for (size_t i = 0; i < art->count && count + 2 <= CUTS_MOST; i++) {
        struct rect reach = rect_intersect(rect_grow(art->placed[i].clip, REACH_TOLERANCE_MM), box);
        if (rect_is_empty(reach)) continue;
        cuts[count++] = across ? reach.x0 : reach.y0;
        cuts[count++] = across ? reach.x1 : reach.y1;
    }
    qsort(cuts, count, sizeof *cuts, by_value);
    return count;
}

static bool covered(const struct surface_art *art, struct rect cell)
{
    for (size_t i = 0; i < art->count; i++)
        if (rect_contains(rect_grow(art->placed[i].clip, REACH_TOLERANCE_MM), cell, 1e-6)) return true;
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

/* How far the uncovered cell keeps the artwork from each side of the bleed box. */
static void short_by(struct rect box, struct rect cell, double shortfall[SIDES])
{
    const double at_side = REACH_TOLERANCE_MM;
    if (cell.y0 - box.y0 < at_side) shortfall[EDGE_BOTTOM] = fmax(shortfall[EDGE_BOTTOM], cell.y1 - box.y0);
    if (box.x1 - cell.x1 < at_side) shortfall[EDGE_RIGHT] = fmax(shortfall[EDGE_RIGHT], box.x1 - cell.x0);
    if (box.y1 - cell.y1 < at_side) shortfall[EDGE_TOP] = fmax(shortfall[EDGE_TOP], box.y1 - cell.y0);
    if (cell.x0 - box.x0 < at_side) shortfall[EDGE_LEFT] = fmax(shortfall[EDGE_LEFT], cell.x1 - box.x0);
}

/* A cell that spans the whole width is short at the bottom or the top, not at left and right as well. */
static void clear_spanning(struct rect box, struct rect cell, double shortfall[SIDES])
{
    bool wide = rect_width(cell) > rect_width(box) - 1, high = rect_height(cell) > rect_height(box) - 1;
    if (wide && !high) shortfall[EDGE_LEFT] = shortfall[EDGE_RIGHT] = 0;
    if (high && !wide) shortfall[EDGE_BOTTOM] = shortfall[EDGE_TOP] = 0;
}

/* Takes the cell into the shortfall of the sides it touches; false when it touches none: a hole. */
static bool take_shortfall(struct rect box, struct rect cell, double shortfall[SIDES])
{
    double here[SIDES] = {0}, any = 0;
    short_by(box, cell, here);
    clear_spanning(box, cell, here);
    for (int side = 0; side < SIDES; side++) {
        any += here[side];
        /* cells begin a tolerance beyond the artwork */
        if (here[side] > 0) shortfall[side] = fmax(shortfall[side], here[side] + REACH_TOLERANCE_MM);
    }
    return any > 0;
}

static void report_short(const struct judge *j, const double shortfall[SIDES], bool hole,
                         struct rect hole_box)
{
    static const char *const sides[SIDES] = {"bottom", "right", "top", "left"};
    for (int side = 0; side < SIDES; side++)
        if (shortfall[side] > 0)
            finding_add(
                j->findings, "artwork-short", j->surface->name,
                "The artwork ends %.1f mm short of the printed edge at the %s (outline and %.1f mm bleed).",
                shortfall[side], sides[side], j->surface->bleed_mm[side]);
    if (!hole) return;
    struct finding *f = finding_add(j->findings, "artwork-short", j->surface->name,
                                    "Inside the surface %.0f x %.0f mm have no artwork.",
                                    rect_width(hole_box), rect_height(hole_box));
    f->has_box = true, f->box = hole_box;
}

static void judge_reach(const struct judge *j)
{
    struct rect box = surface_bleed_box(j->surface), hole_box = {0};
    double x[CUTS_MOST], y[CUTS_MOST], shortfall[SIDES] = {0};
    size_t nx = cuts_of(j->art, box, true, x), ny = cuts_of(j->art, box, false, y);
    bool hole = false;
    for (size_t c = 0; c + 1 < nx; c++)
        for (size_t r = 0; r + 1 < ny; r++) {
            struct rect cell = {x[c], y[r], x[c + 1], y[r + 1]};
            if (rect_width(cell) < REACH_TOLERANCE_MM || rect_height(cell) < REACH_TOLERANCE_MM) continue;
            if (covered(j->art, cell) || !wanted(j->surface, cell)) continue;
            if (take_shortfall(box, cell, shortfall)) continue;
            hole_box = hole ? rect_union(hole_box, cell) : cell;
            hole = true;
        }
    report_short(j, shortfall, hole, hole_box);
}

/* ---- one artwork ---- */

static struct finding *add(const struct judge *j, const struct placed_art *p, const char *code,
                           const char *sentence)
{
    return finding_add(j->findings, code, j->surface->name, "%s: %s", p->spec->file, sentence);
}

static void judge_resolution(const struct judge *j, const struct placed_art *p)
{
    double floor_ppi = practice_value("resolution-floor").value, lowest = floor_ppi;
    size_t count = 0;
    const struct image_facts *worst = NULL;
    for (size_t i = 0; i < p->facts->image_count; i++) {
        const struct image_facts *image = &p->facts->images[i];
        double ppi = image->ppi_on_page / p->scale;
        bool raster = p->facts->kind != ARTWORK_PDF;
        if (raster) ppi = p->facts->width_px * 25.4 / rect_width(p->media);
        if (ppi <= 0 || ppi >= floor_ppi ||
            (!raster && !rect_overlaps(affine_apply_rect(p->to_surface, image->box), p->clip)))
            continue;
        count++;
        if (worst && ppi >= lowest) continue;
        lowest = ppi, worst = image;
    }
    if (!count) return;
    struct finding *f = finding_add(
        j->findings, "resolution-low", j->surface->name,
        "%s: %zu picture%s below %g pixels per inch on the vehicle, the coarsest has %.0f (%d x %d pixels).",
        p->spec->file, count, count == 1 ? " is" : "s are", floor_ppi, lowest, worst->width_px,
        worst->height_px);
    f->source = practice_value("resolution-floor").source;
    f->has_box = true;
    f->box = p->facts->kind == ARTWORK_PDF ? affine_apply_rect(p->to_surface, worst->box) : p->clip;
}

static const char *joined(struct arena *arena, const char **names, size_t count)
{
    enum { SHOWN = 8 };
    struct text text = text_new(arena);
    for (size_t i = 0; i < count && i < SHOWN; i++) text_addf(&text, "%s%s", i ? ", " : "", names[i]);
    if (count > SHOWN) text_addf(&text, " and %zu more", count - SHOWN);
    return text_string(&text);
}

static void judge_colour(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    struct arena *arena = j->findings->arena;
    if (f->kind != ARTWORK_PDF && !f->tagged && !p->spec->profile_path)
        add(j, p, "no-profile",
            f->colour == COLOUR_CMYK ? "CMYK without a profile; its numbers are printed as they are."
                                     : "no colour profile; it is taken as sRGB.");
    if (f->kind == ARTWORK_PDF && f->uses_rgb_untagged)
        add(j, p, "no-profile", "uses RGB without a profile; it is taken as sRGB.");
    if (f->uses_rgb && f->uses_cmyk) add(j, p, "mixed-colour", "uses both RGB and CMYK.");
    if (f->spot_count) {
        struct finding *spot =
            add(j, p, "spot-colour",
                arena_format(arena, "spot colours %s.", joined(arena, f->spots, f->spot_count)));
        if (j->spots_kept) spot->severity = SEVERITY_NOTE;
    }
    if (f->white_overprints) add(j, p, "white-overprint", "a white object is set to overprint.");
    if (f->has_transfer) add(j, p, "transfer-curves", "carries transfer functions or halftones.");
}

static void judge_output_intent(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    if (!f->output_intent) return;
    bool same = f->output_intent_profile_size == j->profile.length && j->profile.length &&
                !memcmp(f->output_intent_profile, j->profile.bytes, j->profile.length);
    if (same) return;
    const struct condition *condition = j->surface->condition;
    finding_add(j->findings, "output-intent-differs", j->surface->name,
                "%s: was made for the printing condition \"%s\", the job prints with \"%s\".", p->spec->file,
                f->output_intent, condition ? condition->name : "none");
}

static void judge_pdf(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    struct arena *arena = j->findings->arena;
    if (f->fonts_missing_count)
        add(j, p, "fonts-missing",
            arena_format(arena, "fonts not embedded: %s.",
                         joined(arena, f->fonts_missing, f->fonts_missing_count)));
    if (f->layers_hidden_count)
        add(j, p, "layers-hidden",
            arena_format(arena, "layers switched off: %s.",
                         joined(arena, f->layers_hidden, f->layers_hidden_count)));
    if (f->page_count > 1)
        add(j, p, "artwork-pages",
            arena_format(arena, "has %d pages; page %d is used.", f->page_count, p->spec->page));
}

static void judge_size(const struct judge *j, const struct placed_art *p)
{
    struct rect box = surface_bleed_box(j->surface);
    bool unsized = p->facts->kind != ARTWORK_PDF && p->facts->x_ppi <= 0 && p->spec->fit == FIT_NONE &&
                   !(p->spec->width_mm > 0) && !(p->spec->resolution_ppi > 0);
    if (unsized)
        add(j, p, "artwork-size", "does not say its resolution, so it was fitted to outline and bleed.");
    if (!rect_overlaps(p->clip, box))
        finding_add(j->findings, "artwork-size", j->surface->name,
                    "%s: lies wholly beside the surface (it would reach from %.0f, %.0f to %.0f, %.0f mm).",
                    p->spec->file, p->trim.x0, p->trim.y0, p->trim.x1, p->trim.y1);
}

static void judge_one(const struct judge *j, const struct placed_art *p)
{
    judge_size(j, p);
    judge_resolution(j, p);
    judge_colour(j, p);
    judge_output_intent(j, p);
    judge_pdf(j, p);
    for (size_t i = 0; i < p->facts->remark_count; i++) add(j, p, "artwork-remark", p->facts->remarks[i]);
}

void art_judge(const struct surface *surface, const struct surface_art *art, struct str condition_profile,
               bool spots_kept, struct findings *findings)
{
    struct judge judge = {surface, art, condition_profile, spots_kept, findings};
    for (size_t i = 0; i < art->count; i++) judge_one(&judge, &art->placed[i]);
    if (art->count) judge_reach(&judge);
}
