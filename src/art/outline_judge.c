/* Tells what of an outline cutter and film cannot hold. Called by run for what is cut to its contour. */
#include "art/outline.h"
#include "contour/flaws.h"
#include "outline.h"

static double width_of(const struct contour_limits *limits)
{
    return limits->width_mm;
}

static double area_of(const struct contour_limits *limits)
{
    return limits->area_mm2;
}

static double gap_of(const struct contour_limits *limits)
{
    return limits->gap_mm;
}

static double radius_of(const struct contour_limits *limits)
{
    return limits->radius_mm;
}

static const struct {
    const char *code;
    double (*limit)(const struct contour_limits *limits);
} flaw_kinds[] = {[CONTOUR_THIN] = {"cut-thin", width_of},
                  [CONTOUR_ISLAND] = {"cut-island", area_of},
                  [CONTOUR_GAP] = {"cut-gap", gap_of},
                  [CONTOUR_HOLLOW] = {"cut-corner", radius_of}};

/* One finding of a kind: how many, and the worst. */
static void tell_kind(const struct surface *surface, const struct contour_limits *limits,
                      const struct contour_flaws *flaws, enum contour_flaw_kind kind,
                      struct findings *findings)
{
    const struct contour_flaw *worst = NULL;
    size_t count = 0;
    for (size_t i = 0; i < flaws->count; i++) {
        if (flaws->items[i].kind != kind) continue;
        count++;
        if (!worst || flaws->items[i].figure < worst->figure) worst = &flaws->items[i];
    }
    if (!worst) return;
    struct finding *f =
        finding_add(findings, flaw_kinds[kind].code, surface->name, flaw_kinds[kind].code,
                    ARGUMENTS(arg_words("subject", surface->name), arg_count("count", (int64_t)count),
                              arg_fixed("figure", worst->figure, 2),
                              arg_fixed("limit", flaw_kinds[kind].limit(limits), 2),
                              arg_fixed("x_mm", worst->place.x, 0), arg_fixed("y_mm", worst->place.y, 0)));
    f->has_box = true, f->box = worst->box;
    f->figure = worst->figure, f->low_is_worse = true;
}

bool art_outline_judge(struct machine *machine, const struct surface *surface, const struct region *outline,
                       const struct contour_limits *limits, const struct notes *notes, struct error *error)
{
    struct outline_clock clock = outline_clock_new(machine);
    struct contour_means means = outline_means(&clock, notes->arena);
    struct contour_flaws flaws = {NULL, 0, 0};
    if (limits->width_mm <= 0 && limits->gap_mm <= 0 && limits->radius_mm <= 0 && limits->area_mm2 <= 0)
        return true;
    if (!contour_flaws_find(outline, limits, &means, &flaws, error)) return false;
    for (int kind = CONTOUR_THIN; kind <= CONTOUR_HOLLOW; kind++)
        tell_kind(surface, limits, &flaws, (enum contour_flaw_kind)kind, notes->findings);
    return true;
}
