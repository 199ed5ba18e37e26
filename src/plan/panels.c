/* Makes panels and seams of a surface from chosen cuts: rectangles, names, reasons, install sequence.
 * Called by choose.c; ink and stretch of each panel come from panel_facts.c. */
#include "panels.h"
#include "model/length_marks.h"
#include "plan/plan.h"
#include "rolls.h"
#include "candidate.h"
#include "base/sentence.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

static void name_panel(const struct field *field, const struct job *job, struct panel *panel)
{
    const struct surface *s = field->frame.surface;
    bool own = panel_form_of_job(job)->own_file; /* make_name_files settles it, once its size is known */
    panel->id = arena_format(field->arena, "%s-%zu", s->id, panel->number);
    panel->page = own ? 1 : (int)panel->number;
    panel->file_name =
        panel_file_name(job->format, job->number, s->id,
                        own ? arena_format(field->arena, "%zu", panel->number) : NULL, field->arena);
}

/* Where nothing of the print is hidden at a long edge, marks stand beside it, if the roll has room for them.
 */
static double rim_beside(const struct field *field, const struct cut_strip *strip, double hidden,
                         double taken)
{
    static const double rounding_mm = 1; /* whole pixels, outward */
    double usable = candidate_usable_mm(field->condition, strip->roll_mm);
    double room = usable - strip_print_width(&field->frame, strip) - taken - rounding_mm;
    return hidden < RIM_LEAST_MM && strip->roll_mm > 0 && room >= RIM_MM ? RIM_MM : 0;
}

static void make_panel(const struct field *field, const struct cut_strip *strip, const struct piece *piece,
                       const struct job *job, struct panel *panel)
{
    const struct frame *frame = &field->frame;
    struct rect visible = {strip->u0, piece->v0, strip->u1, piece->v1};
    struct rect print = {strip->u0 - strip->low, piece->v0 - piece->before, strip->u1 + strip->high,
                         piece->v1 + piece->after};
    double marks = candidate_register_mm(frame->surface, job);
    double low = fmax(marks, rim_beside(field, strip, strip->low, marks));
    double high = fmax(marks, rim_beside(field, strip, strip->high, low));
    struct rect file = {print.x0 - low, print.y0 - PANEL_END_MM, print.x1 + high, print.y1 + PANEL_TAIL_MM};
    panel->visible =
        frame_turn(frame, rect_intersect(visible, print)); /* cut short, film ends inside the edge */
    panel->print = frame_turn(frame, print);
    panel->file = frame_turn(frame, file);
    panel->area_m2 = rect_area(print) / 1e6;
    panel->roll_width_mm = strip->roll_mm;
    panel->print_length_mm = piece_length(frame, piece, job);
    name_panel(field, job, panel);
}

/* ---- seams ---- */

/* A line of no width, inside the box. */
static bool lies_across(struct rect box, struct rect line)
{
    return box.x0 < line.x1 && box.x1 > line.x0 && box.y0 < line.y1 && box.y1 > line.y0;
}

static bool crosses(const struct feature *f, struct rect line)
{
    enum feature_seams seams = feature_types[f->kind].seams;
    return seams != SEAMS_FREE && seams != SEAMS_IN_GAP && lies_across(f->box, line);
}

static const char *panels_feature_words(const struct feature *f)
{
    return f->name ? f->name : feature_kind_name(f->kind);
}

/* Whether the seam laps over any of the box: what a gap cuts it cuts without a seam too. A seam through what
 * a person wants to keep whole or clear is named wherever it runs. */
static bool laps_over(const struct seam_cut *cut, struct rect box, enum feature_kind kind)
{
    bool strict = kind < FEATURE_COUNT && feature_forbids_seam(kind) && !feature_types[kind].is_hardware;
    if (strict || !context_is_gap(&cut->context)) return true;
    return stretches_between(&cut->context.laps, box.y0, box.y1) > 0;
}

static void list_features(const struct field *field, const struct seam_cut *cut, struct rect line,
                          struct seam *seam)
{
    const struct surface *s = field->frame.surface;
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        if (crosses(f, line) && laps_over(cut, frame_turn(&field->frame, f->box), f->kind))
            seam->crosses[seam->crosses_count++] = panels_feature_words(f);
    }
}

static void list_letters(const struct field *field, const struct seam_cut *cut, struct rect line,
                         struct seam *seam)
{
    const struct letterings *letters = &field->letterings;
    for (size_t i = 0; i < letters->count; i++) {
        struct rect box = frame_turn(&field->frame, letters->items[i].box);
        if (!lies_across(letters->items[i].box, line) || !laps_over(cut, box, FEATURE_COUNT)) continue;
        const char *name = lettering_name(&letters->items[i], field->arena);
        bool cuts = field_cuts_letters(field, i, cut->at, cut->context.low_over);
        seam->crosses[seam->crosses_count++] = cuts ? name
                                                    : sentence_words(field->arena, "name-between-its-letters",
                                                                     ARGUMENTS(arg_words("name", name)));
        if (cuts) seam->letters[seam->letters_count++] = &letters->items[i];
    }
}

static void list_crossed(const struct field *field, const struct seam_cut *cut, struct seam *seam)
{
    size_t features = field->frame.surface->feature_count, letters = field->letterings.count;
    struct rect line =
        frame_turn(&field->frame, (struct rect){cut->at, cut->context.low, cut->at, cut->context.high});
    seam->crosses = arena_take_array(field->arena, features + letters, sizeof *seam->crosses);
    seam->letters = arena_take_array(field->arena, letters, sizeof *seam->letters);
    list_features(field, cut, line, seam);
    list_letters(field, cut, line, seam);
}

static bool cuts_any_letters(const struct field *field, const struct seam_cut *cut)
{
    const struct letterings *letters = &field->letterings;
    for (size_t i = 0; cut->context.lettered_mm > 0 && i < letters->count; i++) {
        struct rect box = frame_turn(&field->frame, letters->items[i].box);
        bool met = cut->at > box.x0 && cut->at < box.x1 && laps_over(cut, box, FEATURE_COUNT);
        if (met && field_cuts_letters(field, i, cut->at, cut->context.low_over)) return true;
    }
    return false;
}

static struct reason seam_why(const struct field *field, const struct seam_cut *cut)
{
    struct arena *arena = field->arena;
    if (cut->fixed) return reason_say(arena, "fixed-by-hand-in-job-file-2", NULL);
    if (context_is_whole_gap(&cut->context)) return reason_say(arena, "in-door-gap-both-panels-are", NULL);
    if (context_is_gap(&cut->context))
        return reason_say(arena, "in-door-gap-over-of-it",
                          ARGUMENTS(arg_fixed("gap_mm", cut->context.gap_mm, 0),
                                    arg_fixed("lap_mm", cut->context.lap_mm, 0)));
    if (field->frame.surface->spec && field->frame.surface->spec->even)
        return reason_say(arena, "at-equal-spacing-as-job-asks", NULL);
    if (cuts_any_letters(field, cut))
        return reason_say(
            arena, "it-cuts-letters-which-is-of",
            ARGUMENTS(arg_fixed("price", cut->context.lettered_mm / 1000 * field->weights.lettering, 2)));
    if (cut->context.shaped_mm > 0) return reason_say(arena, "it-crosses-shaped-place-with-this", NULL);
    if (field->sums.weight[field->frame.positions] <= 0)
        return reason_say(arena, "panels-of-even-width-there-is", NULL);
    return reason_say(arena, "cheapest-place-for-this-number-of",
                      ARGUMENTS(arg_fixed("detail", cut->context.detail, 2)));
}

static money_minor to_minor(int64_t micro)
{
    return micro < 0 ? -1 : (micro + 5000) / 10000;
}

static void make_seam(const struct field *field, const struct seam_cut *cut, size_t low, size_t high,
                      struct seam *seam)
{
    const struct surface *s = field->frame.surface;
    const struct seam_context *context = &cut->context;
    assert(context->low <= context->high && low != high);
    bool gap = context_is_gap(context), laps = !context_is_whole_gap(context),
         low_first = !laps || context->low_over;
    *seam = (struct seam){
        .axis = field->frame.upright ? AXIS_X : AXIS_Y,
        .kind = gap ? SEAM_GAP : SEAM_LAP,
        .at_mm = cut->at,
        .from_mm = context->low,
        .to_mm = context->high,
        .laps = laps,
        .over = low_first ? low : high,
        .under = low_first ? high : low,
        .overlap_mm = laps ? s->overlap_mm : 0,
        .trim_mm = laps ? s->seam_trim_mm : 0,
        .turn_in_mm = gap ? s->turn_in_mm : 0,
        .gaps = context->gaps.items,
        .gap_count = context->gaps.count,
        .detail = cut->context.detail,
        .why = seam_why(field, cut),
        .minutes = cut->context.minutes,
        .cost = to_minor(cut->context.cost),
        .shown = to_minor(cut->context.shown),
        .cost_before = to_minor(cut->before),
        .cost_after = to_minor(cut->after),
    };
    list_crossed(field, cut, seam);
}

/* ---- install sequence ---- */

/* Whether, where laps leave a choice, panels are put on from the high end of u. From the back and from the
 * bottom, unless the job says otherwise. */
static bool from_high_end(const struct frame *frame)
{
    enum front front = frame->surface->front;
    enum start_from start = frame->surface->spec ? frame->surface->spec->start_from : START_UNSAID;
    bool front_low = frame->upright ? front == FRONT_LEFT : front == FRONT_DOWN;
    bool front_high = frame->upright ? front == FRONT_RIGHT : front == FRONT_UP;
    if (front_low) return start != START_FRONT;
    if (front_high) return start == START_FRONT;
    return !frame->upright && start == START_TOP;
}

static bool may_go_on(const struct surface_plan *plan, size_t panel)
{
    for (size_t i = 0; i < plan->seam_count; i++) {
        const struct seam *seam = &plan->seams[i];
        if (seam->laps && seam->over == panel && !plan->panels[seam->under].install_sequence) return false;
    }
    return true;
}

/* The pieces of one strip are neighbours in the list of panels. */
struct laid_strip {
    size_t first, count;
};

static size_t next_of(const struct surface_plan *plan, struct laid_strip strip, bool high)
{
    for (size_t i = 0; i < strip.count; i++) {
        size_t panel = strip.first + (high ? strip.count - 1 - i : i);
        if (!plan->panels[panel].install_sequence && may_go_on(plan, panel)) return panel;
    }
    return SIZE_MAX;
}

/* What lies under goes on first; of those that may go on, the first from the starting end. */
static void sequence_panels(const struct frame *frame, const struct laid_strip *strips, size_t count,
                            struct surface_plan *plan)
{
    struct frame along = frame_of(frame->surface, !frame->upright);
    bool high = from_high_end(frame), high_piece = from_high_end(&along);
    for (int turn = 1; turn <= (int)plan->panel_count; turn++)
        for (size_t i = 0; i < count; i++) {
            size_t panel = next_of(plan, strips[high ? count - 1 - i : i], high_piece);
            if (panel == SIZE_MAX) continue;
            plan->panels[panel].install_sequence = turn;
            break;
        }
    size_t last = panel_in_sequence(plan, plan->panel_count);
    assert(!plan->panel_count ||
           plan->panels[last].install_sequence == (int)plan->panel_count); /* no two lie over each other */
    (void)last;
}

/* ---- all of it ---- */

struct panels_maker {
    const struct field *field;
    const struct cuts *cuts;
    const struct cut_crossing *crossings; /* or NULL */
    const struct job *job;
    struct surface_plan *plan;
    struct laid_strip *strips;
};

static const struct cut_crossing *crossing_of(const struct panels_maker *m, size_t strip)
{
    return m->crossings ? &m->crossings[strip] : NULL;
}

/* What a piece prints beyond the seams at its sides: only the part of them that lies beside it counts. */
static void set_beyond(const struct panels_maker *m, size_t i, const struct piece *piece,
                       struct cut_strip *strip)
{
    const struct field *field = m->field;
    for (int side = 0; side < 2; side++) {
        if (side ? i == m->cuts->count : !i) continue;
        const struct seam_cut *cut = &m->cuts->items[side ? i : i - 1];
        double low = fmax(piece->v0, cut->context.low), high = fmin(piece->v1, cut->context.high);
        if (low >= high) continue;
        struct seam_cut part = cut_part(cut, low, high, field->arena);
        *(side ? &strip->high : &strip->low) = cut_beyond(field->frame.surface, &part, side);
    }
}

static void make_strip(const struct panels_maker *m, size_t i)
{
    struct cut_strip strip = strip_at(&m->field->frame, m->cuts, i);
    const struct cut_crossing *crossing = crossing_of(m, i);
    struct surface_plan *plan = m->plan;
    m->strips[i] = (struct laid_strip){plan->panel_count, strip.there ? piece_count(crossing) : 0};
    for (size_t k = 0; k < m->strips[i].count; k++) {
        struct piece piece = piece_at(&m->field->frame, &strip, crossing, k);
        if (crossing) set_beyond(m, i, &piece, &strip);
        size_t here = plan->panel_count++;
        plan->panels[here].number = here + 1;
        make_panel(m->field, &strip, &piece, m->job, &plan->panels[here]);
    }
    for (size_t k = 0; k + 1 < m->strips[i].count; k++)
        make_seam(&crossing->field, &crossing->cuts.items[k], m->strips[i].first + k,
                  m->strips[i].first + k + 1, &plan->seams[plan->seam_count++]);
}

static void make_shared(const struct panels_maker *m, size_t below, size_t low, size_t high)
{
    const struct frame *frame = &m->field->frame;
    const struct seam_cut *cut = &m->cuts->items[below];
    struct rect a = frame_turn(frame, m->plan->panels[low].visible);
    struct rect b = frame_turn(frame, m->plan->panels[high].visible);
    double from = fmax(cut->context.low, fmax(a.y0, b.y0)), to = fmin(cut->context.high, fmin(a.y1, b.y1));
    if (from >= to) return;
    struct seam_cut part = cut_part(cut, from, to, m->field->arena);
    make_seam(m->field, &part, low, high, &m->plan->seams[m->plan->seam_count++]);
}

/* One seam for each pair of panels on both sides of the cut above strip `i`. */
static void make_cut(const struct panels_maker *m, size_t i)
{
    const struct laid_strip *low = &m->strips[i], *high = &m->strips[i + 1];
    for (size_t k = 0; k < low->count; k++)
        for (size_t n = 0; n < high->count; n++) make_shared(m, i, low->first + k, high->first + n);
}

void panels_make(const struct field *field, const struct cuts *cuts, const struct cut_crossing *crossings,
                 const struct job *job, struct surface_plan *plan)
{
    size_t panels = 0, strips = cuts->count + 1;
    struct panels_maker m = {field, cuts, crossings, job, plan, NULL};
    for (size_t i = 0; i < strips; i++) panels += piece_count(crossing_of(&m, i));
    m.strips = arena_take_array(field->arena, strips, sizeof *m.strips);
    plan->panels =
        arena_take_array(field->arena, panels + field->frame.surface->feature_count, sizeof *plan->panels);
    plan->seams = arena_take_array(field->arena, 3 * panels, sizeof *plan->seams);
    for (size_t i = 0; i < strips; i++) {
        make_strip(&m, i);
        if (i) make_cut(&m, i - 1);
    }
    assert(plan->seam_count <= 3 * panels);
    for (size_t i = 0; i < plan->seam_count; i++) plan->seam_cost += plan->seams[i].cost;
    sequence_panels(&field->frame, m.strips, strips, plan);
    inlays_make(field, job, plan);
}
