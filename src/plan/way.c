#include "way.h"
#include "base/str.h"
#include "cross.h"
#include "model/practice.h"
#include "plan/plan.h"
#include <math.h>
#include <stdlib.h>

#define MM_PER_INCH 25.4

enum { PANELS_MORE = 2 }; /* so many more than the fewest are tried */

double way_usable_mm(const struct condition *condition, double roll_mm)
{
    return fmin(roll_mm, condition->printer->media_width_mm) - 2 * condition->printer->edge_mm;
}

/* Pixels of a TIFF are rounded outward: up to one at each side. */
double way_planned_mm(const struct way_search *search, double roll_mm)
{
    const struct job *job = search->job;
    double usable = way_usable_mm(search->input->surface->condition, roll_mm);
    bool pixels = job->format == FORMAT_TIFF && job->resolution_ppi > 0;
    return pixels ? usable - 2 * MM_PER_INCH / job->resolution_ppi : usable;
}

double way_least_panel(const struct way_search *search)
{
    const struct surface_spec *spec = search->input->surface->spec;
    double written = spec ? spec->least_panel_mm : 0;
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
struct cuts way_fixed_cuts(const struct way_search *search, const struct field *field)
{
    struct cuts cuts = {
        arena_take_array(search->arena, search->input->surface->spec->seam_count, sizeof *cuts.items), 0};
    for (size_t i = 0; i < search->input->surface->spec->seam_count; i++) {
        double at = search->input->surface->spec->seams[i].at_mm;
        if (at > 0 && at < field->frame.across_mm && !named_before(&cuts, at))
            cuts.items[cuts.count++] = fixed_cut(field, &search->input->surface->spec->seams[i]);
    }
    qsort(cuts.items, cuts.count, sizeof *cuts.items, by_place);
    return cuts;
}

/* ---- judging a way ---- */

static double strip_width(const struct frame *frame, const struct strip *strip)
{
    return frame_place(frame, strip->u1 + strip->high) - frame_place(frame, strip->u0 - strip->low);
}

double way_widest(const struct way *way)
{
    double widest = 0;
    for (size_t i = 0; i <= way->cuts.count; i++) {
        struct strip strip = strip_at(&way->field->frame, &way->cuts, i);
        widest = fmax(widest, strip_width(&way->field->frame, &strip));
    }
    return widest;
}

static void add_cuts(struct way *way, const struct cuts *cuts)
{
    for (size_t i = 0; i < cuts->count; i++)
        way->seams += cuts->items[i].look.cost, way->shown += cuts->items[i].look.shown;
}

/* Length of film that strip `i` takes, all its pieces; says whether one of them is too long. */
static double strip_film(const struct way_search *search, struct way *way, size_t i)
{
    const struct frame *frame = &way->field->frame;
    const struct crossing *crossing = way->crossings ? &way->crossings[i] : NULL;
    struct strip strip = strip_at(frame, &way->cuts, i);
    double length = 0;
    for (size_t k = 0; strip.there && k < piece_count(crossing); k++) {
        struct piece piece = piece_at(frame, &strip, crossing, k);
        double one = piece_length(frame, &piece, search->job);
        way->too_long |= one > search->input->surface->condition->printer->max_length_mm + 1e-6;
        length += one, way->panels++;
    }
    if (crossing) add_cuts(way, &crossing->cuts);
    return length;
}

static void price_way(const struct way_search *search, struct way *way)
{
    const struct condition *condition = search->input->surface->condition;
    const struct film *film = condition->film, *laminate = condition->laminate;
    double length = 0, price = (double)film->price_per_m2 + (laminate ? (double)laminate->price_per_m2 : 0);
    way->panels = 0, way->seams = way->shown = 0, way->too_long = false;
    for (size_t i = 0; i <= way->cuts.count; i++) length += strip_film(search, way, i);
    add_cuts(way, &way->cuts);
    way->film = llround(fmin(price * way->roll_mm * length / 1e6, 1e15));
    way->uncovered = laminate && laminate->width_count &&
                     laminate->widths_mm[laminate->width_count - 1] < way_widest(way) - 1e-6;
}

static int64_t compare(int64_t one, int64_t other)
{
    return (one > other) - (one < other);
}

/* Short enough to print and covered by the laminate before all else; then the goal; then money. */
static bool better(const struct way *one, const struct way *other, enum goal goal)
{
    if (!other->possible || !one->possible) return one->possible;
    if (one->too_long != other->too_long) return other->too_long;
    if (one->uncovered != other->uncovered) return other->uncovered;
    int64_t by_goal = goal == GOAL_BEST       ? compare((int64_t)one->panels, (int64_t)other->panels)
                      : goal == GOAL_MATERIAL ? compare(one->film, other->film)
                      : goal == GOAL_HIDDEN   ? compare(one->shown, other->shown)
                                              : 0;
    if (by_goal) return by_goal < 0;
    return one->seams + one->film < other->seams + other->film;
}

/* ---- one roll ---- */

static void finish_way(const struct way_search *search, struct way *way)
{
    if (!way->possible) return;
    price_way(search, way);
    if (!way->too_long) return;
    way->crossings =
        cross_strips(search->input, way->field, &way->cuts, search->job, way_least_panel(search));
    if (way->crossings) price_way(search, way);
}

/* Equal spacing: the fewest panels for which every seam may stand and every panel fits. */
static void solve_even(const struct way_search *search, const struct seam_problem *problem, struct way *way)
{
    enum { EVEN_MOST = 64 };
    int at[EVEN_MOST];
    const struct field *field = way->field;
    for (int panels = 1; panels <= EVEN_MOST && panels <= problem->positions && !way->possible; panels++) {
        bool good = true;
        for (int i = 0, before = 0; good && i < panels; i++, before = at[i - 1]) {
            bool last = i + 1 == panels;
            at[i] = last ? problem->positions : (int)lround(field->frame.across_mm * (i + 1) / panels);
            good = (last || field->cost[at[i]] != SEAM_FORBIDDEN) && at[i] > before &&
                   seams_fit(problem, before, at[i]);
        }
        if (!good) continue;
        struct seam_answer answer = {true, panels, at, 0};
        way->cuts = cuts_chosen(field, problem, &answer, search->arena);
        way->possible = true;
    }
    finish_way(search, way);
}

static bool height_varies(const struct frame *frame)
{
    for (int i = 1; i < frame->positions; i++)
        if (fabsf(frame->spans[i].low_mm - frame->spans[0].low_mm) > 0.5f ||
            fabsf(frame->spans[i].high_mm - frame->spans[0].high_mm) > 0.5f)
            return true;
    return false;
}

/* The cheapest seams for this many panels. Where the outline's height varies, film counts with each strip; a
 * followed corrugation along the film would bend its length, and least visible does not ask for film. */
static struct seam_answer solve_seams(const struct way_search *search, const struct seam_problem *problem,
                                      const struct way *way)
{
    const struct frame *frame = &way->field->frame;
    const struct condition *condition = search->input->surface->condition;
    bool bent = frame->surface->station_count > 1 && frame->surface->stations_along_x != frame->upright;
    if (search->goal == GOAL_HIDDEN || bent || !height_varies(frame))
        return seams_solve(problem, search->arena);
    double price = (double)condition->film->price_per_m2;
    if (condition->laminate) price += (double)condition->laminate->price_per_m2;
    struct strip_roll roll = {problem->usable_um, price * way->roll_mm / 1e6};
    if (search->goal == GOAL_MATERIAL) roll.micro_per_mm *= 1000; /* film before all else */
    struct strip_prices prices = {.spans = frame->spans, .rolls = &roll, .roll_count = 1};
    prices.ends_mm = frame->bleed_start + frame->bleed_end + PANEL_END_MM + PANEL_TAIL_MM;
    return seams_solve_strips(problem, &prices, search->arena);
}

/* Exactly so many panels, none narrower than the least where that can be. */
static struct way solve_with(const struct way_search *search, struct seam_problem problem, int panels,
                             bool may_be_narrow, const struct way *start)
{
    struct way way = *start;
    problem.panels = panels;
    problem.least = (int)ceil(way_least_panel(search));
    struct seam_answer answer = solve_seams(search, &problem, &way);
    if (!answer.possible && may_be_narrow) {
        problem.least = 0;
        answer = solve_seams(search, &problem, &way);
    }
    way.possible = answer.possible;
    if (way.possible) way.cuts = cuts_chosen(way.field, &problem, &answer, search->arena);
    finish_way(search, &way);
    return way;
}

/* The fewest that fit, and a few more: what more seams cost, better places may save. */
static void solve_best(const struct way_search *search, struct seam_problem problem, struct way *way)
{
    struct way start = *way;
    if (search->goal == GOAL_HIDDEN) problem.cost = way->field->shown;
    struct seam_answer fewest = seams_solve(&problem, search->arena);
    for (int more = 0; fewest.possible && more <= PANELS_MORE; more++) {
        struct way one = solve_with(search, problem, fewest.panels + more, !more, &start);
        if (better(&one, way, search->goal)) *way = one;
    }
}

static struct way try_roll(const struct way_search *search, const struct field *field, double roll_mm)
{
    const struct surface_spec *spec = search->input->surface->spec;
    struct way way = {.field = field, .roll_mm = roll_mm, .usable_mm = way_planned_mm(search, roll_mm)};
    struct seam_problem problem = field_problem(field, way.usable_mm);
    if (spec && spec->seams_fixed && !search->ignore_fixed) {
        way.cuts = way_fixed_cuts(search, field);
        way.possible = way_widest(&way) <= way.usable_mm + 1e-6;
        finish_way(search, &way);
    } else if (spec && spec->even)
        solve_even(search, &problem, &way);
    else
        solve_best(search, problem, &way);
    return way;
}

/* ---- all of them ---- */

static void try_direction(struct way_search *search, bool upright, struct way *best)
{
    const struct film *film = search->input->surface->condition->film;
    struct field *field = &search->fields[upright ? 0 : 1];
    struct field_wish wish = {.input = search->input,
                              .upright = upright,
                              .shop = search->job->shop,
                              .letters_may_be_cut = search->letters_may_be_cut};
    if (film->width_count) wish.panel_mm = way_planned_mm(search, film->widths_mm[film->width_count - 1]);
    *field = field_new(&wish, search->arena);
    search->tried[upright ? 0 : 1] = true;
    for (size_t i = 0; i < film->width_count; i++) {
        struct way way = try_roll(search, field, film->widths_mm[i]);
        if (better(&way, best, search->goal)) *best = way;
    }
}

static struct way try_directions(struct way_search *search)
{
    const struct surface_spec *spec = search->input->surface->spec;
    enum panels_run run = spec ? spec->panels : RUN_UPRIGHT;
    struct way best = {0};
    if (run != RUN_LYING) try_direction(search, true, &best);
    if (run != RUN_UPRIGHT) try_direction(search, false, &best);
    return best;
}

struct way way_find(struct way_search *search)
{
    struct way best = try_directions(search);
    bool letters = false;
    for (int i = 0; i < 2; i++) letters |= search->tried[i] && search->fields[i].letterings.count;
    if (best.possible || !letters) return best;
    search->letters_may_be_cut = true;
    return try_directions(search);
}
