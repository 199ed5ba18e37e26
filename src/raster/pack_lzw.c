/* LZW as TIFF 6.0, section 13 has it: codes from the most significant bit on, one bit wider one code early, a
 * clear code first and whenever 4094 is the next code.
 *
 * A string (the code of all but its last byte, the last byte) and its code are one word in a table of four
 * times as many slots as there are strings, so that a search mostly ends at the first. Strings of zeros, of
 * which flat colours consist behind the predictor, are also known by their length, so that a long one is
 * taken at once. Codes are found first, and written when the table is full: where they change their width is
 * known by their number then. */
#include "pack.h"
#include <assert.h>
#include <stdlib.h>
#include <string.h>

enum { CLEAR = 256, END = 257, FIRST = 258, FULL = 4094, STRINGS = FULL - FIRST };
enum { LEAST_WIDTH = 9, MOST_WIDTH = 12, MOST_CODE = (1 << MOST_WIDTH) - 1 };
enum { SLOT_BITS = 14, SLOTS = 1 << SLOT_BITS };

/* Prefix from bit 20, last byte from bit 12, code below. No string begins with a clear code. */
enum { PREFIX_AT = 20, BYTE_AT = 12 };
static const uint32_t EMPTY = (uint32_t)CLEAR << PREFIX_AT;

struct lzw {
    uint32_t slots[SLOTS];
    uint16_t codes[STRINGS];
    uint16_t zeros[STRINGS + 2]; /* the code of 1 to `longest` zeros */
    uint32_t longest;
};

static void *lzw_open(void)
{
    return malloc(sizeof(struct lzw));
}

/* ---- finding ---- */

/* What is left to pack: bytes, behind the string `prefix` whose code is not yet given out. */
struct lzw_rest {
    const uint8_t *at, *end;
    uint32_t prefix;
};

static inline uint32_t key_of(uint32_t prefix, uint32_t byte)
{
    return prefix << PREFIX_AT | byte << BYTE_AT;
}

/* Where a string stands in the table, or the empty slot where it would. The search begins at different
 * places, four apart, for strings with the same last byte; the bytes are scattered (2^32 over the golden
 * ratio). */
static inline uint32_t find_slot(const struct lzw *lzw, uint32_t prefix, uint32_t byte)
{
    uint32_t key = key_of(prefix, byte);
    uint32_t i = prefix << (SLOT_BITS - MOST_WIDTH) ^ byte * 0x9E3779B1u >> (32 - SLOT_BITS);
    while ((lzw->slots[i] ^ key) > MOST_CODE && lzw->slots[i] != EMPTY) i = (i + 1) % SLOTS;
    return i;
}

static void empty_table(struct lzw *lzw)
{
    for (size_t i = 0; i < SLOTS; i++) lzw->slots[i] = EMPTY;
    lzw->zeros[1] = 0;
    lzw->longest = 1;
}

static inline bool eight_zeros(const uint8_t *at, const uint8_t *end)
{
    uint64_t eight = 1;
    if (end - at >= 8) memcpy(&eight, at, 8);
    return !eight;
}

static size_t count_zeros(const uint8_t *at, const uint8_t *end)
{
    const uint8_t *from = at;
    while (eight_zeros(at, end)) at += 8;
    while (at < end && !*at) at++;
    return (size_t)(at - from);
}

/* With a zero as prefix, takes the zeros behind it: the codes that byte after byte would give, too. Behind a
 * table that becomes full the string begins anew. Returns how many codes there are then. */
static size_t take_zeros(struct lzw *lzw, struct lzw_rest *rest, size_t count)
{
    size_t left = 1 + count_zeros(rest->at, rest->end);
    rest->at += left - 1;
    for (; left > lzw->longest && count < STRINGS; lzw->longest++) {
        uint32_t all = lzw->zeros[lzw->longest], key = key_of(all, 0), i = find_slot(lzw, all, 0);
        if (lzw->slots[i] == EMPTY) {
            lzw->slots[i] = key | (uint32_t)(FIRST + count);
            lzw->codes[count++] = (uint16_t)all;
            left -= lzw->longest;
        }
        lzw->zeros[lzw->longest + 1] = (uint16_t)(lzw->slots[i] ^ key);
    }
    bool full = count == STRINGS;
    if (full) rest->at -= left - 1;
    rest->prefix = full ? 0 : lzw->zeros[left];
    return count;
}

/* Codes with an empty table until it is full or the bytes are over; how many. */
static size_t find_codes(struct lzw *lzw, struct lzw_rest *rest)
{
    empty_table(lzw);
    const uint8_t *at = rest->at;
    uint32_t prefix = rest->prefix;
    size_t count = 0;
    while (at < rest->end && count < STRINGS) {
        uint32_t byte = *at++, key = key_of(prefix, byte), i = find_slot(lzw, prefix, byte);
        uint32_t found = lzw->slots[i] ^ key;
        lzw->codes[count] = (uint16_t)prefix; /* stays if the string ends here */
        if (found <= MOST_CODE) {
            prefix = found;
            continue;
        }
        lzw->slots[i] = key | (uint32_t)(FIRST + count++);
        prefix = byte;
        if (!byte && eight_zeros(at, rest->end)) {
            rest->at = at;
            count = take_zeros(lzw, rest, count);
            at = rest->at;
            prefix = rest->prefix;
        }
    }
    rest->at = at;
    rest->prefix = prefix;
    return count;
}

/* ---- writing ---- */

struct lzw_bits {
    uint8_t *at;
    uint64_t held; /* from the top */
    unsigned count;
};

/* At most 56 bits; writes eight bytes, the last of which may be overwritten by what comes next. */
static inline void lzw_put(struct lzw_bits *bits, uint64_t value, unsigned width)
{
    bits->held |= value << (64 - width - bits->count);
    bits->count += width;
    for (unsigned i = 0; i < 8; i++) bits->at[i] = (uint8_t)(bits->held >> (56 - 8 * i));
    bits->at += bits->count / 8;
    bits->held <<= bits->count / 8 * 8;
    bits->count %= 8;
}

static void put_codes(struct lzw_bits *bits, const uint16_t *codes, size_t count, unsigned width)
{
    size_t i = 0;
    for (; i + 4 <= count; i += 4) {
        uint64_t two = (uint64_t)codes[i] << width | codes[i + 1];
        uint64_t next = (uint64_t)codes[i + 2] << width | codes[i + 3];
        lzw_put(bits, two << 2 * width | next, 4 * width);
    }
    for (; i < count; i++) lzw_put(bits, codes[i], width);
}

/* Codes of a table from its first on, which is as wide as numbers up to 511 need. Returns the width of the
 * next. */
static unsigned put_table(struct lzw_bits *bits, const uint16_t *codes, size_t count)
{
    unsigned width = LEAST_WIDTH;
    for (size_t from = 0;; width++) {
        size_t to = ((size_t)1 << width) - FIRST;
        if (to > count) to = count;
        put_codes(bits, codes + from, to - from, width);
        if (to == count && (to < ((size_t)1 << width) - FIRST || width == MOST_WIDTH)) return width;
        from = to;
    }
}

/* Twelve bits for a byte, as many for a clear code after so many strings, and what `put` writes ahead. */
static size_t lzw_most(size_t length)
{
    return length + length / 2 + length / 1024 + 16;
}

static size_t lzw_pack(void *self, const uint8_t *bytes, size_t length, uint8_t *packed, size_t capacity)
{
    struct lzw *lzw = self;
    if (capacity < lzw_most(length)) return 0;
    struct lzw_bits bits = {packed, 0, 0};
    struct lzw_rest rest = {bytes + 1, bytes + length, bytes[0]};
    lzw_put(&bits, CLEAR, LEAST_WIDTH);
    for (bool more = true; more;) {
        size_t count = find_codes(lzw, &rest);
        more = count == STRINGS;
        if (!more) lzw->codes[count++] = (uint16_t)rest.prefix;
        assert(count >= 1 && count <= STRINGS);
        unsigned width = put_table(&bits, lzw->codes, count);
        if (count == STRINGS) {
            lzw_put(&bits, CLEAR, width);
            width = LEAST_WIDTH;
        }
        if (!more) lzw_put(&bits, END, width);
    }
    assert((size_t)(bits.at - packed) + 8 <= capacity); /* what is written ahead, too */
    return (size_t)(bits.at - packed) + (bits.count > 0);
}

const struct codec pack_lzw = {lzw_open, lzw_pack, free};
