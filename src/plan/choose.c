#include "choose.h"
#include "model/practice.h"
#include "plan/plan.h"
#include "base/str.h"
#include "base/text.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

#define MM_PER_INCH 25.4

enum { NEIGHBOUR_MM = 50 }; /* seams tell what they would cost so far to either side */

/* One way to cut the surface: a direction, a roll, seams. */
struct way {
    bool possible;
    const struct field *field;
    double roll_mm, usable_mm; /* usable: what panels may take */
    struct cuts cuts;
    bool narrow;    /* a panel is narrower than the least */
    bool too_long;  /* a panel is longer than the printer prints */
    bool uncovered; /* the laminate is narrower than the print */
    int64_t cost;   /* seams, film and laminate, millionths */
};

struct chooser {
    const struct surface_input *input;
    const struct surface *surface;
    const struct surface_spec *spec;
    const struct condition *condition;
    const struct job *job;
    struct findings *findings;
    struct arena *arena;
    struct field fields[2]; /* upright, lying */
    bool tried[2];
};

static double usable_on(const struct condition *condition, double roll_mm)
{
    return fmin(roll_mm, condition->printer->media_width_mm) - 2 * condition->printer->edge_mm;
}

/* What panels may take of it. Pixels of a TIFF are rounded outward: up to one at each side. */
static double planned_on(const struct condition *condition, const struct job *job, double roll_mm)
{
    double usable = usable_on(condition, roll_mm);
    bool pixels = job->format == FORMAT_TIFF && job->resolution_ppi > 0;
    return pixels ? usable - 2 * MM_PER_INCH / job->resolution_ppi : usable;
}

static double least_panel(const struct chooser *chooser)
{
    double written = chooser->spec ? chooser->spec->least_panel_mm : 0;
    return written > 0 ? written : practice_value("least-panel").value;
}

/* ---- seams by hand ---- */

static int by_place(const void *one, const void *other)
{
    double a = ((const struct cut *)one)->at, b = ((const struct cut *)other)->at;
    return (a > b) - (a < b);
}

static struct cut fixed_cut(const struct field *field, const struct fixed_seam *seam)
{
    struct cut cut = {.at = seam->at_mm, .fixed = true, .before = -1, .after = -1};
    cut.look = field_look(field, seam->at_mm);
    cut.low_over = cut.look.low_over;
    cut.gap = cut.look.gap && !seam->over;
    if (seam->over) cut.low_over = string_equal(seam->over, "left") || string_equal(seam->over, "lower");
    return cut;
}

static bool named_before(const struct cuts *cuts, double at)
{
    for (size_t i = 0; i < cuts->count; i++)
        if (fabs(cuts->items[i].at - at) < 1e-6) return true;
    return false;
}

/* Seams outside the surface, and one place named twice, are left out. */
static struct cuts fixed_cuts(const struct chooser *chooser, const struct field *field)
{
    struct cuts cuts = {arena_take_array(chooser->arena, chooser->spec->seam_count, sizeof *cuts.items), 0};
    for (size_t i = 0; i < chooser->spec->seam_count; i++) {
        double at = chooser->spec->seams[i].at_mm;
        if (at > 0 && at < field->frame.across_mm && !named_before(&cuts, at))
            cuts.items[cuts.count++] = fixed_cut(field, &chooser->spec->seams[i]);
    }
    qsort(cuts.items, cuts.count, sizeof *cuts.items, by_place);
    return cuts;
}

/* ---- seams by the optimiser ---- */

static bool stands_at(const struct field *field, int at)
{
    return at > 0 && at < field->frame.positions && field->cost[at] != SEAM_FORBIDDEN;
}

/* What the seam would cost at `at` with its neighbours where they are; < 0: not possible there. */
static int64_t cost_at(const struct field *field, const struct seam_problem *problem, int below, int at,
                       int above)
{
    bool possible = at > below && at < above && stands_at(field, at) && seams_fit(problem, below, at) &&
                    seams_fit(problem, at, above);
    return possible ? field->cost[at] : -1;
}

static struct cuts chosen_cuts(const struct chooser *chooser, const struct field *field,
                               const struct seam_problem *problem, const int *at, size_t count)
{
    struct cuts cuts = {arena_take_array(chooser->arena, count, sizeof *cuts.items), count};
    for (size_t i = 0; i < count; i++) {
        int below = i ? at[i - 1] : 0, above = i + 1 < count ? at[i + 1] : problem->positions;
        struct look look = field_look(field, at[i]);
        cuts.items[i] = (struct cut){.at = at[i], .gap = look.gap, .low_over = look.low_over, .look = look};
        cuts.items[i].before = cost_at(field, problem, below, at[i] - NEIGHBOUR_MM, above);
        cuts.items[i].after = cost_at(field, problem, below, at[i] + NEIGHBOUR_MM, above);
    }
    return cuts;
}

/* Equal spacing: the fewest panels for which every seam may stand and every panel fits. */
static bool solve_even(const struct chooser *chooser, const struct field *field,
                       const struct seam_problem *problem, struct cuts *cuts)
{
    enum { EVEN_MOST = 64 };
    int at[EVEN_MOST];
    for (int panels = 1; panels <= EVEN_MOST && panels <= problem->positions; panels++) {
        bool good = true;
        for (int i = 0, before = 0; good && i < panels; i++, before = at[i - 1]) {
            at[i] =
                i + 1 < panels ? (int)lround(field->frame.across_mm * (i + 1) / panels) : problem->positions;
            good = (i + 1 == panels || stands_at(field, at[i])) && seams_fit(problem, before, at[i]);
        }
        if (!good) continue;
        *cuts = chosen_cuts(chooser, field, problem, at, (size_t)panels - 1);
        return true;
    }
    return false;
}

/* The fewest panels that fit; among these none narrower than the least, if that can be. */
static bool solve_best(const struct chooser *chooser, const struct field *field, struct seam_problem problem,
                       struct cuts *cuts)
{
    struct seam_answer answer = seams_solve(&problem, chooser->arena);
    if (!answer.possible) return false;
    problem.panels = answer.panels;
    problem.least = (int)ceil(least_panel(chooser));
    struct seam_answer wide = seams_solve(&problem, chooser->arena);
    if (wide.possible) answer = wide;
    *cuts = chosen_cuts(chooser, field, &problem, answer.at, (size_t)answer.panels - 1);
    return true;
}

/* ---- judging a way ---- */

static void strip_of_way(const struct way *way, size_t i, double *u0, double *u1)
{
    const struct frame *frame = &way->field->frame;
    const struct cut *cuts = way->cuts.items;
    *u0 = i ? cuts[i - 1].at - cut_beyond(frame->surface, &cuts[i - 1], false) : -frame->bleed_low;
    *u1 = i < way->cuts.count ? cuts[i].at + cut_beyond(frame->surface, &cuts[i], true)
                              : frame->across_mm + frame->bleed_high;
}

/* What a strip needs of the film's width, a followed corrugation developed. */
static double strip_width(const struct way *way, double u0, double u1)
{
    return frame_place(&way->field->frame, u1) - frame_place(&way->field->frame, u0);
}

static bool way_fits(const struct way *way)
{
    for (size_t i = 0; i <= way->cuts.count; i++) {
        double u0, u1;
        strip_of_way(way, i, &u0, &u1);
        if (strip_width(way, u0, u1) > way->usable_mm + 1e-6) return false;
    }
    return true;
}

static void price_way(const struct chooser *chooser, struct way *way)
{
    const struct film *film = chooser->condition->film, *laminate = chooser->condition->laminate;
    double length = 0, widest = 0;
    for (size_t i = 0; i <= way->cuts.count; i++) {
        double u0, u1;
        strip_of_way(way, i, &u0, &u1);
        double one = strip_length(&way->field->frame, u0, u1, chooser->job);
        way->too_long |= one > chooser->condition->printer->max_length_mm + 1e-6;
        length += one;
        widest = fmax(widest, strip_width(way, u0, u1));
        if (i < way->cuts.count) way->cost += way->cuts.items[i].look.cost;
    }
    double price = (double)film->price_per_m2 + (laminate ? (double)laminate->price_per_m2 : 0);
    way->cost += llround(fmin(price * way->roll_mm * length / 1e6, 1e15));
    way->uncovered =
        laminate && laminate->width_count && laminate->widths_mm[laminate->width_count - 1] < widest - 1e-6;
}

/* Short enough to print, then fewer panels, then covered by the laminate, then less cost. */
static bool better(const struct way *one, const struct way *other)
{
    if (!other->possible || !one->possible) return one->possible;
    if (one->too_long != other->too_long) return other->too_long;
    if (one->cuts.count != other->cuts.count) return one->cuts.count < other->cuts.count;
    if (one->uncovered != other->uncovered) return other->uncovered;
    return one->cost < other->cost;
}

static struct way try_roll(const struct chooser *chooser, const struct field *field, double roll_mm)
{
    struct way way = {.field = field,
                      .roll_mm = roll_mm,
                      .usable_mm = planned_on(chooser->condition, chooser->job, roll_mm)};
    struct seam_problem problem = field_problem(field, way.usable_mm);
    if (chooser->spec && chooser->spec->seams_fixed) {
        way.cuts = fixed_cuts(chooser, field);
        way.possible = way_fits(&way);
    } else if (chooser->spec && chooser->spec->even)
        way.possible = solve_even(chooser, field, &problem, &way.cuts);
    else
        way.possible = solve_best(chooser, field, problem, &way.cuts);
    if (way.possible) price_way(chooser, &way);
    return way;
}

static void try_direction(struct chooser *chooser, bool upright, struct way *best)
{
    struct field *field = &chooser->fields[upright ? 0 : 1];
    *field = field_new(chooser->input, upright, chooser->job->shop, chooser->arena);
    chooser->tried[upright ? 0 : 1] = true;
    for (size_t i = 0; i < chooser->condition->film->width_count; i++) {
        struct way way = try_roll(chooser, field, chooser->condition->film->widths_mm[i]);
        if (better(&way, best)) *best = way;
    }
}

/* ---- no way ---- */

static const char *blocking_words(const struct chooser *chooser, const struct frame *frame, int from, int to)
{
    struct text words = text_new(chooser->arena);
    const struct surface *s = chooser->surface;
    for (size_t i = 0, said = 0; i < s->feature_count && said < 6; i++) {
        const struct feature *f = &s->features[i];
        struct rect box = frame_turn(frame, f->box);
        double margin = feature_margin_mm(f);
        bool blocks = feature_forbids_seam(f->kind) || f->kind == FEATURE_CORRUGATION;
        if (!blocks || box.x1 + margin <= from || box.x0 - margin >= to) continue;
        text_addf(&words, "%s%s at %.0f to %.0f mm", said++ ? ", " : "",
                  f->name ? f->name : feature_kind_name(f->kind), box.x0, box.x1);
    }
    return text_string(&words);
}

static void say_blocked(const struct chooser *chooser, const struct field *field, double usable_mm)
{
    const char *axis = field->frame.upright ? "x" : "y", *run = field->frame.upright ? "upright" : "lying";
    struct seam_problem problem = field_problem(field, usable_mm);
    int from = 0, to = field->frame.positions;
    seams_blocked(&problem, &from, &to);
    const char *blocking = blocking_words(chooser, &field->frame, from, to);
    const char *because = *blocking                 ? blocking
                          : chooser->surface->glass ? "glass, where a seam may only stand at a gap"
                                                    : "bleed and overlap leave too little of the film";
    finding_add(
        chooser->findings, "no-seam-possible", chooser->surface->name,
        "With %s panels no seam can stand between %s %d mm and %d mm, and film printed %.0f mm wide does not "
        "reach across. In the way: %s.",
        run, axis, from, to, usable_mm, because);
}

static void say_fixed_too_wide(const struct chooser *chooser, const struct field *field, double usable_mm)
{
    struct way way = {.field = field, .cuts = fixed_cuts(chooser, field)};
    double widest = 0;
    for (size_t i = 0; i <= way.cuts.count; i++) {
        double u0, u1;
        strip_of_way(&way, i, &u0, &u1);
        widest = fmax(widest, strip_width(&way, u0, u1));
    }
    finding_add(
        chooser->findings, "no-seam-possible", chooser->surface->name,
        "The seams fixed in the job file leave a panel that prints %.0f mm wide; the film holds %.0f mm.",
        widest, usable_mm)
        ->remedy = "Move the fixed seams or add one, or use a wider roll.";
}

static void say_no_way(const struct chooser *chooser)
{
    const struct film *film = chooser->condition->film;
    double usable = film->width_count
                        ? planned_on(chooser->condition, chooser->job, film->widths_mm[film->width_count - 1])
                        : 0;
    for (int i = 0; i < 2; i++) {
        if (!chooser->tried[i]) continue;
        if (chooser->spec && chooser->spec->seams_fixed)
            say_fixed_too_wide(chooser, &chooser->fields[i], usable);
        else
            say_blocked(chooser, &chooser->fields[i], usable);
    }
}

/* ---- findings about the chosen way ---- */

static void judge_fixed(const struct chooser *chooser, const struct way *way)
{
    for (size_t i = 0; i < way->cuts.count; i++) {
        const struct cut *cut = &way->cuts.items[i];
        const struct feature *f = cut->look.forbids;
        if (!cut->fixed || !f) continue;
        bool whole = f->kind == FEATURE_KEEP_WHOLE;
        const char *name = f->name ? f->name : feature_kind_name(f->kind);
        struct finding *finding =
            finding_add(chooser->findings, whole ? "keep-whole-cut" : "seam-crosses", chooser->surface->name,
                        "The seam fixed at %g mm %s %s (%.0f to %.0f mm%s).", cut->at,
                        whole ? "cuts" : "comes too near", name, frame_turn(&way->field->frame, f->box).x0,
                        frame_turn(&way->field->frame, f->box).x1, whole ? "" : " and its margin");
        finding->severity = SEVERITY_WARN; /* a person decided it */
        finding->has_box = true, finding->box = f->box;
    }
}

static void judge_shaped(const struct chooser *chooser, const struct way *way)
{
    for (size_t i = 0; i < way->cuts.count; i++) {
        const struct cut *cut = &way->cuts.items[i];
        const char *axis = way->field->frame.upright ? "x" : "y";
        if (cut->look.shaped_mm > 0)
            finding_add(chooser->findings, "seam-crosses", chooser->surface->name,
                        "The seam at %s %g mm runs %.0f mm through a recess or dome, or along its edge.",
                        axis, cut->at, cut->look.shaped_mm);
        if (cut->fixed && cut->look.off_crest)
            finding_add(
                chooser->findings, "seam-crosses", chooser->surface->name,
                "The seam fixed at %s %g mm lies in a valley or on a wall of the corrugation; on a crest it "
                "holds.",
                axis, cut->at);
        if (cut->fixed && chooser->surface->glass && !cut->gap)
            finding_add(chooser->findings, "seam-crosses", chooser->surface->name,
                        "The seam fixed at %s %g mm is a lap on glass; panes are covered in one piece.", axis,
                        cut->at);
    }
}

static void judge_panels(const struct chooser *chooser, const struct way *way,
                         const struct surface_plan *plan)
{
    const struct printer *printer = chooser->condition->printer;
    double least = least_panel(chooser);
    for (size_t i = 0; i < plan->panel_count; i++) {
        const struct panel *panel = &plan->panels[i];
        const char *where = arena_format(chooser->arena, "%s/%s", chooser->surface->name, panel->id);
        struct rect visible = frame_turn(&way->field->frame, panel->visible);
        if (panel->print_length_mm > printer->max_length_mm + 1e-6)
            finding_add(chooser->findings, "panel-too-long", where,
                        "%s is %.0f mm long with its marks; the printer \"%s\" prints %.0f mm at most.",
                        panel->id, panel->print_length_mm, printer->name, printer->max_length_mm);
        if (plan->panel_count > 1 && rect_width(visible) < least - 1e-6)
            finding_add(chooser->findings, "panel-narrow", where,
                        "%s is only %.0f mm wide; %.0f mm is easy to apply.", panel->id, rect_width(visible),
                        least);
    }
}

static void judge_cover(const struct chooser *chooser, const struct way *way)
{
    const struct film *laminate = chooser->condition->laminate;
    double widest = 0;
    for (size_t i = 0; i <= way->cuts.count; i++) {
        double u0, u1;
        strip_of_way(way, i, &u0, &u1);
        widest = fmax(widest, strip_width(way, u0, u1));
    }
    if (way->uncovered)
        finding_add(chooser->findings, "width-short", chooser->surface->name,
                    "The prints are %.0f mm wide; the laminate \"%s\" is %.0f mm wide at most.", widest,
                    laminate->name, laminate->widths_mm[laminate->width_count - 1]);
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
        finding_add(chooser->findings, "cut-line", s->name, "Cut when it is on: %s.", text_string(&names));
}

static void use_way(const struct chooser *chooser, const struct way *way, struct surface_plan *plan)
{
    plan->run = way->field->frame.upright ? RUN_UPRIGHT : RUN_LYING;
    plan->roll_width_mm = way->roll_mm;
    plan->usable_mm = usable_on(chooser->condition, way->roll_mm);
    panels_make(way->field, &way->cuts, chooser->job, plan);
    judge_fixed(chooser, way);
    judge_shaped(chooser, way);
    judge_panels(chooser, way, plan);
    judge_cover(chooser, way);
    judge_gaps(chooser, &way->field->frame, plan);
    panels_judge(chooser->input, chooser->job, plan, chooser->findings);
}

void choose_surface(const struct surface_input *input, const struct job *job, struct surface_plan *plan,
                    struct findings *findings)
{
    struct chooser chooser = {.input = input,
                              .surface = input->surface,
                              .spec = input->surface->spec,
                              .condition = input->surface->condition,
                              .job = job,
                              .findings = findings,
                              .arena = findings->arena};
    assert(chooser.condition);
    enum panels_run run = chooser.spec ? chooser.spec->panels : RUN_UPRIGHT;
    struct way best = {0};
    *plan = (struct surface_plan){.surface = input->surface, .run = run == RUN_AUTO ? RUN_UPRIGHT : run};
    if (run != RUN_LYING) try_direction(&chooser, true, &best);
    if (run != RUN_UPRIGHT) try_direction(&chooser, false, &best);
    if (best.possible)
        use_way(&chooser, &best, plan);
    else
        say_no_way(&chooser);
}
