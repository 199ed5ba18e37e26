#include "edges.h"
#include "base/arena.h"
#include "base/text.h"
#include "base/units.h"
#include "model/practice.h"
#include <math.h>

/* The seam at that edge of the panel, and whether the panel lies over there; NULL at the outline. */
static const struct seam *seam_at(const struct surface_plan *surface, const struct panel *panel,
                                  enum edge edge, size_t *from)
{
    size_t index = (size_t)(panel - surface->panels);
    bool upright_edge = edge == EDGE_LEFT || edge == EDGE_RIGHT;
    double at = edge == EDGE_LEFT     ? panel->visible.x0
                : edge == EDGE_RIGHT  ? panel->visible.x1
                : edge == EDGE_BOTTOM ? panel->visible.y0
                                      : panel->visible.y1;
    for (; *from < surface->seam_count; ++*from) {
        const struct seam *s = &surface->seams[*from];
        if ((s->over != index && s->under != index) || (s->axis == AXIS_X) != upright_edge) continue;
        if (fabs(s->at_mm - at) < 0.01) return s;
    }
    return NULL;
}

const char *mark_figure(const struct job *job, double mm, struct arena *arena)
{
    return job->inches ? units_figure(mm / MM_PER_INCH, arena) : arena_format(arena, "%.0f", mm);
}

const char *edge_word(const struct surface_plan *surface, const struct panel *panel, enum edge edge)
{
    size_t from = 0;
    const struct seam *seam = seam_at(surface, panel, edge, &from);
    const struct surface_corner *corner = &surface->surface->corners[edge];
    if (panel->inlay) return "inlay: cut";
    if (!seam && corner->other) return corner->over ? "corner" : "corner: cut here";
    if (!seam) return "finished edge";
    if (!seam->laps) return "door gap";
    if (seam->kind == SEAM_GAP)
        return &surface->panels[seam->over] == panel ? "gap, else cut" : "gap, else seam";
    return &surface->panels[seam->over] == panel ? "cut" : "seam";
}

/* Where the gap ends and what the rest of the edge does: on the vehicle, once the panel is on. */
static void add_rest(struct text *out, const struct seam *seam, bool over)
{
    if (!seam->laps) return;
    for (size_t i = 0; i < seam->gap_count; i++)
        text_addf(out, "%s%.0f to %.0f", i ? ", " : " at ", seam->gaps[i].from_mm, seam->gaps[i].to_mm);
    if (over)
        text_add(out, " mm, else OVER it, cut back to the line");
    else
        text_addf(out, " mm, else UNDER it, cut to %g mm past the line", seam->overlap_mm);
}

double wrap_beyond(const struct surface_plan *surface, const struct panel *panel, enum edge edge)
{
    size_t from = 0;
    const struct surface_corner *corner = &surface->surface->corners[edge];
    if (panel->inlay || !corner->other || !corner->over || seam_at(surface, panel, edge, &from)) return 0;
    return corner->wrap_mm;
}

static void corner_phrase(const struct surface *surface, enum edge edge, struct text *out)
{
    const struct surface_corner *corner = &surface->corners[edge];
    if (!corner->other) return;
    text_addf(out, "%s%s edge ", out->length ? "; " : "", edge_name(edge));
    if (corner->over)
        text_addf(out, "wraps %g mm round the corner OVER %s", corner->wrap_mm, corner->other);
    else
        text_addf(out, "ends at the corner UNDER %s", corner->other);
}

static void edge_phrase(const struct surface_plan *surface, const struct panel *panel, enum edge edge,
                        struct text *out)
{
    const char *name = edge_name(edge);
    for (size_t from = 0, found = 0;; from++, found++) {
        const struct seam *seam = seam_at(surface, panel, edge, &from);
        if (!seam && !found) corner_phrase(surface->surface, edge, out);
        if (!seam) return;
        const struct panel *over = &surface->panels[seam->over], *under = &surface->panels[seam->under];
        const struct panel *other = over == panel ? under : over;
        if (out->length) text_add(out, "; ");
        if (seam->kind == SEAM_GAP) {
            text_addf(out, "%s edge turns %g mm into the gap to %s", name, seam->turn_in_mm, other->id);
            add_rest(out, seam, over == panel);
        } else if (over == panel)
            text_addf(out, "%s edge OVER %s, cut back %g mm", name, other->id, seam->trim_mm);
        else
            text_addf(out, "%s edge UNDER %s by %g mm", name, other->id, seam->overlap_mm);
    }
}

/* Which recess, and how it is laid. */
static const char *inlay_sentence(const struct panel *panel, struct arena *arena)
{
    const struct feature *f = panel->inlay;
    return arena_format(
        arena,
        "inlay for %s at x %.0f to %.0f, y %.0f to %.0f: lay it first; the panel over it ends at "
        "the rim, %g mm over its edge",
        f->name ? f->name : feature_kind_name(f->kind), f->box.x0, f->box.x1, f->box.y0, f->box.y1,
        practice_value("inlay-overlap").value);
}

const char *edges_sentence(const struct surface_plan *surface, const struct panel *panel, struct arena *arena)
{
    if (panel->inlay) return inlay_sentence(panel, arena);
    struct text text = text_new(arena);
    static const enum edge edges[] = {EDGE_LEFT, EDGE_RIGHT, EDGE_TOP, EDGE_BOTTOM};
    double cut_short = surface_cut_short_mm(surface->surface);
    for (size_t i = 0; i < EDGE_COUNT; i++) edge_phrase(surface, panel, edges[i], &text);
    if (cut_short > 0)
        text_addf(&text, "%sends %g mm inside the pane's edge: round the corners", text.length ? "; " : "",
                  cut_short);
    return text.length ? text_string(&text) : "one piece, no seam";
}
