/* Keeps seams of surfaces that meet at a corner in line: what an offset costs while seams are chosen, and
 * how the plan came out. Called by candidate.c and plan.c. */
#include "align.h"
#include "base/str.h"
#include "base/text.h"
#include <math.h>

#define IN_LINE_MM 0.51 /* seams stand on whole millimetres of their own surface */

/* Where a surface's u lies in what both count by: t = turn x u + zero. */
struct ruler {
    bool upright; /* the frame whose seams are meant */
    double turn, zero;
};

enum view { VIEW_SIDE, VIEW_END, VIEW_TOP };

static enum view align_view_of(enum front front)
{
    if (front == FRONT_UP || front == FRONT_DOWN) return VIEW_TOP;
    return front == FRONT_LEFT || front == FRONT_RIGHT ? VIEW_SIDE : VIEW_END;
}

static struct ruler by_height(void)
{
    return (struct ruler){false, 1, 0};
}

static struct ruler by_station(const struct surface *s)
{
    if (align_view_of(s->front) == VIEW_TOP)
        return s->front == FRONT_DOWN ? (struct ruler){false, 1, 0} : (struct ruler){false, -1, s->height_mm};
    return s->front == FRONT_LEFT ? (struct ruler){true, 1, 0} : (struct ruler){true, -1, s->width_mm};
}

/* To the vehicle's right of its middle: the rear and a surface with its front up are seen from behind. */
static struct ruler by_middle(const struct surface *s)
{
    bool from_behind = s->front == FRONT_AWAY || s->front == FRONT_UP;
    double half = s->width_mm / 2;
    return from_behind ? (struct ruler){true, 1, -half} : (struct ruler){true, -1, half};
}

static struct ruler ruler_for(const struct surface *s, const struct surface *neighbour)
{
    enum view view = align_view_of(s->front), other = align_view_of(neighbour->front);
    if (view != VIEW_TOP && other != VIEW_TOP) return by_height();
    return view == VIEW_SIDE || other == VIEW_SIDE ? by_station(s) : by_middle(s);
}

/* Two surfaces of a pair, seen from the first. */
struct pair {
    const struct surface *here, *there;
    size_t there_index;
    struct ruler here_ruler, there_ruler;
};

static size_t index_of(const struct plan_input *input, const char *name)
{
    size_t i = 0;
    while (i < input->surface_count && !string_equal(input->surfaces[i].surface->name, name)) i++;
    return i;
}

/* The k-th pair of the job seen from surface `index`; false when it is not in it. */
static bool pair_from(const struct plan_input *input, size_t k, size_t index, struct pair *pair)
{
    const struct alignment *align = &input->job->align[k];
    size_t one = index_of(input, align->one), other = index_of(input, align->other);
    if ((index != one && index != other) || one == input->surface_count || other == input->surface_count)
        return false;
    *pair = (struct pair){.here = input->surfaces[index].surface, .there_index = index == one ? other : one};
    pair->there = input->surfaces[pair->there_index].surface;
    pair->here_ruler = ruler_for(pair->here, pair->there);
    pair->there_ruler = ruler_for(pair->there, pair->here);
    *(index == one ? &pair->there_ruler.zero : &pair->here_ruler.zero) += align->shift_mm;
    return true;
}

/* A place here as the neighbour's u; false where it has ended. */
static bool place_there(const struct pair *pair, double u, double *there)
{
    double t = pair->here_ruler.turn * u + pair->here_ruler.zero;
    *there = (t - pair->there_ruler.zero) / pair->there_ruler.turn;
    struct rect covered = surface_covered_box(pair->there);
    double low = pair->there_ruler.upright ? covered.x0 : covered.y0;
    double high = pair->there_ruler.upright ? covered.x1 : covered.y1;
    return *there > low + IN_LINE_MM && *there < high - IN_LINE_MM;
}

/* ---- what it costs ---- */

static bool may_run(const struct surface *s, bool upright)
{
    return !s->spec || s->spec->panels != (upright ? RUN_LYING : RUN_UPRIGHT);
}

static bool meets_a_seam(const struct surface_plan *plan, enum axis axis, double at)
{
    for (size_t i = 0; i < plan->seam_count; i++)
        if (plan->seams[i].axis == axis && fabs(plan->seams[i].at_mm - at) <= IN_LINE_MM) return true;
    return false;
}

static void heed_planned(const struct pair *pair, const struct surface_plan *plan, int64_t apart,
                         int positions, int64_t *extra)
{
    enum axis axis = pair->there_ruler.upright ? AXIS_X : AXIS_Y;
    double there;
    if ((plan->direction == RUN_UPRIGHT) != pair->there_ruler.upright || !plan->panel_count) return;
    for (int at = 1; at < positions; at++)
        if (place_there(pair, at, &there) && !meets_a_seam(plan, axis, there)) extra[at] += apart;
}

static bool meets_a_fixed_seam(const struct surface_spec *spec, double at)
{
    for (size_t i = 0; i < spec->seam_count; i++)
        if (fabs(spec->seams[i].at_mm - at) <= IN_LINE_MM) return true;
    return false;
}

/* What the neighbour's seam at `u` will cost, or that there is none. */
static int64_t coming_cost(const struct surface_spec *spec, const struct field *coming, const int64_t *cost,
                           double u, int64_t apart)
{
    long at = lround(u);
    if (spec && spec->seams_fixed) return meets_a_fixed_seam(spec, u) ? 0 : apart;
    bool inside = at > coming->frame.first && at < coming->frame.last && cost[at] < apart;
    return inside ? cost[at] : apart;
}

static void heed_coming(const struct neighbourhood *all, const struct pair *pair, const struct field *field,
                        bool hidden, int64_t apart, int64_t *extra)
{
    struct field_wish wish = {.input = &all->input->surfaces[pair->there_index],
                              .upright = pair->there_ruler.upright,
                              .shop = all->input->job->shop};
    double there;
    if (!may_run(pair->there, wish.upright)) return;
    struct field coming = field_new(&wish, field->arena);
    const int64_t *cost = hidden ? coming.shown : coming.cost;
    for (int at = 1; at < field->frame.positions; at++)
        if (place_there(pair, at, &there))
            extra[at] += coming_cost(pair->there->spec, &coming, cost, there, apart);
}

int64_t *align_extra(const struct neighbourhood *all, const struct field *field, bool hidden)
{
    int64_t *extra = NULL, apart = llround(field->weights.out_of_line * 1e6);
    for (size_t k = 0; k < all->input->job->align_count; k++) {
        struct pair pair;
        if (!pair_from(all->input, k, all->index, &pair)) continue;
        if (pair.here_ruler.upright != field->frame.upright) continue;
        if (!extra) extra = arena_take_array(field->arena, (size_t)field->frame.positions + 1, sizeof *extra);
        if (pair.there_index < all->index)
            heed_planned(&pair, &all->planned[pair.there_index], apart, field->frame.positions, extra);
        else
            heed_coming(all, &pair, field, hidden, apart, extra);
    }
    return extra;
}

/* ---- what came of it ---- */

static void tell_surface(struct plan *plan, const struct pair *pair, struct surface_plan *here,
                         const struct surface_plan *there, struct text *apart)
{
    struct arena *arena = plan->findings.arena;
    enum axis axis = pair->here_ruler.upright ? AXIS_X : AXIS_Y;
    enum axis axis_there = pair->there_ruler.upright ? AXIS_X : AXIS_Y;
    for (size_t i = 0; i < here->seam_count; i++) {
        struct seam *seam = &here->seams[i];
        double at;
        if (seam->axis != axis || !place_there(pair, seam->at_mm, &at)) continue;
        if (meets_a_seam(there, axis_there, at))
            seam->why = reason_say(
                arena, "in-line-with-seam-of",
                ARGUMENTS(arg_words("reason", seam->why.words), arg_words("there", pair->there->name)));
        else
            text_addf(apart, "%s%s %s %g mm", apart->length ? ", " : "", pair->here->name,
                      axis == AXIS_X ? "x" : "y", seam->at_mm);
    }
}

static void tell_pair(struct plan *plan, size_t k)
{
    const struct alignment *align = &plan->input->job->align[k];
    size_t one = index_of(plan->input, align->one), other = index_of(plan->input, align->other);
    struct pair pair, back;
    if (!pair_from(plan->input, k, one, &pair) || !pair_from(plan->input, k, other, &back)) return;
    struct text apart = text_new(plan->findings.arena);
    tell_surface(plan, &pair, &plan->surfaces[one], &plan->surfaces[other], &apart);
    tell_surface(plan, &back, &plan->surfaces[other], &plan->surfaces[one], &apart);
    if (apart.length)
        finding_add(&plan->findings, "seams-apart", pair.here->name, "seams-apart",
                    ARGUMENTS(arg_words("here", pair.here->name), arg_words("there", pair.there->name),
                              arg_words("apart", text_string(&apart))));
}

void align_tell(struct plan *plan)
{
    for (size_t k = 0; k < plan->input->job->align_count; k++) tell_pair(plan, k);
}
