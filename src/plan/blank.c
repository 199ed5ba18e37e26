/* Panels that film is spent on and nothing is printed on. */
#include "panels.h"
#include "base/text.h"
#include "model/practice.h"
#include <stdlib.h>

enum blank { BLANK_BARE, BLANK_PART, BLANK_WHITE, BLANK_COUNT };

struct blanks { /* the panels of one surface that are blank in one way */
    struct text names;
    size_t count;
    const struct panel *last;
};

static int blank_by_value(const void *one, const void *other)
{
    double a = *(const double *)one, b = *(const double *)other;
    return (a > b) - (a < b);
}

static double covered_in(const struct region *covered, struct rect box)
{
    double area = 0;
    for (size_t i = 0; !rect_is_empty(box) && i < covered->count; i++)
        area += polygon_area_in(&covered->rings[i], box);
    return area;
}

/* Of a covered region: by columns between all edges of artworks, and in each the boxes' part from below up. */
static double bare_share_of_region(const struct region *covered, const struct rect *boxes, size_t count,
                                   struct rect visible)
{
    double x[2 * ARTWORKS_MOST], y[2 * ARTWORKS_MOST], held = 0, all = covered_in(covered, visible);
    for (size_t i = 0; i < count; i++) {
        struct rect box = rect_intersect(boxes[i], visible);
        x[2 * i] = box.x0, x[2 * i + 1] = box.x1, y[2 * i] = box.y0, y[2 * i + 1] = box.y1;
    }
    qsort(x, 2 * count, sizeof *x, blank_by_value);
    qsort(y, 2 * count, sizeof *y, blank_by_value);
    for (size_t c = 0; c + 1 < 2 * count; c++)
        for (size_t r = 0; r + 1 < 2 * count; r++) {
            struct rect cell = {x[c], y[r], x[c + 1], y[r + 1]};
            bool over = false;
            for (size_t i = 0; i < count; i++) over |= rect_contains(boxes[i], cell, 1e-6);
            if (over) held += covered_in(covered, cell);
        }
    return all > 0 ? 1 - held / all : 0;
}

/* Share of the panel, as it is seen, that no artwork lies on. */
static double bare_share(const struct surface *surface, const struct surface_art *art,
                         const struct panel *panel)
{
    struct rect boxes[ARTWORKS_MOST];
    size_t count = 0;
    for (size_t i = 0; i < art->count && count < ARTWORKS_MOST; i++) boxes[count++] = art->placed[i].clip;
    if (surface->covered.count) return bare_share_of_region(&surface->covered, boxes, count, panel->visible);
    return 1 - rects_area_in(boxes, count, panel->visible) / rect_area(panel->visible);
}

static enum blank blank_of(const struct surface_input *input, const struct panel *panel, double bare)
{
    if (bare > practice_share("blank-all")) return BLANK_BARE;
    if (input->ink && panel->coverage.mean_percent < practice_value("blank-ink").value) return BLANK_WHITE;
    return bare > practice_share("blank-share") ? BLANK_PART : BLANK_COUNT;
}

static void note_panel(const struct surface_input *input, const struct panel *panel, struct blanks *blanks)
{
    double bare = bare_share(input->surface, input->art, panel);
    enum blank kind = blank_of(input, panel, bare);
    if (kind == BLANK_COUNT) return;
    struct blanks *noted = &blanks[kind];
    text_addf(&noted->names, "%s%s", noted->count++ ? ", " : "", panel->id);
    if (kind == BLANK_PART) text_addf(&noted->names, " (%.0f %% of it)", bare * 100);
    noted->last = panel;
}

static struct finding *report_blanks(const char *surface, const struct blanks *blanks, const char *why,
                                     struct findings *findings)
{
    const char *where =
        blanks->count == 1 ? arena_format(findings->arena, "%s/%s", surface, blanks->last->id) : surface;
    return finding_add(findings, "panel-blank", where, "panel-blank",
                       ARGUMENTS(arg_words("names", text_string(&blanks->names)), arg_words("why", why)));
}

void panels_judge_blank(const struct surface_input *input, const struct surface_plan *plan,
                        struct findings *findings)
{
    static const char *const why[BLANK_COUNT] = {"blank-nothing-lies", "blank-large-part", "blank-white"};
    if (!input->art || !input->art->count) return;
    struct blanks blanks[BLANK_COUNT] = {0};
    for (int kind = 0; kind < BLANK_COUNT; kind++) blanks[kind].names = text_new(findings->arena);
    for (size_t i = 0; i < plan->panel_count; i++) note_panel(input, &plan->panels[i], blanks);
    for (int kind = 0; kind < BLANK_COUNT; kind++) {
        if (!blanks[kind].count) continue;
        const char *words = sentence_words(findings->arena, why[kind],
                                           ARGUMENTS(arg_count("count", (int64_t)blanks[kind].count)));
        struct finding *f = report_blanks(input->surface->name, &blanks[kind], words, findings);
        if (kind == BLANK_WHITE && blanks[kind].count < plan->panel_count)
            f->severity = SEVERITY_NOTE; /* white parts may be drawn so; a white whole is an empty page */
    }
}
