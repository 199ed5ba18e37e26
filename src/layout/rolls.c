/* Lays panels on rolls: as asked for, without groups, and free to turn besides; and what no layout can fall below. */
#include "rolls_search.h"
#include <assert.h>
#include <string.h>

/* ---- what can be laid at all ---- */

static bool lengths_are_good(const struct layout_rolls_order *order)
{
    const int64_t most = LAYOUT_SIDE_MOST, lengths[] = {order->gap_across, order->gap_along, order->leader,
                                                        order->tail, order->longest_print};
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
        if (lengths[i] < 0 || lengths[i] > most) return false;
    for (size_t i = 0; i < order->roll_count; i++) {
        const struct layout_roll *r = &order->rolls[i];
        if (r->width < 1 || r->width > most || r->length < 0 || r->length > most || r->opening < 0 ||
            r->opening > most)
            return false;
    }
    return true;
}

/* Within some roll, leader and tail beside it. */
static bool side_goes_on_a_roll(const struct layout_rolls_order *order, int64_t across, int64_t along)
{
    for (size_t i = 0; i < order->roll_count; i++) {
        const struct layout_roll *r = &order->rolls[i];
        if (across <= r->width && (!r->length || along <= r->length - order->leader - order->tail))
            return true;
    }
    return false;
}

static bool panel_check(const struct layout_rolls_order *order, size_t i, struct error *error)
{
    const struct layout_piece *size = &order->panels[i].size;
    int64_t longest = order->longest_print ? order->longest_print : INT64_MAX;
    bool stands = side_goes_on_a_roll(order, size->across, size->along),
         lies = size->may_turn && side_goes_on_a_roll(order, size->along, size->across);
    if (!stands && !lies)
        return error_set(error, FAILURE_INPUT, "layout-no-roll",
                         ARGUMENTS(arg_count("piece", (int64_t)i + 1)));
    if (!(stands && size->along <= longest) && !(lies && size->across <= longest))
        return error_set(error, FAILURE_INPUT, "layout-print", ARGUMENTS(arg_count("piece", (int64_t)i + 1)));
    return true;
}

static bool rolls_check(const struct layout_rolls_order *order, struct error *error)
{
    if (order->roll_count > LAYOUT_ROLLS_MOST)
        return error_set(
            error, FAILURE_INPUT, "layout-too-many-rolls",
            ARGUMENTS(arg_count("count", (int64_t)order->roll_count), arg_count("most", LAYOUT_ROLLS_MOST)));
    if (!lengths_are_good(order)) return error_set(error, FAILURE_INPUT, "layout-roll", NULL);
    for (size_t i = 0; i < order->panel_count; i++)
        if (!panel_check(order, i, error)) return false;
    return true;
}

/* ---- one strip as wide as the widest roll, sides with their gaps ---- */

/* One that may turn has the smaller gap both ways: what then lies closer only makes the bound smaller. */
static struct layout_piece strip_piece(const struct layout_rolls_order *order,
                                       const struct layout_piece *size, bool may_turn)
{
    int64_t across = order->gap_across, along = order->gap_along, least = across < along ? across : along;
    if (may_turn) across = along = least;
    return (struct layout_piece){size->across + across, size->along + along, may_turn};
}

static struct layout_order strip_of(const struct layout_rolls_order *order, bool free, struct arena *arena)
{
    struct layout_piece *pieces = arena_take_array(arena, order->panel_count, sizeof *pieces);
    struct layout_order strip = {0, pieces, order->panel_count};
    for (size_t i = 0; i < order->roll_count; i++)
        if (order->rolls[i].width > strip.width) strip.width = order->rolls[i].width;
    for (size_t i = 0; i < order->panel_count; i++)
        pieces[i] = strip_piece(order, &order->panels[i].size, order->panels[i].size.may_turn || free);
    strip.width += order->gap_across;
    return strip;
}

/* All rolls of a layout one behind the other are a layout on that strip. */
static int64_t lower_of(const struct layout_rolls_order *order, int64_t strip_lower)
{
    int64_t ends = order->leader + order->tail - order->gap_along;
    size_t most = order->roll_count < order->panel_count ? order->roll_count : order->panel_count;
    return strip_lower + (ends < 0 ? ends * (int64_t)most : ends);
}

/* ---- three layouts ---- */

static const struct layout_rolls_order *order_without_groups(const struct layout_rolls_order *order,
                                                             bool free, struct arena *arena)
{
    struct layout_rolls_order *other = arena_take(arena, sizeof *other);
    struct layout_panel *panels = arena_take_array(arena, order->panel_count, sizeof *panels);
    for (size_t i = 0; i < order->panel_count; i++) {
        panels[i] = (struct layout_panel){order->panels[i].size, 0};
        panels[i].size.may_turn = panels[i].size.may_turn || free;
    }
    *other = *order, other->panels = panels;
    return other;
}

struct rolls_work {
    struct layout_search clock;
    struct layout_order strip;
    struct roll_search *grouped, *ungrouped, *free;
};

static bool search_is_best(const struct roll_search *search)
{
    return !search->left && roll_search_length(search) == search->lower;
}

/* A bound on the strip that exact search has raised. */
static void lower_raise(struct rolls_work *work, int64_t tries, struct arena *arena)
{
    const struct layout_effort *given = work->clock.effort;
    struct layout_effort effort = {given->seed, tries, given->enough, given->self};
    struct layout_strip strip;
    if (work->clock.ended || !layout_strip(&work->strip, &effort, arena, &strip, NULL)) return;
    work->clock.tries += strip.tries;
    int64_t lower = lower_of(work->grouped->packer->order, strip.lower);
    if (lower > work->grouped->lower) work->grouped->lower = work->ungrouped->lower = lower;
}

static void rolls_improve(struct rolls_work *work, int64_t tries)
{
    enum { OTHERS_SHARE = 4 };
    if (!search_is_best(work->grouped)) roll_search_round(work->grouped, tries);
    if (!work->clock.ended && !search_is_best(work->ungrouped))
        roll_search_round(work->ungrouped, tries / OTHERS_SHARE);
    if (!work->clock.ended && !search_is_best(work->free))
        roll_search_round(work->free, tries / OTHERS_SHARE);
}

static void rolls_search(struct rolls_work *work, struct arena *arena)
{
    enum { TRIES_FIRST = 64 };
    for (int64_t tries = TRIES_FIRST; !work->clock.ended; tries *= 2) {
        if (search_is_best(work->grouped) && search_is_best(work->ungrouped) && search_is_best(work->free))
            return;
        rolls_improve(work, tries);
        struct arena *round = arena_new(arena_machine(arena));
        if (!search_is_best(work->grouped)) lower_raise(work, tries, round);
        arena_free(round);
    }
}

/* ---- from outside ---- */

static void rolls_take(const struct rolls_work *work, struct layout_rolls *rolls)
{
    const struct layout_rolls_order *order = work->grouped->packer->order;
    int64_t ends = order->leader + order->tail - order->gap_along;
    rolls->places = work->grouped->places;
    rolls->used = work->grouped->used;
    rolls->prints = work->grouped->prints;
    rolls->left = (size_t)work->grouped->left;
    rolls->length = roll_search_length(work->grouped);
    for (size_t i = 0; i < order->roll_count; i++)
        if (rolls->used[i]) rolls->used[i] += ends;
    rolls->lower = work->grouped->lower;
    rolls->ungrouped = roll_search_length(work->ungrouped);
    if (rolls->ungrouped > rolls->length) rolls->ungrouped = rolls->length;
    rolls->free = roll_search_length(work->free);
    if (rolls->free > rolls->ungrouped) rolls->free = rolls->ungrouped;
    rolls->tries = work->clock.tries;
}

bool layout_rolls(const struct layout_rolls_order *order, const struct layout_effort *effort,
                  struct arena *arena, struct layout_rolls *rolls, struct error *error)
{
    struct rolls_work work = {.clock = {.effort = effort, .arena = arena}};
    *rolls =
        (struct layout_rolls){.used = arena_take_array(arena, order->roll_count, sizeof *rolls->used),
                              .prints = arena_take_array(arena, order->roll_count, sizeof *rolls->prints)};
    if (!rolls_check(order, error)) return false;
    if (!order->panel_count) return true;
    work.strip = strip_of(order, false, arena);
    struct layout_order free_strip = strip_of(order, true, arena);
    if (!strip_check(&work.strip, error)) return false;
    work.grouped = roll_search_new(order, &work.clock, arena);
    work.ungrouped = roll_search_new(order_without_groups(order, false, arena), &work.clock, arena);
    work.free = roll_search_new(order_without_groups(order, true, arena), &work.clock, arena);
    work.grouped->lower = work.ungrouped->lower = lower_of(order, layout_lower_bound(&work.strip));
    work.free->lower = lower_of(order, layout_lower_bound(&free_strip));
    rolls_search(&work, arena);
    rolls_take(&work, rolls);
    return true;
}
