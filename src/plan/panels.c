#include "panels.h"
#include "plan/plan.h"
#include <math.h>
#include <stdlib.h>

double cut_beyond(const struct surface *surface, const struct cut *cut, bool low_side)
{
    if (cut->gap) return surface->turn_in_mm;
    return cut->low_over == low_side ? surface->seam_trim_mm : surface->overlap_mm;
}

/* A strip of the surface between two seams, in u and v. */
struct strip_of {
    double u0, u1;     /* visible */
    double low, high;  /* printed beyond them */
    double start, end; /* v of the outline inside, overlap bands included */
    bool there;
};

static struct strip_of strip_at(const struct frame *frame, const struct cuts *cuts, size_t i)
{
    const struct cut *below = i ? &cuts->items[i - 1] : NULL;
    const struct cut *above = i < cuts->count ? &cuts->items[i] : NULL;
    struct strip_of strip = {.u0 = below ? below->at : 0, .u1 = above ? above->at : frame->across_mm};
    strip.low = below ? cut_beyond(frame->surface, below, false) : frame->bleed_low;
    strip.high = above ? cut_beyond(frame->surface, above, true) : frame->bleed_high;
    strip.there = frame_reach(frame, strip.u0 - strip.low, strip.u1 + strip.high, &strip.start, &strip.end);
    return strip;
}

static double with_feed(double length, const struct job *job)
{
    return job->feed_percent > 0 ? length * job->feed_percent / 100 : length;
}

double strip_length(const struct frame *frame, double print_u0, double print_u1, const struct job *job)
{
    double start, end;
    if (!frame_reach(frame, print_u0, print_u1, &start, &end)) return 0;
    start -= frame->bleed_start, end += frame->bleed_end;
    return with_feed(frame_length(frame, start, end) + PANEL_END_MM + PANEL_TAIL_MM, job);
}

static void name_panel(const struct field *field, const struct job *job, struct panel *panel)
{
    const struct surface *s = field->frame.surface;
    bool pdf = job->format == FORMAT_PDF;
    panel->id = arena_format(field->arena, "%s-%zu", s->id, panel->number);
    panel->page = pdf ? (int)panel->number : 1;
    panel->file_name =
        pdf ? arena_format(field->arena, "panels/%s_%s.pdf", job->number, s->id)
            : arena_format(field->arena, "panels/%s_%s_%zu.tif", job->number, s->id, panel->number);
}

static void make_panel(const struct field *field, const struct strip_of *strip, const struct job *job,
                       struct panel *panel)
{
    const struct frame *frame = &field->frame;
    struct rect visible = {strip->u0, strip->start, strip->u1, strip->end};
    struct rect print = {strip->u0 - strip->low, strip->start - frame->bleed_start, strip->u1 + strip->high,
                         strip->end + frame->bleed_end};
    struct rect file = {print.x0, print.y0 - PANEL_END_MM, print.x1, print.y1 + PANEL_TAIL_MM};
    panel->visible = frame_turn(frame, visible);
    panel->print = frame_turn(frame, print);
    panel->file = frame_turn(frame, file);
    panel->area_m2 = rect_area(print) / 1e6;
    panel->print_length_mm =
        with_feed(frame_length(frame, print.y0, print.y1) + PANEL_END_MM + PANEL_TAIL_MM, job);
    name_panel(field, job, panel);
}

/* ---- seams ---- */

static bool crosses(const struct feature *f, struct rect line)
{
    struct rect box = f->box;
    if (f->kind == FEATURE_GAP || f->kind == FEATURE_OPENING || f->kind == FEATURE_CURVE) return false;
    return box.x0 < line.x1 && box.x1 > line.x0 && box.y0 < line.y1 && box.y1 > line.y0;
}

static const char *feature_words(const struct feature *f)
{
    return f->name ? f->name : feature_kind_name(f->kind);
}

static void list_crossed(const struct field *field, const struct cut *cut, struct seam *seam)
{
    const struct surface *s = field->frame.surface;
    struct rect line = {cut->at - 1e-6, cut->look.low, cut->at + 1e-6, cut->look.high};
    line = frame_turn(&field->frame, line);
    seam->crosses = arena_take_array(field->arena, s->feature_count, sizeof *seam->crosses);
    for (size_t i = 0; i < s->feature_count; i++)
        if (crosses(&s->features[i], line))
            seam->crosses[seam->crosses_count++] = feature_words(&s->features[i]);
}

static const char *reason_of(const struct field *field, const struct cut *cut)
{
    if (cut->fixed) return "Fixed by hand in the job file.";
    if (cut->gap) return "In a door gap: both panels are turned in, nothing shows.";
    if (field->frame.surface->spec && field->frame.surface->spec->even)
        return "At equal spacing, as the job asks.";
    if (cut->look.shaped_mm > 0)
        return "It crosses a shaped place: with this number of panels nothing cheaper fits.";
    if (field->sums.weight[field->frame.positions] <= 0)
        return "Panels of even width; there is no artwork that could show a seam.";
    return arena_format(field->arena,
                        "The cheapest place for this number of panels: detail %.2f in the overlap band.",
                        cut->look.detail);
}

static money_minor to_minor(int64_t micro)
{
    return micro < 0 ? -1 : (micro + 5000) / 10000;
}

static void make_seam(const struct field *field, const struct cut *cut, size_t low, size_t high,
                      struct seam *seam)
{
    const struct surface *s = field->frame.surface;
    *seam = (struct seam){
        .axis = field->frame.upright ? AXIS_X : AXIS_Y,
        .kind = cut->gap ? SEAM_GAP : SEAM_LAP,
        .at_mm = cut->at,
        .from_mm = cut->look.low,
        .to_mm = cut->look.high,
        .over = cut->gap || cut->low_over ? low : high,
        .under = cut->gap || cut->low_over ? high : low,
        .overlap_mm = cut->gap ? 0 : s->overlap_mm,
        .trim_mm = cut->gap ? 0 : s->seam_trim_mm,
        .turn_in_mm = cut->gap ? s->turn_in_mm : 0,
        .detail = cut->look.detail,
        .reason = reason_of(field, cut),
        .cost = to_minor(cut->look.cost),
        .cost_before = to_minor(cut->before),
        .cost_after = to_minor(cut->after),
    };
    list_crossed(field, cut, seam);
}

/* ---- order ---- */

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
        if (seam->kind == SEAM_LAP && seam->over == panel && !plan->panels[seam->under].order) return false;
    }
    return true;
}

/* What lies under goes on first; of those that may go on, the first from the starting end. */
static void set_order(const struct frame *frame, struct surface_plan *plan)
{
    bool high = from_high_end(frame);
    for (int order = 1; order <= (int)plan->panel_count; order++) {
        for (size_t i = 0; i < plan->panel_count; i++) {
            size_t at = high ? plan->panel_count - 1 - i : i;
            if (plan->panels[at].order || !may_go_on(plan, at)) continue;
            plan->panels[at].order = order;
            break;
        }
    }
}

void panels_make(const struct field *field, const struct cuts *cuts, const struct job *job,
                 struct surface_plan *plan)
{
    const size_t none = SIZE_MAX;
    plan->panels = arena_take_array(field->arena, cuts->count + 1, sizeof *plan->panels);
    plan->seams = arena_take_array(field->arena, cuts->count, sizeof *plan->seams);
    size_t before = none;
    for (size_t i = 0; i <= cuts->count; i++) {
        struct strip_of strip = strip_at(&field->frame, cuts, i);
        size_t here = strip.there ? plan->panel_count++ : none;
        if (strip.there) {
            plan->panels[here].number = here + 1;
            make_panel(field, &strip, job, &plan->panels[here]);
        }
        const struct cut *cut = i ? &cuts->items[i - 1] : NULL;
        if (cut && here != none && before != none && cut->look.low < cut->look.high)
            make_seam(field, cut, before, here, &plan->seams[plan->seam_count++]);
        before = here;
    }
    for (size_t i = 0; i < plan->seam_count; i++) plan->seam_cost += plan->seams[i].cost;
    set_order(&field->frame, plan);
}
