#include "art/art.h"
#include "base/text.h"
#include "base/units.h"
#include "model/practice.h"
#include "reach.h"
#include "size.h"
#include "technical.h"
#include <math.h>
#include <string.h>

struct judge {
    const struct surface *surface;
    const struct surface_art *art;
    struct str profile;
    bool spots_kept;
    struct findings *findings;
};

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
        if (raster) ppi = p->facts->width_px * MM_PER_INCH / rect_width(p->media);
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
    f->about = p->spec->file, f->figure = lowest, f->low_is_worse = true;
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

static const char *const not_ink = "counted as no ink here";

/* Spot colours by what they are for: ink, or cutting, varnish and the like. */
static void judge_spots(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    struct arena *arena = j->findings->arena;
    const char **inks = arena_take_array(arena, f->spot_count, sizeof *inks),
               **cuts = arena_take_array(arena, f->spot_count, sizeof *cuts);
    size_t ink_count = 0, cut_count = 0;
    for (size_t i = 0; i < f->spot_count; i++)
        if (spot_is_technical(f->spots[i], arena))
            cuts[cut_count++] = f->spots[i];
        else
            inks[ink_count++] = f->spots[i];
    if (ink_count) {
        struct finding *spot =
            add(j, p, "spot-colour", arena_format(arena, "spot colours %s.", joined(arena, inks, ink_count)));
        if (j->spots_kept) spot->severity = SEVERITY_NOTE;
    }
    const char *kept = j->spots_kept ? "they stay in the PDF panels" : "they are left out of the panels";
    if (cut_count)
        add(j, p, "spot-cut",
            arena_format(arena, "spot colours for cutting, varnish or the like: %s; %s, and %s.",
                         joined(arena, cuts, cut_count), kept, not_ink));
    if (f->step_count)
        add(j, p, "spot-cut",
            arena_format(arena, "layers that are processing steps: %s; %s, and %s.",
                         joined(arena, f->steps, f->step_count), kept, not_ink));
}

static void judge_colour(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    bool says_itself = f->tagged || f->colour == COLOUR_LAB; /* CIELAB is a colour, not a device's numbers */
    if (f->kind != ARTWORK_PDF && !says_itself && !p->spec->profile_path)
        add(j, p, "no-profile",
            f->colour == COLOUR_CMYK ? "CMYK without a profile; its numbers are printed as they are."
                                     : "no colour profile; it is taken as sRGB.");
    if (f->kind == ARTWORK_PDF && f->uses_rgb_untagged)
        add(j, p, "no-profile", "uses RGB without a profile; it is taken as sRGB.");
    if (f->uses_rgb && f->uses_cmyk) add(j, p, "mixed-colour", "uses both RGB and CMYK.");
    judge_spots(j, p);
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

static void judge_annotations(const struct judge *j, const struct placed_art *p)
{
    for (size_t i = 0; i < p->facts->annotation_count; i++) {
        const struct annotation_facts *a = &p->facts->annotations[i];
        struct rect box = affine_apply_rect(p->to_surface, a->box);
        bool says = *a->words;
        struct finding *f =
            finding_add(j->findings, "annotation-left-out", j->surface->name,
                        "%s: a %s%s%s%s at x %.0f to %.0f mm, y %.0f to %.0f mm is laid over the page and is "
                        "not on the panels.",
                        p->spec->file, strcmp(a->kind, "Widget") ? a->kind : "form field", says ? " \"" : "",
                        a->words, says ? "\"" : "", box.x0, box.x1, box.y0, box.y1);
        f->has_box = j->art != NULL, f->box = box;
    }
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
    if (f->marks_in_bleed && !p->fitted)
        add(j, p, "artwork-boxes",
            "has crop marks and no BleedBox: all of the page is printed, and the marks with it where they "
            "stand in the bleed.")
            ->remedy = "Ask for the file with a BleedBox, or without marks.";
    judge_annotations(j, p);
    if (f->page_count > 1)
        add(j, p, "artwork-pages",
            arena_format(arena, "has %d pages; page %d is used.", f->page_count, p->spec->page));
}

static void judge_place(const struct judge *j, const struct placed_art *p)
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

static void judge_mirrored(const struct judge *j, const struct placed_art *p)
{
    const struct text_line *first = NULL;
    size_t count = 0;
    for (size_t i = 0; i < p->facts->line_count; i++) {
        const struct text_line *line = &p->facts->lines[i];
        struct rect box = affine_apply_rect(p->to_surface, line->box);
        if (!line->mirrored || !rect_overlaps(box, p->clip)) continue;
        first = first ? first : line;
        count++;
    }
    if (!first) return;
    struct finding *f = add(
        j, p, "artwork-mirrored",
        arena_format(j->findings->arena, "%zu line%s of lettering read%s backwards: \"%s\"%s.", count,
                     count == 1 ? "" : "s", count == 1 ? "s" : "", first->words, count > 1 ? " ..." : ""));
    f->has_box = true, f->box = affine_apply_rect(p->to_surface, first->box);
}

static void judge_remarks(const struct judge *j, const struct placed_art *p)
{
    for (size_t i = 0; i < p->facts->remark_count; i++) add(j, p, "artwork-remark", p->facts->remarks[i]);
}

void art_judge_file(const struct artwork_facts *facts, const char *subject, struct findings *findings)
{
    const struct surface nowhere = {.name = subject};
    const struct artwork_spec spec = {.file = subject, .page = 1};
    const struct placed_art placed = {.spec = &spec, .facts = facts, .to_surface = affine_identity};
    struct judge judge = {.surface = &nowhere, .spots_kept = true, .findings = findings};
    judge_colour(&judge, &placed);
    judge_pdf(&judge, &placed);
    judge_remarks(&judge, &placed);
}

static void judge_one(const struct judge *j, const struct placed_art *p)
{
    judge_place(j, p);
    judge_resolution(j, p);
    judge_colour(j, p);
    judge_output_intent(j, p);
    judge_pdf(j, p);
    judge_mirrored(j, p);
    judge_remarks(j, p);
}

/* Each artwork on a panel with others blends for itself (pdf/panels.h): one that mixes in a space of its own
 * is exact alone, or with others that mix in the same. */
static void judge_blending(const struct judge *j)
{
    const struct surface_art *art = j->art;
    const char *first = art->count ? art->placed[0].facts->blend_space : NULL;
    bool alike = true;
    for (size_t i = 1; i < art->count; i++) {
        const char *space = art->placed[i].facts->blend_space;
        alike = alike && (first && space ? !strcmp(first, space) : first == space);
    }
    for (size_t i = 0; i < art->count && !alike; i++) {
        const char *space = art->placed[i].facts->blend_space;
        if (space)
            add(j, &art->placed[i], "artwork-groups",
                arena_format(
                    j->findings->arena,
                    "its transparent parts are mixed in %s, those of other artwork here are not.%s", space,
                    strstr(space, "Gray") ? " All of it may print in other colours than alone." : ""));
    }
}

void art_judge(const struct surface *surface, const struct surface_art *art, struct str condition_profile,
               bool spots_kept, struct findings *findings)
{
    struct judge judge = {surface, art, condition_profile, spots_kept, findings};
    for (size_t i = 0; i < art->count; i++) judge_one(&judge, &art->placed[i]);
    judge_blending(&judge);
    if (!art->count) return;
    size_judge(surface, art, findings);
    reach_judge(surface, art, findings);
}
