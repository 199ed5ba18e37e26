/* What a seam costs at each millimetre of a surface and where none may stand: gaps, features, ribs,
 * lettering, detail, slivers. Called by the search for seams; the optimiser sees only its arrays. */
#include "seam_cost.h"
#include "model/practice.h"
#include "ribs.h"
#include "sliver.h"
#include <assert.h>
#include <math.h>

/* The v of an opening at u: its drawn shape where there is one, else its box. */
static bool opening_at(const struct framed_feature *framed, bool upright, double u, double *low, double *high)
{
    const struct polygon *shape = feature_bare_shape(framed->feature);
    if (u <= framed->box.x0 || u >= framed->box.x1) return false;
    *low = framed->box.y0, *high = framed->box.y1;
    if (!shape->count) return true;
    return upright ? polygon_span_y(shape, u, u, low, high) : polygon_span_x(shape, u, u, low, high);
}

/* Enough for a line that every opening and gap parts once more, and each rest beside them again; `room` of
 * `count` where that is enough. */
enum { ROOM = 64 };
static struct seam_part *room_for(const struct field *field, struct seam_part *room, size_t count)
{
    size_t most = 2 * field->parting + 2;
    return most <= count ? room : arena_take_array(field->arena, most, sizeof *room);
}

/* Where film is seen; `seen->items` is room_for. */
static void seen_at(const struct field *field, double u, double low, double high, struct stretches *seen)
{
    seen->items[0] = (struct seam_part){low, high}, seen->count = 1;
    for (size_t i = 0; i < field->features.count; i++) {
        const struct framed_feature *framed = &field->features.items[i];
        double from, to;
        if (u < framed->from || u > framed->to || !feature_is_bare(framed->feature->kind)) continue;
        if (opening_at(framed, field->frame.upright, u, &from, &to)) stretches_cut_out(seen, from, to);
    }
}

/* ---- door gaps ---- */

/* What is left of a line beside gaps and is too short for a lap goes with them. */
static void take_rests(double rest_mm, struct stretches *laps, struct stretches *gaps)
{
    size_t kept = 0;
    for (size_t i = 0; i < laps->count; i++) {
        struct seam_part part = laps->items[i];
        bool rest = part.to_mm - part.from_mm <= rest_mm;
        *(rest ? &gaps->items[gaps->count++] : &laps->items[kept++]) = part;
    }
    laps->count = kept;
}

/* Takes out of the stretches that are seen those that lie in gaps. */
static void take_gaps(const struct field *field, double at, struct stretches *seen,
                      struct seam_context *context)
{
    struct seam_part room[ROOM];
    struct stretches gaps = {.items = room_for(field, room, ROOM)};
    double visible = stretches_length(seen), u;
    for (size_t i = 0; i < field->features.count; i++) {
        const struct framed_feature *framed = &field->features.items[i];
        if (!framed_gap_at(framed, &u) || fabs(at - u) > GAP_REACH_MM) continue;
        double low = fmax(framed->box.y0, context->low), high = fmin(framed->box.y1, context->high);
        if (stretches_between(seen, low, high) <= 0) continue;
        gaps.items[gaps.count++] = (struct seam_part){low, high};
    }
    if (!gaps.count) return;
    for (size_t i = 0, count = gaps.count; i < count; i++)
        stretches_cut_out(seen, gaps.items[i].from_mm, gaps.items[i].to_mm);
    take_rests(field->weights.gap_rest_mm, seen, &gaps);
    stretches_join(&gaps);
    if (!seen->count) gaps.items[0] = (struct seam_part){context->low, context->high}, gaps.count = 1;
    context->lap_mm = stretches_length(seen), context->gap_mm = visible - context->lap_mm;
    context->gaps = stretches_copy(&gaps, field->arena), context->laps = stretches_copy(seen, field->arena);
}

/* ---- features ---- */

static bool near(double u, double low, double high, double margin)
{
    return u > low - margin + 1e-9 && u < high + margin - 1e-9;
}

/* Along ribs the line stands on a crest, and the whole band under the overlap where a crest is that wide. */
static void context_meet_ribs(const struct field *field, const struct framed_feature *framed, double u,
                              struct seam_context *context)
{
    double overlap = field->frame.surface->overlap_mm;
    bool fits = overlap <= ribs_overlap_most_mm(framed);
    double from = context->low_over ? u - overlap : u, to = context->low_over ? u : u + overlap;
    bool line = ribs_hold(framed, u, u);
    context->off_crest |= !line;
    context->band_off_crest |= fits && line && !ribs_hold(framed, from, to);
}

static void context_meet_feature(const struct field *field, const struct framed_feature *framed, double u,
                                 const struct stretches *laps, struct seam_context *context)
{
    const struct feature *f = framed->feature;
    struct rect box = framed->box;
    double margin = framed->margin;
    bool meets = box.y1 + margin > context->low && box.y0 - margin < context->high;
    if (context_is_gap(context) &&
        (feature_types[f->kind].is_hardware || feature_types[f->kind].seams == SEAMS_ON_RIBS))
        meets = stretches_between(laps, box.y0 - margin, box.y1 + margin) > 0;
    if (feature_forbids_seam(f->kind)) {
        if (meets && !context->forbids && near(u, box.x0, box.x1, margin)) context->forbids = f;
    } else if (f->kind == FEATURE_RECESS || f->kind == FEATURE_DOME) {
        if (near(u, box.x0, box.x1, margin))
            context->shaped_mm += stretches_between(laps, box.y0 - margin, box.y1 + margin);
    } else if (feature_types[f->kind].seams == SEAMS_ON_RIBS && meets) {
        if (f->ribs_upright == field->frame.upright)
            context_meet_ribs(field, framed, u, context);
        else if (near(u, box.x0, box.x1, 0))
            context->across_ribs_mm += stretches_between(laps, box.y0, box.y1);
    }
}

/* Worked out once: every place is held against every feature. */
static void set_features(struct field *field)
{
    const struct surface *s = field->frame.surface;
    struct framed_features *features = &field->features;
    features->items = arena_take_array(field->arena, s->feature_count, sizeof *features->items);
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        bool shaped = f->kind == FEATURE_RECESS || f->kind == FEATURE_DOME;
        double margin = shaped ? field->weights.shaped_reach_mm : feature_margin_mm(f);
        double reach = feature_types[f->kind].seams == SEAMS_ON_RIBS ? s->overlap_mm : margin;
        struct rect box =
            frame_turn(&field->frame, feature_forbids_seam(f->kind) ? f->box : feature_bare_box(f));
        field->parting += feature_is_bare(f->kind) || f->kind == FEATURE_GAP;
        struct framed_feature *framed = &features->items[features->count++];
        *framed = (struct framed_feature){
            .feature = f, .box = box, .margin = margin, .from = box.x0 - reach - 1, .to = box.x1 + reach + 1};
        if (feature_types[f->kind].seams == SEAMS_ON_RIBS) framed->crest_mm = ribs_crest_mm(f);
        framed->takes_seam = f->kind == FEATURE_GAP && rect_width(box) <= field->weights.gap_slant_mm;
    }
}

/* The visible edge, the band in which both panels print the same, and what is cut back. */
bool field_cuts_letters(const struct field *field, size_t line, double at, bool low_over)
{
    const struct surface *s = field->frame.surface;
    double overlap = s->overlap_mm, trim = fmax(s->seam_trim_mm, 1);
    return strokes_between(&field->strokes[line], at - (low_over ? overlap : trim),
                           at + (low_over ? trim : overlap));
}

static void set_strokes(struct field *field)
{
    const struct letterings *letters = &field->letterings;
    field->strokes = arena_take_array(field->arena, letters->count, sizeof *field->strokes);
    for (size_t i = 0; i < letters->count; i++)
        field->strokes[i] =
            strokes_of(&field->cells, frame_turn(&field->frame, letters->items[i].box), field->arena);
}

/* A line that a panel holds easily is not cut; through a longer one a seam is dear, but between its letters.
 */
static void context_meet_letters(const struct field *field, double u, const struct stretches *laps,
                                 struct seam_context *context)
{
    double margin = field->letters_margin_mm, between = field->letters_between;
    for (size_t i = 0; i < field->letterings.count; i++) {
        const struct lettering *letters = &field->letterings.items[i];
        struct rect box = frame_turn(&field->frame, letters->box);
        double met = stretches_between(laps, box.y0 - margin, box.y1 + margin);
        if (met <= 0 || !near(u, box.x0, box.x1, margin)) continue;
        bool forbids = rect_width(box) < field->letters_forbid_mm;
        if (!context->letters || (forbids && !context->letters_forbid)) context->letters = letters;
        context->letters_forbid |= forbids;
        double share = field_cuts_letters(field, i, u, context->low_over) ? 1 : between;
        context->lettered_mm += share * stretches_between(laps, box.y0, box.y1);
    }
}

/* ---- detail ---- */

static void seam_cost_add_stretch(const struct cell_grid *c, size_t u, struct seam_part s, double *detail,
                                  double *sum)
{
    double from = (s.from_mm - c->v0) / c->cell_v, to = (s.to_mm - c->v0) / c->cell_v;
    for (double v = floor(fmax(from, 0)); v < to && v < (double)c->along; v++) {
        double part = fmin(v + 1, to) - fmax(v, from);
        *detail += part * cell_detail(c, u, (size_t)v);
        *sum += part;
    }
}

/* Of the millimetre of u from `i` on: where film is seen, but for the gaps. `room` is room_for. */
static void add_millimetre(const struct field *field, int i, const struct stretches *gaps,
                           struct seam_part *room, double *detail, double *sum)
{
    const struct cell_grid *cells = &field->cells;
    struct stretches seen = {.items = room};
    double u = i + 0.5, cell = (u - cells->u0) / cells->cell_u, low, high;
    if (cell < 0 || cell >= (double)cells->across || !frame_reach(&field->frame, u, u, &low, &high)) return;
    seen_at(field, u, low, high, &seen);
    for (size_t k = 0; gaps && k < gaps->count; k++)
        stretches_cut_out(&seen, gaps->items[k].from_mm, gaps->items[k].to_mm);
    for (size_t k = 0; k < seen.count; k++)
        seam_cost_add_stretch(cells, (size_t)cell, seen.items[k], detail, sum);
}

static void set_sums(struct field *field)
{
    size_t count = (size_t)field->frame.positions;
    struct sums *sums = &field->sums;
    sums->detail = arena_take_array(field->arena, count + 1, sizeof(double));
    sums->weight = arena_take_array(field->arena, count + 1, sizeof(double));
    if (!field->cells.map) return;
    struct seam_part *room = room_for(field, NULL, 0);
    for (size_t i = 0; i < count; i++) {
        double detail = 0, sum = 0;
        add_millimetre(field, (int)i, NULL, room, &detail, &sum);
        sums->detail[i + 1] = sums->detail[i] + detail;
        sums->weight[i + 1] = sums->weight[i] + sum;
    }
}

/* Mean over the overlap band: on the side of the panel that lies over. Beside a gap only what lies along the
 * stretches of lap counts. */
static double band_detail(const struct field *field, double at, const struct seam_context *context)
{
    struct seam_part room[ROOM];
    int width = (int)fmax(1, round(field->frame.surface->overlap_mm)), line = (int)round(at);
    int from = context->low_over ? line - width : line, to = context->low_over ? line : line + width;
    if (from < 0) from = 0;
    if (to > field->frame.positions) to = field->frame.positions;
    if (from >= to || context_is_whole_gap(context)) return 0;
    double sum = field->sums.weight[to] - field->sums.weight[from];
    double detail = field->sums.detail[to] - field->sums.detail[from];
    assert(sum >= 0 && detail >= 0); /* running sums do not fall */
    if (context_is_gap(context) && field->cells.map) {
        sum = detail = 0;
        struct seam_part *parts = room_for(field, room, ROOM);
        for (int i = from; i < to; i++) add_millimetre(field, i, &context->gaps, parts, &detail, &sum);
    }
    return sum > 0 ? detail / sum : 0;
}

/* ---- cost ---- */

static void set_cost(const struct field *field, struct seam_context *context)
{
    const struct weights *w = &field->weights;
    const struct seam_class *class = &field->classes[context_class(context)];
    double lap_m = context->lap_mm / 1000, gap_m = context->gap_mm / 1000;
    double film = (double)price_or_zero(field->condition->film->price_per_m2);
    if (field->condition->laminate) film += (double)price_or_zero(field->condition->laminate->price_per_m2);
    double wide_m = (double)(class->low_um + class->high_um) / 1e6;
    context->minutes = lap_m * w->lap_minutes + gap_m * w->gap_minutes;
    double shown = lap_m * (w->detail * context->detail + w->lap) + context->shaped_mm / 1000 * w->shaped +
                   context->across_ribs_mm / 1000 * w->across_ribs +
                   context->lettered_mm / 1000 * w->lettering + context->sliver_mm / 1000 * w->sliver;
    double micro = context->minutes / 60 * (double)field->install_per_h + shown * 1e6 +
                   film * wide_m * (context->high - context->low) / 1000;
    context->cost = llround(fmin(fmax(micro, 0), 1e12));
    context->shown = llround(fmin(fmax(shown * 1e6, 0), 1e12));
    assert(context->shown <= context->cost);
}

static struct seam_context context_with(const struct field *field, double at, bool low_over, bool heed_gaps)
{
    const struct frame *frame = &field->frame;
    struct seam_part room[ROOM];
    struct stretches laps = {.items = room_for(field, room, ROOM)};
    struct seam_context context = {.low_over = low_over};
    if (!frame_line(frame, at, &context.low, &context.high)) context.low = context.high = 0;
    seen_at(field, at, context.low, context.high, &laps);
    context.lap_mm = stretches_length(&laps);
    assert(context.lap_mm <= context.high - context.low + 1e-6); /* no millimetre is seen twice */
    if (heed_gaps) take_gaps(field, at, &laps, &context);
    for (size_t i = 0; i < field->features.count; i++) {
        const struct framed_feature *framed = &field->features.items[i];
        if (at >= framed->from && at <= framed->to) context_meet_feature(field, framed, at, &laps, &context);
    }
    context.off_crest |= context.band_off_crest;
    context_meet_letters(field, at, &laps, &context);
    sliver_measure(field, at, &laps, &context);
    context.detail = band_detail(field, at, &context);
    set_cost(field, &context);
    return context;
}

struct seam_context field_context(const struct field *field, double at)
{
    return context_with(field, at, frame_low_over(&field->frame, at), true);
}

struct seam_context field_context_over(const struct field *field, double at, bool low_over)
{
    struct seam_context context = context_with(field, at, low_over, true);
    return context_is_whole_gap(&context) ? context_with(field, at, low_over, false) : context;
}

static bool may_stand(const struct field *field, const struct seam_context *context)
{
    return !context->forbids && !context->letters_forbid && !context->off_crest &&
           (!field->frame.surface->glass || context_is_whole_gap(context));
}

/* The job's setting for a lap, and for the rest of a line that a gap covers in part: there the panels print
 * as far as they are turned in, and further where the lap needs it. */
static void set_classes(struct field *field)
{
    const struct surface *s = field->frame.surface;
    int64_t overlap = llround(s->overlap_mm * 1000), trim = llround(s->seam_trim_mm * 1000);
    int64_t turn_in = llround(s->turn_in_mm * 1000);
    int64_t under = overlap > turn_in ? overlap : turn_in, over = trim > turn_in ? trim : turn_in;
    field->classes[CLASS_LOW_OVER] = (struct seam_class){trim, overlap};
    field->classes[CLASS_HIGH_OVER] = (struct seam_class){overlap, trim};
    field->classes[CLASS_GAP] = (struct seam_class){turn_in, turn_in};
    field->classes[CLASS_GAP_LOW_OVER] = (struct seam_class){over, under};
    field->classes[CLASS_GAP_HIGH_OVER] = (struct seam_class){under, over};
}

static int64_t longer(int64_t flat_um, double from, double to, const struct frame *frame)
{
    int64_t print_um = (int64_t)ceil((frame_place(frame, to) - frame_place(frame, from)) * 1000 - 1e-6);
    return print_um > flat_um ? print_um : flat_um;
}

/* Across a followed corrugation what is printed beyond a seam is lengthened as well: by as much as at the
 * worst place where a seam of the class may stand. */
static void lengthen_classes(struct field *field)
{
    const struct frame *frame = &field->frame;
    struct seam_class flat[CLASS_COUNT];
    if (!surface_is_lengthened(frame->surface, frame->upright)) return;
    for (int c = 0; c < CLASS_COUNT; c++) flat[c] = field->classes[c];
    for (int at = frame->first + 1; at < frame->last; at++) {
        if (field->cost[at] == SEAM_FORBIDDEN) continue;
        const struct seam_class *one = &flat[field->class_of[at]];
        struct seam_class *longest = &field->classes[field->class_of[at]];
        longest->low_um = longer(longest->low_um, at, at + (double)one->low_um / 1000, frame);
        longest->high_um = longer(longest->high_um, at - (double)one->high_um / 1000, at, frame);
    }
}

struct field field_new(const struct field_wish *wish, struct arena *arena)
{
    const struct surface_input *input = wish->input;
    struct field field = {.frame = frame_of(input->surface, wish->upright),
                          .condition = input->surface->condition,
                          .install_per_h = price_or_zero(wish->shop->install_per_h),
                          .weights = weights_of(wish->shop),
                          .letters_margin_mm = practice_value("lettering-margin").value,
                          .letters_between = practice_value("lettering-between").value / 100,
                          .letterings = letterings_of(input, arena),
                          .slivers_may_be = wish->slivers_may_be,
                          .cells = cells_of(input, wish->upright),
                          .arena = arena};
    if (!wish->letters_may_be_cut)
        field.letters_forbid_mm = wish->panel_mm * practice_value("lettering-share").value / 100;
    if (wish->window) field.frame = frame_through(&field.frame, *wish->window, arena);
    set_features(&field);
    set_sums(&field);
    set_strokes(&field);
    set_classes(&field);
    size_t count = (size_t)field.frame.positions + 1;
    field.cost = arena_take_array(arena, count, sizeof *field.cost);
    field.shown = arena_take_array(arena, count, sizeof *field.shown);
    field.class_of = arena_take_array(arena, count, sizeof *field.class_of);
    field.place_um = arena_take_array(arena, count, sizeof *field.place_um);
    for (size_t i = 0; i < count; i++) {
        double at = fmin(fmax((double)i, field.frame.low_mm), field.frame.high_mm);
        field.place_um[i] = llround(frame_place(&field.frame, at) * 1000);
        if ((int)i <= field.frame.first || (int)i >= field.frame.last) continue;
        struct seam_context context = field_context(&field, at);
        bool may = may_stand(&field, &context), sliver = context.sliver_mm > 0 && !field.slivers_may_be;
        field.slivers += may && sliver;
        may &= !sliver;
        field.cost[i] = may ? context.cost : SEAM_FORBIDDEN;
        field.shown[i] = may ? context.shown : SEAM_FORBIDDEN;
        field.class_of[i] = (uint8_t)context_class(&context);
    }
    lengthen_classes(&field);
    return field;
}

int64_t usable_um(double usable_mm)
{
    return (int64_t)floor(usable_mm * 1000 + 1e-3);
}

struct seam_problem field_problem(const struct field *field, double usable_mm)
{
    const int first = field->frame.first;
    struct seam_problem problem = {
        .positions = field->frame.last - first,
        .place_um = field->place_um + first,
        .cost = field->cost + first,
        .class_of = field->class_of + first,
        .class_count = CLASS_COUNT,
        .low_bleed_um = llround(field->frame.bleed_low * 1000),
        .high_bleed_um = llround(field->frame.bleed_high * 1000),
        .usable_um = usable_um(usable_mm),
    };
    for (int c = 0; c < CLASS_COUNT; c++) problem.classes[c] = field->classes[c];
    return problem;
}
