/* Judges artwork as it lies on a surface: resolution, colour, spots, fonts, boxes, and whether artworks can
 * be blended together. Called after reading; size and reach are judged in size.c and reach.c. */
#include "art/art.h"
#include "base/sentence.h"
#include "base/text.h"
#include "base/units.h"
#include "model/practice.h"
#include "reach.h"
#include "size.h"
#include "technical.h"
#include <math.h>
#include <string.h>
#include <strings.h>

struct judge {
    const struct surface *surface;
    const struct surface_art *art;
    struct str profile;
    bool spots_kept;
    struct findings *findings;
};

/* ---- one artwork ---- */

static struct finding *judge_add(const struct judge *j, const struct placed_art *p, const char *code,
                                 const char *sentence)
{
    return finding_add(j->findings, code, j->surface->name, "subject-and-sentence",
                       ARGUMENTS(arg_words("file", p->spec->file), arg_words("sentence", sentence)));
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
        j->findings, "resolution-low", j->surface->name, "resolution-low",
        ARGUMENTS(arg_words("file", p->spec->file), arg_count("count", (int64_t)count),
                  arg_number("floor_ppi", floor_ppi), arg_fixed("lowest", lowest, 0),
                  arg_count("width_px", worst->width_px), arg_count("height_px", worst->height_px)));
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

/* A piece's own cut line, which is not printed. Its artwork is known by its path: read as one of the host's. */
static bool is_cut_line(const struct judge *j, const struct placed_art *p, const char *spot)
{
    const struct surface_spec *spec = j->surface->spec;
    for (size_t i = 0; spec && i < spec->piece_count; i++) {
        const struct piece_spec *piece = &spec->pieces[i];
        if (piece->artwork->path == p->spec->path && piece->cut.path == CUT_SPOT &&
            !strcasecmp(piece->cut.name, spot))
            return true;
    }
    return false;
}

/* Spot colours by what they are for: ink, or cutting, varnish and the like. */
static void judge_spots(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    struct arena *arena = j->findings->arena;
    const char **inks = arena_take_array(arena, f->spot_count, sizeof *inks),
               **cuts = arena_take_array(arena, f->spot_count, sizeof *cuts);
    size_t ink_count = 0, cut_count = 0;
    for (size_t i = 0; i < f->spot_count; i++)
        if (is_cut_line(j, p, f->spots[i]))
            continue;
        else if (spot_is_technical(f->spots[i], arena))
            cuts[cut_count++] = f->spots[i];
        else
            inks[ink_count++] = f->spots[i];
    if (ink_count) {
        struct finding *spot = judge_add(
            j, p, "spot-colour", arena_format(arena, "spot colours %s.", joined(arena, inks, ink_count)));
        if (j->spots_kept) spot->severity = SEVERITY_NOTE;
    }
    const char *kept = j->spots_kept ? sentence_plain("they-stay-in-pdf-panels")
                                     : sentence_plain("they-are-left-out-of-panels");
    if (cut_count)
        judge_add(j, p, "spot-cut",
                  sentence_words(arena, "spot-colours-for-cutting-varnish-or",
                                 ARGUMENTS(arg_words("joined", joined(arena, cuts, cut_count)),
                                           arg_words("kept", kept),
                                           arg_words("not_ink", sentence_plain("spot-not-ink")))));
    if (f->step_count)
        judge_add(j, p, "spot-cut",
                  sentence_words(arena, "layers-that-are-processing-steps-and",
                                 ARGUMENTS(arg_words("joined", joined(arena, f->steps, f->step_count)),
                                           arg_words("kept", kept),
                                           arg_words("not_ink", sentence_plain("spot-not-ink")))));
}

static void judge_colour(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    bool says_itself = f->tagged || f->colour == COLOUR_LAB; /* CIELAB is a colour, not a device's numbers */
    if (f->kind != ARTWORK_PDF && !says_itself && !p->spec->profile_path)
        judge_add(j, p, "no-profile",
                  f->colour == COLOUR_CMYK ? sentence_plain("cmyk-without-profile-its-numbers-are")
                                           : sentence_plain("no-colour-profile-it-is-taken"));
    if (f->kind == ARTWORK_PDF && f->uses_rgb_untagged)
        judge_add(j, p, "no-profile", sentence_plain("uses-rgb-without-profile-it-is"));
    if (f->uses_rgb && f->uses_cmyk)
        judge_add(j, p, "mixed-colour", sentence_plain("uses-both-rgb-and-cmyk"));
    judge_spots(j, p);
    if (f->white_overprints)
        judge_add(j, p, "white-overprint", sentence_plain("white-object-is-set-to-overprint"));
    if (f->has_transfer)
        judge_add(j, p, "transfer-curves", sentence_plain("carries-transfer-functions-or-halftones"));
}

static void judge_output_intent(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    if (!f->output_intent) return;
    bool same = f->output_intent_profile_size == j->profile.length && j->profile.length &&
                !memcmp(f->output_intent_profile, j->profile.bytes, j->profile.length);
    if (same) return;
    const struct condition *condition = j->surface->condition;
    finding_add(j->findings, "output-intent-differs", j->surface->name, "output-intent-differs",
                ARGUMENTS(arg_words("file", p->spec->file), arg_words("output_intent", f->output_intent),
                          arg_words("condition", condition ? condition->name : "none")));
}

static void judge_annotations(const struct judge *j, const struct placed_art *p)
{
    for (size_t i = 0; i < p->facts->annotation_count; i++) {
        const struct annotation_facts *a = &p->facts->annotations[i];
        struct rect box = affine_apply_rect(p->to_surface, a->box);
        bool says = *a->words;
        struct finding *f =
            finding_add(j->findings, "annotation-left-out", j->surface->name, "annotation-left-out",
                        ARGUMENTS(arg_words("file", p->spec->file),
                                  arg_words("kind", strcmp(a->kind, "Widget") ? a->kind : "form field"),
                                  arg_words("words", a->words), arg_fixed("box_x0", box.x0, 0),
                                  arg_fixed("box_x1", box.x1, 0), arg_fixed("box_y0", box.y0, 0),
                                  arg_fixed("box_y1", box.y1, 0), arg_flag("says", says)));
        f->has_box = j->art != NULL, f->box = box;
    }
}

static void judge_pdf(const struct judge *j, const struct placed_art *p)
{
    const struct artwork_facts *f = p->facts;
    struct arena *arena = j->findings->arena;
    if (f->fonts_missing_count)
        judge_add(j, p, "fonts-missing",
                  sentence_words(arena, "fonts-not-embedded-joined",
                                 ARGUMENTS(arg_words(
                                     "joined", joined(arena, f->fonts_missing, f->fonts_missing_count)))));
    if (f->layers_hidden_count)
        judge_add(j, p, "layers-hidden",
                  sentence_words(arena, "layers-switched-off-joined",
                                 ARGUMENTS(arg_words(
                                     "joined", joined(arena, f->layers_hidden, f->layers_hidden_count)))));
    if (f->marks_in_bleed && !p->fitted)
        judge_add(j, p, "artwork-boxes", sentence_plain("has-crop-marks-and-no-bleedbox"))->remedy =
            sentence_plain("ask-for-file-with-bleedbox-or");
    judge_annotations(j, p);
    if (f->page_count > 1)
        judge_add(
            j, p, "artwork-pages",
            sentence_words(arena, "has-pages-page-is-used",
                           ARGUMENTS(arg_count("pages", f->page_count), arg_count("page", p->spec->page))));
}

static void judge_place(const struct judge *j, const struct placed_art *p)
{
    struct rect box = surface_bleed_box(j->surface);
    bool unsized = p->facts->kind != ARTWORK_PDF && p->facts->x_ppi <= 0 && p->spec->fit == FIT_NONE &&
                   !(p->spec->width_mm > 0) && !(p->spec->resolution_ppi > 0);
    if (unsized) judge_add(j, p, "artwork-size", sentence_plain("does-not-say-its-resolution-so"));
    if (!rect_overlaps(p->clip, box))
        finding_add(j->findings, "artwork-size", j->surface->name, "artwork-size-lies-wholly-beside-surface",
                    ARGUMENTS(arg_words("file", p->spec->file), arg_fixed("trim_x0", p->trim.x0, 0),
                              arg_fixed("trim_y0", p->trim.y0, 0), arg_fixed("trim_x1", p->trim.x1, 0),
                              arg_fixed("trim_y1", p->trim.y1, 0)));
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
    struct finding *f = judge_add(
        j, p, "artwork-mirrored",
        sentence_words(j->findings->arena, "line-of-lettering-read-backwards",
                       ARGUMENTS(arg_count("count", (int64_t)count), arg_words("mistake", first->words),
                                 arg_flag("count_2", count > 1))));
    f->has_box = true, f->box = affine_apply_rect(p->to_surface, first->box);
}

static void judge_remarks(const struct judge *j, const struct placed_art *p)
{
    for (size_t i = 0; i < p->facts->remark_count; i++)
        judge_add(j, p, "artwork-remark", p->facts->remarks[i]);
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
            judge_add(j, &art->placed[i], "artwork-groups",
                      sentence_words(
                          j->findings->arena, "its-transparent-parts-are-mixed-in",
                          ARGUMENTS(arg_words("space", space), arg_flag("several", strstr(space, "Gray")))));
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
