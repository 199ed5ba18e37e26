/* Finds artwork drawn at the wrong scale or in the wrong unit, and what fitting would crop. Called by
 * judge.c. */
#include "size.h"
#include "base/sentence.h"
#include "base/text.h"
#include "base/units.h"
#include "model/practice.h"
#include <math.h>

/* Scales that drawings are made at (common practice, no source). */
static const double scales[] = {1, 2, 4, 5, 8, 10, 16, 20, 25, 50};
/* Millimetres taken for inches, points taken for inches, and the other way round. */
static const struct {
    double factor;
    const char *words; /* the sentence's id */
} mix_ups[] = {{MM_PER_INCH, "inches-for-mm"},
               {1 / MM_PER_INCH, "mm-for-inches"},
               {72, "inches-for-points"},
               {1.0 / 72, "points-for-inches"}};
enum { SCALE_COUNT = sizeof scales / sizeof *scales, MIX_UP_COUNT = sizeof mix_ups / sizeof *mix_ups };

/* An artwork at another size, or all of a surface. */
struct resized {
    const struct surface *surface;
    const struct surface_art *art;
    size_t first, count; /* of the surface's artworks */
};

/* Another size that fits. */
struct size_remedy {
    double scale;      /* 0: a mix-up */
    double factor;     /* for each artwork of scale 1 and, of a mix-up, of any */
    const char *words; /* of a mix-up */
    double deviation;  /* of the worse side from outline, or outline and bleed; 1: none found */
};

static double scale_written(const struct placed_art *p)
{
    bool scaled = !(p->spec->width_mm > 0) && !(p->spec->resolution_ppi > 0);
    return scaled && p->spec->scale > 0 ? p->spec->scale : 1;
}

/* The trim `factor` times as large, where the job would put it then. */
static struct rect box_at(const struct surface *surface, const struct placed_art *p, double factor)
{
    double width = rect_width(p->trim) * factor, height = rect_height(p->trim) * factor;
    if (p->spec->has_at) return rect_of(p->trim.x0, p->trim.y0, width, height);
    return rect_of(surface->width_mm / 2 - width / 2, surface->height_mm / 2 - height / 2, width, height);
}

static struct rect union_at(const struct resized *r, double scale, double factor)
{
    struct rect all = {0};
    for (size_t i = 0; i < r->count; i++) {
        const struct placed_art *p = &r->art->placed[r->first + i];
        struct rect box = box_at(r->surface, p, scale > 0 ? scale / scale_written(p) : factor);
        all = i ? rect_union(all, box) : box;
    }
    return all;
}

static double side_deviation(double is, double wanted)
{
    return fabs(is / wanted - 1);
}

/* From the outline or from outline and bleed, whichever it is nearer; between both it is not off at all. */
static double deviation_of(const struct surface *surface, struct rect box)
{
    struct rect bleed = surface_view_box(surface), least_box = surface_covered_box(surface);
    double is[] = {rect_width(box), rect_height(box)},
           least[] = {rect_width(least_box), rect_height(least_box)},
           most[] = {rect_width(bleed), rect_height(bleed)}, worst = 0;
    for (int i = 0; i < 2; i++) {
        if (surface->covered.count && is[i] >= least[i] && is[i] <= most[i]) continue;
        worst = fmax(worst, fmin(side_deviation(is[i], least[i]), side_deviation(is[i], most[i])));
    }
    return worst;
}

static double share_covered(const struct surface *surface, struct rect box)
{
    struct rect outline = surface_covered_box(surface);
    return rect_area(rect_intersect(box, outline)) / rect_area(outline);
}

/* The factor between the size it has and another one is more than a third. */
static bool is_far(double factor)
{
    double off = practice_share("artwork-off");
    return factor > 1 / (1 - off) || factor < 1 / (1 + off);
}

static void try_size(const struct resized *r, struct size_remedy candidate, struct size_remedy *best)
{
    struct rect now = union_at(r, 0, 1), then = union_at(r, candidate.scale, candidate.factor);
    double by = rect_height(then) / rect_height(now);
    candidate.deviation = deviation_of(r->surface, then);
    bool fits = candidate.deviation <= practice_share("artwork-fits") &&
                share_covered(r->surface, then) >= practice_share("artwork-covers");
    bool far = is_far(rect_width(then) / rect_width(now)) || is_far(by);
    if (fits && far && candidate.deviation < best->deviation) *best = candidate;
}

static struct size_remedy find_remedy(const struct resized *r)
{
    struct size_remedy best = {.deviation = 1};
    for (size_t i = 0; i < SCALE_COUNT; i++)
        try_size(r, (struct size_remedy){.scale = scales[i], .factor = scales[i]}, &best);
    for (size_t i = 0; i < MIX_UP_COUNT; i++)
        try_size(r,
                 (struct size_remedy){.factor = mix_ups[i].factor, .words = sentence_plain(mix_ups[i].words)},
                 &best);
    return best;
}

/* ---- saying so ---- */

static const char *subject_of(const struct resized *r, struct arena *arena)
{
    return r->count == 1 ? arena_format(arena, "%s is", r->art->placed[r->first].spec->file)
                         : sentence_words(arena, "artworks-together-are",
                                          ARGUMENTS(arg_count("row_count", (int64_t)r->count)));
}

static struct finding *add_figures(const struct resized *r, const char *rest, struct findings *findings)
{
    struct rect box = union_at(r, 0, 1);
    struct text is = text_new(findings->arena);
    text_add_number(&is, rect_width(box), 1);
    text_add(&is, " x ");
    text_add_number(&is, rect_height(box), 1);
    return finding_add(findings, "artwork-size", r->surface->name, "artwork-size-on-surface-of",
                       ARGUMENTS(arg_words("subject", subject_of(r, findings->arena)),
                                 arg_words("is", text_string(&is)),
                                 arg_fixed("width_mm", r->surface->width_mm, 0),
                                 arg_fixed("height_mm", r->surface->height_mm, 0), arg_words("rest", rest)));
}

/* The artwork fits a larger surface: then it may be the surface that was written in another unit. "": it does
 * not. */
static const char *unit_words(const struct resized *r, struct arena *arena)
{
    static const struct {
        double mm;
        const char *name;
    } units[] = {{10, "centimetres"}, {MM_PER_INCH, "inches"}};
    struct rect box = union_at(r, 0, 1);
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        struct surface larger = *r->surface;
        larger.width_mm *= units[i].mm, larger.height_mm *= units[i].mm;
        if (deviation_of(&larger, box) <= practice_share("artwork-fits") &&
            surface_is_on_the_road(larger.width_mm, larger.height_mm))
            return sentence_words(arena, "or-surface-was-written-in-and",
                                  ARGUMENTS(arg_words("units", units[i].name),
                                            arg_fixed("width_mm", larger.width_mm, 0),
                                            arg_fixed("height_mm", larger.height_mm, 0)));
    }
    return "";
}

static void report_stop(const struct resized *r, const struct size_remedy *remedy, struct findings *findings)
{
    struct arena *arena = findings->arena;
    const struct artwork_spec *spec = r->art->placed[r->first].spec;
    const char *rest = remedy->words, *what = NULL;
    if (!rest && spec->width_mm > 0)
        rest = what = arena_format(arena, "width: %g", spec->width_mm * remedy->factor);
    else if (!rest && spec->resolution_ppi > 0)
        rest = what = arena_format(arena, "resolution: %g", spec->resolution_ppi / remedy->factor);
    else if (!rest)
        what = arena_format(arena, "scale: %g", remedy->scale),
        rest = arena_format(arena, "scale %g", remedy->scale);
    struct finding *f = add_figures(
        r, arena_format(arena, "; %s%s%s.", rest, remedy->words ? "" : " fits", unit_words(r, arena)),
        findings);
    f->severity = SEVERITY_STOP;
    if (what)
        f->remedy =
            sentence_words(arena, "write-for-this-artwork-in-job", ARGUMENTS(arg_words("what", what)));
}

/* ---- who is judged ---- */

/* How much of the outline the other artworks cover: more than all where they lie over each other. */
static double covered_by_others(const struct surface *surface, const struct surface_art *art, size_t but)
{
    double share = 0;
    for (size_t i = 0; i < art->count; i++)
        if (i != but) share += share_covered(surface, art->placed[i].clip);
    return share;
}

static bool stop_for(const struct resized *r, struct findings *findings)
{
    struct size_remedy remedy = find_remedy(r);
    if (remedy.deviation >= 1) return false;
    report_stop(r, &remedy, findings);
    return true;
}

/* All at the same wrong scale, or one that should cover what no other does. */
static bool find_stops(const struct surface *surface, const struct surface_art *art,
                       struct findings *findings)
{
    struct resized all = {surface, art, 0, art->count};
    if (deviation_of(surface, union_at(&all, 0, 1)) <= practice_share("artwork-fits")) return false;
    if (stop_for(&all, findings)) return true;
    bool any = false;
    for (size_t i = 0; art->count > 1 && i < art->count; i++) {
        struct resized one = {surface, art, i, 1};
        if (covered_by_others(surface, art, i) < practice_share("artwork-background"))
            any |= stop_for(&one, findings);
    }
    return any;
}

/* Artwork that is short on one side alone is told of as artwork-short. */
static void warn_of_figures(const struct surface *surface, const struct surface_art *art,
                            struct findings *findings)
{
    struct resized all = {surface, art, 0, art->count};
    struct rect box = union_at(&all, 0, 1), bleed = surface_view_box(surface);
    struct rect covered = surface_covered_box(surface);
    double off = practice_share("artwork-off");
    bool large =
        rect_width(box) > rect_width(bleed) * (1 + off) || rect_height(box) > rect_height(bleed) * (1 + off);
    bool small = rect_width(box) < rect_width(covered) * (1 - off) &&
                 rect_height(box) < rect_height(covered) * (1 - off);
    if (!large && !small) return;
    const char *unit = unit_words(&all, findings->arena);
    struct finding *f = add_figures(&all, arena_format(findings->arena, "%s.", unit), findings);
    if (*unit) f->severity = SEVERITY_STOP;
}

/* ---- what fit cuts off ---- */

static void add_cut(struct text *text, const char *where, double mm)
{
    if (mm < 0.5) return;
    text_addf(text, "%s%.0f mm %s", text->length ? ", " : "", mm, where);
}

static void judge_cropping(const struct surface *surface, const struct placed_art *p,
                           struct findings *findings)
{
    double cut = 1 - rect_area(p->clip) / rect_area(p->trim);
    struct text text = text_new(findings->arena);
    add_cut(&text, "at the left", p->clip.x0 - p->trim.x0);
    add_cut(&text, "at the right", p->trim.x1 - p->clip.x1);
    add_cut(&text, "at the top", p->trim.y1 - p->clip.y1);
    add_cut(&text, "at the bottom", p->clip.y0 - p->trim.y0);
    if (!text.length) return;
    struct finding *f =
        finding_add(findings, "artwork-cropped", surface->name, "artwork-cropped",
                    ARGUMENTS(arg_words("file", p->spec->file), arg_words("text", text_string(&text)),
                              arg_fixed("cut", cut * 100, 1)));
    if (cut < practice_share("crop-much")) f->severity = SEVERITY_NOTE;
}

void size_judge(const struct surface *surface, const struct surface_art *art, struct findings *findings)
{
    bool fitted = false;
    for (size_t i = 0; i < art->count; i++) {
        if (!art->placed[i].fitted) continue;
        fitted = true;
        judge_cropping(surface, &art->placed[i], findings);
    }
    if (surface->piece) return; /* its size is as written */
    if (!fitted && !find_stops(surface, art, findings)) warn_of_figures(surface, art, findings);
}
