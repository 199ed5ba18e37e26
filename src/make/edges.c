/* Says in words what each edge of a panel is: lap over, lap under, gap, corner, bleed. Called for labels
 * and marks. */
#include "edges.h"
#include "print_frame.h"
#include "base/sentence.h"
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
        text_say(out, "else-over-it-cut-back-to", NULL);
    else
        text_say(out, "else-under-it-cut-to-past", ARGUMENTS(arg_number("overlap_mm", seam->overlap_mm)));
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
        text_say(out, "wraps-round-corner-over",
                 ARGUMENTS(arg_number("wrap_mm", corner->wrap_mm), arg_words("other", corner->other)));
    else
        text_say(out, "ends-at-corner-under", ARGUMENTS(arg_words("other", corner->other)));
}

static void edge_phrase(const struct surface_plan *surface, const struct panel *panel, enum edge edge,
                        struct text *out)
{
    const char *name = edge_name(print_frame_edge(surface->surface, edge));
    for (size_t from = 0, found = 0;; from++, found++) {
        const struct seam *seam = seam_at(surface, panel, edge, &from);
        if (!seam && !found) corner_phrase(surface->surface, edge, out);
        if (!seam) return;
        const struct panel *over = &surface->panels[seam->over], *under = &surface->panels[seam->under];
        const struct panel *other = over == panel ? under : over;
        if (out->length) text_add(out, "; ");
        if (seam->kind == SEAM_GAP) {
            text_say(out, "edge-turns-into-gap-to",
                     ARGUMENTS(arg_words("name", name), arg_number("turn_in_mm", seam->turn_in_mm),
                               arg_words("other", other->id)));
            add_rest(out, seam, over == panel);
        } else if (over == panel)
            text_say(out, "edge-over-cut-back",
                     ARGUMENTS(arg_words("name", name), arg_words("other", other->id),
                               arg_number("trim_mm", seam->trim_mm)));
        else
            text_say(out, "edge-under-by",
                     ARGUMENTS(arg_words("name", name), arg_words("other", other->id),
                               arg_number("overlap_mm", seam->overlap_mm)));
    }
}

/* Which recess, and how it is laid. */
static const char *inlay_sentence(const struct panel *panel, struct arena *arena)
{
    const struct feature *f = panel->inlay;
    return sentence_words(arena, "inlay-for-at-to-y-to",
                          ARGUMENTS(arg_words("feature", f->name ? f->name : feature_kind_name(f->kind)),
                                    arg_fixed("box_x0", f->box.x0, 0), arg_fixed("box_x1", f->box.x1, 0),
                                    arg_fixed("box_y0", f->box.y0, 0), arg_fixed("box_y1", f->box.y1, 0),
                                    arg_number("limit", practice_value("inlay-overlap").value)));
}

const char *edges_sentence(const struct surface_plan *surface, const struct panel *panel, struct arena *arena)
{
    if (panel->inlay) return inlay_sentence(panel, arena);
    struct text text = text_new(arena);
    static const enum edge edges[] = {EDGE_LEFT, EDGE_RIGHT, EDGE_TOP, EDGE_BOTTOM};
    double cut_short = surface_cut_short_mm(surface->surface);
    for (size_t i = 0; i < EDGE_COUNT; i++) edge_phrase(surface, panel, edges[i], &text);
    if (cut_short > 0)
        text_say(&text, "ends-inside-panes-edge-round-corners",
                 ARGUMENTS(arg_number("cut_short", cut_short), arg_flag("bytes", text.length)));
    return text.length ? text_string(&text) : sentence_plain("one-piece-no-seam");
}
