/* Lays outlines on a strip: what can be laid at all, boxes first, and then one in the other's hollows. */
#include "inner.h"
#include "outline_shape.h"
#include <assert.h>
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

/* By whole numbers, whatever found the places. */
static bool outlines_are_apart(const struct layout_outlines_order *order,
                               const struct layout_outlines *outlines, struct arena *arena)
{
    struct shape *shapes = arena_take_array(arena, order->count, sizeof *shapes);
    struct layout_point *at = arena_take_array(arena, order->count, sizeof *at);
    for (size_t i = 0; i < order->count; i++) {
        const struct layout_outline_place *place = &outlines->places[i];
        shapes[i] = shape_of(&order->outlines[i], place->quarters, arena);
        at[i] = (struct layout_point){place->across + shapes[i].corner.across,
                                      place->along + shapes[i].corner.along};
        if (at[i].across < 0 || at[i].along < 0 || at[i].across + shapes[i].width > order->width)
            return false;
        for (size_t k = 0; k < i; k++) {
            struct layout_point by = {at[k].across - at[i].across, at[k].along - at[i].along};
            if (!shapes_keep_gap(&shapes[i], &shapes[k], by, order->gap)) return false;
        }
    }
    return true;
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

bool layout_outlines(const struct layout_outlines_order *given, const struct layout_effort *effort,
                     struct arena *arena, struct layout_outlines *outlines, struct error *error)
{
    struct layout_outlines_order closest = *given, *order = &closest;
    if (!order->gap) order->gap = 1; /* what touches can no longer be told from what overlaps */
    *outlines =
        (struct layout_outlines){.places = arena_take_array(arena, order->count, sizeof *outlines->places)};
    if (!outlines_check(order, arena, error)) return false;
    if (!order->count) return true;
    outlines->lower = outlines_lower(order, arena);
    if (!outlines_boxes(order, effort, arena, outlines, error)) return false;
    assert(outlines_are_apart(order, outlines, arena));
    return true;
}
