/* Sweeps a line over the strip: sweep.h says what that shows. */
#include "sweep.h"
#include "proof.h"
#include <assert.h>

/* As a piece may lie: how long the line is over it, and how much of the line it takes. */
struct sweep_stance {
    int64_t wide, high;
    size_t kind;
};

/* Pieces that are alike. */
struct sweep_kind {
    int64_t wide, high; /* at least, however they lie */
    int64_t other;      /* where they may turn: what else they take; 0: they do not */
    size_t left;
};

struct sweep_under {
    int64_t end, high;
};

struct sweep_line {
    int64_t at, load;
    struct sweep_under under[PROOF_PIECES_MOST]; /* what is under the line */
    size_t count;
};

struct sweep {
    struct layout_search *search;
    int64_t extent, room; /* of the strip: the way of the line, and its length */
    struct sweep_stance stances[2 * PROOF_PIECES_MOST];
    struct sweep_kind kinds[PROOF_PIECES_MOST];
    size_t stance_count, kind_count, left;
    struct sweep_line line;
    int64_t spare; /* area that may stay empty beyond the line */
    struct seen *seen;
    uint64_t salt; /* of this sweep's states among those of others */
    int64_t nodes;
};

enum sweep_answer {
    SWEEP_NONE, /* they cannot all be swept */
    SWEEP_SOME, /* they can, which proves nothing */
    SWEEP_OPEN
};

/* ---- what cannot be any more ---- */

static int64_t sweep_load_at(const struct sweep *s, int64_t at)
{
    int64_t load = 0;
    for (size_t i = 0; i < s->line.count; i++)
        if (s->line.under[i].end > at) load += s->line.under[i].high;
    return load;
}

/* Pieces longer than half of the way that is left are all under the line when the longest of them has to be. */
static bool sweep_has_no_room(const struct sweep *s)
{
    int64_t left = s->extent - s->line.at;
    for (size_t i = 0; i < s->kind_count; i++) {
        const struct sweep_kind *least = &s->kinds[i];
        if (!least->left) continue;
        if (least->wide > left) return true;
        if (2 * least->wide <= left) continue;
        int64_t load = sweep_load_at(s, s->extent - least->wide);
        for (size_t k = 0; k < s->kind_count; k++)
            if (s->kinds[k].wide >= least->wide) load += (int64_t)s->kinds[k].left * s->kinds[k].high;
        if (load > s->room) return true;
    }
    return false;
}

/* What the pieces left cannot fill, as long as what is under the line now keeps it from them. */
static bool sweep_wastes(const struct sweep *s)
{
    struct stack_sums sums;
    if (s->room >= SUMS_MOST) return false;
    sums_start(&sums, s->room);
    for (size_t i = 0; i < s->kind_count; i++)
        for (size_t n = 0; n < s->kinds[i].left; n++) {
            const struct sweep_kind *kind = &s->kinds[i];
            sums_add(&sums, kind->other ? kind->other : kind->high, kind->other ? kind->high : 0);
        }
    int64_t spare = s->spare, at = s->line.at, load = s->line.load;
    for (size_t i = 0; i < s->line.count && spare >= 0; i++) {
        spare -= (s->line.under[i].end - at) * sums_rest(&sums, s->room - load);
        at = s->line.under[i].end, load -= s->line.under[i].high;
    }
    return spare < (s->extent - at) * sums_rest(&sums, s->room);
}

static struct seen sweep_state(const struct sweep *s)
{
    uint64_t words[3 * PROOF_PIECES_MOST + 2];
    size_t count = 0;
    words[count++] = s->salt, words[count++] = (uint64_t)s->line.at;
    for (size_t i = 0; i < s->kind_count; i++) words[count++] = s->kinds[i].left;
    for (size_t i = 0; i < s->line.count; i++) {
        const struct sweep_under *under = &s->line.under[i];
        if (i && under[-1].end == under->end) {
            words[count - 1] += (uint64_t)under->high;
            continue;
        }
        words[count++] = (uint64_t)under->end, words[count++] = (uint64_t)under->high;
    }
    return seen_of(words, count);
}

/* ---- depth first ---- */

static enum sweep_answer sweep_from(struct sweep *s, size_t stance);

/* What ends here is no longer under the line; the rest by rising ends. */
static void line_move(struct sweep_line *line, int64_t to)
{
    size_t count = line->count;
    line->at = to, line->count = 0, line->load = 0;
    for (size_t i = 0; i < count; i++) {
        struct sweep_under under = line->under[i];
        size_t k = line->count;
        if (under.end <= to) continue;
        for (; k > 0 && line->under[k - 1].end > under.end; k--) line->under[k] = line->under[k - 1];
        line->under[k] = under;
        line->count++, line->load += under.high;
    }
}

/* On to where the next piece ends. */
static enum sweep_answer sweep_on(struct sweep *s)
{
    const struct sweep_line line = s->line;
    int64_t spare = s->spare, next = s->extent;
    for (size_t i = 0; i < line.count; i++)
        if (line.under[i].end < next) next = line.under[i].end;
    if (!line.count || next == s->extent) return SWEEP_NONE;
    s->spare -= (s->room - line.load) * (next - line.at);
    enum sweep_answer answer = SWEEP_NONE;
    if (s->spare >= 0) {
        line_move(&s->line, next);
        if (!sweep_has_no_room(s) && !sweep_wastes(s)) {
            struct seen state = sweep_state(s);
            if (!seen_before(s->seen, state)) answer = sweep_from(s, 0);
            if (answer == SWEEP_NONE) *seen_place(s->seen, state) = state;
        }
    }
    s->line = line, s->spare = spare;
    return answer;
}

static bool stance_goes_in(const struct sweep *s, const struct sweep_stance *stance)
{
    return s->kinds[stance->kind].left && stance->high <= s->room - s->line.load &&
           stance->wide <= s->extent - s->line.at;
}

/* Pieces begin where the line is, in the order of stances from this one, and then it moves on. */
static enum sweep_answer sweep_from(struct sweep *s, size_t stance)
{
    if (search_is_over(s->search, true) || s->nodes-- <= 0) return SWEEP_OPEN;
    for (size_t i = stance; i < s->stance_count; i++) {
        const struct sweep_stance *one = &s->stances[i];
        if (!stance_goes_in(s, one)) continue;
        s->line.under[s->line.count++] = (struct sweep_under){s->line.at + one->wide, one->high};
        s->line.load += one->high, s->kinds[one->kind].left--, s->left--;
        enum sweep_answer answer = s->left ? sweep_from(s, i) : SWEEP_SOME;
        s->left++, s->kinds[one->kind].left++, s->line.load -= one->high;
        s->line.count--;
        if (answer != SWEEP_NONE) return answer;
    }
    return sweep_on(s);
}

/* ---- what is swept ---- */

static void sweep_add_stance(struct sweep *s, int64_t wide, int64_t high, size_t kind)
{
    if (wide > s->extent || high > s->room) return;
    s->stances[s->stance_count++] = (struct sweep_stance){wide, high, kind};
}

/* False: a piece does not go in. */
static bool sweep_add(struct sweep *s, const struct layout_piece *piece, bool is_alike)
{
    bool turns = piece->may_turn && piece->across != piece->along;
    size_t before = s->stance_count;
    s->left++;
    if (is_alike) {
        s->kinds[s->kind_count - 1].left++;
        return true;
    }
    sweep_add_stance(s, piece->across, piece->along, s->kind_count);
    if (turns) sweep_add_stance(s, piece->along, piece->across, s->kind_count);
    if (s->stance_count == before) return false;
    const struct sweep_stance *stances = &s->stances[before];
    struct sweep_kind *kind = &s->kinds[s->kind_count++];
    *kind = (struct sweep_kind){stances->wide, stances->high, 0, 1};
    if (s->stance_count - before < 2) return true;
    kind->other = stances[0].high > stances[1].high ? stances[0].high : stances[1].high;
    kind->wide = kind->high = stances[0].high < stances[1].high ? stances[0].high : stances[1].high;
    return true;
}

static bool sweep_fill(struct sweep *s, const struct layout_piece *pieces, size_t count)
{
    int32_t by_area[PROOF_PIECES_MOST];
    s->spare = s->extent * s->room;
    greedy_sequence(&(struct layout_order){s->extent, pieces, count}, 2, by_area);
    for (size_t i = 0; i < count; i++) {
        const struct layout_piece *piece = &pieces[by_area[i]];
        bool is_alike = i && pieces_alike(piece, &pieces[by_area[i - 1]]);
        if (!sweep_add(s, piece, is_alike)) return false;
        s->spare -= piece->across * piece->along;
    }
    return s->spare >= 0;
}

/* One way: the line lies across the strip when `lying`. The limit is cut down to whole units. */
static bool sweep_shows(struct layout_search *search, struct sweep *s, const struct layout_order *order,
                        int64_t limit, bool lying)
{
    static const int64_t area_most = (int64_t)1 << 60;
    struct layout_piece pieces[PROOF_PIECES_MOST];
    int64_t across = order_unit(order, false), along = order_unit(order, true);
    int64_t width = order->width / across, length = limit / along;
    for (size_t i = 0; i < order->count; i++) {
        struct layout_piece p = order->pieces[i];
        p.across /= across, p.along /= along;
        pieces[i] = lying ? (struct layout_piece){p.along, p.across, p.may_turn} : p;
    }
    if (length > area_most / width) return false;
    *s = (struct sweep){.search = search, .seen = s->seen, .salt = s->salt + 1, .nodes = s->nodes};
    s->extent = lying ? length : width, s->room = lying ? width : length;
    return !sweep_fill(s, pieces, order->count) || sweep_from(s, 0) == SWEEP_NONE;
}

/* ---- of which pieces ---- */

/* Pieces by falling narrow side. */
static struct layout_piece *pieces_by_side(const struct layout_order *order, struct arena *arena)
{
    struct layout_piece *sorted = arena_take_array(arena, order->count, sizeof *sorted);
    int32_t *sequence = arena_take_array(arena, order->count, sizeof *sequence);
    for (size_t i = 0; i < order->count; i++) sorted[i].across = piece_narrow_side(&order->pieces[i]);
    greedy_sequence(&(struct layout_order){order->width, sorted, order->count}, 1, sequence);
    for (size_t i = 0; i < order->count; i++) sorted[i] = order->pieces[sequence[i]];
    return sorted;
}

/* Of the first `count` those that lie alone shorten the limit, the others are taken. False: too many. */
static bool pieces_take(const struct layout_piece *sorted, size_t count, struct layout_order *order,
                        struct layout_piece *taken, int64_t *limit)
{
    order->pieces = taken, order->count = 0;
    for (size_t i = 0; i < count && order->count <= PROOF_PIECES_MOST; i++) {
        size_t other = i + 1 < count ? count - 1 : count - 2; /* the narrowest beside it */
        bool alone = count < 2 || sorted[i].across + piece_narrow_side(&sorted[other]) > order->width;
        if (alone && !sorted[i].may_turn)
            *limit -= sorted[i].along;
        else if (order->count++ < PROOF_PIECES_MOST)
            taken[order->count - 1] = sorted[i];
    }
    return order->count <= PROOF_PIECES_MOST;
}

bool sweep_rules_out(struct layout_search *search, int64_t limit, int64_t nodes)
{
    const struct layout_order *all = search->order;
    struct arena *arena = arena_new(arena_machine(search->arena));
    const struct layout_piece *sorted = pieces_by_side(all, arena);
    struct sweep *sweep = arena_take(arena, sizeof *sweep);
    sweep->seen = seen_table(arena);
    bool shown = false, few = true;
    for (size_t count = 1; count <= all->count && few && !shown && !search->ended; count++) {
        struct layout_piece taken[PROOF_PIECES_MOST];
        struct layout_order order = {all->width, taken, 0};
        int64_t rest = limit;
        if (count < all->count && piece_narrow_side(&sorted[count - 1]) == piece_narrow_side(&sorted[count]))
            continue;
        few = pieces_take(sorted, count, &order, taken, &rest);
        shown = few && rest < 0;
        for (int lying = 0; lying < 2 && few && order.count && !shown; lying++) {
            sweep->nodes = nodes;
            shown = sweep_shows(search, sweep, &order, rest, lying);
        }
    }
    arena_free(arena);
    return shown;
}
