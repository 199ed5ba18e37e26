/* Units, sums of sides and states seen, for the searches that prove a length too short. */
#include "proof.h"
#include "base/hash.h"
#include <assert.h>
#include <string.h>

static int64_t common_divisor(int64_t a, int64_t b)
{
    while (b) {
        int64_t rest = a % b;
        a = b, b = rest;
    }
    return a;
}

int64_t order_unit(const struct layout_order *order, bool along)
{
    int64_t units[2] = {0, 0};
    bool turns = false;
    for (size_t i = 0; i < order->count; i++) {
        const struct layout_piece *piece = &order->pieces[i];
        units[0] = common_divisor(units[0], piece->across), units[1] = common_divisor(units[1], piece->along);
        turns = turns || piece->may_turn;
    }
    return turns ? common_divisor(units[0], units[1]) : units[along];
}

int64_t piece_narrow_side(const struct layout_piece *piece)
{
    return piece->may_turn && piece->along < piece->across ? piece->along : piece->across;
}

/* ---- sums of sides ---- */

void sums_start(struct stack_sums *sums, int64_t most)
{
    assert(most >= 0 && most < SUMS_MOST);
    sums->words = (size_t)most / 64 + 1;
    memset(sums->bits, 0, sums->words * sizeof *sums->bits);
    sums->bits[0] = 1;
}

static void sums_join_shifted(struct stack_sums *sums, const struct stack_sums *from, int64_t side)
{
    size_t words = (size_t)side / 64, bits = (size_t)side % 64;
    for (size_t i = words; i < sums->words; i++) {
        uint64_t moved = from->bits[i - words] << bits;
        if (bits && i > words) moved |= from->bits[i - words - 1] >> (64 - bits);
        sums->bits[i] |= moved;
    }
}

void sums_add(struct stack_sums *sums, int64_t side, int64_t other)
{
    struct stack_sums without;
    without.words = sums->words;
    memcpy(without.bits, sums->bits, sums->words * sizeof *sums->bits);
    sums_join_shifted(sums, &without, side);
    if (other) sums_join_shifted(sums, &without, other);
}

int64_t sums_rest(const struct stack_sums *sums, int64_t room)
{
    int64_t rest = 0;
    while (!(sums->bits[(room - rest) / 64] >> ((room - rest) % 64) & 1)) rest++;
    return rest;
}

/* ---- states seen ---- */

enum { SEEN_BITS = 18 };

struct seen *seen_table(struct arena *arena)
{
    return arena_take_array(arena, (size_t)1 << SEEN_BITS, sizeof(struct seen));
}

struct seen seen_of(const uint64_t *words, size_t count)
{
    return (struct seen){hash_bytes(HASH_START, words, count * sizeof *words) | 1,
                         hash_bytes(~HASH_START, words, count * sizeof *words)};
}

struct seen *seen_place(struct seen *table, struct seen state)
{
    return &table[state.one >> 1 & ((1u << SEEN_BITS) - 1)];
}
