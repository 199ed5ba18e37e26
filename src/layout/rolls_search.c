/* Simulated annealing over the order of panels, where groups begin and how they lie; first for the film that is
 * used, then for one roll after the other to be shorter: what is made less is then the area that finds no place. */
#include "rolls_search.h"
#include <math.h>
#include <string.h>

/* ---- plans ---- */

static struct roll_plan roll_plan_new(const struct roll_packer *packer, struct arena *arena)
{
    return (struct roll_plan){
        arena_take_array(arena, packer->order->panel_count, sizeof(int32_t)),
        arena_take_array(arena, packer->unit_count, sizeof(size_t)),
        arena_take_array(arena, packer->unit_count, sizeof(bool)),
        arena_take_array(arena, packer->unit_count, sizeof(bool)),
    };
}

static void roll_plan_copy(const struct roll_packer *packer, const struct roll_plan *from,
                           struct roll_plan *to)
{
    memcpy(to->tokens, from->tokens, packer->order->panel_count * sizeof *to->tokens);
    memcpy(to->begins, from->begins, packer->unit_count * sizeof *to->begins);
    memcpy(to->turned, from->turned, packer->unit_count * sizeof *to->turned);
    memcpy(to->strict, from->strict, packer->unit_count * sizeof *to->strict);
}

/* ---- what it costs ---- */

static double film_cost(const struct layout_rolls_order *order, size_t roll, int64_t used)
{
    const struct layout_roll *r = &order->rolls[roll];
    if (!used) return 0;
    return (double)r->width * (double)(r->opening + order->leader + used - order->gap_along + order->tail);
}

/* About what laying the longest panel on a roll of its own costs. */
static double left_cost(const struct roll_packer *packer)
{
    const struct layout_rolls_order *order = packer->order;
    double dearest = 0, widest = 0;
    for (size_t i = 0; i < order->roll_count; i++) {
        double cost = film_cost(order, i, 1);
        if (cost > dearest) dearest = cost;
        if ((double)order->rolls[i].width > widest) widest = (double)order->rolls[i].width;
    }
    int64_t longest = 0;
    for (size_t i = 0; i < order->panel_count; i++) {
        const struct layout_piece *size = &order->panels[i].size;
        int64_t side = size->along > size->across ? size->along : size->across;
        if (side > longest) longest = side;
    }
    return dearest + widest * (double)(longest + order->gap_along);
}

static double packing_cost(const struct roll_packer *packer, double left_each)
{
    double cost = (double)packer->left * left_each + (double)packer->left_area;
    for (size_t i = 0; i < packer->order->roll_count; i++)
        cost += film_cost(packer->order, i, packer->used[i]);
    return cost;
}

static void take_layout(struct roll_search *search, const struct roll_plan *plan, double cost)
{
    const struct roll_packer *p = search->packer;
    if (p->left > search->left || (p->left == search->left && cost >= search->cost)) return;
    search->cost = cost, search->left = p->left;
    memcpy(search->places, p->places, p->order->panel_count * sizeof *search->places);
    memcpy(search->used, p->used, p->order->roll_count * sizeof *search->used);
    memcpy(search->prints, p->prints, p->order->roll_count * sizeof *search->prints);
    roll_plan_copy(p, plan, &search->best_plan);
}

/* ---- a first plan ---- */

static void limits_of_rolls(struct roll_packer *packer)
{
    const struct layout_rolls_order *order = packer->order;
    for (size_t i = 0; i < order->roll_count; i++) {
        const struct layout_roll *r = &order->rolls[i];
        int64_t ends = order->leader + order->tail - order->gap_along;
        packer->limits[i] = r->length ? r->length - ends : INT64_MAX / 4;
    }
}

static bool panel_goes_on(const struct layout_rolls_order *order, size_t panel, size_t roll)
{
    const struct layout_piece *size = &order->panels[panel].size;
    int64_t width = order->rolls[roll].width;
    return size->across <= width || (size->may_turn && size->along <= width);
}

/* The panels of units, the longest unit first, stand in a row. */
static void tokens_sort(const struct roll_packer *packer, int32_t *tokens)
{
    size_t filled = 0;
    bool taken[LAYOUT_PIECES_MOST] = {false};
    for (size_t n = 0; n < packer->unit_count; n++) {
        size_t best = packer->unit_count;
        int64_t longest = -1;
        for (size_t u = 0; u < packer->unit_count; u++) {
            const struct roll_unit *unit = &packer->units[u];
            int64_t along =
                packer->order->panels[packer->members[unit->first]].size.along * (unit->count > 1 ? 1000 : 1);
            if (taken[u] || along <= longest) continue;
            longest = along, best = u;
        }
        taken[best] = true;
        for (size_t i = 0; i < packer->units[best].count; i++) tokens[filled++] = (int32_t)best;
    }
}

/* Rolls in stock come first, then by their order. */
static size_t roll_by_rank(const struct layout_rolls_order *order, size_t rank)
{
    for (int costly = 0; costly < 2; costly++)
        for (size_t i = 0; i < order->roll_count; i++)
            if ((order->rolls[i].opening > 0) == costly && !rank--) return i;
    return 0;
}

/* What has found no room, of all its panels, begins on that roll. */
static void begin_what_is_left(struct roll_search *search, size_t roll)
{
    const struct roll_packer *p = search->packer;
    for (size_t u = 0; u < p->unit_count; u++) {
        const struct roll_unit *unit = &p->units[u];
        bool laid = true, goes_on = true;
        for (size_t i = 0; i < unit->count; i++) {
            size_t panel = p->members[unit->first + i];
            laid = laid && p->places[panel].roll != LAYOUT_NOWHERE;
            goes_on = goes_on && panel_goes_on(p->order, panel, roll);
        }
        if (!laid && goes_on) search->plan.begins[u] = roll;
    }
}

/* On `first` what goes on it, then roll by roll, until all lie somewhere or there are no more. */
static void plan_from(struct roll_search *search, size_t first)
{
    struct roll_packer *p = search->packer;
    for (size_t i = 0; i < p->order->panel_count; i++) p->places[i].roll = LAYOUT_NOWHERE;
    for (size_t rank = 0; rank <= p->order->roll_count && (!rank || p->left); rank++) {
        begin_what_is_left(search, rank ? roll_by_rank(p->order, rank - 1) : first);
        roll_packer_pack(p, &search->plan);
        search_is_over(search->clock, false);
        take_layout(search, &search->plan, packing_cost(p, left_cost(p)));
    }
}

/* Whether a roll before it in rank is as wide. */
static bool is_another_of_its_width(const struct layout_rolls_order *order, size_t rank)
{
    for (size_t before = 0; before < rank; before++)
        if (order->rolls[roll_by_rank(order, before)].width == order->rolls[roll_by_rank(order, rank)].width)
            return true;
    return false;
}

/* From one roll of each width, so that a narrow one that takes a few panels does not stand for the whole: the search
 * seldom takes a group back from a roll of its own. */
static void plan_first(struct roll_search *search)
{
    enum { STARTS_MOST = 4, RANKS_MOST = 16, PANELS_FEW = 300 };
    struct roll_packer *p = search->packer;
    size_t most = p->order->panel_count > PANELS_FEW ? 1 : STARTS_MOST;
    tokens_sort(p, search->plan.tokens);
    memset(search->plan.strict, true, p->unit_count * sizeof *search->plan.strict);
    for (size_t rank = 0, starts = 0; rank < p->order->roll_count && rank < RANKS_MOST; rank++) {
        if (starts == most || is_another_of_its_width(p->order, rank)) continue;
        plan_from(search, roll_by_rank(p->order, rank));
        starts++;
    }
}

struct roll_search *roll_search_new(const struct layout_rolls_order *order, struct layout_search *clock,
                                    struct arena *arena)
{
    struct roll_search *search = arena_take(arena, sizeof *search);
    struct roll_packer *p = roll_packer_new(order, arena);
    search->clock = clock, search->packer = p, search->cost = HUGE_VAL, search->left = INT64_MAX;
    search->plan = roll_plan_new(p, arena), search->best_plan = roll_plan_new(p, arena);
    search->kept_plan = roll_plan_new(p, arena);
    search->places = arena_take_array(arena, order->panel_count, sizeof *search->places);
    search->used = arena_take_array(arena, order->roll_count, sizeof *search->used);
    search->prints = arena_take_array(arena, order->roll_count, sizeof *search->prints);
    limits_of_rolls(p);
    plan_first(search);
    return search;
}

int64_t roll_search_length(const struct roll_search *search)
{
    const struct layout_rolls_order *order = search->packer->order;
    int64_t length = 0;
    for (size_t i = 0; i < order->roll_count; i++)
        if (search->used[i]) length += order->leader + search->used[i] - order->gap_along + order->tail;
    return length;
}

/* ---- moves ---- */

static void token_move(int32_t *tokens, size_t from, size_t to)
{
    int32_t kept = tokens[from];
    if (from < to)
        memmove(tokens + from, tokens + from + 1, (to - from) * sizeof *tokens);
    else
        memmove(tokens + to + 1, tokens + to, (from - to) * sizeof *tokens);
    tokens[to] = kept;
}

static void plan_move_token(struct roll_plan *plan, size_t panels, uint64_t *dice)
{
    size_t a = dice_below(dice, panels), b = dice_below(dice, panels);
    int32_t kept = plan->tokens[a];
    if (dice_below(dice, 4) == 0) {
        token_move(plan->tokens, a, b);
        return;
    }
    plan->tokens[a] = plan->tokens[b], plan->tokens[b] = kept;
}

/* One thing about a unit: the roll it begins on, whether its group is strict, whether it is turned. */
static void plan_move_unit(const struct roll_packer *packer, struct roll_plan *plan, uint64_t *dice)
{
    size_t unit = dice_below(dice, packer->unit_count), rolls = packer->order->roll_count;
    bool is_group = packer->units[unit].count > 1;
    switch (dice_below(dice, 3)) {
    case 0:
        plan->begins[unit] = dice_below(dice, rolls);
        break;
    case 1:
        plan->strict[unit] = is_group && !plan->strict[unit];
        break;
    default:
        plan->turned[unit] = packer->units[unit].may_turn && !plan->turned[unit];
    }
}

static void plan_move(const struct roll_packer *packer, struct roll_plan *plan, uint64_t *dice)
{
    enum { UNIT_MOVES_ONE_IN = 8 };
    if (dice_below(dice, UNIT_MOVES_ONE_IN))
        plan_move_token(plan, packer->order->panel_count, dice);
    else
        plan_move_unit(packer, plan, dice);
}

/* ---- annealing ---- */

struct roll_anneal {
    bool for_room;    /* what is made less: the area without a place, or the cost */
    double left_each; /* as left_cost */
    double heat, cooling;
    uint64_t dice;
};

static double roll_try(struct roll_search *search, const struct roll_anneal *anneal)
{
    struct roll_packer *p = search->packer;
    roll_packer_pack(p, &search->plan);
    double cost = packing_cost(p, anneal->left_each);
    take_layout(search, &search->plan, cost);
    return anneal->for_room ? (double)p->left_area : cost;
}

/* Begins with search->plan. Whether everything found a place, when that was asked for. */
static bool roll_anneal(struct roll_search *search, struct roll_anneal *anneal, int64_t tries)
{
    struct roll_packer *p = search->packer;
    double now = roll_try(search, anneal);
    for (int64_t i = 0; now > 0 && i < tries && !search_is_over(search->clock, false); i++) {
        roll_plan_copy(p, &search->plan, &search->kept_plan);
        plan_move(p, &search->plan, &anneal->dice);
        double next = roll_try(search, anneal);
        if (next <= now || dice_share(&anneal->dice) < exp((now - next) / anneal->heat))
            now = next;
        else
            roll_plan_copy(p, &search->kept_plan, &search->plan);
        anneal->heat *= anneal->cooling;
    }
    return anneal->for_room && now == 0;
}

static struct roll_anneal anneal_new(struct roll_search *search, bool for_room, int64_t tries, uint64_t seed)
{
    const struct layout_rolls_order *order = search->packer->order;
    double area = 0;
    for (size_t i = 0; i < order->panel_count; i++)
        area += (double)order->panels[i].size.across * (double)order->panels[i].size.along;
    return (struct roll_anneal){for_room, left_cost(search->packer), area / (double)order->panel_count * 0.1,
                                pow(0.01, 1.0 / (double)tries), dice_new(seed)};
}

/* Every second round anew from the plain order. */
static void plan_begin(struct roll_search *search)
{
    roll_plan_copy(search->packer, &search->best_plan, &search->plan);
    if (search->rounds % 2) tokens_sort(search->packer, search->plan.tokens);
}

/* Each roll as short as can be while none of the others gets longer: its length is halved between what is known to be
 * needed and what is used. */
static void roll_shorten(struct roll_search *search, size_t roll, int64_t tries, uint64_t seed)
{
    struct roll_packer *p = search->packer;
    int64_t low = search->used[roll] - (roll_search_length(search) - search->lower);
    if (low < 0) low = 0;
    while (low < search->used[roll] && !search->clock->ended) {
        memcpy(p->limits, search->used, p->order->roll_count * sizeof *p->limits);
        p->limits[roll] = low + (search->used[roll] - low) / 2;
        int64_t tried = p->limits[roll];
        struct roll_anneal anneal = anneal_new(search, true, tries, seed++);
        plan_begin(search);
        if (!roll_anneal(search, &anneal, tries)) low = tried + 1;
    }
}

void roll_search_round(struct roll_search *search, int64_t tries)
{
    struct roll_packer *p = search->packer;
    uint64_t seed = search->clock->effort->seed * 1000 + 10 * search->rounds;
    if (p->order->roll_count > 1 || search->left) {
        struct roll_anneal anneal = anneal_new(search, false, tries, seed);
        plan_begin(search);
        roll_anneal(search, &anneal, tries);
    }
    for (size_t i = 0; i < p->order->roll_count && !search->left; i++)
        if (search->used[i]) roll_shorten(search, i, tries, seed + 1 + i);
    limits_of_rolls(p);
    search->rounds++;
}
