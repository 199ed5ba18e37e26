/* Lays outlines on a strip: what can be laid at all, boxes first, and then one in the other's hollows. */
#include "inner.h"
#include "outline_search.h"
#include "outline_settle.h"
#include <math.h>
#include <string.h>

static const int64_t REACH_MOST = 100000000;

static bool outline_is_within(const struct layout_outline *outline)
{
    if (outline->count < 3 || outline->count > LAYOUT_POINTS_MOST || outline->turns > 15) return false;
    for (size_t i = 0; i < outline->count; i++) {
        const struct layout_point *p = &outline->points[i];
        if (p->across < -REACH_MOST || p->across > REACH_MOST || p->along < -REACH_MOST ||
            p->along > REACH_MOST)
            return false;
    }
    return true;
}

static bool outline_check(const struct layout_outlines_order *order, size_t i, struct arena *arena,
                          struct error *error)
{
    const struct layout_outline *outline = &order->outlines[i];
    if (!outline_is_within(outline))
        return error_set(
            error, FAILURE_INPUT, "layout-outline",
            ARGUMENTS(arg_count("piece", (int64_t)i + 1), arg_count("most", LAYOUT_POINTS_MOST)));
    if (!outline_is_simple(outline))
        return error_set(error, FAILURE_INPUT, "layout-outline-crosses",
                         ARGUMENTS(arg_count("piece", (int64_t)i + 1)));
    for (int quarters = 0; quarters < 4; quarters++)
        if (outline_turns(outline) >> quarters & 1 &&
            shape_of(outline, quarters, arena).width <= order->width)
            return true;
    return error_set(error, FAILURE_INPUT, "layout-outline-wide",
                     ARGUMENTS(arg_count("piece", (int64_t)i + 1)));
}

static bool outlines_check(const struct layout_outlines_order *order, struct arena *arena,
                           struct error *error)
{
    if (order->count > LAYOUT_OUTLINES_MOST)
        return error_set(
            error, FAILURE_INPUT, "layout-too-many-outlines",
            ARGUMENTS(arg_count("count", (int64_t)order->count), arg_count("most", LAYOUT_OUTLINES_MOST)));
    if (order->width < 1 || order->width > REACH_MOST || order->gap < 0 || order->gap > REACH_MOST)
        return error_set(error, FAILURE_INPUT, "layout-width", NULL);
    for (size_t i = 0; i < order->count; i++)
        if (!outline_check(order, i, arena, error)) return false;
    return true;
}

/* ---- boxes ---- */

/* The first way in which it may lie as the box does, turned or not. */
static int quarters_for(const struct layout_outline *outline, bool turned)
{
    unsigned turns = outline_turns(outline);
    int quarters = turned ? 1 : 0;
    return turns >> quarters & 1 ? quarters : quarters + 2;
}

static bool outline_lies(const struct layout_outline *outline, bool turned)
{
    return outline_turns(outline) &
           (turned ? LAYOUT_QUARTER | LAYOUT_THREE_QUARTERS : LAYOUT_AS_DRAWN | LAYOUT_HALF);
}

/* Only a quarter turn is allowed: the box is said as it then lies. */
static struct layout_piece box_of_outline(const struct layout_outlines_order *order, size_t i,
                                          struct arena *arena)
{
    const struct layout_outline *outline = &order->outlines[i];
    bool stands = outline_lies(outline, false), lies = outline_lies(outline, true);
    struct shape shape = shape_of(outline, quarters_for(outline, !stands), arena);
    return (struct layout_piece){shape.width + order->gap, shape.length + order->gap, stands && lies};
}

static bool outlines_boxes(const struct layout_outlines_order *order, const struct layout_effort *effort,
                           struct arena *arena, struct layout_outlines *outlines, struct error *error)
{
    struct layout_piece *boxes = arena_take_array(arena, order->count, sizeof *boxes);
    struct layout_order strip_order = {order->width + order->gap, boxes, order->count};
    struct layout_strip strip;
    for (size_t i = 0; i < order->count; i++) boxes[i] = box_of_outline(order, i, arena);
    if (!layout_strip(&strip_order, effort, arena, &strip, error)) return false;
    for (size_t i = 0; i < order->count; i++) {
        const struct layout_outline *outline = &order->outlines[i];
        bool turned = strip.places[i].turned != !outline_lies(outline, false);
        int quarters = quarters_for(outline, turned);
        struct shape shape = shape_of(outline, quarters, arena);
        outlines->places[i] =
            (struct layout_outline_place){strip.places[i].across - shape.corner.across,
                                          strip.places[i].along - shape.corner.along, quarters};
    }
    outlines->used = strip.used - order->gap, outlines->tries = strip.tries;
    return true;
}

/* ---- one in the other's hollows ---- */

/* How far below the gap two outlines may be: half a unit of rounding each way, and a little. */
static const double DEPTH_BORNE = 2;

static struct settle settle_of(const struct outline_search *search, struct arena *arena)
{
    const struct outline_maps *maps = search->maps;
    size_t count = maps->order->count;
    struct settle settle = {.width = (double)maps->order->width,
                            .pieces = arena_take_array(arena, count, sizeof *settle.pieces),
                            .count = count};
    for (size_t i = 0; i < count; i++) {
        const struct outline_spot *spot = &search->best[i];
        settle.pieces[i] = (struct settle_piece){&maps->stances[spot->stance].shape,
                                                 &maps->parts[spot->stance],
                                                 (double)(spot->across * maps->step),
                                                 (double)(spot->along * maps->step),
                                                 0,
                                                 0};
    }
    return settle;
}

/* To whole units; the length, or INT64_MAX when they are not clear of each other. */
static int64_t settle_round(struct settle *settle, int64_t gap, struct arena *arena)
{
    int64_t end = 0;
    for (size_t i = 0; i < settle->count; i++) {
        struct settle_piece *piece = &settle->pieces[i];
        piece->across = nearbyint(piece->across), piece->along = nearbyint(piece->along);
        int64_t reach = (int64_t)piece->along + piece->shape->length;
        if (piece->across < 0 || piece->along < 0 ||
            piece->across + (double)piece->shape->width > settle->width)
            return INT64_MAX;
        if (reach > end) end = reach;
    }
    return settle_depth(settle, gap, arena) <= DEPTH_BORNE ? end : INT64_MAX;
}

static void settle_take(struct settle *settle, const struct outline_search *search,
                        struct layout_outlines *outlines, struct arena *arena)
{
    const struct outline_maps *maps = search->maps;
    struct settle whole = *settle;
    whole.pieces = arena_take_array(arena, settle->count, sizeof *whole.pieces);
    memcpy(whole.pieces, settle->pieces, settle->count * sizeof *whole.pieces);
    int64_t end = settle_round(&whole, maps->order->gap, arena);
    if (end >= outlines->used) return;
    outlines->used = end;
    for (size_t i = 0; i < whole.count; i++) {
        const struct settle_piece *piece = &whole.pieces[i];
        outlines->places[i] =
            (struct layout_outline_place){(int64_t)piece->across - piece->shape->corner.across,
                                          (int64_t)piece->along - piece->shape->corner.along,
                                          maps->stances[search->best[i].stance].quarters};
    }
}

static void settle_stretch(struct settle *settle, double by)
{
    for (size_t i = 0; i < settle->count; i++) settle->pieces[i].along *= by;
}

/* What was found on the grid is freed of what the grid has left, longer where it must be, then shorter as long as it
 * can. */
static void outlines_settle(const struct outline_search *search, struct layout_outlines *outlines)
{
    struct arena *arena = arena_new(arena_machine(search->clock->arena));
    struct settle settle = settle_of(search, arena);
    double length = (double)search->best_length * (double)search->maps->step, most = (double)outlines->used;
    settle_begin(&settle, search->maps->order->gap, arena);
    bool parted = false;
    for (double more = 1; !parted && more < 1.1 && length * more < most && !search->clock->ended;
         more += 0.02) {
        search_is_over(search->clock, false);
        if (more > 1) settle_stretch(&settle, 1.02);
        parted = settle_part(&settle, length * more);
        if (parted) length *= more;
    }
    while (parted) {
        settle_take(&settle, search, outlines, arena);
        length *= 0.997;
        parted = length >= (double)outlines->lower && !search_is_over(search->clock, false) &&
                 settle_part(&settle, length);
    }
    arena_free(arena);
}

/* Grids, each of half the steps of the one before, as far as their maps can be borne. */
enum { GRIDS_MOST = 3 };

static size_t searches_new(const struct layout_outlines_order *order, struct layout_search *clock,
                           struct outline_search *searches[GRIDS_MOST])
{
    enum { HALVED = 8, STEPS = 40 };
    int64_t step = order->width / STEPS;
    size_t count = 0;
    if (step > HALVED) step -= step % HALVED;
    while (count < GRIDS_MOST && step > 0) {
        struct outline_maps *maps = outline_maps_new(order, step, clock->arena);
        if (!maps) break;
        searches[count++] = outline_search_new(maps, clock, clock->arena);
        if (step % 2) break;
        step /= 2;
    }
    return count;
}

static int32_t search_lower(const struct outline_search *search, const struct layout_outlines *outlines)
{
    return (int32_t)(outlines->lower / search->maps->step);
}

/* What is found on the coarsest grid is followed to the finest. */
static void outlines_follow(struct outline_search *const *searches, size_t count, int failures,
                            struct layout_outlines *outlines)
{
    for (size_t i = 0; i < count; i++) {
        if (i && !outline_search_refine(searches[i], searches[i - 1])) return;
        while (outline_search_shorten(searches[i], search_lower(searches[i], outlines), failures))
            if (i + 1 == count) outlines_settle(searches[i], outlines);
        outlines_settle(searches[i], outlines);
    }
}

/* From places anywhere, on strips of lengths between the least and what was found: what the grid's best came to may be
 * none that can be freed of the grid. */
static void outlines_scatter(struct outline_search *const *searches, size_t count, int turn,
                             struct layout_outlines *outlines)
{
    enum { ROUNDS = 100, ROUNDS_LONG = 1000, LONG_EVERY = 3, FAILURES = 3, LENGTHS = 4 };
    static const int64_t sixteenths[LENGTHS] = {2, 4, 8, 12};
    int32_t lower = search_lower(searches[0], outlines);
    int32_t found = (int32_t)((outlines->used - 1) / searches[0]->maps->step);
    int32_t length = lower + (int32_t)((found - lower) * sixteenths[turn % LENGTHS] / 16);
    if (length < found && outline_search_scatter(searches[0], length < 1 ? 1 : length,
                                                 turn % LONG_EVERY == LONG_EVERY - 1 ? ROUNDS_LONG : ROUNDS))
        outlines_follow(searches, count, FAILURES, outlines);
}

/* The first layout is followed with more and more patience; between, others are begun anywhere. */
static void outlines_interlock(const struct layout_outlines_order *order, struct layout_search *clock,
                               struct layout_outlines *outlines)
{
    enum { FAILURES = 6, FAILURES_MOST = 48, THROWS_LEAST = 8 };
    struct outline_search *searches[GRIDS_MOST], *thrown[GRIDS_MOST];
    size_t count = searches_new(order, clock, searches);
    int32_t end = count ? (int32_t)(2 * outlines->used / searches[0]->maps->step) + 1 : 0;
    if (!count || !outline_search_begin(searches[0], end)) return;
    memcpy(thrown, searches, sizeof thrown);
    thrown[0] = outline_search_new(searches[0]->maps, clock, clock->arena);
    for (int failures = FAILURES, turn = 0; !clock->ended && outlines->used > outlines->lower;) {
        int64_t before = clock->tries;
        search_is_over(clock, false);
        outlines_follow(searches, count, failures, outlines);
        int64_t end_tries = 2 * clock->tries - before;
        for (int i = 0; (i < THROWS_LEAST || clock->tries < end_tries) && !search_is_over(clock, false); i++)
            outlines_scatter(thrown, count, turn++, outlines);
        if (failures < FAILURES_MOST) failures *= 2;
    }
}

static int64_t outlines_lower(const struct layout_outlines_order *order, struct arena *arena)
{
    int64_t lower = 0;
    double area = 0;
    for (size_t i = 0; i < order->count; i++) {
        int64_t shortest = INT64_MAX;
        for (int quarters = 0; quarters < 4; quarters++) {
            struct shape shape = shape_of(&order->outlines[i], quarters, arena);
            bool may = outline_turns(&order->outlines[i]) >> quarters & 1 && shape.width <= order->width;
            if (may && shape.length < shortest) shortest = shape.length;
        }
        area += (double)outline_area_twice(&order->outlines[i]) / 2;
        if (shortest > lower) lower = shortest;
    }
    int64_t by_area = (int64_t)(area / (double)order->width);
    return by_area > lower ? by_area : lower;
}

bool layout_outlines(const struct layout_outlines_order *order, const struct layout_effort *effort,
                     struct arena *arena, struct layout_outlines *outlines, struct error *error)
{
    enum { BOXES_TRIES = 2000 };
    *outlines =
        (struct layout_outlines){.places = arena_take_array(arena, order->count, sizeof *outlines->places)};
    if (!outlines_check(order, arena, error)) return false;
    if (!order->count) return true;
    outlines->lower = outlines_lower(order, arena);
    struct layout_effort boxes = *effort;
    if (!boxes.most_tries || boxes.most_tries > BOXES_TRIES) boxes.most_tries = BOXES_TRIES;
    if (!outlines_boxes(order, &boxes, arena, outlines, error)) return false;
    struct arena *maps = arena_new(arena_machine(arena));
    struct layout_search clock = {.effort = effort, .arena = maps, .tries = outlines->tries};
    if (!effort->most_tries || outlines->tries < effort->most_tries)
        outlines_interlock(order, &clock, outlines);
    outlines->tries = clock.tries;
    arena_free(maps);
    return true;
}
