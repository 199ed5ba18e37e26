/* Goes through every packing within a length, or shows that there is none. exact.h says why none is left out. */
#include "exact.h"
#include "proof.h"
#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum { STEPS_MOST = PROOF_PIECES_MOST + 2, STARTS_MOST = 4096 };

struct packing_proof {
    struct layout_search *search;
    struct layout_piece pieces[PROOF_PIECES_MOST]; /* lengths in the largest units that all are whole in */
    size_t ids[PROOF_PIECES_MOST]; /* their places in the order; those set aside are not here */
    bool lying;                    /* across and along have changed places */
    bool one_largest;              /* no other piece is like the largest: a mirror image tells them apart */
    bool overfull;                 /* what is set aside is longer than the limit */
    size_t count, left;
    int32_t by_area[PROOF_PIECES_MOST]; /* pieces, the largest first */
    bool placed[PROOF_PIECES_MOST];
    struct layout_place places[PROOF_PIECES_MOST];
    int64_t limit, width;
    int64_t starts[STARTS_MOST]; /* sums of widths, rising: where a piece can begin */
    size_t start_count;
    struct seen *seen;
    int64_t nodes;
};

/* ---- where pieces can begin ---- */

static int starts_compare(const void *a, const void *b)
{
    int64_t one = *(const int64_t *)a, other = *(const int64_t *)b;
    return (one > other) - (one < other);
}

static size_t starts_unique(int64_t *starts, size_t count)
{
    size_t kept = 0;
    qsort(starts, count, sizeof *starts, starts_compare);
    for (size_t i = 0; i < count; i++)
        if (!kept || starts[i] != starts[kept - 1]) starts[kept++] = starts[i];
    return kept;
}

/* Each start with and without another piece on its left; false when there are too many. */
static bool starts_add(struct packing_proof *e, const int64_t *sides, size_t side_count)
{
    static const size_t room = STARTS_MOST / 3;
    size_t count = e->start_count;
    if (count > room) return false;
    for (size_t s = 0; s < side_count; s++)
        for (size_t i = 0; i < e->start_count; i++)
            if (e->starts[i] + sides[s] < e->width) e->starts[count++] = e->starts[i] + sides[s];
    e->start_count = starts_unique(e->starts, count);
    return true;
}

static bool starts_find(struct packing_proof *e)
{
    e->starts[0] = 0, e->start_count = 1;
    for (size_t i = 0; i < e->count; i++) {
        const int64_t sides[] = {e->pieces[i].across, e->pieces[i].along};
        if (!starts_add(e, sides, e->pieces[i].may_turn ? 2 : 1)) return false;
    }
    return true;
}

/* ---- what failed before ---- */

static struct seen exact_state(const struct packing_proof *e, const struct skyline *skyline,
                               int64_t least_along)
{
    uint64_t words[2 * STEPS_MOST + 2], placed = 0;
    size_t count = 0;
    for (size_t i = 0; i < e->count; i++) placed |= (uint64_t)e->placed[i] << i;
    words[count++] = placed, words[count++] = (uint64_t)least_along;
    for (size_t i = 0; i < skyline->count; i++)
        words[count++] = (uint64_t)skyline->steps[i].at, words[count++] = (uint64_t)skyline->steps[i].level;
    return seen_of(words, count);
}

/* ---- depth first ---- */

struct walls {
    size_t step;
    int64_t level, width, room, left, right; /* heights above the step; INT64_MAX at the strip's sides */
};

static struct walls walls_of(const struct packing_proof *e, const struct skyline *skyline)
{
    size_t k = skyline_lowest(skyline);
    const struct skyline_step *steps = skyline->steps;
    return (struct walls){k,
                          steps[k].level,
                          steps[k].width,
                          e->limit - steps[k].level,
                          k > 0 ? steps[k - 1].level - steps[k].level : INT64_MAX,
                          k + 1 < skyline->count ? steps[k + 1].level - steps[k].level : INT64_MAX};
}

static enum exact_answer exact_step(struct packing_proof *e, const struct skyline *skyline, int64_t spare,
                                    int64_t least_along);

static struct skyline skyline_copy(const struct skyline *from, struct skyline_step *steps)
{
    memcpy(steps, from->steps, from->count * sizeof *steps);
    return (struct skyline){steps, from->count};
}

static enum exact_answer exact_put(struct packing_proof *e, const struct skyline *skyline,
                                   const struct walls *walls, int64_t spare, int32_t piece, bool turned)
{
    struct skyline_step steps[STEPS_MOST];
    struct skyline next = skyline_copy(skyline, steps);
    int64_t across = turned ? e->pieces[piece].along : e->pieces[piece].across;
    int64_t along = turned ? e->pieces[piece].across : e->pieces[piece].along;
    e->places[piece] = (struct layout_place){steps[walls->step].at, walls->level, turned};
    skyline_raise_left(&next, walls->step, across, walls->level + along);
    e->placed[piece] = true, e->left--;
    enum exact_answer answer = exact_step(e, &next, spare, 0);
    e->placed[piece] = false, e->left++;
    return answer;
}

static bool piece_goes_in(const struct walls *walls, int64_t across, int64_t along, int64_t least_along)
{
    return across <= walls->width && along <= walls->room && along > least_along;
}

/* Whether a piece alike was tried at this step before piece `rank`. */
static bool tried_alike(const struct packing_proof *e, size_t rank)
{
    for (size_t i = rank; i-- > 0;)
        if (!e->placed[e->by_area[i]] &&
            pieces_alike(&e->pieces[e->by_area[i]], &e->pieces[e->by_area[rank]]))
            return true;
    return false;
}

static enum exact_answer exact_pieces(struct packing_proof *e, const struct skyline *skyline,
                                      const struct walls *walls, int64_t spare, int64_t least_along)
{
    enum exact_answer worst = EXACT_NONE;
    for (size_t rank = 0; rank < e->count; rank++) {
        int32_t i = e->by_area[rank];
        const struct layout_piece *piece = &e->pieces[i];
        if (e->placed[i] || tried_alike(e, rank)) continue;
        for (int turned = 0; turned <= (piece->may_turn && piece->across != piece->along); turned++) {
            int64_t across = turned ? piece->along : piece->across,
                    along = turned ? piece->across : piece->along;
            /* of a packing and its mirror image one has the largest piece left of the middle */
            bool mirrored = !rank && e->one_largest && 2 * skyline->steps[walls->step].at > e->width - across;
            if (mirrored || !piece_goes_in(walls, across, along, least_along)) continue;
            enum exact_answer answer = exact_put(e, skyline, walls, spare, i, turned);
            if (answer == EXACT_FOUND) return answer;
            if (answer == EXACT_OPEN) worst = answer;
        }
    }
    return worst;
}

static enum exact_answer exact_leave(struct packing_proof *e, const struct skyline *skyline,
                                     const struct walls *walls, int64_t spare, int64_t width, int64_t up)
{
    struct skyline_step steps[STEPS_MOST];
    struct skyline next = skyline_copy(skyline, steps);
    if (up > walls->room || width > spare / up) return EXACT_NONE;
    skyline_raise_left(&next, walls->step, width, walls->level + up);
    return exact_step(e, &next, spare - width * up, width < walls->width ? up : 0);
}

/* Some of the left width empty, or all of it. */
static enum exact_answer exact_empty(struct packing_proof *e, const struct skyline *skyline,
                                     const struct walls *walls, int64_t spare, bool some)
{
    int64_t at = skyline->steps[walls->step].at,
            low = walls->left < walls->right ? walls->left : walls->right;
    enum exact_answer worst = EXACT_NONE;
    for (size_t i = 0; some && walls->left < INT64_MAX && i < e->start_count; i++) {
        if (e->starts[i] <= at) continue;
        if (e->starts[i] >= at + walls->width) break;
        enum exact_answer answer = exact_leave(e, skyline, walls, spare, e->starts[i] - at, walls->left);
        if (answer == EXACT_FOUND) return answer;
        if (answer == EXACT_OPEN) worst = answer;
    }
    if (low == INT64_MAX) return worst; /* the only step: something must stand on it */
    enum exact_answer answer = exact_leave(e, skyline, walls, spare, walls->width, low);
    return answer == EXACT_NONE ? worst : answer;
}

/* ---- what cannot be any more ---- */

/* Above each step stands a stack that ends at the limit or below it. */
static bool exact_wastes(const struct packing_proof *e, const struct skyline *skyline, int64_t spare)
{
    struct stack_sums sums;
    if (e->limit >= SUMS_MOST) return false;
    sums_start(&sums, e->limit);
    for (size_t i = 0; i < e->count; i++)
        if (!e->placed[i])
            sums_add(&sums, e->pieces[i].along, e->pieces[i].may_turn ? e->pieces[i].across : 0);
    for (size_t i = 0; i < skyline->count && spare >= 0; i++)
        spare -= skyline->steps[i].width * sums_rest(&sums, e->limit - skyline->steps[i].level);
    return spare < 0;
}

/* A piece that fits nowhere below the limit; or those wider than half the strip, which stand on each other. */
static bool exact_is_lost(const struct packing_proof *e, const struct skyline *skyline)
{
    int64_t stacked = 0, narrowest = INT64_MAX;
    for (size_t i = 0; i < e->count; i++) {
        const struct layout_piece *piece = &e->pieces[i];
        if (e->placed[i] || piece->may_turn) continue;
        if (skyline_level_for(skyline, piece->across) > e->limit - piece->along) return true;
        if (piece->across * 2 <= e->width) continue;
        stacked += piece->along;
        if (piece->across < narrowest) narrowest = piece->across;
    }
    return stacked && skyline_level_for(skyline, narrowest) > e->limit - stacked;
}

/* `spare` is the area that may still stay empty; `least_along`: a piece higher than that must come now, 0: none. */
static enum exact_answer exact_step(struct packing_proof *e, const struct skyline *skyline, int64_t spare,
                                    int64_t least_along)
{
    if (!e->left) return EXACT_FOUND;
    if (e->nodes-- <= 0 || search_is_over(e->search, true)) return EXACT_OPEN;
    struct walls walls = walls_of(e, skyline);
    struct seen state = exact_state(e, skyline, least_along);
    if (walls.room <= 0 || seen_before(e->seen, state) || exact_is_lost(e, skyline) ||
        exact_wastes(e, skyline, spare))
        return EXACT_NONE;
    enum exact_answer answer = exact_pieces(e, skyline, &walls, spare, least_along);
    if (answer == EXACT_NONE && !least_along) answer = exact_empty(e, skyline, &walls, spare, true);
    if (answer == EXACT_NONE) *seen_place(e->seen, state) = state;
    return answer;
}

/* ---- from outside ---- */

/* Beside it no other piece can lie: it may as well lie at the end of all. */
static bool lies_alone(const struct layout_order *order, size_t i)
{
    const struct layout_piece *piece = &order->pieces[i];
    for (size_t k = 0; k < order->count; k++)
        if (k != i && piece_narrow_side(&order->pieces[k]) + piece->across <= order->width) return false;
    return !piece->may_turn;
}

/* The pieces that do not lie alone, in whole units; what the others take of the limit is taken off. */
static int64_t exact_fill(struct packing_proof *e, const struct layout_order *order, int64_t limit)
{
    int64_t across = order_unit(order, false), along = order_unit(order, true);
    assert(across > 0 && along > 0);
    for (size_t i = 0; i < order->count; i++) {
        struct layout_piece p = order->pieces[i];
        if (lies_alone(order, i)) {
            limit -= p.along;
            continue;
        }
        p.across /= across, p.along /= along;
        e->ids[e->count] = i;
        e->pieces[e->count++] = e->lying ? (struct layout_piece){p.along, p.across, p.may_turn} : p;
    }
    e->width = e->lying ? limit / along : order->width / across;
    e->limit = e->lying ? order->width / across : limit / along;
    return limit;
}

static struct packing_proof *exact_new(struct layout_search *search, int64_t limit, bool lying,
                                       struct arena *arena)
{
    struct packing_proof *e = arena_take(arena, sizeof *e);
    e->search = search, e->lying = lying;
    e->overfull = exact_fill(e, search->order, limit) < 0;
    e->left = e->count;
    greedy_sequence(&(struct layout_order){e->width, e->pieces, e->count}, 2, e->by_area);
    e->one_largest = e->count < 2 || !pieces_alike(&e->pieces[e->by_area[0]], &e->pieces[e->by_area[1]]);
    e->seen = seen_table(arena);
    return e;
}

static void exact_take(const struct packing_proof *e)
{
    const struct layout_order *order = e->search->order;
    struct layout_strip *best = e->search->best;
    int64_t across = order_unit(order, false), along = order_unit(order, true), used = 0;
    for (size_t k = 0; k < e->count; k++) {
        const struct layout_piece *piece = &order->pieces[e->ids[k]];
        struct layout_place p = e->places[k];
        if (e->lying) p = (struct layout_place){p.along, p.across, p.turned};
        best->places[e->ids[k]] = (struct layout_place){p.across * across, p.along * along, p.turned};
        int64_t end = p.along * along + (p.turned ? piece->across : piece->along);
        if (end > used) used = end;
    }
    for (size_t i = 0; i < order->count; i++) {
        if (!lies_alone(order, i)) continue;
        best->places[i] = (struct layout_place){0, used, false};
        used += order->pieces[i].along;
    }
    best->used = used;
}

static enum exact_answer exact_run(struct packing_proof *e)
{
    struct skyline_step steps[STEPS_MOST];
    struct skyline skyline = {steps, 0};
    int64_t spare = e->limit * e->width;
    for (size_t i = 0; i < e->count; i++) spare -= e->pieces[i].across * e->pieces[i].along;
    if (e->overfull || spare < 0) return EXACT_NONE;
    if (!starts_find(e)) return EXACT_OPEN;
    skyline_start(&skyline, e->width);
    enum exact_answer answer = exact_step(e, &skyline, spare, 0);
    if (answer == EXACT_FOUND) exact_take(e);
    return answer;
}

enum exact_answer exact_pack(struct layout_search *search, int64_t limit, int64_t nodes)
{
    enum exact_answer answer = EXACT_OPEN;
    for (int lying = 0; lying < 2 && answer == EXACT_OPEN; lying++) {
        if (search->order->count > PROOF_PIECES_MOST || search->ended) return EXACT_OPEN;
        struct arena *arena = arena_new(arena_machine(search->arena));
        struct packing_proof *e = exact_new(search, limit, lying, arena);
        e->nodes = nodes;
        answer = exact_run(e);
        arena_free(arena);
    }
    return answer;
}
