/* Chooses hand-sized repair pieces of a panel and has them made on one sheet. Called by the floor after the panel. */
#include "base/arena.h"
#include "base/units.h"
#include "make/patches.h"
#include "model/practice.h"
#include "reprint_inner.h"
#include "steps.h"
#include <math.h>

struct patch_choice {
    const struct job *job;
    const struct surface *surface;
    const struct panel *panel;
    const struct surface_art *art;
    struct arena *arena;
    struct rect size; /* from 0, 0 */
    struct patch *patches;
    size_t count, most;
};

static bool patch_is_door(const struct feature *f)
{
    return feature_types[f->kind].seams == SEAMS_IN_GAP && rect_height(f->box) > rect_width(f->box);
}

/* No film is there, it is cut out, or a door gap parts the piece. */
static bool patch_is_spoilt(const struct patch_choice *c, struct rect r)
{
    const double within_mm = 1;
    for (size_t i = 0; i < c->surface->feature_count; i++) {
        const struct feature *f = &c->surface->features[i];
        if (feature_is_bare(f->kind) && rect_overlaps(f->box, r)) return true;
        bool across = f->box.x1 > r.x0 + within_mm && f->box.x0 < r.x1 - within_mm;
        if (patch_is_door(f) && across && f->box.y1 > r.y0 && f->box.y0 < r.y1) return true;
    }
    return false;
}

static bool patch_has_artwork(const struct patch_choice *c, struct rect r)
{
    for (size_t i = 0; i < c->art->count; i++)
        if (rect_overlaps(c->art->placed[i].clip, r)) return true;
    return false;
}

static bool patch_is_free(const struct patch_choice *c, struct rect r)
{
    if (!rect_contains(c->panel->visible, r, 0.5) || patch_is_spoilt(c, r) || !patch_has_artwork(c, r))
        return false;
    for (size_t i = 0; i < c->count; i++)
        if (rect_overlaps(c->patches[i].from, r)) return false;
    return true;
}

static void patch_try(struct patch_choice *c, double x, double y)
{
    struct rect r = rect_of(x, y, rect_width(c->size), rect_height(c->size));
    if (c->count == c->most || !patch_is_free(c, r)) return;
    const char *words = arena_format(c->arena, "%s %s  x %.0f to %.0f, y %.0f to %.0f mm", c->job->number,
                                     c->panel->id, r.x0, r.x1, r.y0, r.y1);
    if (c->job->inches) words = units_in_inches(words, c->arena);
    c->patches[c->count++] = (struct patch){.from = r, .words = words};
}

/* Half of them spread over the lower edge, where stones and kerbs hit. */
static void patches_of_lower_edge(struct patch_choice *c)
{
    struct rect v = c->panel->visible;
    size_t half = (c->most + 1) / 2;
    for (size_t i = 0; i < half; i++)
        patch_try(c, v.x0 + (rect_width(v) - rect_width(c->size)) * (double)i / fmax((double)half - 1, 1),
                  v.y0);
}

/* Both sides of upright door gaps, at their lower end; half of the pieces at most. */
static void patches_of_doors(struct patch_choice *c)
{
    struct rect v = c->panel->visible;
    for (size_t i = 0; i < c->surface->feature_count; i++) {
        const struct feature *f = &c->surface->features[i];
        if (!patch_is_door(f) || c->count + 1 > c->most / 2) continue;
        patch_try(c, f->box.x0 - rect_width(c->size), fmax(v.y0, f->box.y0));
        patch_try(c, f->box.x1, fmax(v.y0, f->box.y0));
    }
}

/* What is left, row by row from below. */
static void patches_of_rows(struct patch_choice *c)
{
    struct rect v = c->panel->visible;
    double w = rect_width(c->size), h = rect_height(c->size);
    for (double y = v.y0; y + h <= v.y1 + 0.5 && c->count < c->most; y += h)
        for (double x = v.x0; x + w <= v.x1 + 0.5 && c->count < c->most; x += w) patch_try(c, x, y);
}

static void patches_choose(struct patch_choice *c)
{
    struct rect v = c->panel->visible;
    c->most = (size_t)practice_value("patch-count").value;
    c->patches = arena_take_array(c->arena, c->most, sizeof *c->patches);
    c->size = rect_of(0, 0, fmin(practice_value("patch-width").value, rect_width(v)),
                      fmin(practice_value("patch-height").value, rect_height(v)));
    patches_of_doors(c);
    patches_of_lower_edge(c);
    patches_of_rows(c);
}

bool reprint_make_patches(struct run *run, struct reprint *reprint, struct error *error)
{
    struct art_work work;
    struct make_result result;
    struct patch_sheet sheet;
    const struct run_surface *s = &run->surfaces[reprint->surface];
    struct patch_choice c = {
        .job = run->job, .surface = s->surface, .panel = reprint->panel, .art = &s->art, .arena = run->arena};
    if (!reprint->path) return true;
    struct make_order order = reprint_order(run, reprint, &work);
    patches_choose(&c);
    if (!c.count) return true;
    patches_lay(c.patches, c.count, &order, order.surface->usable_mm, reprint_patches_id(run->arena, reprint),
                run->arena, &sheet);
    order.surface = &sheet.plan, order.work = &sheet.work, order.only_panel = NULL;
    order.patches = c.patches, order.patch_count = c.count;
    if (!make_panels(run->machine, &order, run->arena, &result, error)) return false;
    for (size_t i = 0; i < result.path_count; i++) step_written(run, result.paths[i]);
    if (result.path_count) reprint->patches = result.paths[0], reprint->patch_count = c.count;
    return true;
}
