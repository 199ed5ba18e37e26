/* Searches candidates, each one set of cuts of a surface: direction, rolls, number and places of seams, and picks the best for
 * a goal. Called by choose.c and remedy.c; the optimisers are seams.c and strips.c. */
#include "candidate.h"
#include "base/str.h"
#include "cross.h"
#include "cache.h"
#include "plan/plan.h"
#include "rolls.h"
#include "schedule.h"
#include <assert.h>
#include <math.h>
#include <stdlib.h>

enum { PANELS_MOST_MORE = 64 }; /* than the fewest, for the least money: far more than any that was seen */

/* ---- seams by hand ---- */

static int candidate_by_place(const void *one, const void *other)
{
    double a = ((const struct seam_cut *)one)->at, b = ((const struct seam_cut *)other)->at;
    return (a > b) - (a < b);
}

static struct seam_cut fixed_cut(const struct field *field, const struct fixed_seam *seam)
{
    struct seam_cut cut = {.at = seam->at_mm, .fixed = true, .before = -1, .after = -1};
    bool low_over = seam->over && (string_equal(seam->over, "left") || string_equal(seam->over, "lower"));
    cut.context =
        seam->over ? field_context_over(field, seam->at_mm, low_over) : field_context(field, seam->at_mm);
    return cut;
}

static bool named_before(const struct cuts *cuts, double at)
{
    for (size_t i = 0; i < cuts->count; i++)
        if (fabs(cuts->items[i].at - at) < 1e-6) return true;
    return false;
}

/* Seams outside the surface, and one place named twice, are left out. */
struct cuts candidate_fixed_cuts(const struct candidate_search *search, const struct field *field)
{
    struct cuts cuts = {.items = arena_take_array(search->arena, search->input->surface->spec->seam_count,
                                                  sizeof *cuts.items)};
    for (size_t i = 0; i < search->input->surface->spec->seam_count; i++) {
        double at = search->input->surface->spec->seams[i].at_mm;
        if (at > field->frame.low_mm && at < field->frame.high_mm && !named_before(&cuts, at))
            cuts.items[cuts.count++] = fixed_cut(field, &search->input->surface->spec->seams[i]);
    }
    qsort(cuts.items, cuts.count, sizeof *cuts.items, candidate_by_place);
    return cuts;
}

/* ---- judging a candidate ---- */

double candidate_widest(const struct candidate *candidate)
{
    double widest = 0;
    for (size_t i = 0; i <= candidate->cuts.count; i++) {
        struct cut_strip strip = strip_at(&candidate->field->frame, &candidate->cuts, i);
        widest = fmax(widest, strip_print_width(&candidate->field->frame, &strip));
    }
    return widest;
}

double candidate_roll_mm(const struct candidate *candidate)
{
    double widest = 0;
    for (size_t i = 0; i <= candidate->cuts.count; i++) widest = fmax(widest, candidate->cuts.rolls_mm[i]);
    return widest;
}

int64_t candidate_money(const struct candidate *candidate)
{
    return candidate->seams + candidate->film + candidate->handling + candidate->changes + candidate->apart;
}

static void add_cuts(struct candidate *candidate, const struct cuts *cuts)
{
    for (size_t i = 0; i < cuts->count; i++)
        candidate->seams += cuts->items[i].context.cost, candidate->shown += cuts->items[i].context.shown;
}

/* Length of film that strip `i` takes, all its pieces; says whether one of them is too long. */
static double strip_film(const struct candidate_search *search, struct candidate *candidate, size_t i)
{
    const struct frame *frame = &candidate->field->frame;
    const struct cut_crossing *crossing = candidate->crossings ? &candidate->crossings[i] : NULL;
    struct cut_strip strip = strip_at(frame, &candidate->cuts, i);
    double length = 0;
    for (size_t k = 0; strip.there && k < piece_count(crossing); k++) {
        struct piece piece = piece_at(frame, &strip, crossing, k);
        double one = piece_length(frame, &piece, search->job);
        candidate->too_long |=
            one > rolls_longest_mm(search->input->surface->condition, search->job->shop).mm + 1e-6;
        length += one, candidate->panels++;
    }
    if (crossing) add_cuts(candidate, &crossing->cuts);
    return length;
}

/* Film and laminate, millionths of the currency for a square metre. */
static double web_price(const struct candidate_search *search)
{
    const struct condition *condition = search->input->surface->condition;
    double laminate = condition->laminate ? (double)price_or_zero(condition->laminate->price_per_m2) : 0;
    return (double)price_or_zero(condition->film->price_per_m2) + laminate;
}

/* One more roll for a surface: printer and laminator are set up, and the laminator threaded, once more. */
static double change_price(const struct candidate_search *search, double roll_mm)
{
    const struct shop *shop = search->job->shop;
    const struct condition *condition = search->input->surface->condition;
    double price = condition->printer->setup_s.value / 3600 * (double)price_or_zero(shop->print_per_h);
    if (!condition->laminate) return price;
    double threading = shop->threading_mm.value;
    price += workload_laminator_setup_s() / 3600 * (double)price_or_zero(shop->laminate_per_h);
    return price + threading * roll_mm / 1e6 * web_price(search);
}

/* An installer's time for one panel, however large; millionths of the currency. */
static double handling_price(const struct field *field)
{
    return field->weights.panel_minutes / 60 * (double)field->install_per_h;
}

static double changes_price(const struct candidate_search *search, const struct candidate *candidate)
{
    double price = 0;
    for (size_t i = 1; i <= candidate->cuts.count; i++) {
        bool new_width = true;
        for (size_t k = 0; k < i; k++)
            new_width &= candidate->cuts.rolls_mm[k] != candidate->cuts.rolls_mm[i];
        if (new_width) price += change_price(search, candidate->cuts.rolls_mm[i]);
    }
    return price;
}

/* What neighbours mind about seams where they stand. */
static int64_t apart_price(const struct candidate_search *search, const struct candidate *candidate)
{
    const int64_t *extra = search->extra[candidate->field->frame.upright ? 0 : 1];
    int64_t sum = 0;
    for (size_t i = 0; extra && i < candidate->cuts.count; i++) {
        long at = lround(candidate->cuts.items[i].at);
        if (at > 0 && at < candidate->field->frame.positions) sum += extra[at];
    }
    return sum;
}

/* Film that the surface's inlays take, and how many of them its widest roll does not hold. */
static double inlay_area(const struct candidate_search *search, struct candidate *candidate)
{
    const struct surface *s = search->input->surface;
    double roll = candidate_roll_mm(candidate), usable = candidate_usable_mm(s->condition, roll), length = 0;
    candidate->wide_inlays = 0;
    for (size_t i = 0; i < s->feature_count; i++) {
        const struct feature *f = &s->features[i];
        if (!f->inlay || !feature_has_piece(f)) continue;
        struct rect print = frame_turn(&candidate->field->frame, feature_inlay(f));
        struct piece piece = {.v0 = print.y0, .v1 = print.y1};
        length += piece_length(&candidate->field->frame, &piece, search->job);
        candidate->wide_inlays += rect_width(print) > usable + 1e-6;
    }
    return length * roll / 1e6;
}

static void candidate_price(const struct candidate_search *search, struct candidate *candidate)
{
    const struct film *laminate = search->input->surface->condition->laminate;
    double area = inlay_area(search, candidate);
    candidate->panels = 0, candidate->seams = candidate->shown = 0, candidate->too_long = false;
    for (size_t i = 0; i <= candidate->cuts.count; i++)
        area += strip_film(search, candidate, i) * candidate->cuts.rolls_mm[i] / 1e6;
    add_cuts(candidate, &candidate->cuts);
    assert(candidate->seams >= 0 && candidate->shown <= candidate->seams);
    candidate->film = llround(fmin(web_price(search) * area, 1e15));
    candidate->handling = llround((double)candidate->panels * handling_price(candidate->field));
    candidate->changes = llround(changes_price(search, candidate));
    candidate->apart = apart_price(search, candidate);
    candidate->uncovered =
        laminate && laminate->width_count &&
        laminate->widths_mm[laminate->width_count - 1] < candidate_widest(candidate) - 1e-6;
}

static int64_t candidate_compare(int64_t one, int64_t other)
{
    return (one > other) - (one < other);
}

/* Short enough to print, a roll that holds the inlays, and covered by the laminate before all else; then the goal; then money. */
static bool better(const struct candidate *one, const struct candidate *other, enum goal goal)
{
    if (!other->possible || !one->possible) return one->possible;
    if (one->too_long != other->too_long) return other->too_long;
    if (one->wide_inlays != other->wide_inlays) return one->wide_inlays < other->wide_inlays;
    if (one->uncovered != other->uncovered) return other->uncovered;
    int64_t by_goal = goal == GOAL_FEWEST ? candidate_compare((int64_t)one->panels, (int64_t)other->panels)
                      : goal == GOAL_MATERIAL ? candidate_compare(one->film, other->film)
                      : goal == GOAL_HIDDEN
                          ? candidate_compare(one->shown + one->apart, other->shown + other->apart)
                          : 0;
    if (by_goal) return by_goal < 0;
    return candidate_money(one) < candidate_money(other);
}

/* ---- one set of rolls ---- */

static double widest_usable(const struct candidate_search *search, const struct candidate *candidate)
{
    return candidate_planned_mm(search, candidate->widths_mm[candidate->width_count - 1]);
}

/* As the answer says; else each strip on the narrowest roll that holds it. */
static void assign_rolls(const struct candidate_search *search, struct candidate *candidate,
                         const struct seam_answer *answer)
{
    candidate->cuts.rolls_mm =
        arena_take_array(search->arena, candidate->cuts.count + 1, sizeof *candidate->cuts.rolls_mm);
    for (size_t i = 0; i <= candidate->cuts.count; i++) {
        struct cut_strip strip = strip_at(&candidate->field->frame, &candidate->cuts, i);
        double width = strip_print_width(&candidate->field->frame, &strip);
        size_t roll = 0;
        assert(!answer || !answer->roll || (size_t)answer->roll[i] < candidate->width_count);
        while (roll + 1 < candidate->width_count &&
               candidate_planned_mm(search, candidate->widths_mm[roll]) < width - 1e-6)
            roll++;
        candidate->cuts.rolls_mm[i] =
            candidate->widths_mm[answer && answer->roll ? (size_t)answer->roll[i] : roll];
    }
}

static void candidate_finish(const struct candidate_search *search, struct candidate *candidate,
                             const struct seam_answer *answer)
{
    if (!candidate->possible) return;
    assign_rolls(search, candidate, answer);
    candidate_price(search, candidate);
    if (!candidate->too_long) return;
    candidate->crossings = cross_strips(search, candidate->field, &candidate->cuts);
    if (candidate->crossings) candidate_price(search, candidate);
}

/* Equal spacing: the fewest panels for which every seam may stand and every panel fits. */
static void solve_even(const struct candidate_search *search, const struct seam_problem *problem,
                       struct candidate *candidate)
{
    enum { EVEN_MOST = 64 };
    int at[EVEN_MOST];
    const struct field *field = candidate->field;
    const struct frame *frame = &field->frame;
    for (int panels = 1; panels <= EVEN_MOST && panels <= problem->positions && !candidate->possible;
         panels++) {
        bool good = true;
        for (int i = 0, before = 0; good && i < panels; i++, before = at[i - 1]) {
            bool last = i + 1 == panels;
            double even = frame->low_mm + (frame->high_mm - frame->low_mm) * (i + 1) / panels;
            at[i] = last ? problem->positions : (int)lround(even) - frame->first;
            good = (last || problem->cost[at[i]] != SEAM_FORBIDDEN) && at[i] > before &&
                   seams_fit(problem, before, at[i]);
        }
        if (!good) continue;
        struct seam_answer answer = {.possible = true, .panels = panels, .at = at};
        candidate->cuts = cuts_chosen(field, problem, &answer, search->arena);
        candidate->possible = true;
    }
    candidate_finish(search, candidate, NULL);
}

static bool height_varies(const struct frame *frame)
{
    const struct span first = frame->spans[frame->first];
    for (int i = frame->first + 1; i < frame->last; i++) {
        struct span span = frame->spans[i];
        if (span.low_mm > span.high_mm || fabsf(span.low_mm - first.low_mm) > 0.5f ||
            fabsf(span.high_mm - first.high_mm) > 0.5f)
            return true;
    }
    return false;
}

/* Of what is printed, bleed counted in, where a region says it; else of the outline, and the bleed with the marks. */
static void prices_take_lengths(const struct frame *frame, struct strip_prices *prices, struct arena *arena)
{
    double whole = frame_length(frame, -frame->bleed_start, frame->along_mm + frame->bleed_end);
    prices->spans = frame->spans, prices->ends_mm = PANEL_END_MM + PANEL_TAIL_MM;
    if (!frame->prints) {
        prices->ends_mm += whole - frame->along_mm;
        return;
    }
    struct span *spans = arena_take_array(arena, (size_t)(frame->last - frame->first), sizeof *spans);
    for (int i = frame->first; i < frame->last; i++) {
        int k = i - frame->prints->first;
        bool there = k >= 0 && k < (int)frame->prints->count;
        spans[i - frame->first] = there ? frame->prints->spans[k] : (struct span){INFINITY, -INFINITY};
    }
    prices->spans = spans;
}

/* The cheapest seams for this many panels. Where the outline's height varies, and where strips choose their
 * roll, film counts with each strip; a followed corrugation along the film would bend its length, and least
 * visible does not ask for film. */
static struct seam_answer solve_seams(const struct candidate_search *search,
                                      const struct seam_problem *problem, const struct candidate *candidate)
{
    const struct frame *frame = &candidate->field->frame;
    bool bent = surface_is_lengthened(frame->surface, !frame->upright);
    bool film_decides = candidate->width_count > 1 || (height_varies(frame) && !bent);
    if (search->goal == GOAL_HIDDEN || !film_decides) return seams_solve(problem, search->arena);
    struct strip_roll rolls[WIDTHS_MOST];
    for (size_t i = 0; i < candidate->width_count; i++) {
        rolls[i].usable_um = usable_um(candidate_planned_mm(search, candidate->widths_mm[i]));
        rolls[i].micro_per_mm = web_price(search) * candidate->widths_mm[i] / 1e6;
        if (search->goal == GOAL_MATERIAL) rolls[i].micro_per_mm *= 1000; /* film before all else */
    }
    struct strip_prices prices = {.rolls = rolls, .roll_count = candidate->width_count};
    prices_take_lengths(frame, &prices, search->arena);
    return seams_solve_strips(problem, &prices, search->arena);
}

/* Exactly so many panels, none narrower than the least where that can be. */
static struct candidate solve_with(const struct candidate_search *search, struct seam_problem problem,
                                   int panels, bool may_be_narrow, const struct candidate *start)
{
    struct candidate candidate = *start;
    problem.panels = panels;
    problem.least = (int)ceil(candidate_least_panel(search));
    struct seam_answer answer = solve_seams(search, &problem, &candidate);
    if (!answer.possible && may_be_narrow) {
        problem.least = 0;
        answer = solve_seams(search, &problem, &candidate);
    }
    candidate.possible = answer.possible;
    if (candidate.possible) candidate.cuts = cuts_chosen(candidate.field, &problem, &answer, search->arena);
    candidate_finish(search, &candidate, &answer);
    return candidate;
}

/* Nothing that more panels could mend. */
static bool is_good(const struct candidate *candidate)
{
    return candidate->possible && !candidate->too_long && !candidate->uncovered && !candidate->crossings;
}

/* Film and laminate, mm2, that so many panels take at least, on the rolls that `start` names: each is as long as
 * the surface is where it is shortest; and together they hold all of it, none wider than its roll can use. */
static double least_film_mm2(const struct candidate_search *search, const struct candidate *start, int panels)
{
    const struct frame *frame = &start->field->frame;
    double ends = frame->bleed_start + frame->bleed_end + PANEL_END_MM + PANEL_TAIL_MM,
           roll = start->widths_mm[0];
    double area = 0, shortest = INFINITY, waste = INFINITY;
    if (frame->prints) ends = PANEL_END_MM + PANEL_TAIL_MM; /* at least */
    for (int i = frame->first; i < frame->last; i++) {
        double length = fmax(0, (double)frame->spans[i].high_mm - (double)frame->spans[i].low_mm);
        area += length, shortest = fmin(shortest, length);
    }
    for (size_t i = 0; i < start->width_count; i++)
        waste = fmin(waste, start->widths_mm[i] / candidate_planned_mm(search, start->widths_mm[i]));
    if (surface_cut_short_mm(frame->surface) > 0) area = 0; /* not all of it is covered */
    if (shortest == 0) ends = 0;                            /* a strip there is not printed */
    return fmax(panels * ends * roll + area * waste, panels * (shortest + ends) * roll);
}

/* So many panels cost no less, wherever their seams stand: their handling and film, and the cheapest place for
 * every seam. */
static int64_t least_price(const struct candidate_search *search, const struct seam_problem *problem,
                           const struct candidate *start, int panels)
{
    const struct frame *frame = &start->field->frame;
    int64_t seam = INT64_MAX;
    double feed = fmin(feed_percent_of(search->job, search->input->surface->condition) / 100, 1);
    double film = web_price(search) * least_film_mm2(search, start, panels) / 1e6 * feed;
    double handling = handling_price(start->field);
    for (int at = 1; at < problem->positions; at++)
        seam = problem->cost[at] < seam ? problem->cost[at] : seam;
    for (int i = frame->first; i < frame->last; i++)
        if (frame->spans[i].low_mm > frame->spans[i].high_mm) handling = 0; /* a strip there is not printed */
    return (int64_t)(handling * panels + film) - 1 + (panels - 1) * (seam == SEAM_FORBIDDEN ? 0 : seam);
}

/* Whether a plan with so many panels may be better than the best with fewer. */
static bool worth_trying(const struct candidate_search *search, const struct seam_problem *problem,
                         const struct candidate *start, const struct candidate *best, int more, int panels)
{
    if (!is_good(best)) return more <= PANELS_MORE;
    if (search->goal == GOAL_FEWEST) return false;
    if (search->goal != GOAL_COST) return more <= PANELS_MORE;
    return more <= PANELS_MOST_MORE && least_price(search, problem, start, panels) < candidate_money(best);
}

/* What each place costs by the goal, neighbours included. */
static const int64_t *wanted_cost(const struct candidate_search *search, const struct field *field)
{
    const int64_t *cost = search->goal == GOAL_HIDDEN ? field->shown : field->cost;
    const int64_t *extra = search->extra[field->frame.upright ? 0 : 1];
    if (!extra) return cost;
    int64_t *sum = arena_take_array(search->arena, (size_t)field->frame.positions + 1, sizeof *sum);
    for (int i = 0; i <= field->frame.positions; i++)
        sum[i] = cost[i] == SEAM_FORBIDDEN ? SEAM_FORBIDDEN : cost[i] + extra[i];
    return sum;
}

/* The fewest that fit, and more: what more seams cost, better places may save. */
static void solve_best(const struct candidate_search *search, struct seam_problem problem,
                       struct candidate *candidate)
{
    struct candidate start = *candidate;
    problem.cost = wanted_cost(search, candidate->field) + candidate->field->frame.first;
    struct seam_answer fewest = seams_solve(&problem, search->arena);
    if (!fewest.possible) return;
    for (int more = 0; worth_trying(search, &problem, &start, candidate, more, fewest.panels + more);
         more++) {
        struct candidate one = solve_with(search, problem, fewest.panels + more, !more, &start);
        if (better(&one, candidate, search->goal)) *candidate = one;
    }
}

/* On the rolls that `start` names. */
static struct candidate try_rolls(const struct candidate_search *search, const struct candidate *start)
{
    const struct surface_spec *spec = search->input->surface->spec;
    struct candidate candidate = *start;
    double usable = widest_usable(search, start);
    struct seam_problem problem = field_problem(start->field, usable);
    if (spec && spec->seams_fixed && !search->ignore_fixed) {
        candidate.cuts = candidate_fixed_cuts(search, start->field);
        candidate.possible = candidate_widest(&candidate) <= usable + 1e-6;
        candidate_finish(search, &candidate, NULL);
    } else if (spec && spec->even)
        solve_even(search, &problem, &candidate);
    else
        solve_best(search, problem, &candidate);
    return candidate;
}

/* ---- all of them ---- */

/* One width after the other; and where widths may mix, every set of them: a change of rolls has its price, so
 * that fewer widths may be cheaper. */
static void try_widths(const struct candidate_search *search, const struct field *field,
                       struct candidate *best)
{
    const struct film *film = search->input->surface->condition->film;
    const struct surface_spec *spec = search->input->surface->spec;
    bool mixed = spec && spec->mixed_widths;
    size_t count = film->width_count, from = mixed && count > WIDTHS_MOST ? count - WIDTHS_MOST : 0;
    unsigned sets = mixed ? 1u << (count - from) : (unsigned)count + 1;
    for (unsigned set = 1; set < sets; set++) {
        struct candidate start = {.field = field};
        for (size_t i = from; mixed && i < count; i++)
            if (set >> (i - from) & 1) start.widths_mm[start.width_count++] = film->widths_mm[i];
        if (!mixed) start.widths_mm[start.width_count++] = film->widths_mm[set - 1];
        struct candidate candidate = try_rolls(search, &start);
        if (better(&candidate, best, search->goal)) *best = candidate;
    }
}

static void candidate_try_direction(struct candidate_search *search, bool upright, struct candidate *best)
{
    const struct film *film = search->input->surface->condition->film;
    struct field *field = &search->fields[upright ? 0 : 1];
    struct field_wish wish = {.input = search->input,
                              .upright = upright,
                              .shop = search->job->shop,
                              .slivers_may_be = search->slivers_may_be,
                              .letters_may_be_cut = search->letters_may_be_cut};
    if (film->width_count)
        wish.panel_mm = candidate_planned_mm(search, film->widths_mm[film->width_count - 1]);
    *field = cache_field(search->cache, &wish, search->arena);
    search->extra[upright ? 0 : 1] = align_extra(&search->neighbours, field, search->goal == GOAL_HIDDEN);
    search->tried[upright ? 0 : 1] = true;
    try_widths(search, field, best);
}

static struct candidate try_directions(struct candidate_search *search)
{
    const struct surface_spec *spec = search->input->surface->spec;
    enum panels_run direction = spec ? spec->panels : RUN_UPRIGHT;
    struct candidate best = {0};
    if (direction != RUN_LYING) candidate_try_direction(search, true, &best);
    if (direction != RUN_UPRIGHT) candidate_try_direction(search, false, &best);
    assert(!best.possible || best.cuts.rolls_mm); /* a candidate that is taken was finished */
    return best;
}

/* What forbids seams and may yet be allowed: slivers, and lettering. */
static bool tried_with(const struct candidate_search *search, bool letters)
{
    bool met = false;
    for (int i = 0; i < 2; i++)
        met |= search->tried[i] &&
               (letters ? search->fields[i].letterings.count > 0 : search->fields[i].slivers > 0);
    return met;
}

struct candidate candidate_find(struct candidate_search *search)
{
    struct candidate best = try_directions(search);
    bool letters = tried_with(search, true);
    if (!best.possible && tried_with(search, false)) {
        search->slivers_may_be = true;
        best = try_directions(search);
    }
    if (best.possible || !letters) return best;
    search->slivers_may_be = search->letters_may_be_cut = true;
    return try_directions(search);
}
