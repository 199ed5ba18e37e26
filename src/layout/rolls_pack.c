/* One packing of panels on rolls: the lowest step of the skyline gets the panel that fits its walls best, of a group
 * the next one only. Sides have a gap added; so have the rolls, so that the last one needs none. */
#include "rolls_pack.h"
#include <assert.h>
#include <string.h>

/* ---- a packer ---- */

static bool group_may_turn(const struct layout_rolls_order *order, size_t group)
{
    for (size_t i = 0; i < order->panel_count; i++)
        if (order->panels[i].group == group && !order->panels[i].size.may_turn) return false;
    return true;
}

static void units_add(struct roll_packer *packer, size_t panel, size_t *filled)
{
    const struct layout_rolls_order *order = packer->order;
    size_t group = order->panels[panel].group, first = *filled;
    bool turns = group ? group_may_turn(order, group) : order->panels[panel].size.may_turn;
    for (size_t i = panel; i < order->panel_count && (group || i == panel); i++)
        if (i == panel || order->panels[i].group == group) packer->members[(*filled)++] = i;
    packer->units[packer->unit_count++] = (struct roll_unit){first, *filled - first, turns};
}

static bool group_stands_before(const struct layout_rolls_order *order, size_t panel)
{
    for (size_t i = 0; i < panel && order->panels[panel].group; i++)
        if (order->panels[i].group == order->panels[panel].group) return true;
    return false;
}

struct roll_packer *roll_packer_new(const struct layout_rolls_order *order, struct arena *arena)
{
    struct roll_packer *p = arena_take(arena, sizeof *p);
    size_t panels = order->panel_count, rolls = order->roll_count, filled = 0;
    p->order = order;
    p->units = arena_take_array(arena, panels, sizeof *p->units);
    p->members = arena_take_array(arena, panels, sizeof *p->members);
    for (size_t i = 0; i < panels; i++)
        if (!group_stands_before(order, i)) units_add(p, i, &filled);
    p->limits = arena_take_array(arena, rolls, sizeof *p->limits);
    p->used = arena_take_array(arena, rolls, sizeof *p->used);
    p->prints = arena_take_array(arena, rolls, sizeof *p->prints);
    p->places = arena_take_array(arena, panels, sizeof *p->places);
    p->skyline.steps = arena_take_array(arena, panels + 2, sizeof *p->skyline.steps);
    p->trial.steps = arena_take_array(arena, panels + 2, sizeof *p->trial.steps);
    p->done = arena_take_array(arena, p->unit_count, sizeof *p->done);
    p->ends = arena_take_array(arena, p->unit_count, sizeof *p->ends);
    p->closed = arena_take_array(arena, p->unit_count, sizeof *p->closed);
    p->asked = arena_take_array(arena, p->unit_count, sizeof *p->asked);
    p->open = arena_take_array(arena, p->unit_count, sizeof *p->open);
    p->rest = arena_take_array(arena, panels, sizeof *p->rest);
    p->here = arena_take_array(arena, panels, sizeof *p->here);
    p->taken = arena_take_array(arena, p->unit_count, sizeof *p->taken);
    return p;
}

/* ---- units ---- */

struct roll_box { /* sides with their gap */
    int64_t across, along;
};

static struct roll_box box_of(const struct roll_packer *packer, size_t panel, bool turned)
{
    const struct layout_rolls_order *order = packer->order;
    const struct layout_piece *size = &order->panels[panel].size;
    return (struct roll_box){(turned ? size->along : size->across) + order->gap_across,
                             (turned ? size->across : size->along) + order->gap_along};
}

static size_t unit_next(const struct roll_packer *packer, int32_t unit)
{
    return packer->members[packer->units[unit].first + packer->done[unit]];
}

static bool unit_is_begun(const struct roll_packer *packer, int32_t unit)
{
    return packer->ends[unit] >= 0;
}

static bool unit_may_be_on(const struct roll_packer *packer, const struct roll_plan *plan, int32_t unit,
                           size_t roll)
{
    const struct layout_roll *rolls = packer->order->rolls;
    size_t begins = plan->begins[unit];
    return roll == begins || (roll > begins && rolls[roll].batch == rolls[begins].batch);
}

/* While a strict group is open no other is begun, and what lies beside it ends before it does. */
static bool unit_is_barred(const struct roll_packer *packer, const struct roll_plan *plan, int32_t unit,
                           int64_t end)
{
    bool is_group = packer->units[unit].count > 1;
    if (unit_is_begun(packer, unit)) return false;
    if (is_group && plan->strict[unit] && (packer->open_count || packer->skyline.count > 1)) return true;
    for (size_t i = 0; i < packer->open_count; i++) {
        int32_t open = packer->open[i];
        if (plan->strict[open] && (is_group || end > packer->ends[open])) return true;
    }
    return false;
}

/* ---- choosing ---- */

struct roll_choice {
    int fit; /* 0: nothing goes in */
    size_t token;
    bool turned;
};

static void skyline_put(struct skyline *skyline, const struct niche *niche, int64_t across, int64_t end,
                        bool at_left)
{
    if (at_left)
        skyline_raise_left(skyline, niche->step, across, end);
    else
        skyline_raise_right(skyline, niche->step, across, end);
}

/* The unit's next panel, `ahead` further on, finds a place on `skyline` that begins at `end` or before, or none at
 * all in this print or on this roll: then it is for the next to take. */
static bool unit_goes_on(const struct roll_packer *packer, const struct skyline *skyline,
                         const struct roll_plan *plan, int32_t unit, size_t ahead, int64_t end)
{
    const struct roll_unit *u = &packer->units[unit];
    if (packer->done[unit] + ahead >= u->count) return true;
    size_t panel = packer->members[u->first + packer->done[unit] + ahead];
    struct roll_box box = box_of(packer, panel, plan->turned[unit]);
    int64_t level = skyline_level_for(skyline, box.across);
    return level <= end || level > packer->print_end - box.along;
}

/* With a panel of `unit` there, all groups begun can go on. */
static bool choice_keeps_groups(struct roll_packer *packer, const struct roll_plan *plan,
                                const struct niche *niche, int32_t unit, struct roll_box box)
{
    struct skyline *trial = &packer->trial;
    bool is_group = packer->units[unit].count > 1;
    if (!packer->open_count && !is_group) return true;
    int64_t end = niche->level + box.along;
    trial->count = packer->skyline.count;
    memcpy(trial->steps, packer->skyline.steps, trial->count * sizeof *trial->steps);
    skyline_put(trial, niche, box.across, end, niche_at_left(niche, niche_fit(niche, box.across, box.along)));
    for (size_t i = 0; i < packer->open_count; i++) {
        int32_t open = packer->open[i];
        if (open != unit && !unit_goes_on(packer, trial, plan, open, 0, packer->ends[open])) return false;
    }
    if (end < packer->ends[unit]) end = packer->ends[unit];
    return !is_group || unit_goes_on(packer, trial, plan, unit, 1, end);
}

static void choose_stances(struct roll_packer *packer, const struct roll_plan *plan,
                           const struct niche *niche, size_t token, struct roll_choice *best)
{
    int32_t unit = packer->here[token];
    bool is_group = packer->units[unit].count > 1;
    for (int other = 0; other <= (!is_group && packer->units[unit].may_turn); other++) {
        bool turned = plan->turned[unit] != (other == 1);
        struct roll_box box = box_of(packer, unit_next(packer, unit), turned);
        int fits = niche_fit(niche, box.across, box.along);
        if (fits <= best->fit || unit_is_barred(packer, plan, unit, niche->level + box.along) ||
            !choice_keeps_groups(packer, plan, niche, unit, box))
            continue;
        *best = (struct roll_choice){fits, token, turned};
    }
}

static struct roll_choice roll_choose(struct roll_packer *packer, const struct roll_plan *plan,
                                      const struct niche *niche)
{
    struct roll_choice best = {0};
    packer->asking++;
    for (size_t i = 0; i < packer->here_count && best.fit < FIT_WHOLE; i++) {
        int32_t unit = packer->here[i];
        if (packer->asked[unit] == packer->asking || packer->closed[unit]) continue;
        packer->asked[unit] = packer->asking;
        choose_stances(packer, plan, niche, i, &best);
    }
    return best;
}

/* ---- placing ---- */

static void open_drop(struct roll_packer *packer, size_t i)
{
    packer->open_count--;
    memmove(packer->open + i, packer->open + i + 1, (packer->open_count - i) * sizeof *packer->open);
}

static void unit_advance(struct roll_packer *packer, int32_t unit, int64_t end)
{
    size_t count = packer->units[unit].count, at = 0;
    bool was_begun = unit_is_begun(packer, unit);
    packer->done[unit]++;
    if (end > packer->ends[unit]) packer->ends[unit] = end;
    while (at < packer->open_count && packer->open[at] != unit) at++;
    if (packer->done[unit] == count && at < packer->open_count) open_drop(packer, at);
    if (packer->done[unit] < count && !was_begun) packer->open[packer->open_count++] = unit;
}

static void roll_put(struct roll_packer *packer, const struct niche *niche, const struct roll_choice *choice,
                     size_t roll)
{
    int32_t unit = packer->here[choice->token];
    size_t panel = unit_next(packer, unit);
    struct roll_box box = box_of(packer, panel, choice->turned);
    bool at_left = niche_at_left(niche, choice->fit);
    int64_t at = packer->skyline.steps[niche->step].at, end = niche->level + box.along;
    packer->places[panel] = (struct layout_roll_place){roll, at_left ? at : at + niche->width - box.across,
                                                       packer->order->leader + niche->level, choice->turned,
                                                       packer->prints[roll] - 1};
    skyline_put(&packer->skyline, niche, box.across, end, at_left);
    packer->here_count--, packer->taken[unit]++;
    memmove(packer->here + choice->token, packer->here + choice->token + 1,
            (packer->here_count - choice->token) * sizeof *packer->here);
    packer->left--, packer->left_area -= box.across * box.along;
    if (end > packer->used[roll]) packer->used[roll] = end;
    unit_advance(packer, unit, end);
}

/* Groups that were left behind have no more on this roll. */
static void roll_close_groups(struct roll_packer *packer, const struct roll_plan *plan, int64_t level)
{
    for (size_t i = packer->open_count; i-- > 0;) {
        int32_t unit = packer->open[i];
        if (level <= packer->ends[unit] ||
            unit_goes_on(packer, &packer->skyline, plan, unit, 0, packer->ends[unit]))
            continue;
        packer->closed[unit] = true;
        open_drop(packer, i);
    }
}

static void print_begin(struct roll_packer *packer, int64_t level, size_t roll)
{
    int64_t longest = packer->order->longest_print, limit = packer->limits[roll];
    int64_t end = longest ? level + longest + packer->order->gap_along : limit;
    packer->print_start = level, packer->print_end = end < limit ? end : limit;
    packer->prints[roll]++;
    for (size_t i = 0; i < packer->open_count; i++) packer->ends[packer->open[i]] = level;
}

/* On a straight line nothing goes in: the next print begins, or the group begun last is given up, or it is over. */
static bool roll_goes_on(struct roll_packer *packer, int64_t level, size_t roll)
{
    if (level > packer->print_start && packer->print_end < packer->limits[roll]) {
        print_begin(packer, level, roll);
        return true;
    }
    if (!packer->open_count) return false;
    packer->closed[packer->open[--packer->open_count]] = true;
    return true;
}

/* What may go on this roll: the rest is not looked at for each panel that is laid. */
static void roll_take_here(struct roll_packer *packer, const struct roll_plan *plan, size_t roll)
{
    packer->here_count = 0;
    for (size_t i = 0; i < packer->rest_count; i++)
        if (unit_may_be_on(packer, plan, packer->rest[i], roll))
            packer->here[packer->here_count++] = packer->rest[i];
}

/* Of each unit the first tokens were used. */
static void roll_keep_rest(struct roll_packer *packer)
{
    size_t kept = 0;
    for (size_t i = 0; i < packer->rest_count; i++) {
        int32_t unit = packer->rest[i];
        if (packer->taken[unit])
            packer->taken[unit]--;
        else
            packer->rest[kept++] = unit;
    }
    packer->rest_count = kept;
}

static void roll_fill(struct roll_packer *packer, const struct roll_plan *plan, size_t roll)
{
    roll_take_here(packer, plan, roll);
    if (!packer->here_count) return;
    skyline_start(&packer->skyline, packer->order->rolls[roll].width + packer->order->gap_across);
    packer->open_count = 0;
    memset(packer->closed, 0, packer->unit_count * sizeof *packer->closed);
    for (size_t i = 0; i < packer->unit_count; i++) packer->ends[i] = -1;
    print_begin(packer, 0, roll);
    while (packer->here_count) {
        struct niche niche = niche_of(&packer->skyline, packer->print_end);
        roll_close_groups(packer, plan, niche.level);
        struct roll_choice choice = roll_choose(packer, plan, &niche);
        if (choice.fit)
            roll_put(packer, &niche, &choice, roll);
        else if (packer->skyline.count > 1)
            skyline_raise_left(&packer->skyline, niche.step, niche.width, niche.level + niche.low);
        else if (!roll_goes_on(packer, niche.level, roll))
            break;
    }
    roll_keep_rest(packer);
}

/* Prints of which the last has nothing in it are not counted. */
static void prints_count(struct roll_packer *packer)
{
    size_t panels = packer->order->panel_count;
    memset(packer->prints, 0, packer->order->roll_count * sizeof *packer->prints);
    for (size_t i = 0; i < panels; i++) {
        const struct layout_roll_place *place = &packer->places[i];
        if (place->roll == LAYOUT_NOWHERE) continue;
        size_t *prints = &packer->prints[place->roll];
        if (*prints <= place->print) *prints = place->print + 1;
    }
}

void roll_packer_pack(struct roll_packer *packer, const struct roll_plan *plan)
{
    size_t panels = packer->order->panel_count, rolls = packer->order->roll_count;
    memset(packer->done, 0, packer->unit_count * sizeof *packer->done);
    memset(packer->used, 0, rolls * sizeof *packer->used);
    memset(packer->prints, 0, rolls * sizeof *packer->prints);
    memcpy(packer->rest, plan->tokens, panels * sizeof *packer->rest);
    packer->rest_count = panels, packer->left = (int64_t)panels, packer->left_area = 0;
    for (size_t i = 0; i < panels; i++) {
        struct roll_box box = box_of(packer, i, false);
        packer->places[i] = (struct layout_roll_place){.roll = LAYOUT_NOWHERE};
        packer->left_area += box.across * box.along;
    }
    for (size_t roll = 0; roll < rolls && packer->rest_count; roll++)
        if (packer->limits[roll] > 0) roll_fill(packer, plan, roll);
    prints_count(packer);
}
