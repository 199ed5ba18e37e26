/* Private to layout: what the searches that prove a length too short have in common. */
#ifndef LAYOUT_PROOF_H
#define LAYOUT_PROOF_H

#include "inner.h"

enum { PROOF_PIECES_MOST = 40 };

/* The largest unit that every side across, or along, is whole in, of both where one turns. There is a piece. */
int64_t order_unit(const struct layout_order *order, bool along);
int64_t piece_narrow_side(const struct layout_piece *piece);

/* Which lengths some of a set of pieces have together, up to `most`. */
enum { SUMS_MOST = 16384 };
struct stack_sums {
    uint64_t bits[SUMS_MOST / 64]; /* bit n: some of them are n together */
    size_t words;
};

void sums_start(struct stack_sums *sums, int64_t most); /* below SUMS_MOST */
/* One more piece, that lies with one side or the other; 0: there is no other. */
void sums_add(struct stack_sums *sums, int64_t side, int64_t other);
/* How much of `room` none of the lengths fills; room up to `most`. */
int64_t sums_rest(const struct stack_sums *sums, int64_t room);

/* States that were seen to fail, by two hashes of 64 bits; later ones take the place of others. */
struct seen {
    uint64_t one, other;
};
struct seen *seen_table(struct arena *arena);
struct seen seen_of(const uint64_t *words, size_t count);
struct seen *seen_place(struct seen *table, struct seen state);
static inline bool seen_before(struct seen *table, struct seen state)
{
    const struct seen *kept = seen_place(table, state);
    return kept->one == state.one && kept->other == state.other;
}

#endif
