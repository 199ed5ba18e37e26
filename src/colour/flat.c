/* Finds runs of equal pixels, so that a flat area gets the exact colour rather than a table's. Called by
 * transform.c for each row. */
#include "flat.h"
#include <stdbool.h>
#include <string.h>

enum { FLAT_RUN = 12 };

static int same(const uint8_t *one, const uint8_t *other, size_t bytes)
{
    return !memcmp(one, other, bytes);
}

void flat_fill(struct flat *flat, const uint8_t *in, uint8_t *out, size_t count)
{
    if (!flat->known || !same(flat->in, in, flat->in_bytes)) {
        memcpy(flat->in, in, flat->in_bytes);
        cmsDoTransform(flat->exact, flat->in, flat->out, 1);
        flat->known = 1;
    }
    if (flat->out_bytes == 4) /* CMYK, the usual case, in whole words */
        for (size_t i = 0; i < count; i++) memcpy(out + i * 4, flat->out, 4);
    else
        for (size_t i = 0; i < count; i++) memcpy(out + i * flat->out_bytes, flat->out, flat->out_bytes);
}

/* A run of pixels is a run of bytes that equal those a pixel further. These are compared word by word: the
 * shortest run that counts holds a few whole words wherever it begins, and in a photograph hardly a word is
 * equal. */
static inline __attribute__((always_inline)) bool equal(const uint8_t *in, size_t bytes, size_t word)
{
    uint64_t one = 0, other = 0;
    memcpy(&one, in, word);
    memcpy(&other, in + bytes, word);
    return one == other;
}

/* The run about the equal word at `at`, of which none is looked for beyond `end`; length 0 if it is short. */
static struct flat_run run_about(const uint8_t *in, size_t at, size_t end, size_t bytes, size_t *behind)
{
    size_t from = at, to = at;
    while (from > 0 && in[from - 1] == in[from - 1 + bytes]) from--;
    while (to + 8 <= end && equal(in + to, bytes, 8)) to += 8;
    while (to < end && in[to] == in[to + bytes]) to++;
    *behind = to;
    size_t first = (from + bytes - 1) / bytes, last = to / bytes; /* pixels; the last is equal, too */
    bool counts = last + 1 >= first + FLAT_RUN;
    return (struct flat_run){first, counts ? last + 1 - first : 0};
}

static inline __attribute__((always_inline)) struct flat_run colour_flat_find(const uint8_t *in, size_t count,
                                                                              size_t bytes, size_t word)
{
    size_t end = count ? (count - 1) * bytes : 0, equal_words = 0;
    size_t shortest = ((FLAT_RUN - 1) * bytes - (word - 1)) / word; /* in whole words */
    for (size_t at = 0; at + word <= end; at += word) {
        equal_words = equal(in + at, bytes, word) ? equal_words + 1 : 0;
        if (equal_words < shortest) continue;
        size_t behind;
        struct flat_run streak = run_about(in, at, end, bytes, &behind);
        if (streak.length) return streak;
        at = behind + 1 - word;
        equal_words = 0;
    }
    return (struct flat_run){count, 0};
}

struct flat_run flat_find(const uint8_t *in, size_t count, size_t bytes)
{
    switch (bytes) { /* constants, so that pixels are compared without a call */
    case 1:
        return colour_flat_find(in, count, 1, 4);
    case 3:
        return colour_flat_find(in, count, 3, 8);
    case 4:
        return colour_flat_find(in, count, 4, 8);
    default:
        return colour_flat_find(in, count, bytes, 8);
    }
}
