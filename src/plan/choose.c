/* Chooses the seams of one surface, makes its panels, and raises the findings about them. Called by
 * cache.c; searching is candidate.c's, panels are made in panels.c. */
#include "choose.h"
#include "base/sentence.h"
#include "base/str.h"
#include "base/text.h"
#include "remedy.h"
#include "cache.h"
#include "ribs.h"
#include "rolls.h"
#include "candidate.h"
#include <assert.h>
#include <math.h>

struct chooser {
    struct candidate_search search;
    const struct surface *surface;
    const struct surface_spec *spec;
    const struct condition *condition;
    struct findings *findings;
    struct arena *arena;
    const char *remedy; /* for a surface without a candidate, or NULL */
};

/* ---- no candidate ---- */

static const char *blocking_words(const struct chooser *chooser, const struct frame *frame, int from, int to)
{
    struct text words = text_new(chooser->arena);
    const struct surface *s = chooser->surface;
    for (size_t i = 0, said = 0; i < s->feature_count && said < 6; i++) {
        const struct feature *f = &s->features[i];
        struct rect box = frame_turn(frame, f->box);
        double margin = feature_margin_mm(f);
        bool blocks = feature_forbids_seam(f->kind) || feature_types[f->kind].seams == SEAMS_ON_RIBS;
        if (!blocks || box.x1 + margin <= from || box.x0 - margin >= to) continue;
        text_addf(&words, "%s%s", said++ ? ", " : "", remedy_feature_words(frame, f, chooser->arena));
    }
    return text_string(&words);
}

static void say_blocked(const struct chooser *chooser, const struct field *field, double usable_mm)
{
    const char *axis = field->frame.upright ? "x" : "y", *lie = field->frame.upright ? "upright" : "lying";
    struct seam_problem problem = field_problem(field, usable_mm);
    int from = 0, to = problem.positions;
    seams_blocked(&problem, &from, &to);
    from += field->frame.first, to += field->frame.first;
    const char *blocking = blocking_words(chooser, &field->frame, from, to);
    const char *because = *blocking                 ? blocking
                          : chooser->surface->glass ? sentence_plain("glass-where-seam-may-only-stand")
                                                    : sentence_plain("bleed-and-overlap-leave-too-little");
    struct finding *finding = finding_add(
        chooser->findings, "no-seam-possible", chooser->surface->name, "no-seam-possible-with-panels-no-seam",
        ARGUMENTS(arg_words("run", lie), arg_words("axis", axis), arg_count("from", from),
                  arg_count("path", to), arg_fixed("usable_mm", usable_mm, 0),
                  arg_words("because", because)));
    finding->has_box = true;
    finding->box = frame_turn(&field->frame, (struct rect){from, 0, to, field->frame.along_mm});
    if (chooser->remedy) finding->remedy = chooser->remedy;
}

static void say_fixed_too_wide(const struct chooser *chooser, const struct field *field, double usable_mm)
{
    struct candidate candidate = {.field = field, .cuts = candidate_fixed_cuts(&chooser->search, field)};
    double widest = candidate_widest(&candidate);
    finding_add(chooser->findings, "no-seam-possible", chooser->surface->name,
                "no-seam-possible-seams-fixed-in-job",
                ARGUMENTS(arg_fixed("widest", widest, 0), arg_fixed("usable_mm", usable_mm, 0)))
        ->remedy = chooser->remedy ? chooser->remedy : sentence_plain("move-fixed-seams-or-add-one");
}

static void say_no_candidate(struct chooser *chooser)
{
    const struct film *film = chooser->condition->film;
    chooser->remedy = cache_remedy(chooser->search.cache, &chooser->search);
    double usable = film->width_count
                        ? candidate_planned_mm(&chooser->search, film->widths_mm[film->width_count - 1])
                        : 0;
    for (int i = 0; i < 2; i++) {
        if (!chooser->search.tried[i]) continue;
        if (chooser->spec && chooser->spec->seams_fixed)
            say_fixed_too_wide(chooser, &chooser->search.fields[i], usable);
        else
            say_blocked(chooser, &chooser->search.fields[i], usable);
    }
}

/* ---- findings about the chosen candidate ---- */

static void judge_fixed(const struct chooser *chooser, const struct candidate *candidate)
{
    for (size_t i = 0; i < candidate->cuts.count; i++) {
        const struct seam_cut *cut = &candidate->cuts.items[i];
        const struct feature *f = cut->context.forbids;
        if (!cut->fixed || !f) continue;
        bool whole = feature_types[f->kind].of_artwork;
        const char *name = f->name ? f->name : feature_kind_name(f->kind);
        struct finding *finding =
            finding_add(chooser->findings, whole ? "keep-whole-cut" : "seam-crosses", chooser->surface->name,
                        "seam-fixed-at",
                        ARGUMENTS(arg_number("at", cut->at), arg_words("name", name),
                                  arg_fixed("box_x0", frame_turn(&candidate->field->frame, f->box).x0, 0),
                                  arg_fixed("box_x1", frame_turn(&candidate->field->frame, f->box).x1, 0),
                                  arg_flag("whole", whole)));
        finding->severity = SEVERITY_WARN; /* a person decided it */
        finding->has_box = true, finding->box = f->box;
    }
}

static void judge_shaped(const struct chooser *chooser, const struct candidate *candidate)
{
    for (size_t i = 0; i < candidate->cuts.count; i++) {
        const struct seam_cut *cut = &candidate->cuts.items[i];
        const char *axis = candidate->field->frame.upright ? "x" : "y";
        if (cut->context.shaped_mm > 0) {
            struct finding *finding =
                finding_add(chooser->findings, "seam-crosses", chooser->surface->name,
                            "seam-crosses-seam-at-runs-through",
                            ARGUMENTS(arg_words("axis", axis), arg_number("at", cut->at),
                                      arg_fixed("shaped_mm", cut->context.shaped_mm, 0)));
            finding->about = sentence_words(chooser->arena, "seam-axis-at-shaped",
                                            ARGUMENTS(arg_words("axis", axis), arg_number("at", cut->at)));
            finding->figure = cut->context.shaped_mm;
        }
        if (cut->fixed && cut->context.off_crest && !cut->context.band_off_crest)
            finding_add(chooser->findings, "seam-crosses", chooser->surface->name,
                        "seam-crosses-seam-fixed-at-lies",
                        ARGUMENTS(arg_words("axis", axis), arg_number("at", cut->at)));
        if (cut->fixed && chooser->surface->glass && !context_is_whole_gap(&cut->context))
            finding_add(chooser->findings, "seam-crosses", chooser->surface->name,
                        "seam-crosses-seam-fixed-at-is",
                        ARGUMENTS(arg_words("axis", axis), arg_number("at", cut->at)));
    }
}

/* "a door gap", "the window", "the surface's edge" */
static const char *edge_words(const struct feature *beside)
{
    if (!beside) return "the surface's edge";
    return beside->name ? beside->name : beside->kind == FEATURE_GAP ? "a door gap" : "an opening";
}

static void judge_sliver(const struct chooser *chooser, const struct field *field, const struct seam_cut *cut)
{
    const struct seam_context *context = &cut->context;
    double overlap = chooser->surface->overlap_mm;
    double hidden = context->low_over ? cut->at - overlap : cut->at + overlap;
    const char *axis = field->frame.upright ? "x" : "y";
    if (context->sliver_mm <= 0) return;
    struct finding *finding = finding_add(chooser->findings, "sliver", chooser->surface->name, "sliver",
                                          ARGUMENTS(arg_words("axis", axis), arg_number("at", cut->at),
                                                    arg_fixed("sliver_width_mm", context->sliver_width_mm, 0),
                                                    arg_fixed("sliver_mm", context->sliver_mm, 0),
                                                    arg_words("edge", edge_words(context->sliver_beside)),
                                                    arg_number("sliver_mm_2", field->weights.sliver_mm)));
    finding->about = sentence_words(chooser->arena, "seam-axis-at-sliver",
                                    ARGUMENTS(arg_words("axis", axis), arg_number("at", cut->at)));
    finding->figure = context->sliver_width_mm, finding->low_is_worse = true;
    finding->source = chooser->search.job->shop->seams.gap_sliver_mm.source;
    finding->has_box = true;
    finding->box = frame_turn(&field->frame, (struct rect){fmin(cut->at, hidden), context->low,
                                                           fmax(cut->at, hidden), context->high});
}

static void judge_slivers(const struct chooser *chooser, const struct candidate *candidate)
{
    for (size_t i = 0; i < candidate->cuts.count; i++)
        judge_sliver(chooser, candidate->field, &candidate->cuts.items[i]);
    for (size_t i = 0; candidate->crossings && i <= candidate->cuts.count; i++)
        for (size_t k = 0; k < candidate->crossings[i].cuts.count; k++)
            judge_sliver(chooser, &candidate->crossings[i].field, &candidate->crossings[i].cuts.items[k]);
}

static void judge_ribs(const struct chooser *chooser, const struct candidate *candidate)
{
    ribs_judge(candidate->field, &candidate->cuts, chooser->findings);
    for (size_t i = 0; candidate->crossings && i <= candidate->cuts.count; i++)
        ribs_judge(&candidate->crossings[i].field, &candidate->crossings[i].cuts, chooser->findings);
}

/* One finding for the surface, whoever placed the seams: "x 2838 mm (lettering "Library"), x ...". */
static void judge_letters(const struct chooser *chooser, const struct surface_plan *plan)
{
    struct text text = text_new(chooser->arena);
    struct rect box = {0};
    for (size_t i = 0; i < plan->seam_count; i++) {
        const struct seam *seam = &plan->seams[i];
        if (!seam->letters_count) continue;
        text_addf(&text, "%s%s %g mm (", text.length ? ", " : "", seam->axis == AXIS_X ? "x" : "y",
                  seam->at_mm);
        for (size_t k = 0; k < seam->letters_count; k++)
            text_addf(&text, "%s%s", k ? ", " : "", lettering_name(seam->letters[k], chooser->arena));
        text_add(&text, ")");
        box = seam->letters[0]->box;
    }
    if (!text.length) return;
    struct finding *finding = finding_add(chooser->findings, "seam-crosses", chooser->surface->name,
                                          "seam-crosses-seams-run-through-lettering",
                                          ARGUMENTS(arg_words("text", text_string(&text))));
    finding->has_box = true, finding->box = box;
    finding->on_artwork = true;
}

static void judge_panels(const struct chooser *chooser, const struct candidate *candidate,
                         const struct surface_plan *plan)
{
    struct longest longest = rolls_longest_mm(chooser->condition, chooser->search.job->shop);
    double least = candidate_least_panel(&chooser->search);
    for (size_t i = 0; i < plan->panel_count; i++) {
        const struct panel *panel = &plan->panels[i];
        const char *where = arena_format(chooser->arena, "%s/%s", chooser->surface->name, panel->id);
        struct rect visible = frame_turn(&candidate->field->frame, panel->visible);
        if (panel->print_length_mm > longest.mm + 1e-6)
            finding_add(chooser->findings, "panel-too-long", where, "panel-too-long",
                        ARGUMENTS(arg_words("panel", panel->id),
                                  arg_fixed("print_length_mm", panel->print_length_mm, 0),
                                  arg_words("what", longest.what), arg_words("longest", longest.name),
                                  arg_fixed("length_mm", longest.mm, 0)));
        if (plan->panel_count > 1 && rect_width(visible) < least - 1e-6)
            finding_add(chooser->findings, "panel-narrow", where, "panel-narrow",
                        ARGUMENTS(arg_words("panel", panel->id),
                                  arg_fixed("width_mm", rect_width(visible), 0),
                                  arg_fixed("least", least, 0)));
    }
}

static void judge_cover(const struct chooser *chooser, const struct candidate *candidate)
{
    const struct film *laminate = chooser->condition->laminate;
    double widest = candidate_widest(candidate);
    if (candidate->uncovered)
        finding_add(chooser->findings, "width-short", chooser->surface->name, "width-short",
                    ARGUMENTS(arg_fixed("widest", widest, 0), arg_words("laminate", laminate->name),
                              arg_fixed("width_count", laminate->widths_mm[laminate->width_count - 1], 0)));
}

static bool runs_across(const struct frame *frame, const struct panel *panel, const struct feature *feature)
{
    struct rect gap = frame_turn(frame, feature->box), visible = frame_turn(frame, panel->visible);
    return feature->kind == FEATURE_GAP && gap.x1 > visible.x0 + 1 && gap.x0 < visible.x1 - 1 &&
           gap.y1 > visible.y0 && gap.y0 < visible.y1;
}

/* A panel that runs across a door gap is cut there when it is on: one finding names them all. */
static void judge_gaps(const struct chooser *chooser, const struct frame *frame,
                       const struct surface_plan *plan)
{
    const struct surface *s = chooser->surface;
    struct text names = text_new(chooser->arena);
    size_t count = 0;
    if (s->piece && s->piece->apart) return; /* no film lies over them */
    for (size_t i = 0; i < plan->panel_count; i++) {
        bool across = false;
        for (size_t k = 0; k < s->feature_count; k++) {
            if (across || !runs_across(frame, &plan->panels[i], &s->features[k])) continue;
            const char *gap = s->features[k].name;
            text_addf(&names, "%s%s across %s", count++ ? ", " : "", plan->panels[i].id,
                      gap ? gap : "a door gap");
            across = true;
        }
    }
    if (count)
        finding_add(chooser->findings, "cut-line", s->name, "cut-line",
                    ARGUMENTS(arg_words("names", text_string(&names))));
}

/* Seams fixed by hand say what the best ones would save on this surface. */
static void price_fixed(const struct chooser *chooser, const struct candidate *candidate,
                        struct surface_plan *plan)
{
    struct kept_price best = cache_free_price(chooser->search.cache, &chooser->search);
    double saved = (double)(candidate_money(candidate) - best.money) / 1e6;
    if (!best.possible || saved < 0.01) return;
    for (size_t i = 0; i < plan->seam_count; i++)
        if ((plan->seams[i].axis == AXIS_X) == candidate->field->frame.upright)
            plan->seams[i].why =
                reason_say(chooser->arena, "fixed-by-hand-in-job-file",
                           ARGUMENTS(arg_fixed("saved", saved, 2),
                                     arg_words("currency", chooser->search.job->shop->currency)));
}

/* "left-1, left-2 on 1370 mm; left-3 on 1520 mm" */
static const char *width_words(const struct chooser *chooser, const struct surface_plan *plan, size_t widths)
{
    struct text words = text_new(chooser->arena);
    for (size_t w = 0; w < widths; w++) {
        double width = surface_width_mm(plan, w);
        size_t said = 0;
        for (size_t i = 0; i < plan->panel_count; i++)
            if (plan->panels[i].roll_width_mm == width)
                text_addf(&words, "%s%s", said++ ? ", " : w ? "; " : "", plan->panels[i].id);
        text_addf(&words, " on %g mm", width);
    }
    return text_string(&words);
}

static void judge_widths(const struct chooser *chooser, const struct surface_plan *plan)
{
    size_t widths = surface_width_count(plan);
    if (widths > 1)
        finding_add(chooser->findings, "widths-mixed", chooser->surface->name, "widths-mixed",
                    ARGUMENTS(arg_count("widths", (int64_t)widths),
                              arg_words("width", width_words(chooser, plan, widths))));
}

/* The lines that were found, for people to see. */
static void show_letters(const struct chooser *chooser, const struct field *field, struct surface_plan *plan)
{
    struct letterings found = letterings_of(chooser->search.input, chooser->arena);
    plan->letterings = found.items, plan->lettering_count = found.count;
    lettering_judge(chooser->surface, &found, chooser->findings);
    for (size_t i = 0; field && i < found.count; i++)
        found.items[i].kept =
            rect_width(frame_turn(&field->frame, found.items[i].box)) < field->letters_forbid_mm;
}

static void chooser_use(const struct chooser *chooser, const struct candidate *candidate,
                        struct surface_plan *plan)
{
    plan->direction = candidate->field->frame.upright ? RUN_UPRIGHT : RUN_LYING;
    plan->roll_width_mm = candidate_roll_mm(candidate);
    plan->usable_mm = candidate_usable_mm(chooser->condition, plan->roll_width_mm);
    panels_make(candidate->field, &candidate->cuts, candidate->crossings, chooser->search.job, plan);
    if (chooser->spec && chooser->spec->seams_fixed) price_fixed(chooser, candidate, plan);
    judge_fixed(chooser, candidate);
    judge_shaped(chooser, candidate);
    judge_slivers(chooser, candidate);
    judge_ribs(chooser, candidate);
    judge_letters(chooser, plan);
    judge_panels(chooser, candidate, plan);
    judge_cover(chooser, candidate);
    judge_gaps(chooser, &candidate->field->frame, plan);
    inlays_judge(plan, chooser->findings);
    judge_widths(chooser, plan);
    panels_judge(chooser->search.input, chooser->search.job, plan, chooser->findings);
}

void choose_surface(const struct plan_input *input, size_t index, enum goal goal, struct plan_cache *cache,
                    struct surface_plan *plans, struct findings *findings)
{
    const struct surface *surface = input->surfaces[index].surface;
    struct chooser chooser = {.search = {.input = &input->surfaces[index],
                                         .job = input->job,
                                         .goal = goal,
                                         .neighbours = {input, plans, index},
                                         .cache = cache,
                                         .arena = findings->arena},
                              .surface = surface,
                              .spec = surface->spec,
                              .condition = surface->condition,
                              .findings = findings,
                              .arena = findings->arena};
    assert(chooser.condition);
    enum panels_run direction = chooser.spec ? chooser.spec->panels : RUN_UPRIGHT;
    struct surface_plan *plan = &plans[index];
    *plan = (struct surface_plan){.surface = surface,
                                  .direction = direction == RUN_AUTO ? RUN_UPRIGHT : direction};
    plan->feed_percent = feed_percent_of(input->job, surface->condition);
    struct candidate best = candidate_find(&chooser.search);
    show_letters(&chooser, best.field, plan);
    if (best.possible)
        chooser_use(&chooser, &best, plan);
    else
        say_no_candidate(&chooser);
}
